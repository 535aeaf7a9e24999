"""Books moved onto walls and into boxes, several as one act; what lies in the way is told before anything is written."""

from typing import Any

import pytest

from ledger.bootstrap import OWNER
from ledger.errors import InvalidError, NotFoundError, RuleError
from ledger.events.placement import Around, Housing, Placement, Spot
from ledger.events.room import Room, Wall, Window
from ledger.events.ruling import NewValue, Ruling
from ledger.ports import Ledger
from ledger.sealed import Sealed
from ledger.usecases.places import Move, in_place, look_at_places, move, not_hung, wall_in
from ledger.usecases.record import Draft, Request, record
from tests.builders import on
from tests.web.shelves import boxed, buy

DAY = on("2026-03-01")


@pytest.fixture
def study(ledger: Ledger) -> Ledger:
    """A room of one wall with a window in it."""
    wall = Wall(id="n", width_cm="300", height_cm="250")
    window = Window(wall="n", x_cm="200", y_cm="90", width_cm="80", height_cm="100")
    record(ledger, OWNER, [Draft(event=Room(room="study", walls=(wall,), windows=(window,), name=Sealed.of("Study")))])
    return ledger


def onto(book: str, x_cm: str = "50", y_cm: str = "150", **changes: Any) -> Move:
    given: dict[str, Any] = {"spot": Spot.WALL, "room": "study", "wall": "n", "x_cm": x_cm, "y_cm": y_cm}
    return Move(book=book, **given | changes)


def placement_of(ledger: Ledger, book: str) -> Placement:
    with ledger.log.read() as reader:
        event = reader.of_book(book)[-1].event
    assert isinstance(event, Placement)
    return event


def test_several_books_are_hung_and_put_away_as_one_act_with_one_date(study: Ledger) -> None:
    first, second, third = (buy(study, title=title) for title in ("Alpha", "Beta", "Gamma"))
    moves = [onto(first), onto(second, "90"), Move(book=third, spot=Spot.BOX, place="Box 4")]
    written = move(study, OWNER, moves, DAY)
    assert {each.act for each in written.entries} == {written.act}
    assert [each.event.on for each in written.entries] == [DAY] * 3
    places = look_at_places(study, OWNER)
    assert [(each.title, each.x_cm) for each in places.on_wall("study", "n")] == [("Alpha", "50"), ("Beta", "90")]
    assert [(each.spot, each.place, each.books) for each in places.kept] == [("box", "Box 4", 1)]
    assert [each.title for each in in_place(study, OWNER, "Box 4")] == ["Gamma"]
    assert [each.title for each in not_hung(study, OWNER)] == ["Gamma"]


def test_a_book_keeps_what_it_is_housed_in_and_on_the_same_wall_the_name_of_its_place(study: Ledger) -> None:
    frame = Housing(around=Around.FRAME)
    hung = Placement(spot=Spot.WALL, room="study", wall="n", housings=(frame,), place=Sealed.of("Over the desk"))
    book = buy(study, hung)
    move(study, OWNER, [onto(book)], DAY)
    assert placement_of(study, book).housings == (frame,)
    assert placement_of(study, book).place.value == "Over the desk"
    move(study, OWNER, [Move(book=book, spot=Spot.SAFE)], DAY)
    assert placement_of(study, book).housings == (frame,)
    assert placement_of(study, book).place.value is None


@pytest.mark.parametrize(
    ("moves", "field", "said"),
    [
        ([("60", "150")], "moves.0.x_cm", "would lie over Beta 14"),
        ([("210", "150")], "moves.0.x_cm", "would lie over window 1"),
        ([("2", "150")], "moves.0.x_cm", "beyond the left end"),
        ([("120", "245")], "moves.0.y_cm", "beyond the ceiling"),
    ],
)
def test_what_lies_in_the_way_is_told_and_nothing_is_written(
    study: Ledger, moves: list[tuple[str, str]], field: str, said: str
) -> None:
    buy(study, Placement(spot=Spot.WALL, room="study", wall="n", x_cm="50", y_cm="150"), title="Beta")
    book = buy(study, title="Alpha")
    with study.log.read() as reader:
        before = reader.head().size
    with pytest.raises(RuleError) as refused:
        move(study, OWNER, [onto(book, *place) for place in moves], DAY)
    assert [each.field for each in refused.value.problems] == [field]
    assert said in str(refused.value)
    with study.log.read() as reader:
        assert reader.head().size == before
    move(study, OWNER, [onto(book, *place) for place in moves], DAY, despite=True)
    assert placement_of(study, book).x_cm == moves[0][0]


