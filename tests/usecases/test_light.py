"""The light of books as it is read: from the entries, by the rules ruled on, with the class the collector chose."""

from datetime import UTC, date, datetime
from typing import Any

import pytest

from ledger.actor import Actor, Permission
from ledger.care import CareRow, Drawer
from ledger.errors import ForbiddenError, InvalidError, NotFoundError
from ledger.events._parts import Answer
from ledger.events.ruling import NewValue, Ruling
from ledger.events.sale import Disclosed, Sale
from ledger.history import history
from ledger.light_spot import Known
from ledger.rules.light import LightClass
from ledger.usecases.light import (
    WHY_MOST,
    ClassSaid,
    light_of_book,
    light_within,
    lights_on_walls,
    set_light_class,
)
from ledger.usecases.light_what_if import WhatIf, what_if
from tests.builders import a_purchase, an_issue, on
from tests.lit import a_reading, a_room, boxed, hung
from tests.usecases.telling import OWNER, Teller

FIFTY = a_room("2020-01-01", a_reading("50", "4"), a_reading("0", "20"))


@pytest.fixture
def book(teller: Teller) -> str:
    """A book that hangs since the start of 2024, at 200 lx h a day."""
    teller.add(None, FIFTY)
    bought = teller.buy(on=on("2024-01-01"), issue=an_issue(cover_date=on("1962-05")))
    teller.add(bought, hung("2024-01-01"))
    return bought


def problems(teller: Teller, book: str, **asked: Any) -> list[str]:
    with pytest.raises(InvalidError) as caught:
        what_if(teller.ledger, OWNER, book, WhatIf(**asked))
    return [each.field for each in caught.value.problems]


def test_the_light_of_a_book_is_counted_from_its_entries_until_today(teller: Teller, book: str) -> None:
    light = light_of_book(teller.ledger, OWNER, book).light
    days = (teller.ledger.clock.today() - date(2024, 1, 1)).days
    assert days > 0
    assert (light.since, light.total.days, light.total.unknown_days) == (date(2024, 1, 1), days, 0)
    assert light.total.extent.middle == days * 200
    assert light.series[-1] == (teller.ledger.clock.today(), light.total.extent)
    assert light.standing.book.light_class is LightClass.HIGH
    assert not light.standing.chosen


def test_what_hangs_is_read_in_one_moment_as_each_book_is_alone(teller: Teller, book: str) -> None:
    other = teller.buy(on=on("2024-02-01"))
    teller.add(other, hung("2024-03", x="150"))
    stored = teller.buy(on=on("2024-02-01"))
    teller.add(stored, boxed("2024-02-02"))
    set_light_class(teller.ledger, OWNER, other, ClassSaid(light_class="low"))
    found = {each.book.id: each.light for each in lights_on_walls(teller.ledger, OWNER, 10)}
    assert found == {each: light_of_book(teller.ledger, OWNER, each).light for each in (book, other)}


def test_a_ruling_on_the_table_counts(teller: Teller, book: str) -> None:
    ruling = Ruling(
        table="light", row="high", version=1, values=(NewValue(field="most_lux_hours_a_year", value="30000"),)
    )
    before = light_of_book(teller.ledger, OWNER, book).light.here
    teller.add(None, ruling)
    after = light_of_book(teller.ledger, OWNER, book).light.here
    assert before is not None
    assert after is not None
    assert before.days is not None
    assert after.days is not None
    assert (before.days.middle, after.days.middle) == (75, 150)


