"""What an entry says in words: every open field, every sealed one, and what it said before it was corrected."""

from datetime import UTC, datetime

import pytest

from ledger.events import KINDS, NotUnderstood
from ledger.events._parts import Holding
from ledger.events._settings import Settings
from ledger.events.correction import Correction
from ledger.events.identification import Identification
from ledger.events.placement import Around, Housing, Placement, Spot
from ledger.events.valuation import Comparable, Method, Valuation
from ledger.events.withdrawal import Withdrawal
from ledger.history import history
from ledger.rules.grades import Grade
from ledger.sealed import Sealed
from tests.builders import (
    CODEC,
    a_defect,
    a_purchase,
    a_stated_grade,
    an_examination,
    an_intervention,
    an_issue,
    chain,
    on,
    shut,
    usd,
)
from web.brief import brief, brief_when, written_apart
from web.numbers import and_so_on, length, number, or_else
from web.said import changes_of, in_full, reason_of, said_of, sealed_of, unsaid_of


def lines(event: object, name: str) -> tuple[str, ...]:
    return next(each.lines for each in said_of(event) if each.name == name)  # type: ignore[arg-type]  # any event


def test_a_part_of_several_fields_is_told_line_by_line() -> None:
    purchase = a_purchase(stated=a_stated_grade("VF/NM", "9.0"))
    assert lines(purchase, "issue") == ("Series title: Captain Lantern", "Number: 14", "Series start year: 1962")
    assert lines(purchase, "stated")[:2] == ("Grade as written: VF/NM", "Steps: 9.0")


def test_a_measure_has_its_unit_and_a_technique_its_title() -> None:
    assert lines(an_examination(height_mm="260"), "height_mm") == ("260 mm",)
    step = an_intervention("hot-press-dry", settings=Settings(set_celsius="65", hold_minutes=10))
    assert lines(step, "technique") == ("Hot press, dry",)
    assert lines(step, "settings") == ("Temperature set: 65 °C", "Hold: 10 min")


def test_a_list_has_one_line_for_each() -> None:
    look = an_examination(defects=(a_defect(), a_defect("d2", size_mm="3")))
    assert lines(look, "defects") == (
        "d1; bend; front; Breaks colour: no; Size: 12 mm",
        "d2; bend; front; Breaks colour: no; Size: 3 mm",
    )


def test_what_is_not_known_is_named_together_and_never_shown_as_a_value() -> None:
    purchase = a_purchase()
    assert {"Holder number", "Stated grade"} <= set(unsaid_of(purchase))
    assert not {"holder_number", "stated"} & {each.name for each in said_of(purchase)}


@pytest.mark.parametrize("kind", KINDS)
def test_every_field_of_every_kind_is_either_open_or_sealed_or_when_it_happened(kind: str) -> None:
    made = KINDS[kind]
    titles = {each.metadata.get("title", each.name) for each in made.__dataclass_fields__.values()}
    assert None not in titles
    assert len(titles) == len(made.__dataclass_fields__), "no two fields of a kind are told under one name"


def test_a_sealed_field_is_open_empty_withheld_or_erased() -> None:
    purchase = a_purchase(seller=Sealed.of("A. Vendor"), price=Sealed.of(usd("1250.00")), venue=Sealed.erased())
    found = {each.name: (each.state, each.lines) for each in sealed_of(purchase)}
    assert found["seller"] == ("open", ("A. Vendor",))
    assert found["price"] == ("open", ("1,250.00\N{NO-BREAK SPACE}USD",))
    assert found["venue"] == ("erased", ())
    assert found["tax"] == ("empty", ())
    assert {each.state for each in sealed_of(shut(purchase))} == {"withheld"}


def test_a_sealed_list_is_told_part_by_part() -> None:
    sale = Comparable(on=on("2024-05-01"), grade=Grade("9.2"), price=usd("900.00"), where="A fair")
    valued = Valuation(method=Method.COMPARABLES, amount=Sealed.of(usd("900.00")), comparables_used=Sealed.of((sale,)))
    found = next(each for each in sealed_of(valued) if each.name == "comparables_used")
    assert found.lines == ("Sold: 1 May 2024; Grade: 9.2; Price: 900.00\N{NO-BREAK SPACE}USD; Where: A fair",)


def test_an_entry_of_a_newer_program_is_told_as_far_as_it_can_be() -> None:
    unknown = NotUnderstood(wire_kind="x-ray", version=3, body={"plates": 2})
    assert [(each.name, each.lines) for each in said_of(unknown)] == [("plates", ("2",))]
    assert unsaid_of(unknown) == ()


def test_a_correction_shows_both_states_one_after_the_other() -> None:
    first = Correction(entry=1, changes={"holding": "slabbed", "holder_number": "A-1"}, reason=Sealed.of("Misread."))
    second = Correction(entry=1, changes={"holder_number": "A-7"})
    moments = history(chain(a_purchase(), first, second), CODEC)
    found = changes_of(moments[0], moments, CODEC)
    assert [(each.by, each.field.name, each.field.lines, each.now.lines) for each in found] == [
        (2, "holding", ("raw",), ("slabbed",)),
        (2, "holder_number", ("not known",), ("A-1",)),
        (3, "holder_number", ("A-1",), ("A-7",)),
    ]
    assert moments[0].event.holding is Holding.SLABBED  # type: ignore[attr-defined]  # a purchase
    assert reason_of(first) == "Misread."


