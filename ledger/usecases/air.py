"""What climate logs say of a room over a time, and what they and all heat say of one book's ageing."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from ledger.actor import Actor, Permission
from ledger.ageing_of_book import Ageing, Air, LogUsed, Stay, StayAir, known_from, seconds_of, stays_of
from ledger.book import Book
from ledger.care import CareReader
from ledger.climate_held import Held, held, merged, within
from ledger.climate_kept import Own, kept_channel, parts_of
from ledger.climate_log import Figures, figures_of
from ledger.dose import NOTHING, heat_of
from ledger.events.climate import Climate
from ledger.events.placement import Spot
from ledger.events.room import Room
from ledger.history import Moment, fold_collection, history
from ledger.logger_file import HELD_MOST, held_for
from ledger.ports import Ledger, Reader
from ledger.rules import climate
from ledger.rules.walls import TABLE as WALLS
from ledger.rules.walls import WallRules, wall_rules
from ledger.usecases.beside import care_store
from ledger.usecases.look import look_at
from ledger.usecases.rulings import edited_rows

__all__ = ["Log", "RoomAir", "ageing_of", "ageing_within", "air_of_room", "logs", "rooms_known"]


@dataclass(frozen=True, kw_only=True)
class Log:
    """One channel in force, the number of its entry, and the time over which its readings stand. Units: s."""

    seq: int
    event: Climate
    start: int
    end: int


@dataclass(frozen=True, kw_only=True)
class RoomAir:
    """The air of a room over a time, the logs that tell it, and how much colder its outer walls are taken to be."""

    room: str
    name: str
    logs: tuple[Log, ...]
    figures: Figures
    outer_walls: tuple[str, ...]
    """Ids of walls of the room whose other side is outdoors."""


@dataclass(frozen=True)
class _Known:
    """What the collection's own entries say in force."""

    logs: tuple[Log, ...]
    rooms: dict[str, Room]
    walls: WallRules


def logs(ledger: Ledger, actor: Actor) -> tuple[Log, ...]:
    """Every channel in force, the earliest first."""
    actor.require(Permission.READ)
    with ledger.log.read() as reader, care_store(ledger).read() as beside:
        return _known(ledger, reader, beside).logs


def rooms_known(ledger: Ledger, actor: Actor) -> dict[str, Room]:
    """The rooms as they are now, by their ids."""
    actor.require(Permission.READ)
    with ledger.log.read() as reader, care_store(ledger).read() as beside:
        return _known(ledger, reader, beside).rooms


def air_of_room(
    ledger: Ledger, actor: Actor, room: str, start: int | None = None, end: int | None = None
) -> RoomAir | None:
    """The air of a room, over all that is logged where no time is given; None where no log of it is in force.

    Keeps: of two logs of the same time the one in the room counts before one at a wall, and of these the earlier entry.
    """
    actor.require(Permission.READ)
    with ledger.log.read() as reader, care_store(ledger).read() as beside:
        known = _known(ledger, reader, beside)
        own = _in_order([each for each in known.logs if each.event.room == room], None)
        if not own:
            return None
        first = min(each.start for each in own) if start is None else start
        last = max(each.end for each in own) if end is None else end
        readings = merged([_held(beside, each, first, last) for each in own])
    stated = known.rooms.get(room)
    outer = tuple(each.id for each in stated.walls if each.outer) if stated else ()
    colder = known.walls.colder if outer else ()
    figures = figures_of(readings, first, max(first, last), colder, known.walls)
    name = (stated.name.value if stated else None) or room
    return RoomAir(room=room, name=name, logs=tuple(own), figures=figures, outer_walls=outer)


def ageing_of(ledger: Ledger, actor: Actor, book: str) -> Ageing:
    """Presses, wall and storage of one book as equivalent days; where no log is, nothing is known.

    Raises: NotFoundError.
    """
    look = look_at(ledger, actor, book)
    with ledger.log.read() as reader:
        return ageing_within(ledger, reader, look.moments, look.states, ledger.clock.today())


