"""The pages of rotation: a plan is asked for, drawn, changed by hand, accepted; a swap that is checked off is written."""

from fractions import Fraction
from typing import Any

import pytest

from ledger.events.placement import Placement, Spot
from ledger.events.room import Basis, Reading, Room, Side, Wall
from ledger.ports import Ledger
from ledger.rotations import Rotation, Standing
from ledger.sealed import Sealed
from ledger.usecases.record import Draft, record
from ledger.usecases.rotation import look_at_rotations
from ledger.when import When
from tests.builders import a_purchase, an_issue, on
from tests.web.browser import Browser, form_to, forms_of, text_of
from tests.web.markup import read_page
from tests.web.shelves import sold
from tests.web.stories import OWNER, Shelf
from web.rotation_light import percent

PAGE, NEW = "/rotation", "/rotation/new"


@pytest.fixture
def books(ledger: Ledger) -> tuple[str, str]:
    """One that hangs, and one in a box."""
    hung = Placement(
        on=on("2025-01-05"), spot=Spot.WALL, room="r1", wall="w1", x_cm="60", y_cm="150", place=Sealed.of("landing")
    )
    boxed = Placement(on=on("2025-01-05"), spot=Spot.BOX, place=Sealed.of("Box 3"))
    first = Shelf(ledger).takes(a_purchase(issue=an_issue(title="Harbor Lamp")), hung)
    return first, Shelf(ledger).takes(a_purchase(issue=an_issue(title="Night Ferry")), boxed)


def asked(browser: Browser, **changes: Any) -> Any:
    form = next(
        each for each in forms_of(browser.get(f"{NEW}?place=Box 3")) if each.method == "post" and each.action == NEW
    )
    said = {"starts": "2 January 2026", "weeks": "4", "count": "2", "s1.light": "400", **changes}
    return browser.post(NEW, {**form.fields, **said})


def only(ledger: Ledger) -> Rotation:
    (plan,) = look_at_rotations(ledger, OWNER)
    return plan


def test_where_there_is_none_the_page_starts_one_and_without_a_spot_says_what_to_do(signed_in: Browser) -> None:
    assert read_page(signed_in.get(PAGE).text).one("main").all("a", href=NEW, class_="next")
    assert "No book hangs at a stated spot." in text_of(signed_in.get(NEW))


def test_a_plan_is_asked_for_drawn_and_told(signed_in: Browser, ledger: Ledger, books: tuple[str, str]) -> None:
    answer = asked(signed_in)
    assert answer.status_code == 303, text_of(answer)
    plan = only(ledger)
    assert plan.rows == ((books[0],), (books[1],))
    # By hand: 28 days of 400 lx h are 11,200, of 600,000 (blue wool 2 with ultraviolet) 1.9 %; of twice 3,000,000 (blue
    # wool 3 without) 0.19 %, of half of 220,000 (blue wool 1 with) 10.2 %.
    assert plan.largest == Fraction(11_200, 600_000)
    answer = signed_in.follow(answer)
    page, said = read_page(answer.text), text_of(answer)
    assert "at about 1.9 % (0.19 to 10 %) of a just noticeable fade, and no plan of this wish comes below that." in said
    assert len(page.one("svg", class_="turns").all("rect")) == 2
    assert "not known" in said
    assert "is not known, and not nothing" in said
    assert "typed, not known whether ultraviolet is filtered" in said
    assert "no forecast of any copy" in said
    assert "25 years" not in said
    assert plan.spots[0].x_cm == "60"


