"""One comparable as somebody wrote it: date, grade, price and the rest read leniently, each problem at its field."""

import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Final, Literal

from ledger.errors import Problem
from ledger.events._parts import Holding
from ledger.money import Money, read_shown_amount
from ledger.proof.report import MalformedError
from ledger.rules.grades import Grade, read_stated
from ledger.when import When, read_when

__all__ = ["FIELDS", "TONE_MOST", "WHERE_MOST", "Reading", "SaleRead", "SaleSaid", "read_sale"]

FIELDS: Final = ("on", "grade", "price", "currency", "where", "holding", "tone")
"""What is told of a sale, by the names of `SaleSaid`."""
WHERE_MOST: Final = 200
TONE_MOST: Final = 60
_WRITTEN_MOST: Final = 60
_CODE: Final = 3
"""Letters of a currency code."""
_HOLDINGS: Final[Mapping[str, Holding]] = {
    "raw": Holding.RAW,
    "ungraded": Holding.RAW,
    "no": Holding.RAW,
    "slabbed": Holding.SLABBED,
    "slab": Holding.SLABBED,
    "graded": Holding.SLABBED,
    "yes": Holding.SLABBED,
    "": Holding.NOT_STATED,
    "not stated": Holding.NOT_STATED,
    "not known": Holding.NOT_STATED,
}
"""How people say it. Source: common practice, no source."""


@dataclass(frozen=True, kw_only=True)
class Reading:
    """By what dates and amounts are read, for a whole table."""

    day: date
    """The day it is read on: nothing was sold later."""
    currency: str | None = None
    marks: Literal["1,234.50", "1.234,50"] | None = None
    order: Literal["dmy", "mdy", "ymd"] | None = None


@dataclass(frozen=True, kw_only=True)
class SaleSaid:
    """A sale as it was written; empty for what was left open. Only the price is needed."""

    on: str = ""
    grade: str = ""
    price: str = ""
    currency: str = ""
    where: str = ""
    holding: str = ""
    tone: str = ""


@dataclass(frozen=True, kw_only=True)
class SaleRead:
    """The same, understood; what could not be read is None and has a problem."""

    on: When | None
    grade: Grade | None
    price: Money | None
    where: str
    holding: Holding
    tone: str
    problems: tuple[Problem, ...] = ()


def read_sale(said: SaleSaid, reading: Reading) -> SaleRead:
    """What was written, field by field; text stays text, whatever sign it begins with."""
    problems: list[Problem] = []
    on, grade, price = _day(said, reading, problems), _step(said, problems), _price(said, reading, problems)
    holding = _HOLDINGS.get(_folded(said.holding))
    if holding is None:
        problems.append(Problem(field="holding", sentence="Write raw or slabbed, or leave it open."))
    return SaleRead(
        on=on,
        grade=grade,
        price=price,
        where=_text("where", said.where, WHERE_MOST, problems),
        holding=holding or Holding.NOT_STATED,
        tone=_text("tone", said.tone, TONE_MOST, problems),
        problems=tuple(problems),
    )


def _day(said: SaleSaid, reading: Reading, problems: list[Problem]) -> When | None:
    if not said.on.strip():
        return None
    try:
        found = read_when(said.on.strip(), order=reading.order, today=reading.day)
    except MalformedError as error:
        problems.append(Problem(field="on", sentence=str(error)))
        return None
    if found.earliest_day > reading.day:
        problems.append(Problem(field="on", sentence=f"{found.label()} is still to come. Write the day it was sold."))
    return found


def _step(said: SaleSaid, problems: list[Problem]) -> Grade | None:
    text = said.grade.strip()
    if not text:
        return None
    steps = read_stated(text) if len(text) <= _WRITTEN_MOST else ()
    if len(steps) == 1:
        return steps[0]
    meant = f"It can mean {steps[0]} to {steps[-1]}. Write one of them." if steps else "Write it like 9.2 or NM-."
    problems.append(Problem(field="grade", sentence=f"{_short(text)} is no single step of the scale. {meant}"))
    return None


def _price(said: SaleSaid, reading: Reading, problems: list[Problem]) -> Money | None:
    text, code = said.price.strip(), said.currency.strip().upper() or None
    if not text:
        problems.append(Problem(field="price", sentence="Write what was paid."))
        return None
    try:
        found = _amount(text, code, reading)
    except MalformedError as error:
        problems.append(Problem(field="currency" if error.what == "Currency" else "price", sentence=str(error)))
        return None
    if found.minor <= 0:
        problems.append(Problem(field="price", sentence="A price is above zero. Write what was paid."))
        return None
    return found


def _amount(text: str, code: str | None, reading: Reading) -> Money:
    """What names a currency in the row goes before the one that is stated for all of them."""
    named = any(len(part) == _CODE for part in _words(text))
    return read_shown_amount(text, currency=code or (None if named else reading.currency), reading=reading.marks)


def _words(text: str) -> list[str]:
    """Runs of letters in it."""
    return "".join(each if each.isalpha() else " " for each in text).split()


def _text(field: str, text: str, most: int, problems: list[Problem]) -> str:
    plain = " ".join(unicodedata.normalize("NFC", text).split())
    if len(plain) > most:
        problems.append(Problem(field=field, sentence=f"It has up to {most} characters. Shorten it."))
    elif not plain.isprintable():
        problems.append(Problem(field=field, sentence="It holds a character that cannot be shown. Take it out."))
    return plain


def _short(text: str) -> str:
    return repr(text if len(text) <= _WRITTEN_MOST else text[:_WRITTEN_MOST] + "…")


def _folded(text: str) -> str:
    return " ".join(text.casefold().split())
