"""What is said of the work on a book: done here, not done here, not known; each in its place, and no more than is known."""

from typing import Any

import pytest

from ledger.events import Event
from ledger.events._step import Ended
from ledger.events.earlier import Earlier, Verdict
from ledger.events.purchase import EarlierWork, Means
from ledger.events.sale import Disclosed, Sale
from ledger.history import fold, history
from ledger.rules.headings import Heading
from ledger.rules.techniques import techniques
from ledger.statement import statement
from ledger.when import When
from tests.builders import (
    BOOK,
    CODEC,
    a_defect,
    a_purchase,
    a_slab,
    an_examination,
    an_intervention,
    an_opening,
    chain,
    on,
    worked_on,
)
from web.telling import Beside, Known, Telling, tell
from web.wording import t


def told(*events: Event, **beside: Any) -> Telling:
    moments = history(chain(*events), CODEC)
    return tell(statement(fold(BOOK, 1, moments), moments), Beside(**beside))


def said(*events: Event, **beside: Any) -> list[tuple[str, str]]:
    return [(clause.known.value, clause.words) for clause in told(*events, **beside).sentence]


def test_steps_are_counted_in_words_and_nothing_added_holds_for_all_of_them() -> None:
    steps = [
        an_intervention("dry-cleaning", "2024-03-10"),
        an_intervention("hot-press-dry", "2024-03-12"),
        an_intervention("hot-press-dry", "2024-03-20"),
    ]
    assert said(a_purchase(earlier_work=EarlierWork.DENIED), *steps) == [
        (
            "done",
            "Done here since 1 February 2024: one dry surface cleaning and two dry hot pressings, with nothing added",
        ),
        ("not-done", "not done here: any conservation or restoration"),
        ("not-known", "not known before that date, when the seller denied any earlier work"),
    ]


def test_a_book_nothing_was_done_to_says_so_without_a_word_on_what_was_before() -> None:
    assert said(a_purchase()) == [
        ("not-done", "Not done here since 1 February 2024: any non-additive work, conservation or restoration"),
        ("not-known", "not known before that date, when the seller said nothing of earlier work"),
    ]


def test_work_under_several_headings_is_told_by_heading_the_highest_last() -> None:
    steps = [an_intervention("colour-touch"), an_intervention("tear-sealing"), an_intervention("cold-press")]
    done, not_known = told(a_purchase(), *steps).sentence
    assert done.words == (
        "Done here since 1 February 2024: one cold pressing, which added nothing; as conservation one tear sealed with "
        "paste and thin tissue; as restoration one colour touch"
    )
    assert not_known.known is Known.NOT_KNOWN


def test_no_book_is_ever_called_unrestored() -> None:
    for each in techniques():
        for events in ((a_purchase(),), (a_purchase(), an_intervention(each.id))):
            telling = told(*events)
            everything = " ".join([telling.text, *telling.notes, *(clause.words for clause in telling.more)])
            assert "unrestored" not in everything.casefold()
            assert telling.sentence[-1].known is Known.NOT_KNOWN


def test_every_technique_of_the_table_is_counted_in_words_of_its_own() -> None:
    for each in techniques():
        for count, number in ((1, "one"), (2, "two")):
            words = t.n(f"book.steps.{each.id}", count, number=number)
            assert words.startswith(number)
            assert words != t.n("book.steps.unknown-technique", count, number=number, title=each.title)


def test_a_technique_this_program_does_not_know_is_told_by_its_name_and_settles_nothing() -> None:
    telling = told(a_purchase(), an_intervention("vapour-trail"))
    assert "under a heading that is not settled one step of “vapour-trail”" in telling.text
    assert telling.more[0].words.startswith("The heading of “vapour-trail” on 10 March 2024, entry 2, is not settled")


def test_a_step_that_is_not_settled_takes_back_what_was_said_of_the_headings_above_it() -> None:
    telling = told(a_purchase(), an_intervention("tape-removal"))
    assert telling.sentence[1].words == (
        "not done here: any non-additive work, conservation or restoration, "
        "unless the step whose heading is not settled was one"
    )
    assert telling.more[0].known is Known.NOT_KNOWN
    assert (telling.counts[-1].heading, telling.counts[-1].words) == (Heading.NOT_SETTLED, "one step")


def test_a_signature_has_a_sentence_of_its_own_and_is_no_colour_touch() -> None:
    telling = told(a_purchase(), an_intervention("signature", "2024-05-18"))
    assert telling.sentence[0].words == (
        "Not done here since 1 February 2024: any non-additive work, conservation or restoration apart from what was "
        "written on it by hand"
    )
    assert [clause.words for clause in telling.more] == [
        "Written on it by hand on 18 May 2024: a signature, dedication or drawing. That adds ink; it is not colour touch."
    ]
    assert telling.counts[2].words == "none here"


def test_what_the_seller_stated_stands_in_the_seller_s_own_words() -> None:
    before = said(a_purchase(earlier_work=EarlierWork.STATED), words="A small tear was glued.")[-1]
    assert before == (
        "not-known",
        "not known before that date, when the seller stated earlier work (“A small tear was glued”)",
    )


