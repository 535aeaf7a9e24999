"""How values stand in a page: amounts, dates, digests, grades; and "not known" for what is not."""

import json
from datetime import UTC, datetime
from decimal import Decimal
from typing import Any, cast

from ledger.errors import LedgerError
from ledger.money import Money
from ledger.proof.canonical import Plain
from ledger.rules.grades import Grade
from ledger.when import When
from web.wording import t

__all__ = ["FILTERS", "digits8", "grade", "known", "moment", "money", "percent", "plainly", "tally", "when", "wider"]


def known(value: object) -> object:
    """The value, or the words for what is not known; a zero is known."""
    return t("frame.not_known") if value is None or value == "" else value


def money(value: Money | None) -> str:
    """An amount with its thousands apart and its currency behind."""
    if value is None:
        return t("frame.not_known")
    whole, point, decimals = value.amount.removeprefix("-").partition(".")
    sign = "\N{MINUS SIGN}" if value.minor < 0 else ""
    return f"{sign}{int(whole):,}{point}{decimals}\N{NO-BREAK SPACE}{value.currency}"


def when(value: When | str | None) -> str:
    """A date in words, as exactly as it is known; a text is read as EDTF."""
    if value is None or value == "":
        return t("frame.not_known")
    return (When.parse(value) if isinstance(value, str) else value).label()


def moment(value: datetime | None) -> str:
    """A moment of recording: day and minute, UTC.

    Requires: an aware moment.
    """
    if value is None:
        return t("frame.not_known")
    if value.tzinfo is None:
        raise ValueError("a moment carries its offset")
    utc = value.astimezone(UTC)
    return f"{When.of_day(utc.date()).label()}, {utc:%H:%M} UTC"


def digits8(value: str) -> str:
    """The first eight digits of a digest, in two groups that a person can read aloud."""
    return f"{value[:4]} {value[4:8]}"


def grade(step: int | None) -> str:
    """A step of the ten-point scale by its place on it."""
    return t("frame.not_known") if step is None else str(Grade.at(step))


def tally(value: int) -> str:
    """A whole number with its thousands apart."""
    return f"{value:,}"


def percent(value: float) -> str:
    """A place on a drawing, as an attribute takes it."""
    return f"{value:.2f}%"


def plainly(value: Plain) -> str:
    """What somebody else opened: text as it is, an amount as amounts are shown, all else as JSON."""
    if isinstance(value, str):
        return value
    if isinstance(value, dict) and value.keys() == {"minor", "currency", "exponent"}:
        try:
            return money(Money(**cast("dict[str, Any]", value)))
        except LedgerError:
            pass
    return json.dumps(value, ensure_ascii=False)


def wider(value: str) -> str:
    """A length in millimetres with a margin of 6 mm on either side, exactly."""
    return str(Decimal(value) + 12)


FILTERS = {
    "known": known,
    "money": money,
    "when": when,
    "moment": moment,
    "digits8": digits8,
    "grade": grade,
    "tally": tally,
    "percent": percent,
    "plainly": plainly,
    "wider": wider,
}
