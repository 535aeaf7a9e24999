"""A room with a climate log, for the tests of the pages that tell of it."""

from datetime import datetime, timedelta

from ledger.events.room import Room, Wall
from ledger.sealed import Sealed
from ledger.usecases.climate import Where, look_at_file, take_in
from ledger.usecases.record import Draft, record
from tests.builders import on
from tests.usecases.telling import OWNER
from tests.web.browser import Home


def days_of(days: int, celsius: float, rh: float, first: str = "2025-01-01", wet: int = 0) -> bytes:
    """A reading each hour; the last `wet` days are at 78 per cent."""
    start = datetime.fromisoformat(first)
    lines = [
        f"{start + timedelta(hours=hour):%Y-%m-%d %H:%M},{celsius},{78 if hour >= (days - wet) * 24 else rh}\n"
        for hour in range(days * 24)
    ]
    return ("Time,°C,%RH\n" + "".join(lines)).encode()


def a_room(home: Home, name: str = "study") -> None:
    walls = (Wall(id="n", width_cm="400", height_cm="250"), Wall(id="s", width_cm="400", height_cm="250", outer=True))
    event = Room(on=on("2024-12-01"), room=name, walls=walls, name=Sealed.of("Study on the garden side"))
    record(home.ledger, OWNER, [Draft(event=event)])


def logged(home: Home, data: bytes, room: str = "study") -> int:
    file = look_at_file(home.ledger, OWNER, data).file
    return take_in(home.ledger, OWNER, file, [Where(channel=1, room=room)]).entries[0].seq
