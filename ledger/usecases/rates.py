"""Rates of exchange are kept by hand, one or a pasted table at a time; each says its day and who told it."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal, InvalidOperation
from typing import Final

from ledger.accounts import DateOrder
from ledger.actor import Actor, Permission
from ledger.errors import ConflictError, InvalidError, MalformedError, NotFoundError, Problem
from ledger.market import MarketStore, MarketWriter, Rate
from ledger.ports import Ledger
from ledger.rules.currencies import CurrencyError, currency
from ledger.when import When, read_when

__all__ = ["RATES_MOST", "SOURCE_MOST", "RateSaid", "keep_rates", "look_at_rates", "pasted_rates", "take_rate"]

RATES_MOST: Final = 1000
"""Lines of a table that are taken at once."""
SOURCE_MOST: Final = 200
_DIGITS_MOST: Final = 18
_COLUMNS: Final = ("of", "into", "on", "rate", "source")
_NEEDED: Final = 4
_SPANS: Final = frozenset({"day", "month", "year"})


@dataclass(frozen=True, kw_only=True)
class RateSaid:
    """A rate as it was typed."""

    of: str
    into: str
    on: str
    rate: str
    source: str


def look_at_rates(ledger: Ledger, actor: Actor) -> tuple[Rate, ...]:
    """Every rate that is kept, by pair and then the newest day first."""
    actor.require(Permission.READ)
    with _store(ledger).read() as reader:
        kept = sorted(reader.rates(), key=lambda each: (each.on.earliest_day, each.on.text), reverse=True)
        return tuple(sorted(kept, key=lambda each: (each.of, each.into)))


def keep_rates(
    ledger: Ledger, actor: Actor, said: Sequence[RateSaid], *, order: DateOrder | None = None
) -> tuple[Rate, ...]:
    """The rates that are kept from now on; one of the same pair and day takes the place of the one before.

    Keeps: all of them or none.
    Raises: InvalidError naming every one that cannot be read; of several, with its number from 1 in front.
    """
    actor.require(Permission.RECORD)
    now, today, found, problems = ledger.clock.now(), ledger.clock.today(), [], []
    for number, each in enumerate(said, start=1):
        read, wrong = _read(each, order, today)
        where = f"rates.{number - 1}." if len(said) > 1 else ""
        before = f"Line {number}: " if len(said) > 1 else ""
        problems += [Problem(field=where + field, sentence=before + text) for field, text in wrong.items()]
        if not wrong:
            of, into, on, rate = read["of"], read["into"], read["on"], read["rate"]
            assert isinstance(of, str)
            assert isinstance(into, str)
            assert isinstance(on, When)
            assert isinstance(rate, Decimal)
            found.append(Rate(of=of, into=into, on=on, rate=rate, source=each.source.strip(), made=now))
    if not said or len(said) > RATES_MOST:
        problems.append(Problem(field="rates", sentence=f"Send from one to {RATES_MOST:,} rates at once."))
    if problems:
        raise InvalidError(problems=tuple(problems))

    def work(writer: MarketWriter) -> None:
        for rate in found:
            writer.put_rate(rate)

    _store(ledger).write(work)
    return tuple(found)


def take_rate(ledger: Ledger, actor: Actor, of: str, into: str, on: str) -> None:
    """It is no longer kept; what it counted is a gap from now on.

    Raises: NotFoundError.
    """
    actor.require(Permission.RECORD)
    name = f"{of}/{into}/{on}"

    def work(writer: MarketWriter) -> None:
        if not any(each.id == name for each in writer.rates()):
            raise NotFoundError(what="rate", name=name)
        writer.take_rate(name)

    _store(ledger).write(work)


def pasted_rates(text: str) -> tuple[RateSaid, ...]:
    """A pasted table: a line for each rate, with currency, home currency, day, rate and source between tabs or semicolons.

    A first line that names the columns is passed over.
    Raises: InvalidError for a line that has other columns.
    """
    lines = [line for line in text.splitlines() if line.strip()]
    cells = [[each.strip() for each in line.split("\t" if "\t" in line else ";")] for line in lines]
    if cells and not any(digit in cells[0][-1] + "".join(cells[0][2:4]) for digit in "0123456789"):
        cells = cells[1:]
    problems = [
        Problem(
            field="table",
            sentence=f"Line {number} has {len(row)} columns. Write currency, home currency, day, rate and source, "
            "with a tab or a semicolon between them.",
        )
        for number, row in enumerate(cells, start=1)
        if not _NEEDED <= len(row) <= len(_COLUMNS)
    ]
    if problems or not cells:
        none = (Problem(field="table", sentence="Paste at least one line."),)
        raise InvalidError(problems=tuple(problems) or none)
    return tuple(RateSaid(**dict(zip(_COLUMNS, [*row, ""][: len(_COLUMNS)], strict=True))) for row in cells)


def _read(
    said: RateSaid, order: DateOrder | None, today: date
) -> tuple[Mapping[str, str | When | Decimal], dict[str, str]]:
    """What was typed, read; and by field what cannot be."""
    found: dict[str, str | When | Decimal] = {}
    wrong: dict[str, str] = {}
    for field, code in (("of", said.of), ("into", said.into)):
        try:
            found[field] = currency(code.strip().upper()).code
        except CurrencyError as error:
            wrong[field] = f"{error.problem}. {error.mend}"
    if not wrong and found["of"] == found["into"]:
        wrong["into"] = "A currency needs no rate to itself. Name two."
    try:
        day = read_when(said.on, order=order, today=today)
    except MalformedError as error:
        wrong["on"] = str(error)
    else:
        if day.precision in _SPANS:
            found["on"] = day
        else:
            wrong["on"] = "A rate is of a day, or the one you take for a whole month or year. Write one of these."
    rate = _decimal(said.rate)
    if rate is None:
        wrong["rate"] = (
            "Write the rate with a point, above zero, such as 0.9213: units of the second for one of the first."
        )
    else:
        found["rate"] = rate
    if not said.source.strip():
        wrong["source"] = "Say who told the rate, such as the statement of a bank."
    elif len(said.source.strip()) > SOURCE_MOST:
        wrong["source"] = f"Keep the source to {SOURCE_MOST} characters."
    return found, wrong


def _decimal(text: str) -> Decimal | None:
    """A plain decimal above zero, with a point or one comma; None for anything else."""
    plain = text.strip().replace(",", ".")
    if len(plain) > _DIGITS_MOST or not all(each.isascii() and (each.isdigit() or each == ".") for each in plain):
        return None
    try:
        found = Decimal(plain)
    except InvalidOperation:
        return None
    return found if found > 0 else None


def _store(ledger: Ledger) -> MarketStore:
    if ledger.market is None:
        raise ConflictError(sentence="This ledger is only read, so there are no rates here.")
    return ledger.market
