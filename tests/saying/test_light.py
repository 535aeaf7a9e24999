"""What a record says of light: how much is known of it, who took the book for what, and never that there was none."""

from datetime import date
from typing import Any

from ledger.events._parts import Answer
from ledger.history import fold, history
from ledger.light_dose import rooms_of
from ledger.light_share import light_of, standing_of
from ledger.rules.light import LightClass, light_rules
from tests.builders import BOOK, CODEC, a_purchase, an_issue, on
from tests.lit import a_reading, a_room, boxed, house, hung
from tests.saying.saying import entries_of, facts_of, rows_of, section, sheet_of, text_of

RULES = light_rules()
MADE = date(2024, 1, 11)
DARK_ELSE = a_reading("0", "16")


def told(*events: Any, room: Any = None, chosen: LightClass | None = None, **more: Any) -> dict[str, str]:
    """The facts of a record that is made after ten days, with a room of 400 lx h a day."""
    moments = history(entries_of(events), CODEC)
    book = fold(BOOK, 1, moments)
    rooms = rooms_of(history(house(room or a_room("2020-01-01", a_reading(), DARK_ELSE)), CODEC), MADE)
    standing = standing_of(RULES, book, None if chosen is None else RULES.of_class(chosen), None, **more)
    light = light_of(book, moments, rooms, RULES, standing, MADE)
    return facts_of(section(sheet_of(*events, light=light, made=MADE), "care"))


def days_of(*events: Any, room: Any = None) -> list[dict[str, str]]:
    """The rows from which the sum is worked out again."""
    moments = history(entries_of(events), CODEC)
    book = fold(BOOK, 1, moments)
    rooms = rooms_of(history(house(room or a_room("2020-01-01", a_reading(), DARK_ELSE)), CODEC), MADE)
    light = light_of(book, moments, rooms, RULES, standing_of(RULES, book, None, None), MADE)
    care = section(sheet_of(*events, light=light, made=MADE), "care")
    return [row for row in rows_of(care) if "Light from" in row]


def bought(cover_date: str | None = "1962-05", when: str | None = "2024-01-01") -> Any:
    return a_purchase(when, issue=an_issue(cover_date=on(cover_date)))


def test_light_is_told_as_a_sum_and_as_a_share_of_a_fade_worked_out_by_hand() -> None:
    facts = told(bought(), hung("2024-01-01"), room=a_room("2020-01-01", a_reading(), DARK_ELSE, uv_filter=Answer.YES))
    assert facts["Light here"].startswith(
        "From 1 January 2024 to 11 January 2024: about 4,000 lux hours, between 4,000 and 4,000"
    )
    # 4,000 lx h of a million, of 6 million at the least sensitive and 150,000 at the most; 600,000 with ultraviolet.
    assert "about 0.4 %, between 0.067 and 2.7; as if no ultraviolet had been filtered 0.67 %" in facts["Fade"]
    assert "as if all had been 0.4 %. An index to compare by, no forecast." in facts["Fade"]


def test_what_it_had_before_it_came_is_not_known_even_where_all_since_is() -> None:
    facts = told(bought(), boxed("2024-01-01"))
    assert facts["Light"].startswith("How much light it had before it came here is not known.")
    assert "which is taken as dark" in facts["Light here"]


def test_days_of_which_nothing_is_known_are_counted_and_told() -> None:
    facts = told(bought(), hung("2024-01-05"))
    assert "Of 4 of 10 days the light is not, or may not be, known, so it may have been more." in facts["Light here"]
    assert "Of one of 10 days" in told(bought(), hung("2024-01-02"))["Light here"]


def test_where_of_no_day_anything_is_known_it_says_so_and_never_nothing() -> None:
    facts = told(bought())
    assert facts["Light here"] == "From 1 January 2024 to 11 January 2024: not known, of no day of them."
    assert facts["Fade"] == "Not known."
    assert facts["A signature, if there is one"].endswith("Its class is our assumption. Not known.")


def test_without_a_date_it_says_that_none_tells_since_when_it_was_here() -> None:
    assert "No date says since when it was here" in told(bought(when=None), hung(None))["Light here"]


def test_who_took_it_for_what_is_told_and_the_owners_reason_is_not() -> None:
    by_date = told(bought(), hung("2024-01-01"))["Light class"]
    assert by_date.startswith("High responsivity (CIE 157:2004), blue wool 1 to 3 (ISO 105-B08).")
    assert "by our assumption" in by_date
    assert "The cover has no date" in told(bought(None), hung("2024-01-01"))["Light class"]
    chosen = told(bought(), hung("2024-01-01"), chosen=LightClass.MEDIUM, why="canary reason")
    assert chosen["Light class"] == (
        "Medium responsivity (CIE 157:2004), blue wool 4 to 6 (ISO 105-B08). The owner chose it."
    )
    assert "canary" not in str(chosen)


def test_a_signature_is_told_apart() -> None:
    facts = told(bought(), hung("2024-01-01"), chosen=LightClass.NONE)
    assert facts["Fade"] == "Taken as not sensitive, so no fade is counted."
    assert "On it the light was about 0.67 % of a just noticeable fade" in facts["A signature, if there is one"]


def test_a_record_of_light_that_nobody_counted_says_that_it_is_not_known() -> None:
    facts = facts_of(section(sheet_of(bought(), hung("2024-01-01")), "care"))
    assert facts["Light"].startswith("How much light it has had is not known, here or before.")
    assert "Light here" not in facts
    assert "lux hours" not in text_of(sheet_of(bought()))


def test_the_sum_and_the_fade_are_worked_out_again_from_the_days_of_the_record_and_the_published_doses() -> None:
    room = a_room("2020-01-01", a_reading("50", "4"), a_reading("2", "20"), uv_filter=Answer.YES)
    events = (bought(), boxed("2024-01-01"), hung("2024-01-04"))
    rows = days_of(*events, room=room)
    assert [(row["Light from"], row["Days"], row["Known by"], row["Ultraviolet"]) for row in rows] == [
        ("1 January 2024", "3", "taken as dark", "none"),
        ("4 January 2024", "7", "a reading", "filtered"),
    ]
    total = sum(int(row["Days"]) * float(row["Middle"].replace(",", "")) for row in rows)
    assert total == 7 * 240
    facts = told(*events, room=room)
    assert "about 1,700 lux hours" in facts["Light here"], "1,680 to two figures"
    # Michalski, table 3, without ultraviolet: 1 million lux hours for blue wool 2.
    assert f"about {total / 1_000_000 * 100:.2g} %" in facts["Fade"]


def test_days_of_which_nothing_is_known_have_no_figure_and_never_zero() -> None:
    first, then = days_of(bought(), hung("2024-01-05"))
    assert {first[name] for name in ("Lux hours a day, least", "Middle", "Most")} == {"not known"}
    assert (first["Days"], first["Known by"]) == ("4", "not known")
    assert (then["Days"], then["Middle"]) == ("6", "400")


def test_days_that_a_vague_date_leaves_open_say_so() -> None:
    rows = days_of(bought(), hung("2024-01-02/2024-01-05"))
    assert any(row["Known by"].endswith("or not known") for row in rows)