def ageing_within(
    ledger: Ledger, reader: Reader, moments: Sequence[Moment], states: Sequence[Book], until: date
) -> Ageing:
    """The same of a book that is being read, until a day.

    Requires: moments in the order of happening, the states before the first and after each.
    """
    now, book = seconds_of(until), states[-1]
    with care_store(ledger).read() as beside:
        known = _known(ledger, reader, beside)
        airs = [_stay_air(beside, known.logs, each) for each in stays_of(moments, states, now)]
    since = known_from(moments, states)
    end = now if book.held else _left(moments, now)
    lasted = 0 if since is None else max(0, end - since)
    return Ageing(
        book=book.id,
        heat=heat_of(moments),
        wall=_together([each for each in airs if each.stay.spot is Spot.WALL]),
        storage=_together([each for each in airs if each.stay.spot is not Spot.WALL]),
        elsewhere=max(0, lasted - sum(each.stay.end - each.stay.start for each in airs)),
        since=since,
        until=end,
    )


def _left(moments: Sequence[Moment], now: int) -> int:
    """The day of the last entry that happened, of a book that is no longer here."""
    days = [each.event.on.earliest_day for each in moments if each.in_force and each.event.on is not None]
    return seconds_of(max(days)) if days else now


def _known(ledger: Ledger, reader: Reader, beside: CareReader) -> _Known:
    moments = history(reader.of_collection(), ledger.codec)
    events = {each.entry.seq: each.event for each in moments}
    state = fold_collection(ledger.collection, moments)
    found: list[Log] = []
    for seq in state.climates.values():
        event = events[seq]
        if not isinstance(event, Climate):
            continue
        kept = kept_channel(beside, _own(event))
        if kept is not None:
            found.append(
                Log(
                    seq=seq,
                    event=event,
                    start=kept.first,
                    end=kept.last + (held_for(kept.interval, kept.interval) if kept.interval else 0),
                )
            )
    rooms = {name: room for name, seq in state.rooms.items() if isinstance(room := events[seq], Room)}
    walls = wall_rules(edited_rows(state.rulings, events, WALLS))
    return _Known(tuple(sorted(found, key=lambda each: (each.start, each.seq))), rooms, walls)


def _own(event: Climate) -> Own:
    return Own(event.file, event.channel, event.temperature_unit, event.dates)


def _in_order(found: Sequence[Log], wall: str | None) -> list[Log]:
    """Of that wall first, then of the room, then of other walls; among these by number."""

    def place(log: Log) -> tuple[int, int]:
        at = log.event.wall
        return (0 if at == wall and wall is not None else 1 if at is None else 2), log.seq

    return sorted(found, key=place)


def _held(beside: CareReader, log: Log, start: int, end: int) -> list[Held]:
    kept = kept_channel(beside, _own(log.event))
    if kept is None or end <= start:
        return []
    # The last reading of the month before may stand into this one.
    early = start - HELD_MOST
    return list(within(held(parts_of(beside, _own(log.event), kept.months, early, end), kept.interval), start, end))


def _stay_air(beside: CareReader, known: Sequence[Log], stay: Stay) -> StayAir:
    own = [each for each in known if each.event.room == stay.room and each.start < stay.end and each.end > stay.start]
    own = _in_order(own, stay.wall)
    readings = merged([_held(beside, each, stay.start, stay.end) for each in own])
    equivalent = climate.equivalent_days((each.celsius / 100, each.rh / 100, each.seconds) for each in readings)
    known_for = sum(each.seconds for each in readings)
    return StayAir(stay=stay, known=known_for, equivalent=equivalent, logs=tuple(map(_used, own)))


def _used(log: Log) -> LogUsed:
    event = log.event
    return LogUsed(
        entry=log.seq,
        file=event.file,
        channel=event.channel,
        unit=event.temperature_unit.value,
        dates=event.dates.value,
        room=event.room,
        wall=event.wall,
    )


def _together(airs: Sequence[StayAir]) -> Air:
    return Air(
        stays=tuple(airs),
        lasted=sum(each.stay.end - each.stay.start for each in airs),
        known=sum(each.known for each in airs),
        equivalent=sum((each.equivalent for each in airs), NOTHING),
    )
