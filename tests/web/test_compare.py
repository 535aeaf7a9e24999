"""Before and after: two photographs of one face beside each other, and one laid over the other by two points."""

from urllib.parse import urlencode

import pytest

from ledger.bootstrap import OWNER
from ledger.events._parts import Face
from ledger.events.withdrawal import Withdrawal
from ledger.ports import Ledger
from ledger.usecases.photograph import Shot, photograph
from ledger.usecases.record import Draft, record
from tests.builders import a_purchase, on
from tests.pictures import a_picture
from tests.web.browser import Browser, text_of
from tests.web.markup import Element, read_page
from tests.web.stories import page_of
from web.compared import POINTS

# Half as large again as 100 wide: the pictures are 150 high when they are 100 wide.
TURNED = dict(zip(POINTS, ("10", "10", "90", "10", "10", "20", "50", "20"), strict=True))


def taken(ledger: Ledger, book: str, colour: str, day: str, face: Face = Face.FRONT) -> int:
    """The entry of a photograph."""
    said = {"on": on(day), "face": face}
    return photograph(ledger, OWNER, book, [Shot(data=a_picture(colour, (40, 60)), said=said)]).entries[0].seq


@pytest.fixture
def book(ledger: Ledger) -> str:
    return record(ledger, OWNER, [Draft(event=a_purchase(), new_book=True)]).entries[0].book or ""


@pytest.fixture
def fronts(ledger: Ledger, book: str) -> tuple[int, int]:
    """Two photographs of the front, the earlier one first, with one of the back between them."""
    first = taken(ledger, book, "teal", "2024-05-01")
    taken(ledger, book, "red", "2024-06-01", Face.BACK)
    return first, taken(ledger, book, "navy", "2025-05-01")


def compared(browser: Browser, book: str, asked: dict[str, str] | None = None, status: int = 200) -> Element:
    answer = browser.get(f"/books/{book}/compare?{urlencode(asked or {})}")
    assert answer.status_code == status, text_of(answer)
    return read_page(answer.text)


def test_first_and_last_stand_side_by_side_as_clean_copies(
    signed_in: Browser, ledger: Ledger, book: str, fronts: tuple[int, int]
) -> None:
    found = compared(signed_in, book)
    figures = found.all("figure", class_="compared")
    assert [each.one("figcaption").one("a").attrs["href"] for each in figures] == [f"/ledger/{seq}" for seq in fronts]
    clean = [ledger.pictures.keep(a_picture(colour, (40, 60))) for colour in ("teal", "navy")]
    shown = [each.one("image").attrs["href"] for each in figures]
    assert shown == [f"/pictures/{each.clean}?size=1200" for each in clean]
    assert not found.all("svg", class_="laid-over")
    assert all(signed_in.get(each).status_code == 200 for each in shown)


def test_only_photographs_of_one_face_are_offered(signed_in: Browser, book: str, fronts: tuple[int, int]) -> None:
    offered = {each.attrs["value"] for each in compared(signed_in, book).one("select", id="before").all("option")}
    assert offered == {str(seq) for seq in fronts}


def test_two_points_lay_the_later_over_the_earlier_and_that_is_said(
    signed_in: Browser, book: str, fronts: tuple[int, int]
) -> None:
    found = compared(signed_in, book, {"before": str(fronts[0]), "after": str(fronts[1]), **TURNED})
    over = found.one("svg", class_="laid-over")
    # Worked by hand: the later pair lies 40 apart and the earlier 80, so twice as large; (10, 30) comes to (10, 15).
    later = over.one("g").one("image")
    assert later.attrs["transform"] == "matrix(2.000000 0.000000 -0.000000 2.000000 -10.000000 -45.000000)"
    assert "Aligned by two points set by hand" in found.text
    assert "2.000 times" in found.text
    assert "aligned by two points set by hand" in over.attrs["aria-label"]
    assert len(found.all("figure", class_="compared")) == 2, "the originals stay in sight"
    assert not [each for each in found.walk() if "style" in each.attrs]


@pytest.mark.parametrize("wrong", ["", "x", "-1", "100.1", "nan", "inf", "1e9", "9" * 40, "<b>"])
def test_a_number_that_is_no_place_in_the_picture_is_told_at_its_field(
    signed_in: Browser, book: str, fronts: tuple[int, int], wrong: str
) -> None:
    found = compared(signed_in, book, {**TURNED, "a1y": wrong}, 422)
    assert found.one("input", id="a1y").attrs["aria-invalid"] == "true"
    assert found.one("input", id="a1y").attrs["value"] == wrong
    assert "from 0 to 100" in found.one("p", id="a1y-fault").text
    assert not found.all("svg", class_="laid-over")


def test_points_may_be_written_with_a_comma(signed_in: Browser, book: str, fronts: tuple[int, int]) -> None:
    found = compared(signed_in, book, {**TURNED, "b1x": "10,5"})
    assert found.all("svg", class_="laid-over")


def test_one_place_twice_is_no_pair_of_points(signed_in: Browser, book: str, fronts: tuple[int, int]) -> None:
    found = compared(signed_in, book, {**TURNED, "a2x": "10"}, 422)
    assert "same place" in found.one("p", id="a2x-fault").text


def test_two_faces_or_the_same_photograph_twice_are_told(
    signed_in: Browser, ledger: Ledger, book: str, fronts: tuple[int, int]
) -> None:
    other = taken(ledger, book, "olive", "2025-06-01", Face.BACK)
    for after in (other, fronts[0]):
        found = compared(signed_in, book, {"before": str(fronts[0]), "after": str(after)}, 422)
        assert "not two photographs of the same face" in found.text
        assert not found.all("figure", class_="compared")


def test_what_is_no_photograph_of_this_book_is_not_found(
    signed_in: Browser, book: str, fronts: tuple[int, int]
) -> None:
    for seq in ("1", "9999"):
        compared(signed_in, book, {"before": seq}, 404)
    compared(signed_in, "nobody", status=404)
    compared(signed_in, book, {"before": "x"}, 400)


def test_nothing_is_stored(signed_in: Browser, ledger: Ledger, book: str, fronts: tuple[int, int]) -> None:
    with ledger.log.read() as reader:
        before = [each.seq for each in reader.of_book(book)]
    stored = ledger.pictures.stored()
    compared(signed_in, book, TURNED)
    with ledger.log.read() as reader:
        assert [each.seq for each in reader.of_book(book)] == before
    assert ledger.pictures.stored() == stored


def test_a_book_leads_there_once_it_has_two_of_one_face(signed_in: Browser, ledger: Ledger, book: str) -> None:
    way = f"/books/{book}/compare"
    taken(ledger, book, "teal", "2024-05-01")
    taken(ledger, book, "red", "2024-05-01", Face.BACK)
    assert not page_of(signed_in, book).all("a", href=way)
    assert "no two photographs of the same face" in compared(signed_in, book).text
    last = taken(ledger, book, "navy", "2025-05-01")
    assert page_of(signed_in, book).all("a", href=way)
    record(ledger, OWNER, [Draft(event=Withdrawal(entry=last), book=book)])
    assert not page_of(signed_in, book).all("a", href=way)


def test_it_answers_only_somebody_who_is_signed_in(visitor: Browser, book: str, fronts: tuple[int, int]) -> None:
    answer = visitor.get(f"/books/{book}/compare")
    assert "/pictures/" not in answer.text
    assert 'class="compared"' not in answer.text
