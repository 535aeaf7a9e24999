"""The arrival: its rules, what it changes, its line."""

import pytest

from ledger.book import Ownership, Sent, Status
from ledger.events.arrival import Arrival, AsDescribed, Stage
from ledger.sealed import Sealed
from tests.builders import a_book, a_purchase, against, an_opening, at, broken_rules, chain, folded, on, shut, usd


def an_arrival(when: str | None = "2024-02-10", **changes: object) -> Arrival:
    return Arrival(**{"on": on(when), **changes})  # type: ignore[arg-type]  # knobs of any kind


EXPECTED = a_book(status=Status.EXPECTED)


@pytest.mark.parametrize("status", [status for status in Status if status is not Status.EXPECTED])
def test_only_a_book_under_way_arrives(status: Status) -> None:
    assert broken_rules(an_arrival(), a_book(status=status)) == [("arrival.1", "stage")]


@pytest.mark.parametrize("by_seller", [True, False])
def test_a_book_arrives_from_the_service_only_when_its_seller_sent_it_there(*, by_seller: bool) -> None:
    sent = Sent(batch="spring", seq=4, stage="shipped back", by_seller=by_seller)
    at_service = a_book(status=Status.OUT, submissions=(sent,))
    came = an_arrival().apply(at_service, at(6))
    if by_seller:
        assert broken_rules(an_arrival(), at_service) == []
        assert (came.status, came.open_submission, came.to_come) == (Status.HELD, sent, False)
    else:
        (problem,) = an_arrival().check(at_service)
        assert (problem.rule, problem.entries) == ("arrival.1", (4,))
        assert "what came of it" in problem.sentence
        assert came == at_service


def test_a_book_that_arrived_from_the_service_does_not_arrive_again_from_other_hands() -> None:
    sent = Sent(batch="spring", seq=4, stage="shipped back", by_seller=True)
    framed = a_book(status=Status.OUT, submissions=(sent,), away_by=7)
    assert broken_rules(an_arrival(), framed) == [("arrival.1", "stage")]


@pytest.mark.parametrize("status", [status for status in Status if status is not Status.HELD])
def test_only_a_book_that_is_here_is_checked(status: Status) -> None:
    checked = an_arrival(stage=Stage.CHECKED, as_described=AsDescribed.YES)
    assert broken_rules(checked, a_book(status=status)) == [("arrival.2", "stage")]


@pytest.mark.parametrize("status", [Status.NOT_YET, Status.OUT, Status.SENT_BACK, Status.GONE, Status.DUPLICATE])
def test_only_a_book_of_the_collection_that_is_not_in_other_hands_is_sent_back(status: Status) -> None:
    assert broken_rules(an_arrival(stage=Stage.SENT_BACK), a_book(status=status)) == [("arrival.3", "stage")]


@pytest.mark.parametrize("status", list(Status))
def test_a_refund_follows_a_purchase_whether_the_book_went_back_or_was_kept(status: Status) -> None:
    never = status in (Status.NOT_YET, Status.DUPLICATE)
    found = broken_rules(an_arrival(stage=Stage.REFUNDED), a_book(status=status))
    assert found == ([("arrival.4", "stage")] if never else [])


def test_a_refusal_of_a_book_that_has_left_is_a_whole_sentence() -> None:
    (problem,) = an_arrival().check(a_book(status=Status.GONE))
    assert problem.sentence.startswith("The book has left the collection by that time, so it cannot arrive.")


def test_an_amount_is_paid_back_only_with_a_refund() -> None:
    paid = Sealed.of(usd("40.00"))
    assert broken_rules(an_arrival(refund=paid), EXPECTED) == [("arrival.5", "refund")]
    assert broken_rules(an_arrival(stage=Stage.REFUNDED, refund=paid), a_book(status=Status.SENT_BACK)) == []


def test_a_check_says_what_it_found() -> None:
    assert broken_rules(an_arrival(stage=Stage.CHECKED), a_book()) == [("arrival.6", "as_described")]


def test_good_stages_break_no_rule() -> None:
    assert broken_rules(an_arrival(), EXPECTED) == []
    assert broken_rules(an_arrival(stage=Stage.SENT_BACK), EXPECTED) == []
    assert broken_rules(an_arrival(stage=Stage.SENT_BACK, as_described=AsDescribed.NO), a_book()) == []
    assert broken_rules(an_arrival(stage=Stage.CHECKED, as_described=AsDescribed.NO), a_book()) == []


def test_a_book_that_arrived_is_here() -> None:
    assert an_arrival().apply(EXPECTED, at()).status is Status.HELD


def test_a_book_sent_back_has_left_and_stands_nowhere() -> None:
    book = a_book(choice="go on", spot="wall", placed_by=2, placed_on=on("2024"))
    left = an_arrival(stage=Stage.SENT_BACK).apply(book, at(6))
    assert left.status is Status.SENT_BACK
    assert left.ownerships == (Ownership(taken_by=1, since=on("2024-02-01"), left_by=6, until=on("2024-02-10")),)
    assert (left.on_bench, left.spot, left.placed_by, left.placed_on) == (False, None, None, None)


@pytest.mark.parametrize("stage", [Stage.CHECKED, Stage.REFUNDED])
def test_a_check_and_a_refund_move_nothing(stage: Stage) -> None:
    assert an_arrival(stage=stage).apply(a_book(), at()) == a_book()


def test_sending_back_what_was_never_owned_is_told_without_a_stumble() -> None:
    nothing = a_book(ownerships=(), status=Status.NOT_YET)
    assert an_arrival(stage=Stage.SENT_BACK).apply(nothing, at()).ownerships == ()


def test_from_the_parcel_to_the_refund() -> None:
    way = [
        a_purchase(expects_arrival=True),
        an_arrival("2024-02-10"),
        an_arrival("2024-02-11", stage=Stage.CHECKED, as_described=AsDescribed.NO),
        an_arrival("2024-02-12", stage=Stage.SENT_BACK),
    ]
    for number in range(1, len(way)):
        assert against(chain(*way[:number]), way[number]) == ([], [])
    assert against(chain(*way), an_arrival("2024-03-01", stage=Stage.REFUNDED)) == ([], [])
    assert folded(*way).status is Status.SENT_BACK


def test_nothing_but_the_refund_and_mending_follows_the_sending_back_and_the_refusal_names_it() -> None:
    gone = chain(a_purchase(), an_arrival(stage=Stage.SENT_BACK))
    refused, _ = against(gone, an_opening("2024-05-01"))
    assert [(problem.rule, problem.entries) for problem in refused] == [("opening.0", (2,))]


def test_a_book_sent_back_may_be_bought_once_more() -> None:
    gone = chain(a_purchase(), an_arrival(stage=Stage.SENT_BACK))
    assert against(gone, a_purchase("2024-06-01")) == ([], [])


def test_its_line_tells_stage_and_answer() -> None:
    assert shut(an_arrival()).summary() == "Arrived"
    assert an_arrival(as_described=AsDescribed.YES).summary() == "Arrived, as described"
    assert an_arrival(stage=Stage.SENT_BACK, as_described=AsDescribed.NO).summary() == "Sent back, not as described"
