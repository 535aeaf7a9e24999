"""The light of books: how much each had, what its spot does in a year, and its class."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any, Final

from ledger.actor import Actor, Permission
from ledger.book import Book
from ledger.care import CareReader, CareRow, CareWriter, Drawer
from ledger.errors import ConflictError, InvalidError, Problem
from ledger.events.room import Room
from ledger.history import Moment, fold, fold_collection, history
from ledger.light_dose import RoomStays, rooms_of
from ledger.light_share import Bounds, Light, Standing, light_of, prospect_of, standing_of
from ledger.light_spot import Where, light_at
from ledger.ports import Ledger, Reader
from ledger.rules.light import DAYS, LightClass, LightRules, light_rules
from ledger.rules.lit_places import TABLE as LIT_PLACES
from ledger.rules.lit_places import as_ruled
from ledger.usecases.rulings import edited_rows
from ledger.views import HungRow
from ledger.when import When

__all__ = [
    "WHY_MOST",
    "BookLight",
    "ClassSaid",
    "House",
    "SpotDays",
    "all_said",
    "house_of",
    "light_now",
    "light_of_book",
    "light_within",
    "lights_on_walls",
    "read_light",
    "said_of",
    "set_light_class",
    "spot_days",
]

WHY_MOST: Final = 200
"""Characters of why a class was chosen."""


@dataclass(frozen=True, kw_only=True)
class BookLight:
    """One book with its light."""

    book: Book
    light: Light


@dataclass(frozen=True, kw_only=True)
class House:
    """The rooms as they were, and the table with the rulings in force, as the collection's own entries leave them."""

    rooms: RoomStays
    rules: LightRules

    @property
    def current(self) -> Mapping[str, Room]:
        """Each room as it was stated last."""
        return {name: stated[-1][1] for name, stated in self.rooms.items()}


@dataclass(frozen=True, kw_only=True)
class ClassSaid:
    """What the collector holds of a book; an empty class leaves it to the table."""

    light_class: str = ""
    why: str = ""
    signature_class: str = ""


def light_of_book(ledger: Ledger, actor: Actor, book: str) -> BookLight:
    """The light of one book until today, read in one moment.

    Raises: NotFoundError.
    """
    return read_light(ledger, actor, book)[0]


def read_light(ledger: Ledger, actor: Actor, book: str) -> tuple[BookLight, House]:
    """The same, and the house it is in.

    Raises: NotFoundError.
    """
    actor.require(Permission.READ)
    until, said = ledger.clock.today(), said_of(ledger, book)
    with ledger.log.read() as reader:
        number = reader.book(book).no
        moments = history(reader.of_book(book), ledger.codec)
        state, house = fold(book, number, moments), house_of(ledger, reader, until)
    standing = standing_from(house.rules, state, said)
    light = light_of(state, moments, house.rooms, house.rules, standing, until)
    return BookLight(book=state, light=light), house


def lights_on_walls(ledger: Ledger, actor: Actor, most: int) -> list[BookLight]:
    """The light of every book that hangs, up to so many of them, read in one moment."""
    actor.require(Permission.READ)
    until, said, found = ledger.clock.today(), all_said(ledger), []
    with ledger.log.read() as reader:
        house = house_of(ledger, reader, until)
        for row in reader.hung(most):
            moments = history(reader.of_book(row.book), ledger.codec)
            state = fold(row.book, reader.book(row.book).no, moments)
            standing = standing_from(house.rules, state, said.get(row.book, {}))
            light = light_of(state, moments, house.rooms, house.rules, standing, until)
            found.append(BookLight(book=state, light=light))
    return found


@dataclass(frozen=True, kw_only=True)
class SpotDays:
    """How long one spot may have a book within a year, and for how much of the last year it has had it at least."""

    days: Bounds | None
    """None where the light is not known; None in a member is every day."""
    hung: int | None
    """Units: days; None where nothing says since when."""


def spot_days(ledger: Ledger, actor: Actor, rows: Sequence[HungRow]) -> Mapping[str, SpotDays]:
    """Of books that hang, by their ids; told from where each hangs, without its whole history."""
    actor.require(Permission.READ)
    if not rows:
        return {}
    until, said, found = ledger.clock.today(), all_said(ledger), {}
    with ledger.log.read() as reader:
        house = house_of(ledger, reader, until)
    rooms, rules = house.current, house.rules
    for row in rows:
        chosen = _class_in(said.get(row.book, {}).get("light_class"))
        dated = None if row.cover_date is None else When.parse(row.cover_date).earliest_day.year
        sensitivity = rules.by_default(dated) if chosen is None else rules.of_class(chosen)
        where = Where(room=row.room, wall=row.wall, x_cm=row.x_cm, y_cm=row.y_cm)
        since = None if row.placed_on is None else When.parse(row.placed_on).latest_day
        found[row.book] = SpotDays(
            days=prospect_of(light_at(where, rooms, rules), rules, sensitivity, None).days,
            hung=None if since is None else min(DAYS, max(0, (until - since).days)),
        )
    return found


