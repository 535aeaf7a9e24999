"""A row becomes a purchase with its grade, and a placement, a value and a note where it says so."""

from datetime import date

from ledger.events.note import Note
from ledger.events.placement import Placement, Spot
from ledger.events.purchase import Means, Purchase
from ledger.events.valuation import Valuation
from ledger.history import fold, history
from ledger.importing.becomes import events_of, flaws_of
from ledger.importing.identity import Doubles, Why, row_key, short
from ledger.importing.reading import RowReader, Ways
from ledger.rows import listing
from ledger.sealed import Sealed
from ledger.when import When
from tests.builders import BOOK, CODEC, a_purchase, an_issue, chain, usd

TODAY = When.parse("2026-03-04")


def test_one_row_makes_all_that_it_says() -> None:
    reader = RowReader(
        ("title", "number", "grade", "price", "on", "place", "value", "note", "seller"),
        Ways(day=date(2026, 3, 4), currency="USD"),
    )
    row = reader.read(4, ("Amber Anchor", "14", "NM-", "12.50", "1998", "the safe", "40", "a gift to keep", "A fair"))

    purchase, placement, valuation, note = events_of(row, TODAY)

    assert isinstance(purchase, Purchase)
    assert purchase.stated is not None
    assert (str(purchase.issue), purchase.stated.as_written) == ("Amber Anchor 14", "NM-")
    assert purchase.price.value == usd("12.50")
    assert purchase.seller.value == "A fair"
    assert isinstance(placement, Placement)
    assert (placement.spot, placement.place.value) == (Spot.SAFE, "the safe")
    assert isinstance(valuation, Valuation)
    assert (valuation.amount.value, valuation.on) == (usd("40.00"), TODAY)
    assert isinstance(note, Note)
    assert note.words.value == "a gift to keep"


def test_a_row_with_nothing_more_makes_a_purchase_alone() -> None:
    row = RowReader(("title", "number"), Ways(day=date(2026, 3, 4))).read(1, ("Amber Anchor", "14"))

    assert [type(event) for event in events_of(row, TODAY)] == [Purchase]


def test_what_is_wrong_with_an_event_is_told_at_the_field_of_the_row() -> None:
    reader = RowReader(("title", "number", "means", "price", "holding", "holder_number"), Ways(day=date(2026, 3, 4)))
    row = reader.read(1, ("Amber Anchor", "14", "gift", "5 USD", "raw", "77"))

    assert row.read["means"] is Means.GIFT
    assert sorted(each.field for each in flaws_of(events_of(row, TODAY))) == ["holder_number", "price"]


def test_a_row_is_known_by_the_number_of_its_source_and_else_by_its_place_in_the_file() -> None:
    assert row_key("Boxes", "aa", 3, "17") == row_key("boxes", "bb", 9, "17")
    assert row_key("Boxes", "aa", 3, "17") != row_key("Shelves", "aa", 3, "17")
    assert row_key("Boxes", "aa", 3, None) == row_key("Shelves", "aa", 3, None)
    assert len({row_key("Boxes", "aa", number, None) for number in range(50)}) == 50
    assert row_key("Boxes", "aa", 3, None) != row_key("Boxes", "bb", 3, None)


def test_a_likely_double_is_of_the_same_issue_with_the_same_holder_number_price_or_day() -> None:
    issue = an_issue(title="Am\u00f3ber Anchor", number="14")
    entries = chain(a_purchase("1998-04-03", issue=issue, price=Sealed.of(usd("12.50"))))
    moments = history(entries, CODEC)
    doubles = Doubles({short("Amober anchor", "14")})
    doubles.take([listing(fold(BOOK, 1, moments), moments)])
    said = {"title": "Amober Anchor", "number": "14"}

    by_day = doubles.of(5, said | {"on": When.parse("1998-04-03")})
    by_price = doubles.of(6, said | {"price": usd("12.50")})

    assert by_day is not None
    assert (by_day.row, by_day.book, by_day.why) == (5, BOOK, Why.DAY)
    assert by_price is not None
    assert by_price.why is Why.PRICE
    assert doubles.of(7, said | {"price": usd("13.50")}) is None
    assert doubles.of(8, said | {"number": "15", "price": usd("12.50")}) is None
