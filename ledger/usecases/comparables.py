"""Comparables are kept, changed, left out and taken away by the owner; what they say of a grade is worked out anew."""

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date

from ledger.actor import Actor, Permission
from ledger.errors import ConflictError, InvalidError, NotFoundError, Problem
from ledger.events._parts import Holding, Issue
from ledger.market import Came, KeptSale, MarketStore, MarketWriter, issue_key
from ledger.ports import Ledger
from ledger.rules._tables import table
from ledger.rules.fair_terms import NAME, Terms, terms
from ledger.rules.fair_value import Fit, fit_prices
from ledger.sale_rows import Reading, SaleRead, SaleSaid, read_sale
from ledger.sale_table import TableRead, read_sales
from ledger.sales import Asked, Counted, counted, twins
from ledger.usecases.record import random_id
from ledger.usecases.rulings import rulings

__all__ = [
    "REASON_MOST",
    "SALES_MOST",
    "Preview",
    "Valued",
    "add_sale",
    "change_sale",
    "fair_value",
    "keep_table",
    "leave_out",
    "look_at_sale",
    "look_at_sales",
    "perhaps_meant",
    "preview",
    "take_in",
    "take_sale",
    "terms_here",
]

SALES_MOST = 5_000
"""Comparables of one issue."""
REASON_MOST = 200


@dataclass(frozen=True, kw_only=True)
class Preview:
    """A table as it would be kept: its rows as sales, and which of them are likely told already."""

    table: TableRead
    sales: tuple[KeptSale, ...] = ()
    """One for each row, named by its number; empty where the table has problems."""
    doubles: dict[int, str] | None = None
    """Of each row that is likely a double, the id of the sale that is kept, or the number of the row, it repeats."""


@dataclass(frozen=True, kw_only=True)
class Valued:
    """What the comparables of an issue say on a day."""

    issue: Issue
    asked: Asked
    sales: tuple[KeptSale, ...]
    counted: Counted
    fit: Fit


def look_at_sales(ledger: Ledger, actor: Actor, issue: Issue) -> tuple[KeptSale, ...]:
    """The comparables of one issue, in the order they were kept; those left out too."""
    actor.require(Permission.READ)
    with _store(ledger).read() as reader:
        return tuple(reader.sales(issue_key(issue)))


def perhaps_meant(ledger: Ledger, actor: Actor, issue: Issue) -> tuple[Issue, ...]:
    """Other issues of that title and number of which sales are kept: start year, printing or variant tell them apart."""
    actor.require(Permission.READ)
    own, name = issue_key(issue), issue_key(Issue(title=issue.title, number=issue.number))
    with _store(ledger).read() as reader:
        others = {issue_key(each.issue): each.issue for each in reader.sales()}
    return tuple(
        each
        for key, each in sorted(others.items())
        if key != own and issue_key(Issue(title=each.title, number=each.number)) == name
    )


def look_at_sale(ledger: Ledger, actor: Actor, sale: str) -> KeptSale:
    """One of them.

    Raises: NotFoundError.
    """
    actor.require(Permission.READ)
    with _store(ledger).read() as reader:
        return _found(reader.sale(sale), sale)


def add_sale(ledger: Ledger, actor: Actor, issue: Issue, said: SaleSaid, reading: Reading) -> KeptSale:
    """One more, as somebody wrote it.

    Raises: InvalidError, ConflictError.
    """
    actor.require(Permission.RECORD)
    made = _kept(ledger, random_id(ledger.chance), issue, read_sale(said, reading), Came.BY_HAND)
    return _put(ledger, issue, [made])[0]


def change_sale(ledger: Ledger, actor: Actor, sale: str, said: SaleSaid, reading: Reading) -> KeptSale:
    """The sale as it is told now, whole; whether it is left out stays as it was.

    Raises: InvalidError, NotFoundError.
    """
    actor.require(Permission.RECORD)
    read = read_sale(said, reading)

    def work(writer: MarketWriter) -> KeptSale:
        before = _found(writer.sale(sale), sale)
        made = _kept(ledger, sale, before.issue, read, before.came)
        made = replace(made, left_out=before.left_out, made=before.made)
        writer.put_sale(made)
        return made

    return _store(ledger).write(work)


def leave_out(ledger: Ledger, actor: Actor, sale: str, reason: str) -> KeptSale:
    """It stays in sight with the reason, and does not count.

    Raises: InvalidError, NotFoundError.
    """
    plain = " ".join(reason.split())
    if not 1 <= len(plain) <= REASON_MOST or not plain.isprintable():
        sentence = f"Say why it does not count, in up to {REASON_MOST} characters."
        raise InvalidError(problems=(Problem(field="reason", sentence=sentence),))
    return _left_out(ledger, actor, sale, plain)


def take_in(ledger: Ledger, actor: Actor, sale: str) -> KeptSale:
    """It counts again.

    Raises: NotFoundError.
    """
    return _left_out(ledger, actor, sale, "")


