"""The order in which things are taken to have happened: where dates leave a choice, one in which the rules hold."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import timedelta
from itertools import permutations
from typing import Any

import pytest
from hypothesis import event, given, settings
from hypothesis import strategies as st

from ledger.book import Status
from ledger.entry import Entry
from ledger.events import Event
from ledger.events._parts import Face
from ledger.events.custody import Custody, Direction, Hands
from ledger.events.photograph import Photograph
from ledger.events.purchase import Means
from ledger.events.sale import Disclosed, Sale
from ledger.events.slab import Slab
from ledger.events.submission import Ask, Stage, Submission
from ledger.history import broken, history
from ledger.mended import Moment
from tests.builders import (
    BOOK,
    CODEC,
    a_purchase,
    a_slab,
    a_stated_grade,
    against,
    an_entry,
    an_examination,
    an_intervention,
    an_opening,
    chain,
    folded,
    on,
)


def a_sale(when: str | None) -> Sale:
    return Sale(on=on(when), disclosed=Disclosed.WORK)


def graded(when: str | None, **changes: Any) -> Slab:
    return Slab(**{"on": on(when), "batch": "spring", "stated": a_stated_grade("9.4", "9.4"), **changes})


def sent(when: str | None, **changes: Any) -> Submission:
    return Submission(**{"on": on(when), "batch": "spring", "asks": Ask.GRADE, **changes})


def inside(when: str | None) -> Photograph:
    return Photograph(on=on(when), original="a" * 64, clean="b" * 64, face=Face.INSIDE)


DATES = st.sampled_from(
    [None, "200X", "2003", "2003-05", "2003-05-05", "2003-05-05", "2003-05-05T10:00:00Z", "2003-02/2003-09", "2004"]
)
HAPPENS: st.SearchStrategy[Event] = st.one_of(
    DATES.map(an_opening),
    DATES.map(an_examination),
    DATES.map(lambda when: an_intervention(when=when)),
    DATES.map(inside),
    DATES.map(a_sale),
    DATES.map(lambda when: a_purchase(when, means=Means.CAME_BACK)),
    DATES.map(sent),
    DATES.map(lambda when: sent(when, stage=Stage.SHIPPED_BACK, asks=None)),
    DATES.map(graded),
    DATES.map(lambda when: Custody(on=on(when), direction=Direction.OUT, to_whom=Hands.FRAMER)),
    DATES.map(lambda when: Custody(on=on(when), direction=Direction.BACK)),
)
STORIES = st.builds(
    lambda first, more: [first, *more],
    st.sampled_from([a_purchase("2002"), a_slab("2002"), a_slab("200X")]),
    st.lists(HAPPENS, min_size=1, max_size=5),
)


def numbers(moments: Sequence[Moment]) -> list[int]:
    return [moment.entry.seq for moment in moments]


def allowed(moments: Sequence[Moment]) -> Iterator[Sequence[Moment]]:
    """Every order that contradicts no certain precedence of two dates."""
    for order in permutations(moments):
        dates = [moment.event.on for moment in order]
        pairs = ((dates[i], dates[j]) for i in range(len(dates)) for j in range(i))
        if not any(late and early and late.certainly_before(early) for late, early in pairs):
            yield order


def accepted(story: Sequence[Event]) -> list[Entry]:
    """The chain of what the door takes of a story, one entry after another."""
    entries: list[Entry] = []
    for each in story:
        refused, _ = against(entries, each)
        if not refused:
            entries.append(an_entry(each, len(entries) + 1))
    return entries


@settings(max_examples=150, deadline=None)
@given(STORIES)
def test_if_there_is_an_order_in_which_all_rules_hold_it_is_taken(story: list[Event]) -> None:
    moments = history(chain(*story), CODEC)
    assert numbers(moments) in [numbers(order) for order in allowed(moments)]
    fewest = min(len(broken(BOOK, order)) for order in allowed(moments))
    event(f"rules hold: {fewest == 0}")
    assert (not broken(BOOK, moments)) == (fewest == 0)


@settings(max_examples=150, deadline=None)
@given(STORIES)
def test_whatever_the_door_takes_breaks_no_rule_in_the_books_own_history(story: list[Event]) -> None:
    entries = accepted(story)
    assert broken(BOOK, history(entries, CODEC)) == []


@settings(max_examples=100, deadline=None)
@given(STORIES, st.permutations(range(6)))
def test_the_order_hangs_on_no_clock(story: list[Event], hours: list[int]) -> None:
    entries = chain(*story)
    turned = [
        replace(each, recorded=each.recorded + timedelta(hours=hour * 1000))
        for each, hour in zip(entries, hours[: len(entries)], strict=True)
    ]
    assert numbers(history(turned, CODEC)) == numbers(history(entries, CODEC))


@settings(max_examples=100, deadline=None)
@given(STORIES)
def test_where_the_recorded_order_breaks_no_rule_nothing_is_moved(story: list[Event]) -> None:
    entries = [replace(each, event=replace(each.event, on=on("2003"))) for each in chain(*story)]
    if not broken(BOOK, [Moment(entry=each, event=each.event) for each in entries]):
        event("nothing broken")
        assert numbers(history(entries, CODEC)) == [each.seq for each in entries]


@pytest.mark.parametrize("when", ["2010", "2009/2010", None])
def test_a_grade_written_after_a_sale_counts_before_it(when: str | None) -> None:
    unknown = graded(when, batch=None, submission_known=False)
    story = (a_purchase("2001-01-01"), a_sale("2010-06-01"), unknown)
    refused, warned = against(chain(*story[:2]), unknown)
    assert refused == []
    assert {problem.rule for problem in warned} == {"slab.0"}
    book = folded(*story)
    assert [(step.seq, step.stated.as_written) for step in book.grades] == [(3, "9.4")]
    assert book.status is Status.GONE


def test_what_must_be_moved_together_is_moved_together() -> None:
    # Neither the way out nor the way back alone would stand behind the day on which the book was sold.
    story = (a_slab("2001"), a_sale("2010-06-01"), sent("2010"), graded("2010"), an_opening("2010"), inside("2010"))
    assert numbers(history(chain(*story), CODEC)) == [1, 3, 4, 5, 6, 2]
    assert len(accepted(story)) == len(story)


def test_a_day_stands_before_all_vague_dates_that_it_needs_to() -> None:
    story = (
        a_slab("2001"),
        an_opening("2010"),
        a_sale("2010"),
        graded("2010-06-01", batch=None, submission_known=False),
    )
    assert numbers(history(chain(*story), CODEC))[-1] == 3
    assert broken(BOOK, history(chain(*story), CODEC)) == []


def test_where_no_order_is_right_the_one_that_breaks_fewest_rules_is_taken() -> None:
    story = (a_purchase("2001-01-01"), a_sale("2010-06-01"), an_examination("2010"), an_examination("2011"))
    moments = history(chain(*story), CODEC)
    assert numbers(moments) == [1, 3, 2, 4]
    assert [each.seq for each in broken(BOOK, moments)] == [4]


def test_a_long_history_with_a_rule_that_is_broken_for_good_is_told_all_the_same() -> None:
    looks = [an_examination("2010") for _ in range(150)]
    story = (a_purchase("2001-01-01"), an_opening("2000"), a_sale("2010-06-01"), *looks)
    moments = history(chain(*story), CODEC)
    assert len(moments) == len(story)
    assert broken(BOOK, moments)[0].seq == 2
