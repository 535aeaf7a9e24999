"""The house: two rooms as they were lit over four years, a ruling, and notes on the collection itself."""

from collections.abc import Iterator

from ledger.events._parts import Answer
from ledger.events.note import Note, Topic
from ledger.events.room import Basis, Lamp, LampKind, Reading, Room, Side, Wall, Window
from ledger.events.ruling import NewValue, Ruling
from seeds.story._acts import Act, act
from seeds.story._said import on, said

STUDY = (
    Wall(id="n", width_cm="412", height_cm="262", side=Side.NORTH),
    Wall(id="e", width_cm="305", height_cm="262", side=Side.EAST),
    Wall(id="s", width_cm="412", height_cm="262", side=Side.SOUTH, outer=True),
)
LANDING = (
    Wall(id="long", width_cm="538", height_cm="244", side=Side.WEST),
    Wall(id="stair", width_cm="186", height_cm="244", side=Side.NORTH_WEST),
)


def acts() -> Iterator[Act]:
    """What was written of the collection itself."""
    yield act(None, "2022-10-08 17:31", _study(LampKind.HALOGEN, "61", "118", Answer.NO, "2022-10-08"))
    yield act(None, "2022-10-08 17:52", landing(LampKind.LED, "38"))
    yield act(
        None,
        "2022-10-08 18:04",
        Note(
            topic=Topic.STORY,
            words=said(
                "I begin this tonight. What I owned before is entered with the dates I am sure of, and no others."
            ),
        ),
    )
    yield act(
        None,
        "2023-07-30 19:40",
        Note(
            topic=Topic.CARE,
            words=said("Rule for the walls: one year up, two years in the box. Whatever I like best hangs least."),
        ),
    )
    yield act(
        None,
        "2024-01-07 20:22",
        Ruling(
            table="chances",
            row="spine-roll",
            version=1,
            values=(
                NewValue(field="gone", value="400"),
                NewValue(field="lessened", value="400"),
                NewValue(field="same", value="200"),
            ),
            why=said("Two of my rolls were back within a month. The shipped chance of gone is too kind for me."),
        ),
    )
    yield act(None, "2024-08-04 18:47", _study(LampKind.LED, "34", "52", Answer.YES, "2024-08-04"))
    yield act(
        None,
        "2025-02-16 19:15",
        Note(topic=Topic.OTHER, words=said("Copied the checkpoint by hand into the household book, page 61.")),
    )
    yield act(None, "2026-05-10 18:20", landing(LampKind.LED, "31"))


def _study(kind: LampKind, near: str, far: str, filtered: Answer, read: str) -> Room:
    """The study: a south window with a net curtain, one lamp over the desk."""
    return Room(
        room="study",
        walls=STUDY,
        windows=(Window(wall="s", x_cm="130", y_cm="92", width_cm="146", height_cm="128", uv_filter=filtered),),
        lamps=(Lamp(id="desk", kind=kind, wall="e", x_cm="80", y_cm="178", uv_filter=filtered),),
        readings=(
            reading("n", "110", "150", far, "9", read),
            reading("n", "290", "150", near, "9", read),
            reading("e", "220", "150", near, "8", read),
        ),
        uv_filter=filtered,
        name=said("Study on the garden side"),
        remark=said("Read at noon with the curtain drawn and again with it open; the mean is entered."),
    )


def landing(kind: LampKind, lux: str) -> Room:
    """The landing: no window, a lamp that is on when somebody climbs the stairs."""
    return Room(
        room="landing",
        walls=LANDING,
        lamps=(Lamp(id="ceiling", kind=kind),),
        readings=(
            reading("long", "270", "145", lux, "3", "2022-10-08"),
            reading("stair", "90", "150", lux, "3", None),
        ),
        uv_filter=Answer.UNSURE,
        name=said("Landing"),
    )


def reading(wall: str, x: str, y: str, lux: str, hours: str, read: str | None) -> Reading:  # noqa: PLR0913
    """A reading with the meter; one without a day is an estimate."""
    return Reading(
        wall=wall,
        x_cm=x,
        y_cm=y,
        lux=lux,
        hours_per_day=hours,
        basis=Basis.MEASURED if read else Basis.ESTIMATED,
        on=on(read) if read else None,
    )
