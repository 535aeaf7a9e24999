"""Where books are: rooms with their walls, boxes and safes; and several books moved at once, as one act."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Final

from ledger.actor import Actor, Permission
from ledger.drawn import drawn
from ledger.entry import Entry
from ledger.errors import InvalidError, NotFoundError, Problem, RuleError
from ledger.events.placement import Placement, Spot
from ledger.events.room import Room, Wall
from ledger.hanging import HOLDER, Against, Clash, Extent, Piece, Reach, clashes, extent_of, reach_of
from ledger.history import fold_collection, history, states
from ledger.ports import Ledger, Reader
from ledger.sealed import Sealed
from ledger.usecases.drafts import ACT_MOST, Draft
from ledger.usecases.record import Recorded, Request, record
from ledger.usecases.rulings import rulings
from ledger.usecases.stands_in import placed_in
from ledger.views import HungRow, PlaceTally, ShelfQuery, ShelfRow
from ledger.when import When

__all__ = [
    "HANGING_MOST",
    "IN_A_PLACE_MOST",
    "Move",
    "Places",
    "RoomNow",
    "as_hung",
    "clashes_of",
    "in_place",
    "look_at_places",
    "move",
    "not_hung",
    "wall_in",
]

HANGING_MOST: Final = 5_000
"""Books on all walls together."""
IN_A_PLACE_MOST: Final = 500
"""Books of one box that are named."""


@dataclass(frozen=True, kw_only=True)
class RoomNow:
    """A room as its last entry in force states it."""

    entry: Entry
    event: Room

    @property
    def id(self) -> str:
        """The collector's own id of it."""
        return self.event.room


@dataclass(frozen=True, kw_only=True)
class Places:
    """Every room, what hangs, how many lie in each box and safe, and how far a holder reaches beyond its book."""

    rooms: tuple[RoomNow, ...]
    hung: tuple[HungRow, ...]
    kept: tuple[PlaceTally, ...]
    reach: Reach

    @property
    def by_id(self) -> Mapping[str, Room]:
        """The rooms by their ids."""
        return {each.id: each.event for each in self.rooms}

    def on_wall(self, room: str, wall: str) -> tuple[HungRow, ...]:
        """What hangs on one wall."""
        return tuple(each for each in self.hung if (each.room, each.wall) == (room, wall))

    def extent(self, row: HungRow) -> Extent:
        """The size at which a book hangs."""
        return extent_of(row.width_mm, row.height_mm, row.cover_date, row.holding, self.reach)

    def pieces(self, rows: Sequence[HungRow]) -> tuple[Piece, ...]:
        """Those of which it is known where they hang."""
        return tuple(
            Piece(book=each.book, x_cm=Decimal(each.x_cm), y_cm=Decimal(each.y_cm), extent=self.extent(each))
            for each in rows
            if each.x_cm is not None and each.y_cm is not None
        )


@dataclass(frozen=True, kw_only=True)
class Move:
    """A book and where it goes: onto a wall, or into a box or a safe by its name.

    A box or safe of which no room is given stands where the books in it say it stands.
    """

    book: str
    spot: Spot
    room: str | None = None
    wall: str | None = None
    x_cm: str | None = None
    y_cm: str | None = None
    place: str | None = None


def look_at_places(ledger: Ledger, actor: Actor) -> Places:
    """Every place as it is now, read in one moment."""
    actor.require(Permission.READ)
    ruled = rulings(ledger, actor).get(HOLDER)
    with ledger.log.read() as reader:
        return Places(
            rooms=_rooms(ledger, reader),
            hung=tuple(reader.hung(HANGING_MOST)),
            kept=tuple(each for each in reader.tallies().places if each.spot != Spot.WALL.value),
            reach=reach_of((each.field, each.value) for each in ruled.ruling.values) if ruled else reach_of(),
        )


def wall_in(places: Places, room: str, wall: str) -> tuple[RoomNow, Wall]:
    """A wall with its room.

    Raises: NotFoundError.
    """
    found = next((each for each in places.rooms if each.id == room), None)
    if found is None:
        raise NotFoundError(what="room", name=room)
    own = next((each for each in found.event.walls if each.id == wall), None)
    if own is None:
        raise NotFoundError(what=f"wall of the room {room}", name=wall)
    return found, own


