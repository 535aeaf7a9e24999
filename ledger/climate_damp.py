"""How damp a log was in the air and at colder surfaces, for how long on end, and what is published of mould in such damp."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from functools import lru_cache
from typing import Final

from ledger.climate_held import Held
from ledger.rules import climate, mould
from ledger.rules.walls import WallRules

__all__ = ["Damp", "Lasted", "Warned", "damp_of"]

DAY: Final = climate.SECONDS_A_DAY
_HUNDRED: Final = 100


class Warned(StrEnum):
    """What a humidity means that lasts; not a finding of mould."""

    NOT_KNOWN = "not known"
    NONE = "none"
    HELD = "damp for days"
    DAMP = "damp"


@dataclass(frozen=True, kw_only=True)
class Lasted:
    """The longest time on end above a humidity, beside the days after which mould is seen in it.

    Units: per cent, days; without a most it is a year or more, without a least it is years.
    """

    rh: float
    longest: float
    seen_least: int | None
    seen_most: int | None


@dataclass(frozen=True, kw_only=True)
class Damp:
    """How damp it was at a surface so much colder than the air; zero is the air itself. Units: kelvin, days."""

    colder: float
    above_65: float
    above_75: float
    mould: float
    """Above the humidity from which on mould can begin to grow."""
    growing: float
    """Above the humidity from which on it grows by a millimetre a day."""
    wood: float
    """Above the humidity from which on it can begin on sawn softwood; paper is no wood."""
    longest_65: float
    """The longest time on end above 65 per cent; a time that is not known ends it."""
    lasted: tuple[Lasted, ...]
    """A label beside what is published, and no verdict."""
    warning: Warned


def damp_of(inside: Sequence[Held], times: Counter[tuple[int, int]], colder: float, rules: WallRules) -> Damp:
    """All of it; `times` has the seconds of each temperature and humidity. Units: hundredths, kelvin.

    Requires: readings in the order of time that do not overlap.
    """
    held_limit, damp_limit = climate.limit("damp-held"), climate.limit("damp")
    sums = dict.fromkeys(("above_65", "above_75", "mould", "growing", "wood"), 0)
    for (celsius, rh), seconds in times.items():
        there, warm = _surface(celsius, rh, colder), celsius / _HUNDRED - colder
        sums["above_65"] += seconds if there > held_limit.rh else 0
        sums["above_75"] += seconds if there > damp_limit.rh else 0
        sums["mould"] += seconds if there > mould.critical_rh(warm) else 0
        sums["growing"] += seconds if there > mould.growing_rh(warm) else 0
        sums["wood"] += seconds if there > mould.wood_critical_rh(warm) else 0
    seen = mould.seen_after()
    longest, *runs = _longest(inside, colder, (held_limit.rh, *(rh for rh, _, _ in seen)))
    return Damp(
        colder=colder,
        **{name: seconds / DAY for name, seconds in sums.items()},
        longest_65=longest / DAY,
        lasted=tuple(
            Lasted(rh=rh, longest=run / DAY, seen_least=least, seen_most=most)
            for run, (rh, least, most) in zip(runs, seen, strict=True)
        ),
        warning=_warned(known=bool(times), above_75=sums["above_75"], longest=longest, rules=rules),
    )


def _warned(*, known: bool, above_75: int, longest: int, rules: WallRules) -> Warned:
    if not known:
        return Warned.NOT_KNOWN
    if above_75:
        return Warned.DAMP
    return Warned.HELD if longest and longest >= rules.held_days * DAY else Warned.NONE


@lru_cache(maxsize=65_536)
def _surface(celsius: int, rh: int, colder: float) -> float:
    warm = celsius / _HUNDRED
    return climate.rh_at(warm, rh / _HUNDRED, warm - colder) if colder else rh / _HUNDRED


def _longest(inside: Sequence[Held], colder: float, limits: Sequence[float]) -> list[int]:
    """The longest time on end above each limit; a time that is not known ends a run."""
    longest, begun = [0] * len(limits), list[int | None]([None] * len(limits))
    until: int | None = None
    for each in inside:
        there, end = _surface(each.celsius, each.rh, colder), each.start + each.seconds
        for place, limit in enumerate(limits):
            if there <= limit:
                begun[place] = None
                continue
            start = begun[place]
            if start is None or until != each.start:
                start = begun[place] = each.start
            longest[place] = max(longest[place], end - start)
        until = end
    return longest
