"""Which outlook counts: the last before the book was sent, by number and by the day; what came later never does."""

from collections.abc import Sequence
from datetime import UTC, datetime

import pytest

from ledger.entry import Entry
from ledger.events import Event
from ledger.events._parts import Holding, OpinionOf
from ledger.events.correction import Correction
from ledger.events.outlook import Origin, Outlook, OutlookStage, Weight
from ledger.events.sale import Disclosed, Sale
from ledger.events.slab import Outcome, Slab
from ledger.events.submission import Ask, Stage, Submission
from ledger.events.withdrawal import Withdrawal
from ledger.forecast import Attempt, Stands, attempts_of
from ledger.rules.grades import Grade
from ledger.sealed import Sealed
from tests.builders import BOOK, CODEC, a_purchase, a_slab, a_stated_grade, an_entry, an_opening, chain, on

MARCH, APRIL, MAY = "2025-03-01", "2025-04-01", "2025-05-01"


def an_outlook(grade: str = "9.2", when: str | None = "2024-02-10", **changes: object) -> Outlook:
    weights = (Weight(grade=Grade(grade), per_mille=1000),)
    return Outlook(**{"on": on(when), "weights": weights, **changes})  # type: ignore[arg-type]  # any


def sent(when: str | None = MARCH, batch: str = "spring", **changes: object) -> Submission:
    said = {"on": on(when), "batch": batch, "asks": Ask.GRADE, "service": Sealed.of("Third Bench")}
    return Submission(**{**said, **changes})  # type: ignore[arg-type]  # any


def graded(grade: str = "9.4", when: str | None = MAY, batch: str | None = "spring", **changes: object) -> Slab:
    stated = a_stated_grade(grade, grade, opinion_of=OpinionOf.SERVICE)
    said = {"on": on(when), "batch": batch, "submission_known": batch is not None, "stated": stated}
    return Slab(**{**said, "service": Sealed.of("Third Bench"), **changes})  # type: ignore[arg-type]  # any


def recorded(*days: tuple[str, Event]) -> list[Entry]:
    """Entries recorded at noon of these days."""
    times = [datetime.fromisoformat(f"{day}T12:00:00").replace(tzinfo=UTC) for day, _ in days]
    return [
        an_entry(event, seq, recorded=time) for seq, ((_, event), time) in enumerate(zip(days, times, strict=True), 1)
    ]


def stands(entries: Sequence[Entry]) -> list[list[tuple[int, Stands]]]:
    return [[(each.seq, each.stands) for each in attempt.forecasts] for attempt in attempts_of(BOOK, entries, CODEC)]


def only(entries: Sequence[Entry]) -> Attempt:
    (attempt,) = attempts_of(BOOK, entries, CODEC)
    return attempt


def test_the_last_before_it_was_sent_counts_and_earlier_ones_are_told_apart() -> None:
    entries = chain(a_purchase(), an_outlook("9.0"), an_outlook("9.2"), sent(), graded())
    assert stands(entries) == [[(2, Stands.EARLIER), (3, Stands.COUNTS)]]
    attempt = only(entries)
    assert (attempt.sent, attempt.outcome, attempt.ended_by) == (4, 5, 5)
    assert (attempt.batch, attempt.service, attempt.result) == ("spring", "Third Bench", Grade("9.4"))


def test_own_and_computed_ones_count_beside_each_other() -> None:
    computed = an_outlook("9.0", origin=Origin.COMPUTED)
    entries = chain(a_purchase(), computed, an_outlook(), an_outlook("9.4", origin=Origin.COMPUTED), sent(), graded())
    assert stands(entries) == [[(2, Stands.EARLIER), (3, Stands.COUNTS), (4, Stands.COUNTS)]]
    assert [only(entries).counted(each).seq for each in Origin] == [3, 4]  # type: ignore[union-attr]  # there are both


def test_one_after_the_book_was_sent_does_not_count_and_the_earlier_one_does() -> None:
    entries = chain(a_purchase(), an_outlook(), sent(), an_outlook("9.6", APRIL), graded())
    assert stands(entries) == [[(2, Stands.COUNTS), (4, Stands.AFTER_SENDING)]]


def test_one_dated_back_before_the_sending_does_not_count() -> None:
    entries = chain(a_purchase(), an_outlook(), sent(), an_outlook("9.6", "2024-02-11"), graded())
    assert stands(entries) == [[(2, Stands.COUNTS), (4, Stands.AFTER_SENDING)]]


