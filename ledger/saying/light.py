"""Light as far as it is known: how much, what the book is taken for and by whom, and which part of a fade that was."""

from collections.abc import Iterator
from datetime import date
from typing import Final

from ledger.light_dose import Segment, total_of
from ledger.light_share import Faded, Light, Standing
from ledger.light_spot import NOTHING, Known
from ledger.proof.sheet import Table
from ledger.rules.light import Extent, Sensitivity
from ledger.saying.spelling import day, rounded
from ledger.saying.wording import t
from ledger.when import When

__all__ = ["light", "light_days"]

_HEAD: Final = ("from", "days", "least", "middle", "most", "known_by", "uv")
LEAST: Final = 0.01
PERCENT: Final = 100.0


def light(of: Light | None) -> Iterator[tuple[str, str]]:
    """The facts; none where nobody counted it, or the book was never here."""
    if of is None or of.since is None:
        return
    standing = of.standing
    yield t("light.sum"), " ".join(_had(of))
    yield t("light.class"), f"{_class(standing.book)} {_by(standing)}"
    yield t("light.faded"), _share(of.faded) if of.known or of.faded is None else t("light.not_known")
    by = t("light.signature_by_owner") if standing.signature_chosen else t("light.signature_by_table")
    yield t("light.signature"), f"{_class(standing.signature)} {by} {_signature(of)}"


def light_days(of: Light | None) -> Table | None:
    """The days from which the sum is worked out again, one row for days on end of the same; None where nobody counted.

    Keeps: days times lux hours a day, added up, are the sum; of days that are not known at all no figure is given.
    """
    if of is None or not of.segments:
        return None
    rows: list[tuple[date, int, tuple[str, ...]]] = []
    for each in of.segments:
        said = tuple(_day(each))
        if rows and rows[-1][2] == said:
            rows[-1] = (rows[-1][0], rows[-1][1] + each.days, said)
        else:
            rows.append((each.begins, each.days, said))
    head = tuple(t(f"light.{name}") for name in _HEAD)
    return Table(head, tuple((day(When.of_day(begun)), f"{days:,}", *said) for begun, days, said in rows))


def _day(of: Segment) -> Iterator[str]:
    """One of its days: lux hours at the least, in the middle and at the most; how they are known; ultraviolet."""
    total = total_of([of], lambda light: light.lux_hours or NOTHING)
    none = of.likely.known is Known.NOT_KNOWN and total.extent.high == 0
    for value in (total.extent.low, total.extent.middle, total.extent.high):
        yield t("light.known.not_known") if none else f"{value / of.days:,.10g}"
    open_too = total.unknown_days > 0 and not none
    known = t(f"light.known.{of.likely.known.name.lower()}")
    yield t("light.known_or_not", known=known) if open_too else known
    yield t(
        "light.filtered.dark" if of.likely.known is Known.DARK else f"light.filtered.{of.likely.filtered.name.lower()}"
    )


def _by(standing: Standing) -> str:
    """Who says so."""
    if standing.chosen:
        return t("light.by_owner")
    return t("light.by_date") if standing.dated else t("light.by_none")


def _had(of: Light) -> Iterator[str]:
    total = of.total
    since, until = (day(When.of_day(each)) for each in (of.since or of.until, of.until))
    if of.known:
        low, middle, high = _figures(total.extent, 1)
        yield t("light.had", since=since, until=until, low=low, middle=middle, high=high)
    else:
        yield t("light.nothing_known", since=since, until=until)
    if of.since_open:
        yield t("light.since_open")
    if not of.known:
        return
    if total.unknown_days:
        yield t.n("light.unknown", total.unknown_days, days=f"{total.days:,}")
    else:
        yield t("light.all_known")


def _class(of: Sensitivity) -> str:
    steps = "" if of.steps is None else t("light.steps", first=of.steps[0], last=of.steps[2])
    return t("light.class_of", name=t(f"light.names.{of.light_class.value}"), steps=steps)


def _share(of: Faded | None) -> str:
    if of is None:
        return t("light.nothing")
    low, middle, high = _figures(of.known, PERCENT)
    with_uv, without_uv = (_figure(each.middle * PERCENT) for each in (of.with_uv, of.without_uv))
    return t("light.share", low=low, middle=middle, high=high, with_uv=with_uv, without_uv=without_uv)


def _signature(of: Light) -> str:
    if of.signature is None:
        return t("light.nothing")
    if not of.known:
        return t("light.not_known")
    low, middle, high = _figures(of.signature.known, PERCENT)
    return t("light.signature_share", low=low, middle=middle, high=high)


def _figures(of: Extent, factor: float) -> tuple[str, str, str]:
    return _figure(of.low * factor), _figure(of.middle * factor), _figure(of.high * factor)


def _figure(value: float) -> str:
    """A number to two figures, written out."""
    if 0 < value < LEAST:
        return t("least", least=LEAST)
    return rounded(value)