def take_sale(ledger: Ledger, actor: Actor, sale: str) -> None:
    """It is no longer kept; a valuation that named it keeps its own copy of it.

    Raises: NotFoundError.
    """
    actor.require(Permission.RECORD)

    def work(writer: MarketWriter) -> None:
        _found(writer.sale(sale), sale)
        writer.take_sale(sale)

    _store(ledger).write(work)


def preview(ledger: Ledger, actor: Actor, issue: Issue, text: str, reading: Reading) -> Preview:
    """The table as it would be kept, with what is wrong in it; nothing is written."""
    read = read_sales(text, reading)
    kept = look_at_sales(ledger, actor, issue)
    if read.problems:
        return Preview(table=read)
    sales = tuple(_kept(ledger, str(row.number), issue, row.read, Came.PASTED) for row in read.rows)
    found = twins(sales, kept)
    return Preview(table=read, sales=sales, doubles={int(row): of for row, of in found.items()})


def keep_table(  # noqa: PLR0913 - what a table is kept by
    ledger: Ledger,
    actor: Actor,
    issue: Issue,
    text: str,
    reading: Reading,
    *,
    rows: Collection[int] | None = None,
    keep_doubles: bool = False,
    came: Came = Came.PASTED,
) -> tuple[KeptSale, ...]:
    """All rows of a table, or those chosen by their numbers, as comparables: all of them or none.

    Raises: InvalidError with every problem by row and field; ConflictError where a chosen row is likely told already
    and nobody said to keep it all the same.
    """
    actor.require(Permission.RECORD)
    found = preview(ledger, actor, issue, text, reading)
    if found.table.problems:
        raise InvalidError(problems=found.table.problems)
    chosen = [each for each in found.sales if rows is None or int(each.id) in rows]
    if not chosen:
        raise InvalidError(problems=(Problem(field="rows", sentence="No row is chosen. Choose at least one."),))
    doubles = [each.id for each in chosen if int(each.id) in (found.doubles or {})]
    if doubles and not keep_doubles:
        sentence = f"Likely told already: row {', '.join(doubles)}. Leave them out, or say that they are to be kept."
        raise ConflictError(sentence=sentence)
    made = [replace(each, id=random_id(ledger.chance), came=came) for each in chosen]
    return tuple(_put(ledger, issue, made))


def fair_value(ledger: Ledger, actor: Actor, issue: Issue, asked: Asked) -> Valued:
    """What the comparables of an issue say, by the terms of this collection."""
    sales = look_at_sales(ledger, actor, issue)
    with _store(ledger).read() as reader:
        rates = reader.rates()
    found = counted(sales, asked, rates)
    fit = fit_prices(found.priced, asked.currency, terms_here(ledger, actor))
    return Valued(issue=issue, asked=asked, sales=sales, counted=found, fit=fit)


def terms_here(ledger: Ledger, actor: Actor) -> Terms:
    """The terms as they are ruled on in this collection."""
    rows = {row.id: row for row in table(NAME).rows}
    ruled = {row: each.ruling for (of, row), each in rulings(ledger, actor).items() if of == NAME and row in rows}
    return terms({row: each.edited(rows[row]) for row, each in ruled.items()})


def asked_for(day: date, currency: str, holding: Holding | None, tone: str | None) -> Asked:
    """A question about a book as it is now."""
    return Asked(on=day, currency=currency, holding=holding or Holding.NOT_STATED, tone=tone or "")


def _kept(ledger: Ledger, own: str, issue: Issue, read: SaleRead, came: Came) -> KeptSale:
    """Raises: InvalidError."""
    if read.problems or read.price is None:
        raise InvalidError(problems=read.problems)
    return KeptSale(
        id=own,
        issue=issue,
        on=read.on,
        grade=read.grade,
        price=read.price,
        where=read.where,
        holding=read.holding,
        tone=read.tone,
        came=came,
        made=ledger.clock.now(),
    )


def _put(ledger: Ledger, issue: Issue, made: Sequence[KeptSale]) -> list[KeptSale]:
    def work(writer: MarketWriter) -> None:
        if len(writer.sales(issue_key(issue))) + len(made) > SALES_MOST:
            raise ConflictError(sentence=f"An issue has up to {SALES_MOST:,} comparables. Take some away first.")
        _each(writer, made)

    _store(ledger).write(work)
    return list(made)


def _each(writer: MarketWriter, made: Iterable[KeptSale]) -> None:
    for sale in made:
        writer.put_sale(sale)


def _left_out(ledger: Ledger, actor: Actor, sale: str, reason: str) -> KeptSale:
    actor.require(Permission.RECORD)

    def work(writer: MarketWriter) -> KeptSale:
        made = replace(_found(writer.sale(sale), sale), left_out=reason)
        writer.put_sale(made)
        return made

    return _store(ledger).write(work)


def _found(sale: KeptSale | None, name: str) -> KeptSale:
    if sale is None:
        raise NotFoundError(what="comparable", name=name)
    return sale


def _store(ledger: Ledger) -> MarketStore:
    if ledger.market is None:
        raise ConflictError(sentence="This ledger has no place for comparables.")
    return ledger.market