def in_place(ledger: Ledger, actor: Actor, name: str) -> list[ShelfRow]:
    """What is in a box or safe of that name; an empty name for those that have none."""
    actor.require(Permission.READ)
    with ledger.log.read() as reader:
        rows = reader.shelf(ShelfQuery(kept=True, places=(name,), limit=IN_A_PLACE_MOST)).rows
    return [each for each in rows if each.spot != Spot.WALL.value]


def not_hung(ledger: Ledger, actor: Actor) -> list[ShelfRow]:
    """Books that are here and do not hang, in the order of their titles, as many as can be chosen from."""
    actor.require(Permission.READ)
    with ledger.log.read() as reader:
        rows = reader.shelf(ShelfQuery(kept=True, statuses=("here",), limit=IN_A_PLACE_MOST)).rows
    return [each for each in rows if each.spot != Spot.WALL.value]


def as_hung(ledger: Ledger, actor: Actor, places: Places, books: Iterable[str]) -> dict[str, HungRow]:
    """Books as they would hang, by their ids; of those that hang nowhere too.

    Raises: NotFoundError.
    """
    actor.require(Permission.READ)
    hung = {each.book: each for each in places.hung}
    with ledger.log.read() as reader:
        return {book: hung[book] if book in hung else _as_hung(ledger, reader, book) for book in dict.fromkeys(books)}


def clashes_of(places: Places, moves: Sequence[Move], rows: Mapping[str, HungRow]) -> tuple[Clash, ...]:
    """What the moved books would lie over on the walls where they end; `rows` has each that goes onto a wall."""
    gone = {each.book for each in moves}
    found: list[Clash] = []
    for room, wall in dict.fromkeys((each.room, each.wall) for each in moves if each.room and each.wall):
        own = next((each for each in places.rooms if each.id == room), None)
        there = next((each for each in own.event.walls if each.id == wall), None) if own is not None else None
        if own is None or there is None:
            continue
        stay = [each for each in places.on_wall(own.id, there.id) if each.book not in gone]
        come = [
            rows[each.book]._replace(x_cm=each.x_cm, y_cm=each.y_cm)
            for each in moves
            if (each.room, each.wall) == (room, wall)
        ]
        met = clashes(places.pieces([*stay, *come]), there, own.event.windows)
        found += (each for each in met if each.book in gone)
    return tuple(found)


def move(  # noqa: PLR0913 - who moves what, when, and how the door asked
    ledger: Ledger,
    actor: Actor,
    moves: Sequence[Move],
    on: When | None,
    request: Request | None = None,
    *,
    despite: bool = False,
) -> Recorded:
    """Several books to their new places, as one act; each keeps what it is housed in.

    With `despite` books may lie over one another: sizes may be assumed, and a wall may have a niche.

    Raises: InvalidError, RuleError, NotFoundError, and what `record` raises.
    """
    actor.require_to_write(Placement.kind)
    _refuse_unfit(moves)
    places = look_at_places(ledger, actor)
    flaws = [_not_there(places, each, number) for number, each in enumerate(moves) if each.room is not None]
    if problems := tuple(each for each in flaws if each is not None):
        raise InvalidError(problems=problems)
    rows = as_hung(ledger, actor, places, (each.book for each in moves if each.spot is Spot.WALL))
    met = () if despite else clashes_of(places, moves, rows)
    if met:
        names = {each.book: each for each in (*places.hung, *rows.values())}
        numbers = {each.book: number for number, each in enumerate(moves)}
        raise RuleError(problems=tuple(_told(each, names, numbers) for each in met))
    return record(ledger, actor, _drafts(ledger, places.kept, moves, on), request)