def light_now(ledger: Ledger, actor: Actor, book: Book, moments: Sequence[Moment]) -> Light:
    """The light of a book that was read before.

    Requires: moments in the order of happening.
    """
    actor.require(Permission.READ)
    said = said_of(ledger, book.id)
    with ledger.log.read() as reader:
        return light_within(ledger, reader, book, moments, said, ledger.clock.today())


def light_within(  # noqa: PLR0913 - what is being read, and until when
    ledger: Ledger, reader: Reader, book: Book, moments: Sequence[Moment], said: Mapping[str, Any], until: date
) -> Light:
    """The light of a book that is being read, until a day; `said` is what `said_of` tells of it.

    Requires: moments in the order of happening.
    """
    house = house_of(ledger, reader, until)
    standing = standing_from(house.rules, book, said)
    return light_of(book, moments, house.rooms, house.rules, standing, until)


def house_of(ledger: Ledger, reader: Reader, until: date) -> House:
    """The house as it was until a day."""
    moments = history(reader.of_collection(), ledger.codec)
    events = {each.entry.seq: each.event for each in moments}
    ruled = fold_collection(ledger.collection, moments).rulings
    edited, places = (edited_rows(ruled, events, name) for name in ("light", LIT_PLACES))
    return House(rooms=rooms_of(moments, until), rules=light_rules(edited, as_ruled(places)))


def standing_from(rules: LightRules, book: Book, said: Mapping[str, Any]) -> Standing:
    """What a book is taken for, by what the collector said of it."""
    chosen, signature = _class_in(said.get("light_class")), _class_in(said.get("signature_class"))
    return standing_of(
        rules,
        book,
        None if chosen is None else rules.of_class(chosen),
        None if signature is None else rules.of_class(signature),
        str(said.get("why") or "") if chosen is not None else "",
    )


def set_light_class(ledger: Ledger, actor: Actor, book: str, said: ClassSaid) -> None:
    """The class the collector takes a book for, or none; it lies beside the ledger, and no entry tells of it.

    Raises: NotFoundError, InvalidError, ConflictError where it is only read.
    """
    actor.require(Permission.RECORD)
    problems = [
        Problem(field=name, sentence="Choose one of none, low, medium and high, or leave it to the table.")
        for name in ("light_class", "signature_class")
        if getattr(said, name) and _class_in(getattr(said, name)) is None
    ]
    why = " ".join(said.why.split())
    if len(why) > WHY_MOST:
        problems.append(Problem(field="why", sentence=f"The reason has up to {WHY_MOST} characters. Shorten it."))
    if problems:
        raise InvalidError(problems=tuple(problems))
    if ledger.care is None:
        raise ConflictError(sentence="This ledger is open for reading only; no class is set here.")
    with ledger.log.read() as reader:
        reader.book(book)
    own = {
        "light_class": said.light_class,
        "why": why if said.light_class else "",
        "signature_class": said.signature_class,
    }
    ledger.care.write(lambda writer: _put(writer, ledger, book, own))


def _put(writer: CareWriter, ledger: Ledger, book: str, own: Mapping[str, str]) -> None:
    """The class into the book's row, beside whatever else stands there."""
    row = writer.row(Drawer.CARE, book)
    made = ledger.clock.now() if row is None else row.made
    others = {} if row is None else {name: value for name, value in row.said.items() if name not in own}
    said = {**others, **{name: value for name, value in own.items() if value}}
    writer.put(Drawer.CARE, CareRow(id=book, made=made, said=said))


def said_of(ledger: Ledger, book: str) -> Mapping[str, Any]:
    """What the collector said of a book beside the ledger."""
    if ledger.care is None:
        return {}
    with ledger.care.read() as reader:
        row = reader.row(Drawer.CARE, book)
    return {} if row is None else row.said


def all_said(ledger: Ledger) -> Mapping[str, Mapping[str, Any]]:
    """What the collector said of every book beside the ledger."""
    if ledger.care is None:
        return {}

    def every(reader: CareReader) -> dict[str, Mapping[str, Any]]:
        return {row.id: row.said for row in reader.rows(Drawer.CARE)}

    with ledger.care.read() as reader:
        return every(reader)


def _class_in(value: object) -> LightClass | None:
    return LightClass(value) if isinstance(value, str) and value in set(LightClass) else None