def test_a_ruling_on_how_light_it_is_in_a_house_counts_where_nobody_measured(teller: Teller) -> None:
    # Our assumption: from 1 over 3 to 12 hours of what is common on a wall of a room without a window, 20, 50 and 100 lx.
    teller.add(None, a_room("2020-01-01", readings=()))
    bought = teller.buy(on=on("2024-01-01"), issue=an_issue(cover_date=on("1962-05")))
    teller.add(bought, hung("2024-01-01"))
    days = (teller.ledger.clock.today() - date(2024, 1, 1)).days
    shipped = light_of_book(teller.ledger, OWNER, bought).light.total.extent
    assert (shipped.low, shipped.middle, shipped.high) == (days * 20, days * 150, days * 1200)
    given = {"lux": "30", "lux_high": "60", "hours_low": "2", "hours": "4", "hours_high": "99"}
    values = tuple(NewValue(field=name, value=value) for name, value in given.items())
    teller.add(None, Ruling(table="lit_places", row="corridor", version=1, values=values))
    ruled = light_of_book(teller.ledger, OWNER, bought).light.total.extent
    assert (ruled.low, ruled.middle, ruled.high) == (days * 40, days * 120, days * 60 * 24)


def test_the_class_that_was_chosen_counts_until_it_is_left_to_the_table_again(teller: Teller, book: str) -> None:
    said = ClassSaid(light_class="medium", why="  Coated,\n reprinted later ", signature_class="low")
    set_light_class(teller.ledger, OWNER, book, said)
    standing = light_of_book(teller.ledger, OWNER, book).light.standing
    assert (standing.book.light_class, standing.chosen, standing.why) == (
        LightClass.MEDIUM,
        True,
        "Coated, reprinted later",
    )
    assert (standing.signature.light_class, standing.signature_chosen) == (LightClass.LOW, True)
    assert standing.default.light_class is LightClass.HIGH
    set_light_class(teller.ledger, OWNER, book, ClassSaid())
    standing = light_of_book(teller.ledger, OWNER, book).light.standing
    assert (standing.book.light_class, standing.chosen, standing.why) == (LightClass.HIGH, False, "")
    assert not standing.signature_chosen


def test_setting_the_class_leaves_all_else_in_the_row_as_it_is(teller: Teller, book: str) -> None:
    care = teller.ledger.care
    assert care is not None
    made = datetime(2024, 5, 1, tzinfo=UTC)
    care.write(lambda writer: writer.put(Drawer.CARE, CareRow(id=book, made=made, said={"due": "2025"})))
    set_light_class(teller.ledger, OWNER, book, ClassSaid(light_class="low"))
    with care.read() as reader:
        row = reader.row(Drawer.CARE, book)
    assert row == CareRow(id=book, made=made, said={"due": "2025", "light_class": "low"})


def test_a_row_that_says_nonsense_is_left_to_the_table(teller: Teller, book: str) -> None:
    care = teller.ledger.care
    assert care is not None
    said = {"light_class": ["x"], "why": 7, "signature_class": "purple"}
    care.write(lambda writer: writer.put(Drawer.CARE, CareRow(id=book, made=teller.ledger.clock.now(), said=said)))
    standing = light_of_book(teller.ledger, OWNER, book).light.standing
    assert not standing.chosen
    assert not standing.signature_chosen


def test_a_class_that_is_none_and_too_long_a_reason_are_refused_together(teller: Teller, book: str) -> None:
    said = ClassSaid(light_class="purple", why="x" * (WHY_MOST + 1), signature_class="blue")
    with pytest.raises(InvalidError) as caught:
        set_light_class(teller.ledger, OWNER, book, said)
    assert [each.field for each in caught.value.problems] == ["light_class", "signature_class", "why"]


def test_a_class_is_set_by_who_may_record_and_of_a_book_that_is_there(teller: Teller, book: str) -> None:
    reader = Actor(id="reader", scopes=frozenset({Permission.READ}))
    with pytest.raises(ForbiddenError):
        set_light_class(teller.ledger, reader, book, ClassSaid(light_class="low"))
    with pytest.raises(NotFoundError):
        set_light_class(teller.ledger, OWNER, "b" * 26, ClassSaid(light_class="low"))
    assert light_of_book(teller.ledger, reader, book).light.here is not None


