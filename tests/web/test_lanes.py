"""The lanes of a book: what stands in which, what its marks say, when it was raw or in a holder, its prints and grades."""

from datetime import UTC, date, datetime, timedelta
from itertools import combinations, pairwise
from typing import Any

import pytest

from ledger.entry import Entry
from ledger.events import Event
from ledger.events._parts import Face, Holding, Light
from ledger.events.arrival import Arrival
from ledger.events.count import Count
from ledger.events.custody import Custody, Direction, Hands
from ledger.events.note import Note
from ledger.events.photograph import Crop, Photograph
from ledger.events.placement import Placement, Spot
from ledger.events.purchase import Purchase
from ledger.events.slab import Slab
from ledger.events.submission import Ask, Submission
from ledger.events.withdrawal import Withdrawal
from ledger.history import Moment, history, states
from ledger.rules.headings import Heading
from ledger.sealed import Sealed
from tests.builders import (
    CODEC,
    a_purchase,
    a_slab,
    a_stated_grade,
    an_entry,
    an_examination,
    an_intervention,
    an_opening,
    on,
)
from web.lane_marks import Mark
from web.lanes import CLOSE, WIDE, Drawing, Row, drawings
from web.leaders import text_width

UNTIL = date(2026, 1, 1)


def moments_of(*events: Event, recorded: datetime | None = None) -> list[Moment]:
    """Each event written down on the day on which it happened, unless a moment is given."""
    entries: list[Entry] = []
    for seq, event in enumerate(events, start=1):
        day = event.on.latest_day if event.on else UNTIL
        written = datetime(day.year, day.month, day.day, 12, tzinfo=UTC) + timedelta(minutes=seq)
        entries.append(an_entry(event, seq, recorded=recorded or written))
    return history(entries, CODEC)


def drawing(*events: Event, recorded: datetime | None = None, plot: float = WIDE) -> Drawing:
    moments = moments_of(*events, recorded=recorded)
    return drawings(moments, states("a book", 1, moments), UNTIL, (plot,))[0]


def lane(of: Drawing, row: Row) -> tuple[Mark, ...]:
    return dict(of.lanes)[row].marks


def words(mark: Mark) -> list[str]:
    """What a mark says, without its digits; lines that were parted put together."""
    return [
        " ".join(line.text for line in item.lines if line.kind != "number").replace("\N{NO-BREAK SPACE}", " ")
        for item in mark.items
    ]


def a_photograph(when: str | None = "2024-02-06", nth: int = 1, **changes: Any) -> Photograph:
    digest = f"{nth:064x}"
    return Photograph(**{"on": on(when), "original": digest, "clean": digest, **changes})


def test_each_kind_stands_in_its_lane_and_care_with_custody() -> None:
    hung = Placement(on=on("2024-05-01"), spot=Spot.WALL)
    found = drawing(
        a_purchase(), an_examination(), an_intervention(), hung, Count(on=on("2024-12-30")), Note(on=on("2025-01-01"))
    )
    assert [row.value for row, _ in found.lanes] == ["custody", "condition", "work", "papers"]
    assert [words(mark) for mark in lane(found, Row.CUSTODY)] == [
        ["1 Feb 2024 Bought, raw"],
        ["1 May 2024 Hung on the wall"],
        ["30 Dec 2024 Counted: found"],
    ]
    assert [words(mark) for mark in lane(found, Row.PAPERS)] == [["1 Jan 2025 Note"]]


def test_a_lane_of_papers_is_drawn_only_when_there_are_any_the_others_always() -> None:
    found = drawing(a_purchase())
    assert [row.value for row, _ in found.lanes] == ["custody", "condition", "work"]
    assert lane(found, Row.WORK) == ()
    assert found.prints.height == 0
    assert found.grades.bars == ()


def test_a_step_of_work_is_a_box_with_its_heading_in_words() -> None:
    mark = lane(drawing(a_purchase(), an_intervention("tear-sealing")), Row.WORK)[0]
    assert mark.boxes == ((0.0, Heading.CONSERVATION),)
    assert words(mark) == ["10 Mar 2024 Tear sealing with paste and thin tissue conservation"]


def test_an_entry_leads_to_itself_by_the_first_digits_of_its_leaf() -> None:
    item = lane(drawing(a_purchase()), Row.CUSTODY)[0].items[0]
    assert item.seq == 1
    assert item.lines[-1].kind == "number"
    assert item.lines[-1].text.replace(" ", "") == an_entry(a_purchase(), 1).leaf[:8]


def test_both_dates_are_told_where_they_are_more_than_a_day_apart() -> None:
    late = datetime(2024, 11, 24, 9, tzinfo=UTC)
    assert words(lane(drawing(a_purchase("1987"), recorded=late), Row.CUSTODY)[0]) == [
        "1987 written 24 Nov 2024 Bought, raw"
    ]
    assert words(lane(drawing(a_purchase("2024-11-23"), recorded=late), Row.CUSTODY)[0]) == ["23 Nov 2024 Bought, raw"]


