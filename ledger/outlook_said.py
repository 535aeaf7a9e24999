"""An outlook as people write it: "60 % 7.5, 25 % 8.0, rest below", or three grades as low / likely / high."""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from ledger.outlook_spread import SPREAD_RULE, TRIANGLE_RULE, Side, share_rest, triangle
from ledger.proof.report import MalformedError
from ledger.rules.grades import Grade, grades, read_stated
from ledger.rules.thousandths import thousandths

__all__ = ["OutlookSaid", "OutlookSaidError", "read_outlook"]

LONGEST: Final = 400
_ALL: Final = Fraction(100)
_EXAMPLE: Final = "Write it like 60 % 7.5, 25 % 8.0, rest below; or three grades, low / likely / high."
_PER_CENT: Final = re.compile(r"(?P<number>[0-9]{1,3}(?:\.[0-9]{1,3})?)\s*(?:%|per\s?cent\b|pct\b)", re.IGNORECASE)
_LAST: Final = re.compile(r"(?P<grade>.*\S)[\s:=]+(?P<number>[0-9]{1,3}(?:\.[0-9]{1,3})?)")
_FIRST: Final = re.compile(r"(?P<number>[0-9]{1,3}(?:\.[0-9]{1,3})?)[\s:=]+(?P<grade>\S.*)")
_LIKE_A_GRADE: Final = re.compile(r"(?:10|[0-9])(?:\.[0-9]+)?")
_REST: Final = re.compile(r"(?:the\s+)?(?:rest|remainder)\b[\s:]*(?P<where>.*)", re.IGNORECASE)
_SIDES: Final = {
    "": Side.BOTH, "both sides": Side.BOTH, "around": Side.BOTH, "either side": Side.BOTH,
    "below": Side.BELOW, "lower": Side.BELOW, "under": Side.BELOW,
    "above": Side.ABOVE, "higher": Side.ABOVE, "better": Side.ABOVE, "over": Side.ABOVE,
}  # fmt: skip


@dataclass(eq=False, kw_only=True)
class OutlookSaidError(MalformedError):
    """A text that cannot be read as an outlook."""

    what: str = "Outlook"
    mend: str = _EXAMPLE


@dataclass(frozen=True, kw_only=True)
class OutlookSaid:
    """What was read: the weight of each step that has one, the lowest first, and the rule that shared what was left open.

    Units: thousandths, 1000 together.
    """

    weights: tuple[tuple[Grade, int], ...]
    how: str
    """How chances nobody named were shared, in a sentence; empty where every one was named."""


def read_outlook(text: str) -> OutlookSaid:
    """The outlook somebody wrote; show it back.

    A chance stands before its grade or behind it, with or without its sign; a bare pair is grade and chance where its
    first part is a grade. With semicolons or lines between the parts a comma is a decimal point, else it parts them.
    Raises: OutlookSaidError.
    """
    if len(text) > LONGEST:
        raise OutlookSaidError(problem=f"this is longer than {LONGEST} signs")
    parts = _parts(text)
    bare = _bare_grades(parts)
    if bare:
        return _low_likely_high(bare)
    named: dict[int, Fraction] = {}
    rest: str | None = None
    for part in parts:
        found = _REST.fullmatch(part)
        if found is None:
            grade, chance = _pair(part)
            if grade.step in named:
                raise OutlookSaidError(problem=f"grade {grade} is named twice", mend="Put its two chances into one.")
            named[grade.step] = chance
        elif rest is not None:
            raise OutlookSaidError(problem="the rest is named twice", mend="Keep one of them.")
        else:
            rest = found["where"].strip().casefold()
    if not named:
        raise OutlookSaidError(problem="no grade with its chance is named")
    return _with_rest(named, rest)


def _parts(text: str) -> list[str]:
    plain = text.strip().replace("\u00a0", " ")
    if re.search(r"[;\n]", plain):
        found = re.split(r"[;\n]", re.sub(r"(?<=[0-9]),(?=[0-9])", ".", plain))
    else:
        found = re.split(r",|\s+and\s+", plain)
    parts = [" ".join(each.split()) for each in found if each.strip()]
    if not parts:
        raise OutlookSaidError(problem="nothing is written")
    return parts


def _bare_grades(parts: Sequence[str]) -> tuple[Grade, ...]:
    """Three grades and nothing else, however they are parted; none where it is something else."""
    pieces = list(parts)
    if len(pieces) == 1:
        slash = r"\s+/\s+" if re.search(r"\s/\s", parts[0]) else r"/"
        pieces = re.split(rf"{slash}|\s+to\s+|\s*[\u2013\u2014]\s*|\s+-\s+", parts[0])
        pieces = parts[0].split() if len(pieces) == 1 else pieces
    found = [read_stated(each) for each in pieces]
    three = len(found) == 3 and all(len(each) == 1 for each in found)  # noqa: PLR2004 - low, likely and high
    return tuple(each[0] for each in found) if three else ()