@pytest.mark.parametrize("when", ["2024-02-11", None, "2025-06-01"])
@pytest.mark.parametrize("batch", ["spring", None])
def test_one_recorded_after_the_return_is_late_however_it_is_dated(when: str | None, batch: str | None) -> None:
    if batch is None and when != "2024-02-11":
        return_of = [[(2, Stands.COUNTS)], [(5, Stands.COUNTS)]]  # it speaks of the next time
    else:
        return_of = [[(2, Stands.COUNTS), (5, Stands.LATE)]]
    late = an_outlook("9.4", when, for_batch=batch)
    entries = chain(a_purchase(), an_outlook(), sent(), graded(), late)
    found = stands(entries)
    assert [sorted(each) for each in found] == return_of


def test_one_written_down_before_a_return_that_had_happened_already_is_late() -> None:
    entries = recorded(
        ("2025-06-01", a_purchase()),
        ("2025-06-01", an_outlook("9.4", "2025-02-01")),
        ("2025-06-01", sent(MARCH)),
        ("2025-06-01", graded("9.4", MAY)),
    )
    assert stands(entries) == [[(2, Stands.LATE)]]


def test_one_written_down_when_the_book_was_certainly_under_way_came_after_the_sending() -> None:
    entries = recorded(
        ("2025-02-01", a_purchase()),
        ("2025-04-01", an_outlook("9.4", "2025-02-01")),
        ("2025-04-01", sent(MARCH)),
        ("2025-05-02", graded("9.4", MAY)),
    )
    assert stands(entries) == [[(2, Stands.AFTER_SENDING)]]


def test_on_the_day_of_the_sending_it_still_counts() -> None:
    entries = recorded(
        ("2025-02-01", a_purchase()), (MARCH, an_outlook("9.4", MARCH)), (MARCH, sent(MARCH)), (MAY, graded())
    )
    assert stands(entries) == [[(2, Stands.COUNTS)]]


def test_correcting_the_weights_after_the_return_changes_nothing_of_what_counts() -> None:
    better = {"weights": [{"grade": "9.4", "per_mille": 1000}]}
    mend = Correction(entry=2, changes=better, reason=Sealed.of("slip"))
    before = only(chain(a_purchase(), an_outlook("9.0"), mend, sent(), graded())).forecasts[0]
    after = only(chain(a_purchase(), an_outlook("9.0"), sent(), graded(), mend)).forecasts[0]
    assert [each.grade.text for each in before.outlook.weights] == ["9.4"]
    assert (before.settled_by, before.mended_since) == (3, False)
    assert [each.grade.text for each in after.outlook.weights] == ["9.0"]
    assert (after.settled_by, after.mended_since) == (2, True)


def test_withdrawing_the_last_one_after_the_sending_leaves_none_that_counts() -> None:
    back = Withdrawal(entry=3, reason=Sealed.of("slip"))
    after = chain(a_purchase(), an_outlook("9.0"), an_outlook("9.2"), sent(), graded(), back)
    assert stands(after) == [[(2, Stands.EARLIER), (3, Stands.TAKEN_BACK)]]
    before = chain(a_purchase(), an_outlook("9.0"), an_outlook("9.2"), back, sent(), graded())
    assert stands(before) == [[(2, Stands.COUNTS)]]


def test_an_earlier_one_that_was_withdrawn_is_gone() -> None:
    back = Withdrawal(entry=2, reason=Sealed.of("slip"))
    entries = chain(a_purchase(), an_outlook("9.0"), an_outlook("9.2"), sent(), graded(), back)
    assert stands(entries) == [[(3, Stands.COUNTS)]]


def test_a_result_that_was_withdrawn_leaves_the_book_under_way() -> None:
    entries = chain(a_purchase(), an_outlook(), sent(), graded(), Withdrawal(entry=4, reason=Sealed.of("slip")))
    attempt = only(entries)
    assert (attempt.outcome, attempt.ended_by, attempt.result) == (None, None, None)
    assert stands(entries) == [[(2, Stands.COUNTS)]]


def test_a_result_that_was_taken_back_and_told_again_was_known_all_the_same() -> None:
    again = (Withdrawal(entry=each, reason=Sealed.of("slip")) for each in (4, 3))
    cheat = an_outlook("9.4", None)
    entries = chain(a_purchase(), an_outlook(), sent(), graded(when=None), *again, cheat, sent(), graded(when=None))
    found = only(entries)
    assert (found.outcome, found.known_since) == (9, 4)
    assert stands(entries) == [[(2, Stands.COUNTS), (7, Stands.LATE)]]


def test_a_batch_named_alike_later_is_another_time() -> None:
    again = (an_outlook("9.6", "2025-06-01"), sent("2025-07-01"), graded("9.6", "2025-09-01"))
    entries = chain(a_purchase(), an_outlook(), sent(), graded(), *again)
    assert [each.known_since for each in attempts_of(BOOK, entries, CODEC)] == [4, 7]
    assert stands(entries) == [[(2, Stands.COUNTS)], [(5, Stands.COUNTS)]]