def test_a_plan_is_changed_accepted_and_its_swaps_checked_off(
    signed_in: Browser, ledger: Ledger, books: tuple[str, str]
) -> None:
    first, second = books
    asked(signed_in)
    at = f"{PAGE}/{only(ledger).id}"
    change = form_to(signed_in.get(at), f"{at}/change")
    assert signed_in.post(change.action, {**change.fields, "row.0.0": second, "row.1.0": first}).status_code == 303
    assert only(ledger).rows == ((second,), (first,))
    with ledger.log.read() as reader:
        size = reader.head().size
    said = text_of(signed_in.follow(signed_in.post(f"{at}/accept", {})))
    assert "The plan counts from now on." in said
    assert only(ledger).standing is Standing.ACCEPTED
    with ledger.log.read() as reader:
        assert reader.head().size == size
    swap = form_to(signed_in.get(at), f"{at}/swap")
    done = signed_in.post(swap.action, {**swap.fields, "place": "Box 3"})
    assert done.status_code == 303, text_of(done)
    again = signed_in.post(swap.action, {**swap.fields, "place": "Box 3"})
    assert again.status_code == 303
    with ledger.log.read() as reader:
        assert reader.head().size == size + 2
        assert [reader.book(each).spot for each in books] == ["box", "wall"]
    assert only(ledger).done.keys() == {0}
    assert "Check swap 2 off" in text_of(signed_in.get(at))
    assert "This one counts" in text_of(signed_in.get(PAGE))
    assert signed_in.post(f"{at}/off", {}).status_code == 303
    assert look_at_rotations(ledger, OWNER) == ()


def test_what_cannot_be_read_comes_back_at_its_field_with_all_that_was_typed(
    signed_in: Browser, ledger: Ledger, books: tuple[str, str]
) -> None:
    answer = asked(signed_in, **{"starts": "soon", "s1.light": "bright", f"{books[0]}.taken": "some"})
    assert answer.status_code == 422
    page = read_page(answer.text)
    for name in ("starts", "s1.light", f"{books[0]}.taken"):
        assert page.one("input", id=name).attrs["aria-invalid"] == "true"
    assert page.one("input", id="s1.light").attrs["value"] == "bright"
    pair = asked(signed_in, **{"apart.0.one": books[0], "apart.0.other": books[0]})
    assert pair.status_code == 422
    assert "Two different books" in text_of(pair)
    assert asked(signed_in, **{"apart.0.one": books[0]}).status_code == 422
    assert look_at_rotations(ledger, OWNER) == ()


def test_a_change_that_breaks_a_wish_is_refused_and_says_which(
    signed_in: Browser, ledger: Ledger, books: tuple[str, str]
) -> None:
    asked(signed_in, **{f"{books[1]}.days": "30"})
    at = f"{PAGE}/{only(ledger).id}"
    change = form_to(signed_in.get(at), f"{at}/change")
    refused = signed_in.post(change.action, {**change.fields, "row.0.0": books[1], "row.1.0": books[1]})
    assert refused.status_code == 422
    assert "It hangs 56 days, and 30 are allowed." in text_of(refused)
    accepted = signed_in.post(f"{at}/swap", {"number": "0"})
    assert accepted.status_code == 409
    assert "This plan is not accepted." in text_of(accepted)
    assert signed_in.post(f"{at}/swap", {"number": "x", "on": "soon", "kept_in": "wall"}).status_code == 422


@pytest.mark.parametrize(
    ("share", "said"),
    [
        (Fraction(0), "0 %"),
        (Fraction(1, 100_000), "less than 0.01 %"),
        (Fraction(187, 10_000), "1.9 %"),
        (Fraction(5, 4), "120 %"),
    ],
)
def test_a_share_is_told_to_two_figures(share: Fraction, said: str) -> None:
    assert percent(share) == said


@pytest.fixture
def lit(ledger: Ledger, books: tuple[str, str]) -> tuple[str, str]:
    """The same two, where the room of the first was stated."""
    record(ledger, OWNER, [Draft(event=a_room(on("2024-01-01")))])
    return books


def a_room(since: When | None, **more: Any) -> Room:
    """50 lx for 4 hours and else dark, 200 lx h a day, on its north wall."""
    wall = Wall(id="w1", width_cm="300", height_cm="250", side=Side.NORTH)
    readings = tuple(
        Reading(wall="w1", x_cm="60", y_cm="150", lux=lux, hours_per_day=hours, basis=Basis.MEASURED)
        for lux, hours in (("50", "4"), ("0", "20"))
    )
    return Room(on=since, room="r1", walls=(wall,), readings=readings, **more)


