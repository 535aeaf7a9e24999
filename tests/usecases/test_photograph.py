"""A photograph's file is safe before the entry that names it, and a file that is none leaves no entry."""

from pathlib import Path

import pytest

from ledger.actor import Actor, Permission
from ledger.adapters.pictures import FilePictures
from ledger.bootstrap import OWNER
from ledger.errors import ForbiddenError, InvalidError, MalformedError, NotFoundError, RuleError
from ledger.events._parts import Face
from ledger.events.photograph import Crop, Photograph
from ledger.ports import Ledger
from ledger.usecases.photograph import Shot, Shown, photograph, photograph_group
from ledger.usecases.record import Request
from tests.conftest import ledger_on
from tests.pictures import a_picture
from tests.usecases.telling import Teller


@pytest.fixture
def pictured(teller: Teller, tmp_path: Path) -> Ledger:
    """The same ledger with pictures on the disk."""
    return ledger_on(teller.ledger.log, pictures=FilePictures(tmp_path / "pictures"))


def shot(colour: str = "teal", face: Face = Face.FRONT) -> Shot:
    return Shot(data=a_picture(colour), said={"face": face})


def test_several_pictures_are_one_act_and_name_files_that_are_there(pictured: Ledger, teller: Teller) -> None:
    book = teller.buy()
    act = photograph(pictured, OWNER, book, [shot(), shot("red", Face.BACK)])
    assert [entry.book_seq for entry in act.entries] == [2, 3]
    for entry, colour in zip(act.entries, ("teal", "red"), strict=True):
        assert isinstance(entry.event, Photograph)
        assert pictured.pictures.read(entry.event.original) == a_picture(colour)
        assert pictured.pictures.digest(entry.event.clean) == entry.event.clean
        assert (entry.event.width_px, entry.event.height_px) == (24, 36)


def test_of_an_act_with_a_file_that_is_no_picture_no_entry_is_written(pictured: Ledger, teller: Teller) -> None:
    book = teller.buy()
    before = teller.kept()
    with pytest.raises(MalformedError) as caught:
        photograph(pictured, OWNER, book, [shot(), Shot(data=b"<svg/>", said={})])
    assert caught.value.what == "The photograph"
    assert teller.kept() == before


def test_a_request_sent_again_adds_neither_entry_nor_file(pictured: Ledger, teller: Teller) -> None:
    book = teller.buy()
    first = photograph(pictured, OWNER, book, [shot()], Request(key="k", body=b"x"))
    files = pictured.pictures.stored()
    again = photograph(pictured, OWNER, book, [shot()], Request(key="k", body=b"x"))
    assert (again.entries, again.replayed) == (first.entries, True)
    assert pictured.pictures.stored() == files


def test_who_may_not_record_leaves_not_even_a_file(pictured: Ledger, teller: Teller) -> None:
    book = teller.buy()
    with pytest.raises(ForbiddenError):
        photograph(pictured, Actor(id="x", scopes=frozenset({Permission.READ})), book, [shot()])
    assert pictured.pictures.stored() == []


def test_a_picture_of_no_book_is_refused(pictured: Ledger, teller: Teller) -> None:
    before = teller.kept()
    with pytest.raises(NotFoundError) as caught:
        photograph(pictured, OWNER, "nobody", [shot()])
    assert caught.value.name == "nobody"
    assert teller.kept() == before


# --- a group picture --------------------------------------------------------------------------------------------------

LEFT = Crop(x_percent=0, y_percent=10, width_percent=50, height_percent=80)
RIGHT = Crop(x_percent=50, y_percent=0, width_percent=50, height_percent=100)


def test_a_group_picture_is_one_file_and_one_act_with_an_entry_for_each_book(pictured: Ledger, teller: Teller) -> None:
    books = [teller.buy(), teller.buy()]
    shown = [Shown(book=book, said={"region": part}) for book, part in zip(books, (LEFT, RIGHT), strict=True)]
    act = photograph_group(pictured, OWNER, a_picture(), shown)
    events = [entry.event for entry in act.entries]
    assert [entry.book for entry in act.entries] == books
    assert len({entry.act for entry in act.entries}) == 1
    assert [event.region for event in events if isinstance(event, Photograph)] == [LEFT, RIGHT]
    assert {event.clean for event in events if isinstance(event, Photograph)} <= set(pictured.pictures.stored())
    assert len(pictured.pictures.stored()) == 2, "an original and its clean copy"


def test_no_book_of_a_group_is_shown_by_the_whole_picture(pictured: Ledger, teller: Teller) -> None:
    books = [teller.buy(), teller.buy()]
    before = teller.kept()
    shown = [Shown(book=books[0], said={"region": LEFT}), Shown(book=books[1], said={})]
    with pytest.raises(InvalidError) as caught:
        photograph_group(pictured, OWNER, a_picture(), shown)
    assert [each.field for each in caught.value.problems] == ["events.1.region"]
    with pytest.raises(InvalidError) as alone:
        photograph_group(pictured, OWNER, a_picture(), shown[1:])
    assert [each.field for each in alone.value.problems] == ["region"]
    assert teller.kept() == before
    assert pictured.pictures.stored() == []


def test_a_part_that_cannot_stand_keeps_the_others_from_being_written(pictured: Ledger, teller: Teller) -> None:
    books = [teller.buy(), teller.buy()]
    before = teller.kept()
    over = Crop(x_percent=60, y_percent=0, width_percent=50, height_percent=100)
    with pytest.raises(InvalidError) as caught:
        photograph_group(pictured, OWNER, a_picture(), [Shown(book=each, said={"region": over}) for each in books])
    assert [(each.field, each.rule) for each in caught.value.problems] == [
        ("events.0.region", "photograph.1"),
        ("events.1.region", "photograph.1"),
    ]
    said = {"region": LEFT, "of_defect": "d1"}
    with pytest.raises(RuleError) as ruled:
        photograph_group(pictured, OWNER, a_picture(), [Shown(book=each, said=said) for each in books])
    assert [each.field for each in ruled.value.problems] == ["events.0.of_defect"]
    assert teller.kept() == before


def test_who_may_not_record_adds_no_group_picture(pictured: Ledger, teller: Teller) -> None:
    shown = [Shown(book=teller.buy(), said={"region": LEFT})]
    with pytest.raises(ForbiddenError):
        photograph_group(pictured, Actor(id="x", scopes=frozenset({Permission.READ})), a_picture(), shown)
    assert pictured.pictures.stored() == []