def test_a_vague_date_is_drawn_between_its_days_and_an_exact_one_is_not() -> None:
    vague, exact = lane(drawing(a_purchase("1987"), Note(on=on("2024"))), Row.CUSTODY)[0], drawing(a_purchase())
    assert vague.span is not None
    assert vague.span[0] < vague.x < vague.span[1]
    assert lane(exact, Row.CUSTODY)[0].span is None


def test_a_date_that_is_not_known_reaches_from_the_beginning_to_when_it_was_written_down() -> None:
    found = drawing(a_purchase("2020-01-01"), an_intervention("cold-press", None))
    mark = lane(found, Row.WORK)[0]
    assert not mark.known
    assert mark.span is not None
    assert mark.span[0] == found.axis.place(0)
    assert mark.x == mark.span[1]
    assert words(mark)[0].startswith("date not known written 1 Jan 2026")


def test_vague_dates_that_overlap_are_drawn_beside_each_other() -> None:
    steps = [an_intervention("cold-press", "199X"), an_intervention("dry-cleaning", "1990/1993")]
    marks = lane(drawing(a_purchase("1985"), *steps), Row.WORK)
    assert sorted(mark.rise for mark in marks) == [0, 5]


def test_what_happened_on_one_day_stands_at_one_mark_under_one_date() -> None:
    arrived = Arrival(on=on("2024-02-01"))
    mark = lane(drawing(a_purchase(expects_arrival=True), arrived), Row.CUSTODY)[0]
    assert words(mark) == ["1 Feb 2024 Bought, raw, under way", "Arrived"]


def test_more_than_a_few_at_one_mark_are_counted() -> None:
    mark = lane(drawing(a_purchase(), *(Note(on=on("2024-03-01")) for _ in range(7))), Row.PAPERS)[0]
    assert len(mark.items) == 4
    assert mark.more == 3


def test_a_withdrawn_entry_keeps_its_place_and_is_marked() -> None:
    found = drawing(a_purchase(), an_examination(), Withdrawal(on=on("2024-04-01"), entry=2))
    mark = lane(found, Row.CONDITION)[0]
    assert not mark.in_force
    assert words(mark) == ["5 Feb 2024 Examined: none named withdrawn"]


def told_bars(*events: Event) -> list[tuple[Holding, bool, str]]:
    return [(bar.holding, bar.away, bar.words) for bar in drawing(*events).bars]


def test_the_bars_tell_raw_from_slabbed_and_here_from_away() -> None:
    back = Slab(on=on("2025-06-01"), batch="b1", stated=a_stated_grade("9.2", "9.2"), holder_number="B-12")
    assert told_bars(
        a_slab(),
        an_opening("2024-08-01"),
        Submission(on=on("2025-01-01"), batch="b1", asks=Ask.GRADE),
        back,
    ) == [
        (Holding.SLABBED, False, "in holder A-77"),
        (Holding.RAW, False, "raw"),
        (Holding.RAW, True, ""),
        (Holding.SLABBED, False, "in holder B-12"),
    ]


def test_the_bars_follow_one_another_without_a_gap_while_the_book_is_held() -> None:
    out = Custody(on=on("2024-05-01"), direction=Direction.OUT, to_whom=Hands.FRAMER)
    back = Custody(on=on("2024-06-01"), direction=Direction.BACK)
    bars = drawing(a_purchase(), out, back).bars
    assert [bar.away for bar in bars] == [False, True, False]
    assert [bar.stop for bar in bars[:-1]] == [bar.start for bar in bars[1:]]
    assert bars[-1].stop == pytest.approx(99.0)


def test_prints_of_one_look_hang_together_in_the_order_they_were_taken() -> None:
    shots = [a_photograph("2024-02-06", nth) for nth in (1, 2, 3)] + [a_photograph("2025-02-06", 4)]
    groups = drawing(a_purchase(), *shots).prints.groups
    assert [[each.seq for each in group.prints] for group in groups] == [[2, 3, 4], [5]]
    assert groups[0].start < groups[0].foot < groups[1].foot


def test_a_print_says_what_it_shows_and_a_group_picture_only_its_part() -> None:
    crop = Crop(x_percent=50, y_percent=0, width_percent=50, height_percent=40)
    shot = a_photograph(face=Face.BACK, light=Light.RAKING, region=crop, width_px=1000, height_px=500)
    each = drawing(a_purchase(), shot).prints.groups[0].prints[0]
    assert (each.face, each.light, each.caption) == ("back", "raking", "back, raking light")
    assert each.href == f"/pictures/{shot.clean}?size=160&part=50,0,50,40"
    assert each.tall == 100 * (0.4 * 500) / (0.5 * 1000)