def _low_likely_high(three: Sequence[Grade]) -> OutlookSaid:
    low, likely, high = three
    if not low <= likely <= high:
        raise OutlookSaidError(
            problem=f"{low}, {likely}, {high} do not rise", mend="Write the low grade, the likely one, the high one."
        )
    shares = triangle(low.step, likely.step, high.step, len(grades()))
    return OutlookSaid(weights=_weights(shares), how=TRIANGLE_RULE)


def _pair(part: str) -> tuple[Grade, Fraction]:
    """The grade and the chance in one part."""
    signed = list(_PER_CENT.finditer(part))
    if len(signed) > 1:
        raise OutlookSaidError(problem=f"{part!r} has {len(signed)} chances", mend="Part them with commas.")
    if signed:
        found = signed[0]
        return _grade(_bare(f"{part[: found.start()]} {part[found.end() :]}"), part), _chance(found["number"])
    found_in = [each for each in (_LAST.fullmatch(part), _FIRST.fullmatch(part)) if each is not None]
    for each in found_in:
        if len(read_stated(_bare(each["grade"]))) == 1:
            return _grade(_bare(each["grade"]), part), _chance(each["number"])
    for each in found_in:
        # Neither reading names one step; what looks like a grade says best what is wrong with it.
        if read_stated(_bare(each["grade"])) or _LIKE_A_GRADE.fullmatch(_bare(each["grade"])):
            return _grade(_bare(each["grade"]), part), _chance(each["number"])
    mend = _EXAMPLE
    if len(read_stated(part)) == 1:
        mend = f"Say how likely it is, as in {part} 60."
    raise OutlookSaidError(problem=f"{part!r} is no grade with its chance", mend=mend)


def _bare(text: str) -> str:
    return " ".join(text.split()).strip(" :=")


def _grade(text: str, part: str) -> Grade:
    steps = read_stated(text)
    if len(steps) == 1:
        return steps[0]
    if steps:
        names = ", ".join(each.text for each in steps)
        raise OutlookSaidError(
            problem=f"{text!r} is more than one step ({names})", mend="Give each step a chance of its own."
        )
    try:
        Grade.parse(text)
    except MalformedError as error:
        raise OutlookSaidError(problem=f"{part!r}: {error.problem}", mend=error.mend) from error
    raise AssertionError  # pragma: no cover - what is a step was read as one


def _chance(number: str) -> Fraction:
    chance = Fraction(number)
    if chance > _ALL:
        raise OutlookSaidError(problem=f"{number} % is more than all", mend="All chances are 100 % together.")
    return chance


def _with_rest(named: dict[int, Fraction], rest: str | None) -> OutlookSaid:
    total = sum(named.values(), Fraction(0))
    left = _ALL - total
    said = f"the chances are {_written(total)} % together"
    if left < 0:
        raise OutlookSaidError(problem=said, mend=f"Take {_written(-left)} % off.")
    if left and rest is None:
        mend = f"Say where the other {_written(left)} % lie: rest below, rest above, rest, or rest with a grade."
        raise OutlookSaidError(problem=said, mend=mend)
    shares = [named.get(step, Fraction(0)) for step in range(len(grades()))]
    how = ""
    if left and rest is not None:
        how = _share(shares, left, rest, named)
    return OutlookSaid(weights=_weights(shares), how=how)


def _share(shares: list[Fraction], left: Fraction, rest: str, named: dict[int, Fraction]) -> str:
    """Puts what is left where the rest is said to be, and says how."""
    side = _SIDES.get(rest)
    if side is None:
        grade = _grade(rest, f"rest {rest}")
        shares[grade.step] += left
        return ""
    added = share_rest(left, min(named), max(named), side, len(shares))
    if not added:
        end = grades()[0 if side is Side.BELOW else -1]
        problem = f"nothing lies {side} {end}" if side is not Side.BOTH else "no step is left for the rest"
        raise OutlookSaidError(problem=problem, mend="Give the rest to a grade, as in rest 9.0.")
    for step, share in added.items():
        shares[step] += share
    return SPREAD_RULE


def _weights(shares: Sequence[Fraction]) -> tuple[tuple[Grade, int], ...]:
    return tuple((grades()[step], weight) for step, weight in enumerate(thousandths(shares)) if weight)


def _written(chance: Fraction) -> str:
    """A chance with as many decimals as it has, three at most."""
    return f"{float(chance):.3f}".rstrip("0").rstrip(".")
