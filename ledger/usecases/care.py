"""Care: what is due all over the collection or in one place of it, counts as one act, and what is planned ahead."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from typing import Final

from ledger.actor import Actor, Permission
from ledger.book import Status
from ledger.care import CareRow, CareWriter, Drawer
from ledger.care_due import Ahead, CareDue, Planned, cares_of
from ledger.errors import InvalidError, Problem, RuleError
from ledger.events.count import Count
from ledger.history import fold, history
from ledger.ports import Ledger, Reader
from ledger.proof.envelope import moment_text
from ledger.rotations import Rotation
from ledger.rules._tables import Row, table
from ledger.rules.care import CareRules, care_rules
from ledger.usecases.beside import care_store
from ledger.usecases.record import ACT_MOST, Draft, Recorded, Request, record
from ledger.usecases.rotation_swap import accepted_plan
from ledger.usecases.rulings import rulings_in
from ledger.views import PAGE_MOST, ShelfQuery, ShelfRow

__all__ = [
    "CARE_MOST",
    "CareFound",
    "DueOf",
    "all_planned",
    "books_here",
    "care_due",
    "count_books",
    "dues_in",
    "plan_ahead",
    "planned_of",
    "put_planned",
    "take_planned",
]

CARE_MOST: Final = 1000
"""Books that are looked through at a time; of a larger house, one place after the other. Our assumption."""
PLANNED_MOST: Final = 10
"""Of one book."""
_DAYS_AHEAD: Final = 366 * 5
_OWN: Final = "planned"
"""The member of a book's row that holds what is planned for it; others are others'."""


@dataclass(frozen=True, kw_only=True)
class DueOf:
    """One thing that is due, with its book as a list shows it."""

    due: CareDue
    row: ShelfRow


@dataclass(frozen=True, kw_only=True)
class CareFound:
    """What is due, undated first and then by day; every book that was looked through; and how many were not."""

    dues: tuple[DueOf, ...]
    books: tuple[ShelfRow, ...]
    further: bool
    """There are more books than were looked through."""
    rules: CareRules


def care_due(ledger: Ledger, actor: Actor, places: tuple[str, ...] = ()) -> CareFound:
    """What the books that are here are due; of some places only, where they are named."""
    actor.require(Permission.READ)
    ahead, plan = all_planned(ledger), accepted_plan(ledger)
    with ledger.log.read() as reader:
        return dues_in(ledger, reader, ahead, plan, places)


def dues_in(
    ledger: Ledger,
    reader: Reader,
    ahead: Mapping[str, Sequence[Planned]],
    plan: Rotation | None,
    places: tuple[str, ...] = (),
) -> CareFound:
    """The same, read in one moment."""
    rules = _rules(ledger, reader)
    swaps = _planned_by(plan)
    rows, further = _here(reader, places)
    dues = []
    for row in rows:
        moments = history(reader.of_book(row.book), ledger.codec)
        planned = [*ahead.get(row.book, ()), *swaps.get(row.book, ())]
        found = cares_of(fold(row.book, row.no, moments), moments, rules, planned)
        dues += [DueOf(due=each, row=row) for each in found]
    dues.sort(key=lambda each: (each.due.on is not None, each.due.on or date.min, each.row.title, each.row.no))
    return CareFound(dues=tuple(dues), books=tuple(rows), further=further, rules=rules)


def books_here(ledger: Ledger, actor: Actor, places: tuple[str, ...] = ()) -> tuple[ShelfRow, ...]:
    """The books that are here, in these places or anywhere, up to `CARE_MOST`."""
    actor.require(Permission.READ)
    with ledger.log.read() as reader:
        return tuple(_here(reader, places)[0])


def count_books(
    ledger: Ledger, actor: Actor, books: Sequence[str], counted: Count, request: Request | None = None
) -> Recorded:
    """Each of these was counted, all with the same result, in one act.

    Keeps: a problem with a book has the field `books.N…`.
    Raises: InvalidError, RuleError for a book that should not be here, NotFoundError; what `record` raises.
    """
    if not 0 < len(books) <= ACT_MOST:
        sentence = f"Name 1 to {ACT_MOST} books that were counted. More are several acts."
        raise InvalidError(problems=(Problem(field="books", sentence=sentence),))
    twice = [place for place, book in enumerate(books) if book in books[:place]]
    if twice:
        problem = Problem(field=f"books.{twice[0]}", sentence="This book stands here twice. Name it once.")
        raise InvalidError(problems=(problem,))
    try:
        return record(ledger, actor, [Draft(book=book, event=counted) for book in books], request)
    except (InvalidError, RuleError) as error:
        raise type(error)(problems=tuple(_at_book(each, len(books)) for each in error.problems)) from error


def planned_of(ledger: Ledger, actor: Actor, book: str) -> tuple[Planned, ...]:
    """What is planned for a book, by day."""
    actor.require(Permission.READ)
    return tuple(all_planned(ledger).get(book, ()))


def put_planned(ledger: Ledger, actor: Actor, book: str, planned: Sequence[tuple[Ahead, date]]) -> tuple[Planned, ...]:
    """All that is planned for a book, in place of what was; what was planned before keeps the moment it was.

    Raises: NotFoundError, InvalidError, ConflictError.
    """
    actor.require(Permission.RECORD)
    now, today = ledger.clock.now(), ledger.clock.today()
    with ledger.log.read() as reader:
        reader.book(book)
    if len(planned) > PLANNED_MOST:
        sentence = f"Up to {PLANNED_MOST} things are planned for a book. Leave some out."
        raise InvalidError(problems=(Problem(field="planned", sentence=sentence),))

    def change(found: list[Planned]) -> list[Planned]:
        before = {(each.what, each.on): each for each in found}
        _refuse_days([on for what, on in planned if (what, on) not in before], today)
        return [before.get(each) or Planned(what=each[0], on=each[1], made=now) for each in dict.fromkeys(planned)]

    return _changed(ledger, book, now, change)


def plan_ahead(ledger: Ledger, actor: Actor, book: str, what: Ahead, on: date) -> tuple[Planned, ...]:
    """It is to be moved, pressed or sent on that day too, and looked at before; kept beside the ledger.

    Raises: NotFoundError, InvalidError, ConflictError.
    """
    before = [(each.what, each.on) for each in planned_of(ledger, actor, book)]
    return put_planned(ledger, actor, book, [*before, (what, on)])


def _refuse_days(days: Sequence[date], today: date) -> None:
    if any(not today - timedelta(days=1) <= day <= today + timedelta(days=_DAYS_AHEAD) for day in days):
        sentence = "Plan for a day from today on, and within five years."
        raise InvalidError(problems=(Problem(field="on", sentence=sentence),))


def take_planned(ledger: Ledger, actor: Actor, book: str, what: Ahead, on: date) -> tuple[Planned, ...]:
    """It is no longer planned, whether it was or not.

    Raises: ConflictError.
    """
    actor.require(Permission.RECORD)

    def change(found: list[Planned]) -> list[Planned]:
        return [each for each in found if (each.what, each.on) != (what, on)]

    return _changed(ledger, book, ledger.clock.now(), change)


def _changed(
    ledger: Ledger, book: str, now: datetime, change: Callable[[list[Planned]], list[Planned]]
) -> tuple[Planned, ...]:
    """Keeps: whatever else stands in the book's row."""

    def work(writer: CareWriter) -> tuple[Planned, ...]:
        row = writer.row(Drawer.CARE, book) or CareRow(id=book, made=now, said={})
        after = sorted(change(_planned_in(row)), key=lambda each: (each.on, each.what))
        said = {name: value for name, value in row.said.items() if name != _OWN}
        if after:
            said[_OWN] = [
                {"what": each.what.value, "on": each.on.isoformat(), "made": moment_text(each.made)} for each in after
            ]
        if said:
            writer.put(Drawer.CARE, replace(row, said=said))
        else:
            writer.take(Drawer.CARE, book)
        return tuple(after)

    return care_store(ledger).write(work)


