"""How two photographs lie over each other, over REST: found, not found, and asked for in vain."""

import random
from dataclasses import replace
from pathlib import Path

import pytest

from ledger.actor import Permission
from ledger.adapters.pictures import FilePictures
from ledger.events._parts import Face
from ledger.events.withdrawal import Withdrawal
from ledger.usecases.photograph import Shot, photograph
from ledger.usecases.record import Draft, record
from seeds.draw import draw
from tests.api.door import OWNER, Door, door_to, problem
from tests.photographed import TABLE, Taken, photographed, similarity
from tests.pictures import a_picture

pytestmark = pytest.mark.long


@pytest.fixture
def seeing(door: Door, tmp_path: Path) -> Door:
    """A door to a ledger that keeps its photographs as files."""
    return door_to(replace(door.ledger, pictures=FilePictures(tmp_path / "pictures")), set(Permission))


def taken(door: Door, book: str, data: bytes, face: Face = Face.FRONT) -> int:
    return photograph(door.ledger, OWNER, book, [Shot(data=data, said={"face": face})]).entries[0].seq


def cover(turned: float, scale: float = 1.0) -> Taken:
    drawn = draw("unlit-stair-13")
    way = similarity(drawn.size, turned, scale, (TABLE[0] / 2, TABLE[1] / 2))
    return photographed(drawn, way, random.Random(f"{turned} {scale}"))


def asked(before: int, after: int) -> str:
    return f"/photographs/alignment?before={before}&after={after}"


def test_the_matrix_takes_the_later_one_onto_the_earlier_one(seeing: Door) -> None:
    book = seeing.a_book()
    earlier, later = cover(0), cover(-7, 1.1)
    size = seeing.size
    before, after = (taken(seeing, book, each.data) for each in (earlier, later))
    answer = seeing.get(asked(before, after))
    assert answer.status_code == 200, answer.text
    told = answer.json()
    assert (told["aligned"], told["method"], told["reason"]) == (True, "places, then brightness", None)
    assert told["agreeing"] >= 30
    assert told["wide_px"] == TABLE[0]
    assert 0 < told["rms_px"] < 2
    assert 0.9 < told["likeness"] <= 1
    for place in ((0, 0), (640, 0), (0, 904), (640, 904)):
        column = (*(each / TABLE[0] * 100 for each in later.at(*place)), 1)
        found = [sum(one * other for one, other in zip(row, column, strict=True)) for row in told["matrix"]]
        assert found == pytest.approx([each / TABLE[0] * 100 for each in earlier.at(*place)], abs=0.5 / TABLE[0] * 100)
    assert seeing.size == size + 2, "asking writes nothing"


def test_a_pair_with_nothing_in_common_is_answered_with_the_reason(seeing: Door) -> None:
    book = seeing.a_book()
    before, after = taken(seeing, book, cover(0).data), taken(seeing, book, a_picture("teal", (600, 800)))
    told = seeing.get(asked(before, after)).json()
    assert (told["aligned"], told["reason"], told["agreeing"]) == (False, "too few places agree", 0)
    assert {told[name] for name in ("method", "matrix", "rms_px", "wide_px", "likeness")} == {None}


def test_what_is_no_pair_is_refused_and_what_is_no_photograph_in_force_is_not_found(seeing: Door) -> None:
    book, other = seeing.a_book(), seeing.a_book()
    front, again = taken(seeing, book, a_picture("teal")), taken(seeing, book, a_picture("navy"))
    back, foreign = taken(seeing, book, a_picture("red"), Face.BACK), taken(seeing, other, a_picture("teal"))
    for after in (front, back, foreign):
        told = problem(seeing.get(asked(front, after)), 422)
        assert told["errors"][0]["field"] == "after"
    for after in (1, 2, 9999):
        problem(seeing.get(asked(front, after)), 404)
    record(seeing.ledger, OWNER, [Draft(event=Withdrawal(entry=again), book=book)])
    problem(seeing.get(asked(front, again)), 404)
    for query in ("", "?before=1", "?before=0&after=2", "?before=x&after=2"):
        problem(seeing.get(f"/photographs/alignment{query}"), 400)


def test_where_it_is_not_installed_the_mend_is_told(seeing: Door) -> None:
    book = seeing.a_book()
    before, after = taken(seeing, book, a_picture("teal")), taken(seeing, book, a_picture("navy"))
    without = door_to(replace(seeing.ledger, aligner=None), set(Permission))
    told = problem(without.get(asked(before, after)), 409)
    assert "Install the extra named align" in told["detail"]