def test_any_number_of_photographs_has_room_in_one_row_of_looks() -> None:
    shots = [a_photograph(f"2024-{1 + nth % 12:02}-{1 + nth % 28:02}", nth) for nth in range(1, 61)]
    for plot in (WIDE, CLOSE):
        prints = drawing(a_purchase("2023-01-01"), *shots, plot=plot).prints
        assert sum(len(group.prints) for group in prints.groups) == 60
        spans = [
            (group.start / 100 * plot, group.start / 100 * plot + max(each.x for each in group.prints) + 60)
            for group in prints.groups
        ]
        assert all(stop < start for (_, stop), (start, _) in pairwise(spans))


def test_a_stated_grade_is_in_force_until_its_holder_is_opened_and_a_result_is_marked() -> None:
    back = Slab(on=on("2025-06-01"), batch="b1", stated=a_stated_grade("9.4", "9.4"), holder_number="B-12")
    found = drawing(
        a_slab(), an_opening("2024-08-01"), Submission(on=on("2025-01-01"), batch="b1", asks=Ask.GRADE), back
    )
    first, second = found.grades.bars
    assert (first.ended, first.own, first.word) == (True, False, "9.0")
    assert (second.ended, second.own, second.word) == (False, True, "9.4")
    assert second.from_before is not None
    assert second.from_before[0] == first.stop
    assert [row.word for row in found.grades.rows] == ["9.6", "9.4", "9.2", "9.0", "8.5"]
    assert second.top < first.top
    assert [sentence for _, sentence in found.grades.sentences] == [
        (
            "9.0, stated by a grading service, holder A-77, 1 February 2024; "
            "ended when the holder was opened, 1 August 2024."
        ),
        "9.4, a result of work sent from here: a grading service, holder B-12, 1 June 2025; in force.",
    ]


def test_rows_of_grades_are_equal_steps_and_never_a_measure() -> None:
    found = drawing(a_slab(stated=a_stated_grade("2 to 9.8", "2.0")), Note(on=on("2024-05-01"))).grades
    gaps = {round(two.y - one.y, 3) for one, two in pairwise(found.rows)}
    assert len(gaps) == 1


def seller_s(written: str, *steps: str) -> Purchase:
    stated = a_stated_grade(written, *steps)
    return a_purchase(stated=stated, stated_by=Sealed.of("A. Vendor"))


def test_a_grade_over_several_steps_covers_them_and_says_how_it_was_read() -> None:
    found = drawing(seller_s("VF to NM-", "8.0", "8.5", "9.0", "9.2")).grades
    assert found.bars[0].bottom - found.bars[0].top == 3 * 24
    assert found.sentences[0][1].startswith("VF to NM- (read as 8.0 to 9.2), stated by A. Vendor, 1 February 2024")


def test_a_grade_that_is_no_step_has_a_row_of_its_own() -> None:
    stated = a_stated_grade("fine, or nearly")
    found = drawing(a_purchase(stated=type(stated)(as_written="fine, or nearly"))).grades
    assert [row.word for row in found.rows] == ["no step"]
    assert found.sentences[0][1].startswith("fine, or nearly (no step of the scale)")


def texts(of: Drawing, plot: float) -> list[tuple[str, str, float, float, float, float]]:
    """Lane, text and box of every line of words, in px at the least width it is drawn at."""
    found = []
    for row, laid in of.lanes:
        for mark in laid.marks:
            foot = mark.foot / 100 * plot
            for item in mark.items:
                for line in item.lines:
                    wide = 66.0 if line.kind == "number" else text_width(line.text)
                    left = foot - 7 - wide if mark.left else foot + 7
                    y = mark.words + line.y
                    found.append((row.value, line.text, left, left + wide, y - 10, y + 3))
    return found


@pytest.mark.parametrize("plot", [WIDE, CLOSE])
@pytest.mark.parametrize("apart", [1, 5, 40])
def test_sixty_entries_have_words_of_their_own_and_none_lies_on_another(plot: float, apart: int) -> None:
    began = date(2019, 4, 3)
    days = [(began + timedelta(days=apart * step)).isoformat() for step in range(59)]
    events = [
        (an_examination(day), an_intervention("dry-cleaning", day), Count(on=on(day)))[step % 3]
        for step, day in enumerate(days)
    ]
    found = drawing(a_purchase(began.isoformat()), *events, plot=plot)
    assert sum(len(mark.items) + mark.more for _, laid in found.lanes for mark in laid.marks) == 60
    for one, two in combinations(texts(found, plot), 2):
        if one[0] == two[0]:
            across, down = min(one[3], two[3]) - max(one[2], two[2]), min(one[5], two[5]) - max(one[4], two[4])
            assert across <= 0.5 or down <= 0.5, (one, two)
    assert max(laid.height for _, laid in found.lanes) < 700
