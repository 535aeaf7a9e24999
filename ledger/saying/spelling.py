"""How values stand in a record: dates, measures, places, sealed fields; and "not known" for what is not."""

import re
from collections.abc import Iterable, Mapping
from dataclasses import fields, is_dataclass
from datetime import UTC, datetime
from typing import Any, Final
from unicodedata import normalize

from ledger.events._parts import Region
from ledger.money import Money
from ledger.proof.canonical import Plain
from ledger.rules.defects import defect_types
from ledger.rules.grades import Grade
from ledger.saying.wording import t
from ledger.sealed import Sealed, SealState
from ledger.when import When

__all__ = [
    "clean",
    "day",
    "every",
    "fault",
    "known",
    "measures",
    "plainly",
    "region",
    "rounded",
    "sealed",
    "since",
    "sum_words",
]

NEVER: Final = re.compile(r"unrestored|\bun[\W_]+restored", re.IGNORECASE)
"""What no record says, for nobody can know it; in words that it quotes, another stands for it."""
TWO_STOPS: Final = re.compile(r"([.!?]”)\.")
"""A quoted sentence ends the one around it."""


def day(on: When | None) -> str:
    """A date in words."""
    return t("not_known") if on is None else on.label()


def written(recorded: datetime) -> str:
    """The day on which something was entered. Units: UTC."""
    return When.of_day(recorded.astimezone(UTC).date()).label()


def since(on: When | None) -> str:
    """A date as it follows "since"."""
    if on is None:
        return t("some_day")
    if on.precision == "decade":
        return t("decade", decade=on.label())
    return t("interval", interval=on.label()) if on.precision == "interval" else on.label()


def known(value: object) -> str:
    """The value in words; a zero is known."""
    return t("not_known") if value is None or value == "" else str(value)


def every(values: Iterable[object]) -> str:
    """Values in a row; empty where there are none."""
    return ", ".join(str(each) for each in values)


def sealed(held: Sealed[str]) -> str:
    """A sealed text as far as it is opened; whether a closed one holds anything cannot be seen."""
    match held.state:
        case SealState.OPEN:
            return t("not_entered") if held.value is None else t("quoted", words=held.value)
        case SealState.ERASED:
            return t("erased")
        case _:
            return t("not_opened")


def fault(kind: str) -> str:
    """A type of defect in words."""
    return next((each.title for each in defect_types() if each.id == kind), kind)


def region(of: Region | None) -> str:
    """A place on a face."""
    if of is None:
        return t("not_known")
    if of.to_x_mm is not None and of.to_y_mm is not None:
        return t("region.line", x=of.x_mm, y=of.y_mm, to_x=of.to_x_mm, to_y=of.to_y_mm)
    if of.width_mm is None and of.height_mm is None:
        return t("region.point", x=of.x_mm, y=of.y_mm)
    return t("region.area", x=of.x_mm, y=of.y_mm, width=of.width_mm or "0", height=of.height_mm or "0")


def measures(size_mm: str | None, count: int | None, share_percent: int | None) -> str:
    """What was measured of a defect."""
    said = [t("mm", value=size_mm)] if size_mm is not None else []
    said += [t("together", count=count)] if count is not None else []
    said += [t("share", value=share_percent)] if share_percent is not None else []
    return ", ".join(said) or t("not_measured")


def sum_words(money: Money) -> str:
    """An amount with its thousands apart and its currency behind."""
    whole, point, decimals = money.amount.removeprefix("-").partition(".")
    return f"{'-' if money.minor < 0 else ''}{int(whole):,}{point}{decimals} {money.currency}"


def plainly(value: Any) -> str:  # noqa: ANN401 - a sealed value is of any kind that a field has
    """Any value of a sealed field in words."""
    match value:
        case Money():
            said = sum_words(value)
        case When():
            said = value.label()
        case {"minor": int(minor), "currency": str(code), "exponent": int(exponent)}:
            # A correction keeps its new values as plain data.
            said = sum_words(Money(minor, code, exponent))
        case Mapping():
            said = "; ".join(f"{name}: {plainly(each)}" for name, each in value.items())
        case tuple() | list():
            said = "; ".join(plainly(each) for each in value)
        case _ if is_dataclass(value) and not isinstance(value, Grade):
            parts = [getattr(value, each.name) for each in fields(value)]
            said = ", ".join(plainly(each) for each in parts if each is not None)
        case _:
            said = known(value)
    return said


def clean(value: Plain) -> Plain:
    """Plain data with every text in one line, in its one spelling, and without the one word that no record says."""
    match value:
        case str():
            return normalize("NFC", TWO_STOPS.sub(r"\1", NEVER.sub(t("never"), " ".join(value.split()))))
        case list():
            return [clean(each) for each in value]
        case dict():
            return {name: clean(each) for name, each in value.items()}
        case _:
            return value


def rounded(value: float) -> str:
    """A measure to two figures, in plain digits; from a thousand on with commas."""
    two = float(f"{value:.2g}")
    return f"{two:,.0f}" if two >= 1000 else f"{two:g}"  # noqa: PLR2004 - a thousand has the first comma
