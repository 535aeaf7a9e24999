"""Light as far as it is known: how much, what the book is taken for and by whom, and which part of a fade that was."""

from collections.abc import Iterator
from typing import Final

from ledger.light_share import Faded, Light, Standing
from ledger.rules.light import Extent, Sensitivity
from ledger.saying.spelling import day
from ledger.saying.wording import t
from ledger.when import When

__all__ = ["light"]

FIGURES: Final = 2
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
    rounded = float(f"{value:.{FIGURES}g}")
    return f"{rounded:,.0f}" if rounded == int(rounded) else f"{rounded:g}"
