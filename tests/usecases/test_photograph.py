"""A photograph's file is safe before the entry that names it, and a file that is none leaves no entry."""

from pathlib import Path

import pytest

from ledger.actor import Actor, Permission
from ledger.adapters.pictures import FilePictures
from ledger.bootstrap import OWNER
from ledger.errors import ForbiddenError, MalformedError, NotFoundError
from ledger.events._parts import Face
from ledger.events.photograph import Photograph
from ledger.ports import Ledger
from ledger.usecases.photograph import Shot, photograph
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