def test_two_books_change_places_in_one_act(study: Ledger) -> None:
    first, second = buy(study, title="Alpha"), buy(study, title="Beta")
    move(study, OWNER, [onto(first, "50"), onto(second, "90")], DAY)
    move(study, OWNER, [onto(first, "90"), onto(second, "50")], DAY)
    assert (placement_of(study, first).x_cm, placement_of(study, second).x_cm) == ("90", "50")


def test_what_hung_in_the_way_before_hinders_nobody_else(study: Ledger) -> None:
    for title in ("Alpha", "Beta"):
        buy(study, Placement(spot=Spot.WALL, room="study", wall="n", x_cm="50", y_cm="150"), title=title)
    third = buy(study, title="Gamma")
    move(study, OWNER, [onto(third, "100")], DAY)
    assert placement_of(study, third).x_cm == "100"


def test_a_ruling_on_the_holder_changes_what_is_in_its_way(study: Ledger) -> None:
    first, second = (buy(study, slab=True, title=title, cover_date=on("1980")) for title in ("Alpha", "Beta"))
    # 175 mm and twice 20 mm: 21.5 cm each, so 22 cm between their middles are enough.
    move(study, OWNER, [onto(first, "50"), onto(second, "72")], DAY)
    wider = Ruling(table="sizes", row="holder", version=1, values=(NewValue(field="width_mm", value="30"),))
    record(study, OWNER, [Draft(event=wider)])
    assert look_at_places(study, OWNER).reach.side == 30
    with pytest.raises(RuleError):
        move(study, OWNER, [onto(second, "72")], DAY)


def test_a_room_a_wall_or_a_book_that_is_not_there_is_named(study: Ledger) -> None:
    book = buy(study)
    with pytest.raises(InvalidError, match="no room attic"):
        move(study, OWNER, [onto(book, room="attic")], DAY)
    with pytest.raises(InvalidError, match="no wall s"):
        move(study, OWNER, [onto(book, wall="s")], DAY)
    with pytest.raises(InvalidError, match="moved above"):
        move(study, OWNER, [onto(book), onto(book, "90")], DAY)
    with pytest.raises(InvalidError, match="Between 1 and"):
        move(study, OWNER, [], DAY)
    with pytest.raises(NotFoundError):
        move(study, OWNER, [onto("nothing")], DAY)
    with pytest.raises(NotFoundError):
        move(study, OWNER, [Move(book="nothing", spot=Spot.BOX)], DAY)
    places = look_at_places(study, OWNER)
    assert wall_in(places, "study", "n")[1].width_cm == "300"
    for room, wall in (("attic", "n"), ("study", "s")):
        with pytest.raises(NotFoundError):
            wall_in(places, room, wall)


def test_the_same_request_moves_once(study: Ledger) -> None:
    book = buy(study, boxed("Box 1"))
    asked = Request(key="one", body=b"move")
    first = move(study, OWNER, [onto(book)], DAY, asked)
    again = move(study, OWNER, [onto(book)], DAY, asked)
    assert (again.replayed, again.act) == (True, first.act)


def test_what_is_put_into_a_box_later_is_in_the_room_that_the_box_stands_in(study: Ledger) -> None:
    first, second, third, fourth = (buy(study, title=title) for title in ("Alpha", "Beta", "Gamma", "Delta"))
    move(study, OWNER, [Move(book=first, spot=Spot.BOX, room="study", place="Box 4")], DAY)
    others = [Move(book=second, spot=Spot.BOX, place="Box 4"), Move(book=third, spot=Spot.BOX, place="Box 5")]
    move(study, OWNER, [*others, Move(book=fourth, spot=Spot.SAFE, place="Box 4")], DAY)
    assert [placement_of(study, each).room for each in (first, second, third, fourth)] == ["study", "study", None, None]
    kept = look_at_places(study, OWNER).kept
    assert [(each.spot, each.place, each.room) for each in kept] == [
        ("box", "Box 4", "study"),
        ("box", "Box 5", None),
        ("safe", "Box 4", None),
    ]


def test_a_box_that_is_said_to_stand_in_two_rooms_stands_in_none(study: Ledger) -> None:
    record(study, OWNER, [Draft(event=Room(room="hall"))])
    first, second, third = (buy(study, title=title) for title in ("Alpha", "Beta", "Gamma"))
    boxed = [
        Move(book=book, spot=Spot.BOX, room=room, place="Box 4") for book, room in ((first, "study"), (second, "hall"))
    ]
    move(study, OWNER, boxed, DAY)
    move(study, OWNER, [Move(book=third, spot=Spot.BOX, place="Box 4")], DAY)
    assert placement_of(study, third).room is None