@pytest.mark.parametrize(
    ("ended", "one", "some", "all_of_two"),
    [
        (
            Ended.CUT_OFF,
            ", cut off before its end",
            ", one of them cut off before its end",
            ", all cut off before their",
        ),
        (Ended.GONE_WRONG, ", which went wrong", ", one of which went wrong", ", all of which went wrong"),
    ],
)
def test_a_step_that_did_not_end_as_planned_is_counted_and_said_to_be_so(
    ended: Ended, one: str, some: str, all_of_two: str
) -> None:
    off, planned = an_intervention("cold-press", ended=ended), an_intervention("cold-press", ended=Ended.AS_PLANNED)
    for steps, words in (([off], one), ([off, planned], some), ([off, off], all_of_two)):
        telling = told(a_purchase(), *steps)
        assert words in telling.sentence[0].words
        assert telling.counts[0].words == ("one step" if len(steps) == 1 else "two steps")
    assert not any(each in told(a_purchase(), planned).text for each in ("cut off", "went wrong"))


def test_what_was_seen_right_after_a_step_is_called_a_claim() -> None:
    note = "What was said of defects right after a step is a claim; the look after a rest decides."
    look = an_examination("2024-02-05", defects=(a_defect(),))
    assert note in told(a_purchase(), look, an_intervention(worked_defects=worked_on("d1 gone"))).notes
    assert note not in told(a_purchase(), look, an_intervention(worked_defects=worked_on("d1"))).notes


def test_a_gift_has_no_seller() -> None:
    before = said(a_purchase(means=Means.GIFT), sold=False)[-1][1]
    assert before == "not known before that date, when nothing was said of earlier work"


def test_a_book_that_has_left_was_here_from_a_day_to_a_day() -> None:
    sale = Sale(on=on("2024-09-14"), disclosed=Disclosed.WORK)
    sentence = said(a_purchase(), an_intervention(), sale, gone=True, left=When.parse("2024-09-14"))
    assert sentence[0][1].startswith("Done here from 1 February 2024 to 14 September 2024: one dry surface cleaning")
    assert sentence[-1][1].startswith("not known before and after that time")


def test_the_time_between_two_ownerships_is_not_known() -> None:
    sale = Sale(on=on("2024-09-14"), disclosed=Disclosed.NOT_APPLICABLE)
    telling = told(a_purchase(), sale, a_purchase("2025-05-03"))
    assert [(clause.known.value, clause.words) for clause in telling.more] == [
        (
            "not-known",
            "From 14 September 2024 to 3 May 2025 it had left this collection; nothing is known of that time.",
        )
    ]


@pytest.mark.parametrize(
    ("date", "since"),
    [
        ("2024-02-01", "since 1 February 2024"),
        ("1987", "since 1987"),
        ("199X", "since the 1990s"),
        ("1997/1999", "since a day between 1997 and 1999"),
        (None, "since a day not known, first written down 1 January 2025"),
    ],
)
def test_the_day_is_told_as_exactly_as_it_is_known(date: str | None, since: str) -> None:
    assert f"Not done here {since}: " in told(a_purchase(date)).text


@pytest.mark.parametrize(
    ("date", "when"),
    [
        ("2024-05-18", "on 18 May 2024"),
        ("2024-05", "in May 2024"),
        ("199X", "in the 1990s"),
        (None, "on a day not known"),
    ],
)
def test_a_signature_is_dated_as_exactly_as_it_is_known(date: str | None, when: str) -> None:
    more = told(a_purchase("1980"), an_intervention("signature", date)).more
    assert more[0].words.startswith(f"Written on it by hand {when}: ")


def test_steps_by_other_hands_and_steps_that_changed_nothing_say_so() -> None:
    others = an_intervention("cold-press", by_other_hands=True)
    idle = an_intervention("dry-cleaning", "2024-03-11", changed_anything=False)
    done = told(a_purchase(), others, idle).sentence[0].words
    assert done.endswith(
        "one cold pressing and one dry surface cleaning, one of them by other hands, one of which changed nothing, "
        "with nothing added"
    )


def test_the_owner_s_disagreement_stands_beside_the_heading_that_the_facts_give() -> None:
    telling = told(a_purchase(), an_intervention("tear-sealing", owner_heading=Heading.RESTORATION))
    assert "as conservation one tear sealed" in telling.text
    assert telling.notes[0] == (
        "“Tear sealing with paste and thin tissue” on 10 March 2024: its facts give conservation; "
        "the owner holds restoration."
    )


def test_pressing_is_nearest_to_restoration_by_aim_and_that_is_not_hidden() -> None:
    pressed = told(a_slab(), an_opening(), an_intervention("cold-press"))
    assert pressed.by_aim == (
        "By aim, pressing a stable book so that it looks better is nearest to restoration, though nothing is added."
    )
    assert told(a_purchase(), an_intervention("housing")).by_aim == ""
    assert told(a_purchase(), an_intervention("erase-pencil")).by_aim.startswith("By aim, work that makes a sound book")


def test_what_was_written_down_long_after_rests_on_memory() -> None:
    assert told(a_purchase("1996-11")).notes == (
        "Its first entry was written 1 January 2025; what is dated long before that was written from memory.",
    )
    assert told(a_purchase("2024-12-30")).notes == ()


def test_a_record_of_an_earlier_owner_is_named() -> None:
    record = Earlier(on=on("2024-03-01"), record="ab" * 32, verdict=Verdict.UNSIGNED)
    assert told(a_purchase("2024-12-30"), record).notes == ("A record of an earlier owner is among its entries.",)


def test_the_counts_name_the_three_headings_a_reader_asks_for() -> None:
    counts = told(a_purchase(), an_intervention("dry-cleaning"), an_intervention("cold-press", "2024-03-11")).counts
    assert [(count.heading.value, count.words) for count in counts] == [
        ("non-additive", "two steps"),
        ("conservation", "none here"),
        ("restoration", "none here"),
    ]
