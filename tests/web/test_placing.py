"""Places on the ground: points, lines and areas where they were noted, on the book opened flat and on one face alone."""

import pytest

from ledger.bootstrap import OWNER
from ledger.events._parts import Face, Region
from ledger.usecases.look import look_at
from tests.builders import a_defect, a_purchase, an_examination
from tests.web.browser import Browser
from tests.web.markup import read_page
from tests.web.stories import Shelf
from web.fitting import to_scale
from web.overlay import Point
from web.placing import Laid, Leaf, drawn_on, face_ground, ground_of, on_picture

FLAT = Leaf(face="front", x=100.0, width=180.0, height=260.0)
WIDENED = Leaf(face="spine", x=10.0, width=9.0, height=260.0, scale=3.0)


# Worked by hand: from the left edge of the leaf on, three times as wide where it is drawn so.
@pytest.mark.parametrize(
    ("leaf", "region", "points"),
    [
        (FLAT, Region(x_mm="5", y_mm="7"), ""),
        (FLAT, Region(x_mm="5", y_mm="7", to_x_mm="25", to_y_mm="3.5"), "105.00,7.00 125.00,3.50"),
        (
            FLAT,
            Region(x_mm="5", y_mm="7", width_mm="10"),
            "105.00,7.00 115.00,7.00 115.00,7.00 105.00,7.00 105.00,7.00",
        ),
        (WIDENED, Region(x_mm="1", y_mm="7", to_x_mm="2", to_y_mm="9"), "13.00,7.00 16.00,9.00"),
    ],
)
def test_a_place_is_drawn_where_it_was_noted(leaf: Leaf, region: Region, points: str) -> None:
    seen = drawn_on(leaf, region, "d1")
    assert (seen.id, seen.points) == ("d1", points)


def test_on_a_photograph_it_is_drawn_where_the_photograph_shows_it(shelf: Shelf) -> None:
    region = Region(x_mm="10", y_mm="20")
    look = an_examination(defects=(a_defect("d1", face=Face.FRONT, region=region), a_defect("d2", face=Face.BACK)))
    seen = look_at(shelf.ledger, OWNER, shelf.takes(a_purchase(), look))
    # By hand: 100 mm are drawn 50 long, and the face begins at (30, 40).
    laid = Laid(picture="/p", tall=250.0, to_mm=to_scale(Point(30, 40), Point(30, 90), 100.0), said="by hand")
    ground = on_picture(seen, Face.FRONT, laid)
    assert [(each.id, each.x, each.y) for each in ground.seen] == [("d1", 35.0, 50.0)]
    assert (ground.picture, ground.fitted, ground.measured) == ("/p", "by hand", False)


def test_edges_and_details_have_no_face_to_draw_and_several_books_no_ground(shelf: Shelf) -> None:
    seen = look_at(shelf.ledger, OWNER, shelf.takes(a_purchase()))
    assert face_ground(seen, Face.EDGES) is None
    assert face_ground(seen, Face.DETAIL) is None
    assert ground_of([seen, seen]) is None


def test_a_line_is_a_line_on_the_map_of_the_condition(signed_in: Browser, shelf: Shelf) -> None:
    line = Region(x_mm="10", y_mm="20", to_x_mm="30", to_y_mm="25")
    look = an_examination(width_mm="180", height_mm="260", defects=(a_defect(face=Face.BACK, region=line),))
    book = shelf.takes(a_purchase(), look)
    drawn = read_page(signed_in.get(f"/books/{book}/condition").text).one("svg", class_="flat")
    assert drawn.one("g", class_="defect").one("polyline").attrs["points"] == "10.00,20.00 30.00,25.00"
    assert not drawn.one("g", class_="defect").all("circle")