def all_planned(ledger: Ledger) -> Mapping[str, Sequence[Planned]]:
    """What is planned, by the books' ids."""
    if ledger.care is None:
        return {}
    with ledger.care.read() as reader:
        return {row.id: found for row in reader.rows(Drawer.CARE) if (found := _planned_in(row))}


def _planned_in(row: CareRow) -> list[Planned]:
    """What a row says of it; what was harmed is left out."""
    said, found = row.said.get(_OWN), []
    for each in said if isinstance(said, list) else ():
        try:
            made = datetime.fromisoformat(each["made"])
            found.append(Planned(what=Ahead(each["what"]), on=date.fromisoformat(each["on"]), made=made))
        except (KeyError, TypeError, ValueError):
            continue
    return [each for each in found if each.made.tzinfo is not None]


def _planned_by(plan: Rotation | None) -> Mapping[str, Sequence[Planned]]:
    """The moves of the next swap of the plan that counts."""
    swap = None if plan is None else plan.next_swap
    if plan is None or swap is None:
        return {}
    before = plan.rows[swap.number - 1] if swap.number else ()
    moved = {*swap.row} ^ {*before}
    return {book: (Planned(what=Ahead.MOVE, on=swap.due, made=plan.row.made),) for book in moved}


def _here(reader: Reader, places: tuple[str, ...]) -> tuple[list[ShelfRow], bool]:
    rows: list[ShelfRow] = []
    after = None
    while len(rows) < CARE_MOST:
        query = ShelfQuery(
            statuses=(Status.HELD.value,), places=places, limit=min(PAGE_MOST, CARE_MOST - len(rows)), after=after
        )
        page = reader.shelf(query)
        rows += page.rows
        after = page.after
        if after is None:
            break
    return rows, after is not None


def _rules(ledger: Ledger, reader: Reader) -> CareRules:
    """The table with the rulings in force in it."""
    edited: dict[str, Row] = {}
    for (name, row_id), ruled in rulings_in(ledger, reader).items():
        row = table("care").row(row_id) if name == "care" else None
        if row is not None:
            edited[row_id] = ruled.ruling.edited(row)
    return care_rules(edited)


def _at_book(problem: Problem, count: int) -> Problem:
    """The place of its book, where an act of several names its event."""
    head, _, rest = problem.field.partition(".")
    field = rest if head == "events" and count > 1 else f"0.{problem.field}"
    return replace(problem, field=f"books.{field}".rstrip("."))