def test_each_time_through_a_service_has_outlooks_of_its_own() -> None:
    again = (an_outlook("9.6", "2025-06-01"), sent("2025-07-01", "autumn"), graded("9.6", "2025-09-01", "autumn"))
    entries = chain(a_purchase(), an_outlook(), sent(), graded(), *again)
    assert stands(entries) == [[(2, Stands.COUNTS)], [(5, Stands.COUNTS)]]
    first, second = attempts_of(BOOK, entries, CODEC)
    assert (first.base, first.gain) == (None, None)
    assert (second.base, second.gain) == (Grade("9.4"), 1)


def test_one_meant_for_a_later_batch_waits_for_it() -> None:
    autumn = an_outlook("9.6", for_batch="autumn")
    entries = chain(a_purchase(), autumn, an_outlook(), sent(), graded())
    assert stands(entries) == [[(3, Stands.COUNTS)], [(2, Stands.COUNTS)]]
    entries = chain(a_purchase(), autumn, sent(), graded(), sent("2025-07-01", "autumn"))
    assert stands(entries) == [[], [(2, Stands.COUNTS)]]


def test_a_book_that_was_not_sent_has_its_last_outlook_waiting() -> None:
    entries = chain(a_purchase(), an_outlook("9.0"), an_outlook("9.2"))
    assert stands(entries) == [[(2, Stands.EARLIER), (3, Stands.COUNTS)]]
    assert only(entries).ended_by is None
    sold = chain(a_purchase(), an_outlook(), Sale(on=on(APRIL), disclosed=Disclosed.WORK))
    assert only(sold).ended_by == 3
    assert attempts_of(BOOK, chain(a_purchase()), CODEC) == ()


def test_a_book_that_was_lost_on_its_way_has_no_result() -> None:
    entries = chain(a_purchase(), an_outlook(), sent(), graded(outcome=Outcome.LOST, stated=None))
    attempt = only(entries)
    assert (attempt.came, attempt.result, attempt.ended_by) == (Outcome.LOST, None, 4)
    sold = only(chain(a_purchase(), an_outlook(), sent(), Sale(on=on(APRIL), disclosed=Disclosed.WORK)))
    assert (sold.outcome, sold.ended_by) == (None, 4)


def test_where_nobody_wrote_down_the_sending_nothing_counts() -> None:
    entries = chain(a_purchase(), an_outlook(), graded(batch=None))
    assert stands(entries) == [[(2, Stands.SENDING_NOT_KNOWN)]]


def test_the_grade_before_is_the_last_stated_one_though_its_holder_was_opened() -> None:
    attempt = only(chain(a_slab(), an_opening(), an_outlook(), sent(), graded("9.4")))
    assert (attempt.base, attempt.gain) == (Grade("9.0"), 2)  # 9.0, 9.2, 9.4
    vague = a_purchase(stated=a_stated_grade("VF to NM", "8.0", "8.5", "9.0", "9.2"))
    assert only(chain(vague, an_outlook(), sent(), graded())).base == Grade("8.5")


def test_a_book_its_seller_sent_is_forecast_too() -> None:
    by_seller = sent(stage=Stage.SENT_BY_SELLER)
    entries = chain(a_purchase(expects_arrival=True), an_outlook(stage=OutlookStage.AT_PURCHASE), by_seller, graded())
    assert stands(entries) == [[(2, Stands.COUNTS)]]


def test_a_book_withdrawn_as_a_duplicate_has_none() -> None:
    same = Withdrawal(same_as="b-0002", reason=Sealed.of("entered twice"))
    assert attempts_of(BOOK, chain(a_purchase(), an_outlook(), sent(), graded(), same), CODEC) == ()


def test_the_holding_after_the_return_is_of_no_matter() -> None:
    damaged = graded(outcome=Outcome.DAMAGED, stated=None, holding=Holding.RAW)
    assert only(chain(a_purchase(), an_outlook(), sent(), damaged)).result is None


def test_one_before_the_book_was_sent_for_a_new_holder_speaks_of_the_next_grade() -> None:
    holder = sent("2025-02-01", "winter", asks=Ask.NEW_HOLDER)
    done = Slab(on=on("2025-02-20"), batch="winter", outcome=Outcome.NEW_HOLDER)
    entries = chain(a_purchase(holding=Holding.SLABBED), an_outlook(), holder, done, sent(), graded())
    assert stands(entries) == [[(2, Stands.COUNTS)]]
    assert (only(entries).sent, only(entries).outcome) == (5, 6)