def test_a_record_counts_until_the_day_on_which_it_is_made(teller: Teller, book: str) -> None:
    with teller.ledger.log.read() as reader:
        moments = history(reader.of_book(book), teller.ledger.codec)
        state = light_of_book(teller.ledger, OWNER, book).book
        light = light_within(teller.ledger, reader, state, moments, {}, date(2024, 1, 11))
    assert light.total.extent.middle == 10 * 200


def test_another_spot_less_light_and_a_filter_each_say_what_a_year_would_come_to(teller: Teller, book: str) -> None:
    teller.add(None, a_room("2020-02-01", a_reading("50", "4"), a_reading("0", "20"), a_reading("20", "24", x="300")))

    def a_year(**asked: Any) -> Any:
        found, prospect = what_if(teller.ledger, OWNER, book, WhatIf(**asked))
        assert found == light_of_book(teller.ledger, OWNER, book)
        assert prospect.a_year is not None
        return prospect

    assert a_year().a_year.middle == 200 * 365
    assert a_year(dim_to_percent=50).a_year.middle == 100 * 365
    assert a_year(dim_to_percent=50).days.middle == 150
    assert a_year(room="r", wall="n", x_cm="300", y_cm="150").a_year.middle == 480 * 365
    assert a_year(lux="30", hours_per_day="4").days.middle == 125
    assert a_year(lux="30", hours_per_day="4").copies == 3
    assert a_year().light.filtered is Answer.UNSURE
    filtered = a_year(uv_filter=Answer.YES)
    assert filtered.light.filtered is Answer.YES
    assert filtered.years.middle > a_year().years.middle


def test_what_was_stored_in_a_box_can_be_tried_on_a_wall(teller: Teller, book: str) -> None:
    teller.add(book, boxed("2024-06-01"))
    now, then = what_if(teller.ledger, OWNER, book, WhatIf(room="r", wall="n"))
    assert now.light.here is not None
    assert now.light.here.light.known is Known.DARK
    assert then.light.known is Known.MEASURED


@pytest.mark.parametrize(
    ("asked", "fields"),
    [
        ({"lux": "-1", "hours_per_day": "25"}, ["lux", "hours_per_day"]),
        ({"lux": "many", "hours_per_day": "NaN"}, ["lux", "hours_per_day"]),
        ({"lux": "50"}, ["hours_per_day"]),
        ({"room": "r", "wall": "n", "x_cm": "5"}, ["y_cm"]),
        ({"dim_to_percent": 101}, ["dim_to_percent"]),
        ({"wall": "n"}, ["room"]),
        ({"room": "attic", "wall": "n"}, ["room"]),
        ({"room": "r"}, ["wall"]),
        ({"room": "r", "wall": "x"}, ["wall"]),
    ],
)
def test_what_makes_no_spot_and_no_light_is_refused(
    teller: Teller, book: str, asked: dict[str, Any], fields: list[str]
) -> None:
    assert problems(teller, book, **asked) == fields


def test_where_the_light_of_now_is_not_known_a_spot_is_asked_for(teller: Teller) -> None:
    book = teller.buy()
    assert problems(teller, book, dim_to_percent=50) == ["room"]


def test_a_book_that_left_has_the_light_it_had_here_and_no_spot(teller: Teller, book: str) -> None:
    teller.add(book, Sale(on=on("2024-01-11"), disclosed=Disclosed.NOT_APPLICABLE))
    light = light_of_book(teller.ledger, OWNER, book).light
    assert (light.total.days, light.total.unknown_days) == (10, 0)
    assert light.total.extent.high == 10 * 200
    assert light.until == date(2024, 1, 11)
    assert light.here is None


def test_what_it_had_while_somebody_else_owned_it_is_not_known(teller: Teller, book: str) -> None:
    teller.add(book, Sale(on=on("2024-01-11"), disclosed=Disclosed.NOT_APPLICABLE))
    teller.add(book, a_purchase("2024-01-31", issue=an_issue()))
    teller.add(book, hung("2024-01-31"))
    light = light_of_book(teller.ledger, OWNER, book).light
    assert light.total.unknown_days == 20
    assert light.total.extent.middle == (light.total.days - 20) * 200
