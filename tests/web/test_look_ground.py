"""The ground of a look: one face to scale, or a photograph of it, fitted by points that were typed."""

import pytest

from ledger.bootstrap import OWNER
from ledger.events._parts import Face
from ledger.ports import Ledger
from ledger.usecases.photograph import Shot, photograph
from tests.builders import on
from tests.pictures import a_picture
from tests.web.browser import Browser, text_of
from tests.web.looks import a_seen_book, page_at, send, turn
from tests.web.markup import Element, read_page
from tests.web.stories import Shelf

NUMBERS = ("corners1x", "corners1y", "corners2x", "corners2y", "corners3x", "corners3y", "corners4x", "corners4y")


@pytest.fixture
def book(shelf: Shelf) -> str:
    """180 by 260 mm, with a bend at (20, 30) on the front."""
    return a_seen_book(shelf)


@pytest.fixture
def shot(ledger: Ledger, book: str) -> int:
    """A photograph of the front, twice as high as wide."""
    said = {"on": on("2024-05-01"), "face": Face.FRONT}
    return photograph(ledger, OWNER, book, [Shot(data=a_picture("teal", (50, 100)), said=said)]).entries[0].seq


def laid(browser: Browser, book: str, said: dict[str, str], status: int = 303) -> Element:
    """The step with the photograph under it."""
    named = {f"ground.front.{name}": value for name, value in said.items()}
    answer = send(browser, book, "front", "ground", named)
    assert answer.status_code == status, text_of(answer)
    return read_page(browser.follow(answer).text)


def seen(page: Element, name: str = "d1") -> tuple[float, float]:
    """Where a defect that was seen before is drawn."""
    circle = page.one("figure", class_="placing").one("circle", data_seen=name)
    return float(circle.attrs["cx"]), float(circle.attrs["cy"])


@pytest.mark.parametrize(
    ("step", "size"),
    [("front", ("180.0", "260.0")), ("back", ("180.0", "260.0")), ("inside", ("180.0", "260.0")),
     ("spine", ("36.0", "260.0")), ("staples", ("36.0", "260.0"))],
)  # fmt: skip
def test_one_face_is_drawn_alone_and_to_scale(signed_in: Browser, book: str, step: str, size: tuple[str, str]) -> None:
    figure = page_at(signed_in, book, step).one("figure", class_="placing")
    leaf = figure.one("rect", class_="leaf")
    assert (leaf.attrs["width"], leaf.attrs["height"]) == size
    assert "hidden" not in figure.attrs, "it is a map without a script too"
    assert figure.one("div", class_="shapes").attrs["hidden"] == ""


def test_edges_have_no_ground_and_a_face_without_a_photograph_offers_none(
    signed_in: Browser, book: str, shot: int
) -> None:
    assert not page_at(signed_in, book, "edges").all("figure", class_="placing")
    assert not page_at(signed_in, book, "back").all("details", id="fit")
    assert page_at(signed_in, book, "front").all("details", id="fit")


def test_by_its_own_edges_the_photograph_is_the_face(signed_in: Browser, book: str, shot: int) -> None:
    page = laid(signed_in, book, {"photo": str(shot), "fit": "corners"})
    # By hand: drawn 180 wide and 360 high, so across nothing changes and along 30 of 260 mm is 41.54 of 360.
    assert seen(page) == pytest.approx((20, 30 / 260 * 360), abs=0.01)
    assert "fitted by its own edges" in page.one("figcaption", class_="note").text
    assert "180 by 260 mm as last measured" in page.text


def test_by_four_corners_it_lies_where_they_are(signed_in: Browser, book: str, shot: int) -> None:
    corners = dict(zip(NUMBERS, ("10", "20", "60", "20", "60", "70", "10", "70"), strict=True))
    page = laid(signed_in, book, {"photo": str(shot), "fit": "corners", **corners})
    # By hand: the cover lies from 18 to 108 across and from 72 to 252 along, so 1 mm is 0.5 across and 180/260 along.
    assert seen(page) == pytest.approx((18 + 20 / 2, 72 + 30 * 180 / 260), abs=0.01)
    assert "by four corners set by hand" in page.text
    leaf = page.one("polygon", class_="leaf")
    assert leaf.attrs["points"] == "18.00,72.00 108.00,72.00 108.00,252.00 18.00,252.00"


def test_by_the_left_edge_it_is_turned_and_scaled(signed_in: Browser, book: str, shot: int) -> None:
    edge = {"edge1x": "90", "edge1y": "10", "edge2x": "10", "edge2y": "10", "mm": "144"}
    page = laid(signed_in, book, {"photo": str(shot), "fit": "edge", **edge})
    # By hand: the edge runs from (162, 36) to (18, 36), 144 to the left for 144 mm: 1 to 1, a quarter turn. What lies 30
    # below the head lies 30 to the left of it, and what lies 20 to the right lies 20 below, for nothing is mirrored.
    assert seen(page) == pytest.approx((162 - 30, 36 + 20), abs=0.01)
    assert "two points set by hand at the ends of the left edge, 144 mm apart" in page.text


def test_without_points_it_is_not_laid_under_and_that_is_said(signed_in: Browser, book: str, shot: int) -> None:
    page = laid(signed_in, book, {"photo": str(shot), "fit": "edge"})
    assert page.one("figure", class_="placing").one("rect", class_="leaf")
    assert "It is not laid under yet" in page.text
    assert page.one("input", id="ground.front.mm").attrs["value"] == "260"


WRONG = [
    ({"fit": "edge", "edge1x": "5"}, "edge1y", "from 0 to 100"),
    ({"fit": "edge", "edge1x": "5", "edge1y": "5", "edge2x": "5", "edge2y": "5"}, "edge2x", "same place"),
    ({"fit": "edge", "edge1x": "5", "edge1y": "5", "edge2x": "5", "edge2y": "9", "mm": "nan"}, "mm", "such as 260"),
    ({"fit": "edge", "edge1x": "5", "edge1y": "5", "edge2x": "5", "edge2y": "9", "mm": "0"}, "mm", "such as 260"),
    ({"fit": "corners", "corners1x": "101"}, "corners1x", "from 0 to 100"),
    ({"fit": "corners", "corners1x": "100", "corners2x": "0"}, "corners1x", "do not go round one face"),
]


@pytest.mark.parametrize(("said", "field", "mend"), WRONG)
def test_points_that_fit_nothing_are_told_at_their_field(
    signed_in: Browser, book: str, shot: int, said: dict[str, str], field: str, mend: str
) -> None:
    page = laid(signed_in, book, {"photo": str(shot), **said})
    assert mend in page.one("p", id=f"ground.front.{field}-fault").text
    assert page.one("figure", class_="placing").all("rect", class_="leaf")


def test_the_photograph_stays_while_the_book_is_turned(signed_in: Browser, book: str, shot: int) -> None:
    laid(signed_in, book, {"photo": str(shot), "fit": "corners"})
    turn(signed_in, book, "spine")
    assert page_at(signed_in, book, "front").one("figure", class_="placing").all("image")