def test_a_sealed_field_that_was_sealed_anew_keeps_its_name() -> None:
    purchase = a_purchase(price=Sealed.of(usd("410.00")))
    entries = chain(purchase)
    correction = Correction(entry=1, changes={"price": {"minor": 4100, "currency": "USD", "exponent": 2}}).complete(
        entries
    )
    moments = history(chain(purchase, correction), CODEC)
    found = changes_of(moments[0], moments, CODEC)[0]
    assert (found.field.title, found.field.lines, found.now.lines) == (
        "Price",
        ("410.00\N{NO-BREAK SPACE}USD",),
        ("41.00\N{NO-BREAK SPACE}USD",),
    )
    assert "Price, new" in [each.title for each in sealed_of(correction)]
    assert "41" not in " ".join(lines(correction, "changes")), "a sealed value is told among the sealed ones alone"


def test_a_correction_says_its_new_values_in_the_words_of_the_fields_that_it_corrects() -> None:
    purchase = a_purchase(price=Sealed.of(usd("40.00")))
    changes = {
        "on": "2021-04-03",
        "stated": {"as_written": "VF 8.0", "steps": ["8.0"], "opinion_of": "seller", "matched_by": "not matched"},
        "price": {"minor": 125000, "currency": "USD", "exponent": 2},
    }
    correction = Correction(entry=1, changes=changes).complete(chain(purchase))
    moments = history(chain(purchase, correction), CODEC)
    said, sealed = in_full(next(each for each in moments if each.entry.seq == 2), moments, CODEC)
    told = {each.title: each.lines for each in said}
    assert told["Happened, new"] == ("3 April 2021",)
    assert told["Stated grade, new"][:2] == ("Grade as written: VF 8.0", "Steps: 8.0")
    assert "Changes" not in told
    assert [each.lines for each in sealed if each.title == "Price, new"] == [("1,250.00\N{NO-BREAK SPACE}USD",)]
    assert [each.state for each in sealed if each.title == "Seller, new"] == ["empty"]
    assert correction.summary() == "Corrects entry 1: Happened, Stated grade, Price"


def test_the_reason_of_a_withdrawal_is_told_and_other_kinds_have_none() -> None:
    assert reason_of(Withdrawal(entry=1, reason=Sealed.of("Entered twice."))) == "Entered twice."
    assert reason_of(a_purchase()) == ""


@pytest.mark.parametrize(
    ("event", "said"),
    [
        (a_purchase(holding=Holding.SLABBED, expects_arrival=True), "Bought, in a holder, under way"),
        (an_examination(defects=(a_defect(), a_defect("d2", gone=True))), "Examined: one defect, 1 gone"),
        (an_examination(), "Examined: none named"),
        (Identification(issue=an_issue(), how="indicia"), "Identified anew"),
        (Placement(spot=Spot.WALL, housings=(Housing(around=Around.FRAME),)), "Hung on the wall"),
    ],
)
def test_a_drawing_tells_an_event_in_few_words_without_the_title_of_the_book(event: object, said: str) -> None:
    assert brief(event) == said  # type: ignore[arg-type]  # any event
    assert "Captain Lantern" not in said


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("2023-04-03", "3 Apr 2023"),
        ("2023-04", "Apr 2023"),
        ("1987", "1987"),
        ("199X", "1990s"),
        ("2023-03-19/2023-03-20", "19 to 20 Mar 2023"),
        ("1997/1999", "1997 to 1999"),
        ("2024-05-01T14:30:00+02:00", "1 May 2024"),
        (None, "date not known"),
    ],
)
def test_a_drawing_tells_a_date_in_few_letters(text: str | None, said: str) -> None:
    assert brief_when(on(text)).replace("\N{NO-BREAK SPACE}", " ") == said


@pytest.mark.parametrize(
    ("text", "apart"),
    [
        ("2024-11-24", False),
        ("2024-11-23", False),
        ("2024-11-22", True),
        ("2024-11", False),
        ("1987", True),
        (None, True),
    ],
)
def test_two_dates_are_apart_when_more_than_a_day_lies_between_them(text: str | None, apart: bool) -> None:  # noqa: FBT001
    assert written_apart(on(text), datetime(2024, 11, 24, 20, tzinfo=UTC)) is apart


@pytest.mark.parametrize(
    ("days", "said"),
    [
        (1, "one day"),
        (22, "22 days"),
        (61, "two months"),
        (365, "twelve months"),
        (2440, "six years and eight months"),
        (730, "two years"),
        (13_000, "35 years"),
    ],
)
def test_a_length_of_time_is_no_more_exact_than_it_is_long(days: int, said: str) -> None:
    assert length(days) == said


def test_numbers_are_words_up_to_twelve_and_lists_end_in_a_word() -> None:
    assert [number(each) for each in (1, 12, 13, 1200)] == ["one", "twelve", "13", "1,200"]
    assert and_so_on(["a"]) == "a"
    assert and_so_on(["a", "b", "c"]) == "a, b and c"
    assert or_else(["a", "b"]) == "a or b"