def _refuse_unfit(moves: Sequence[Move]) -> None:
    if not 1 <= len(moves) <= ACT_MOST:
        sentence = f"Between 1 and {ACT_MOST} books are moved at once; these are {len(moves)}. Split them."
        raise InvalidError(problems=(Problem(field="moves", sentence=sentence),))
    books = [each.book for each in moves]
    twice = [number for number, book in enumerate(books) if book in books[:number]]
    if twice:
        said = "This book is moved above already. Say once where it goes."
        raise InvalidError(problems=tuple(Problem(field=f"moves.{number}.book", sentence=said) for number in twice))


def _not_there(places: Places, to: Move, number: int) -> Problem | None:
    room = places.by_id.get(to.room or "")
    if room is None:
        return Problem(field=f"moves.{number}.room", sentence=f"There is no room {to.room}. Enter it first.")
    if to.wall is not None and all(each.id != to.wall for each in room.walls):
        sentence = f"The room {to.room} has no wall {to.wall}. Name one of its walls."
        return Problem(field=f"moves.{number}.wall", sentence=sentence)
    return None


def _told(clash: Clash, rows: Mapping[str, HungRow], numbers: Mapping[str, int]) -> Problem:
    row = rows[clash.book]
    what = f"{row.title} {row.number}"
    match clash.against:
        case Against.BOOK:
            over = rows[clash.other]
            sentence = f"{what} would lie over {over.title} {over.number}. Move one of them."
        case Against.WINDOW:
            sentence = f"{what} would lie over window {clash.other}. Move it aside."
        case _:
            sentence = f"{what} would reach beyond the {clash.against.value}. Move it back."
    name = "y_cm" if clash.against in (Against.FLOOR, Against.CEILING) else "x_cm"
    return Problem(field=f"moves.{numbers[clash.book]}.{name}", sentence=sentence)


def _drafts(ledger: Ledger, kept: Sequence[PlaceTally], moves: Sequence[Move], on: When | None) -> list[Draft]:
    drafts = []
    with ledger.log.read() as reader:
        for each in moves:
            before = _placed(ledger, reader, each.book)
            event = placed_in(kept, _placement(each, before))
            drafts.append(Draft(event=replace(event, on=on), book=each.book))
    return drafts


def _placement(to: Move, before: Placement | None) -> Placement:
    """The entry of a move; what the book is housed in goes with it, and its place keeps its name on the same wall."""
    stays = before is not None and (before.spot, before.room, before.wall) == (to.spot, to.room, to.wall)
    name = before.place.value if before is not None and stays and to.place is None else to.place
    return Placement(
        spot=to.spot,
        room=to.room,
        wall=to.wall,
        x_cm=to.x_cm,
        y_cm=to.y_cm,
        housings=before.housings if before is not None else (),
        place=Sealed.of(name),
    )


def _placed(ledger: Ledger, reader: Reader, book: str) -> Placement | None:
    """The placement in force that happened last."""
    found = [moment.event for moment in history(reader.of_book(book), ledger.codec) if moment.in_force]
    return next((each for each in reversed(found) if isinstance(each, Placement)), None)


def _as_hung(ledger: Ledger, reader: Reader, book: str) -> HungRow:
    """A book of the list in the form in which those on the walls are told."""
    row, moments = reader.book(book), history(reader.of_book(book), ledger.codec)
    sized = drawn(states(book, row.no, moments)[-1], moments)
    alike = {name: getattr(row, name) for name in HungRow._fields if hasattr(row, name)}
    elsewhere = dict.fromkeys(("placed_on", "room", "wall", "x_cm", "y_cm", "place"))
    return HungRow(**{**alike, **elsewhere, "height_mm": sized.height_mm, "width_mm": sized.width_mm})


def _rooms(ledger: Ledger, reader: Reader) -> tuple[RoomNow, ...]:
    moments = history(reader.of_collection(), ledger.codec)
    by_seq = {moment.entry.seq: moment for moment in moments}
    stated = fold_collection(reader.collection, moments).rooms
    found = [by_seq[seq] for seq in stated.values()]
    return tuple(
        RoomNow(entry=each.entry, event=each.event)
        for each in sorted(found, key=lambda each: str(getattr(each.event, "room", "")))
        if isinstance(each.event, Room)
    )