def test_where_the_ledger_knows_light_and_class_nothing_of_them_is_asked_for(
    signed_in: Browser, ledger: Ledger, lit: tuple[str, str]
) -> None:
    page = read_page(signed_in.get(f"{NEW}?place=Box 3").text).one("main")
    assert page.all("input", id="s1.light") == []
    assert page.all("input", id=f"{lit[0]}.taken") == []
    said = page.text
    assert "200 lux hours" in said
    assert "measured, not known whether ultraviolet is filtered" in said
    assert "High responsivity, blue wool 1 to 3" in said
    assert "which is not nothing" in said
    # The second lay in a box and was taken as dark: that is counted as none, and never told as a whole history of none.
    assert "none counted here" in said
    assert "0 %." not in said
    # 15,000 lx h a year at 200 lx h a day: 75 days, and 5 books fill a year.
    assert "75; 5 in turn" in said
    answer = asked(signed_in, **{"s1.light": "9", f"{lit[0]}.taken": "9"})
    assert answer.status_code == 303, text_of(answer)
    plan = only(ledger)
    assert (plan.spots[0].light.middle, plan.spots[0].known) == (Fraction(200), "measured")
    assert not plan.books[0].taken_typed


def test_the_drawing_calls_spots_by_the_names_that_the_tables_below_it_use(
    signed_in: Browser, ledger: Ledger, lit: tuple[str, str]
) -> None:
    long = "Room at the far end of the upper landing"
    record(ledger, OWNER, [Draft(event=a_room(on("2024-02-01"), name=Sealed.of(long)))])
    asked(signed_in)
    page = read_page(signed_in.get(f"{PAGE}/{only(ledger).id}").text)
    (row,) = (each for each in page.one("svg", class_="turns").all("g") if "north wall" in each.text)
    name, shown, wall_and_light = (each.text for each in (*row.all("title"), *row.all("text")))
    assert name == f"{long}, north wall, 60 cm, 200 lx h"
    assert shown == "Room at the far end of the upp…"
    assert wall_and_light == "north wall, 60 cm, 200 lx h"
    assert f"{long}, north wall, 60 cm from the left" in page.text


def test_a_plan_is_tried_in_another_light_and_nothing_of_it_is_kept(
    signed_in: Browser, ledger: Ledger, lit: tuple[str, str]
) -> None:
    asked(signed_in)
    plan = only(ledger)
    at = f"{PAGE}/{plan.id}"
    page = read_page(signed_in.get(f"{at}?dim_to_percent=50&uv_filter=yes").text)
    said = page.one("p", class_="then-said").text
    assert "In that light the book that comes to most of those that hang would be at" in said
    assert len(page.one("section", **{"aria-labelledby": "what-if"}).all("tr")) == 3
    assert only(ledger) == plan
    refused = signed_in.get(f"{at}?spot=s1&x_cm=10")
    assert refused.status_code == 422
    assert "Give this one too." in text_of(refused)
    assert signed_in.get(f"{at}?dim_to_percent=half").status_code == 422


def test_every_book_is_kept_within_the_limit_of_its_class_where_that_is_ticked(
    signed_in: Browser, ledger: Ledger, lit: tuple[str, str]
) -> None:
    assert asked(signed_in, within="yes", weeks="10", count="2").status_code == 303
    assert {each.lux_hours_a_year for each in only(ledger).books} == {15_000}
    refused = asked(signed_in, within="yes", weeks="13", count="4")
    assert refused.status_code == 422
    assert "There is no such plan." in text_of(refused)


def test_a_plan_is_still_read_when_one_of_its_books_has_left(
    signed_in: Browser, ledger: Ledger, lit: tuple[str, str]
) -> None:
    asked(signed_in)
    record(ledger, OWNER, [Draft(book=lit[1], event=sold())])
    answer = signed_in.get(f"{PAGE}/{only(ledger).id}")
    assert answer.status_code == 200
    assert "Night Ferry" in text_of(answer)
