"""Correction, withdrawal and erasure: their rules on the entry they name, and what becomes of it."""

from dataclasses import replace
from typing import Any

import pytest

from ledger.book import Status
from ledger.collection import Collection
from ledger.events import NotUnderstood
from ledger.events._parts import Holding
from ledger.events.correction import NOT_CORRECTED, Correction
from ledger.events.erasure import Erased, Erasure
from ledger.events.identification import Identification
from ledger.events.note import Note
from ledger.events.withdrawal import NOT_WITHDRAWN, Withdrawal
from ledger.history import history
from ledger.sealed import Sealed, SealState
from tests.builders import (
    BOOK,
    CODEC,
    a_book,
    a_purchase,
    a_slab,
    against,
    an_entry,
    an_issue,
    an_opening,
    at,
    chain,
    folded,
    on,
    shut,
    usd,
)

BOUGHT = a_purchase(price=Sealed.of(usd("40.00")), seller=Sealed.of("a fair in the old town"))
NEWER = NotUnderstood(wire_kind="scent", version=1)


def a_correction(entry: int = 1, **changes: Any) -> Correction:
    return Correction(entry=entry, changes=changes, reason=Sealed.of("the receipt turned up"))


def refused(event: Any, *before: Any) -> list[tuple[str, str, tuple[int, ...]]]:
    """What stands against one more event, by rule, field and the entries named."""
    problems, _ = against(chain(*before), event)
    return [(problem.rule, problem.field, problem.entries) for problem in problems]


def test_what_is_mended_stands_in_the_same_chain() -> None:
    assert refused(a_correction(7, holding="raw"), BOUGHT) == [("correction.1", "entry", ())]
    assert refused(Withdrawal(entry=7), BOUGHT) == [("withdrawal.2", "entry", ())]
    assert refused(Erasure(entry=7, names=("price",)), BOUGHT) == [("erasure.1", "entry", ())]


@pytest.mark.parametrize(
    "event", [a_correction(1, holding="raw"), Withdrawal(entry=1), Erasure(entry=1, names=("reason",)), NEWER]
)
def test_an_act_on_the_ledger_and_what_is_not_understood_are_not_corrected(event: Any) -> None:
    assert event.kind in NOT_CORRECTED
    assert refused(a_correction(2, names=("price",)), BOUGHT, event) == [("correction.2", "entry", (2,))]


def test_only_fields_of_the_kind_are_corrected() -> None:
    assert refused(a_correction(price=Sealed.of(usd("45.00")), colour="red"), BOUGHT) == [
        ("correction.3", "changes.colour", ())
    ]


def test_a_correction_changes_something() -> None:
    assert refused(a_correction(), BOUGHT) == [("correction.4", "changes", ())]


def test_nothing_is_corrected_to_nothing_in_a_sealed_field() -> None:
    assert refused(a_correction(price=None), BOUGHT) == [("correction.5", "changes.price", ())]


def test_a_corrected_field_counts_from_the_place_of_the_entry_it_corrects() -> None:
    better = {"title": "Captain Lantern", "number": "15", "start_year": 1962}
    correction = a_correction(issue=better, on="2024-01-05").complete(chain(BOUGHT))
    assert refused(correction, BOUGHT) == []
    first, second = history(chain(BOUGHT, correction), CODEC)
    assert (first.entry.seq, first.corrected_by, first.event.on) == (1, (2,), on("2024-01-05"))
    assert second.event == correction
    assert folded(BOUGHT, correction).issue == an_issue(number="15")


def test_the_later_of_two_corrections_stands() -> None:
    entries = (BOUGHT, a_correction(holding="slabbed"), a_correction(holding="not stated"))
    assert folded(*entries).holding is Holding.NOT_STATED
    assert history(chain(*entries), CODEC)[0].corrected_by == (2, 3)


def test_a_withdrawn_correction_leaves_the_entry_as_it_was() -> None:
    entries = (BOUGHT, a_correction(holding="slabbed"), Withdrawal(entry=2))
    assert folded(*entries).holding is Holding.RAW
    assert history(chain(*entries), CODEC)[0].corrected_by == ()


def test_a_sealed_field_is_sealed_anew_and_its_digests_do_not_tell_which_were_changed() -> None:
    plain = {"minor": 4500, "currency": "USD", "exponent": 2}
    correction = a_correction(price=plain, holding="raw").complete(chain(BOUGHT))
    body, values = CODEC.split(correction)
    assert body["changes"] == {"holding": "raw"}
    assert set(values) == {"reason", *(f"new.{name}" for name in BOUGHT.sealed_fields())}
    assert values["new.price"] == plain
    back = CODEC.join("correction", 1, None, body, {name: Sealed.of(value) for name, value in values.items()})
    assert back == correction
    amended = history(chain(BOUGHT, back), CODEC)[0].event
    assert amended == replace(BOUGHT, price=Sealed.of(usd("45.00")))


def test_an_entry_out_of_force_changes_nothing_and_keeps_its_place() -> None:
    wrong = Identification(issue=an_issue(number="99"), how="the cover", on=on("2024-02-02"))
    entries = chain(BOUGHT, wrong, Withdrawal(entry=2))
    moments = history(entries, CODEC)
    assert [(moment.entry.seq, moment.withdrawn_by) for moment in moments] == [(1, None), (2, 3), (3, None)]
    assert folded(BOUGHT, wrong, Withdrawal(entry=2)).issue == an_issue()


@pytest.mark.parametrize("other", [None, "b-0002"])
def test_a_withdrawal_names_one_entry_or_one_other_book(other: str | None) -> None:
    both_or_none = Withdrawal(entry=1 if other else None, same_as=other)
    assert [(problem.rule, problem.field) for problem in both_or_none.check(a_book())] == [("withdrawal.1", "entry")]


def test_what_was_done_to_keys_and_values_is_not_unsaid() -> None:
    assert {"erasure", "key", "disclosure", "restored", "not-understood"} == NOT_WITHDRAWN
    assert refused(Withdrawal(entry=2), BOUGHT, Withdrawal(entry=1)) == []


def test_a_refusal_to_mend_says_what_to_do_instead() -> None:
    erased = chain(BOUGHT, Erasure(entry=1, names=("price",)))
    for event in (a_correction(2, names=("price",)), Withdrawal(entry=2)):
        (problem,) = against(erased, event)[0]
        assert problem.sentence == "An erasure stands, for what it tells was done. Write a note beside it."
    corrected = chain(BOUGHT, a_correction(holding="not stated"))
    (problem,) = against(corrected, a_correction(2, changes={}))[0]
    assert problem.sentence == "A correction is not corrected. Withdraw it, and write another."
    for event in (a_correction(2, body={}), Withdrawal(entry=2)):
        (problem,) = against(chain(BOUGHT, NEWER), event)[0]
        assert problem.sentence == "A newer program wrote this entry. Mend it with that one."


def test_on_the_collection_itself_an_entry_is_withdrawn_and_nothing_else() -> None:
    for event in (Withdrawal(), Withdrawal(same_as=BOOK), Withdrawal(entry=1, same_as=BOOK)):
        found = [(problem.rule, problem.field) for problem in event.check_collection(Collection(id="c-1"))]
        assert found == [("withdrawal.1", "entry")]
    assert list(Withdrawal(entry=1).check_collection(Collection(id="c-1"))) == []


def test_a_withdrawn_correction_may_not_leave_what_its_kind_would_refuse() -> None:
    slabbed, numbered = a_correction(holding="slabbed"), a_correction(holder_number="A-1")
    assert refused(Withdrawal(entry=2), BOUGHT, slabbed, numbered) == [("withdrawal.7", "entry", (1,))]
    assert refused(Withdrawal(entry=3), BOUGHT, slabbed, numbered) == []
    assert refused(Withdrawal(entry=2), BOUGHT, slabbed, numbered, Withdrawal(entry=3)) == []


def test_an_entry_is_withdrawn_once() -> None:
    assert refused(Withdrawal(entry=1), BOUGHT, Withdrawal(entry=1)) == [("withdrawal.4", "entry", (2,))]


def test_a_book_is_no_duplicate_of_itself() -> None:
    assert refused(Withdrawal(same_as=BOOK), BOUGHT) == [("withdrawal.5", "same_as", ())]


def test_a_duplicate_is_no_book_of_its_own_and_takes_only_notes_and_mending() -> None:
    twice = Withdrawal(same_as="b-0002", on=on("2024-03-01"))
    assert refused(twice, BOUGHT) == []
    book = folded(BOUGHT, twice)
    assert (book.status, book.same_as) == (Status.DUPLICATE, "b-0002")
    assert refused(an_opening("2024-04-01"), a_slab(), twice)[0] == ("opening.0", "", (2,))
    assert refused(Note(words=Sealed.of("see the other one")), BOUGHT, twice) == []
    assert refused(a_correction(holding="not stated"), BOUGHT, twice) == []


def test_only_sealed_fields_are_erased() -> None:
    assert refused(Erasure(entry=1, names=("price", "issue")), BOUGHT) == [("erasure.2", "names", ())]


def test_an_erasure_erases_something() -> None:
    assert refused(Erasure(entry=1, names=()), BOUGHT) == [("erasure.3", "names", ())]


def test_what_was_erased_is_not_erased_again() -> None:
    gone = replace(BOUGHT, price=Sealed.erased())
    assert refused(Erasure(entry=1, names=("price", "seller")), gone) == [("erasure.4", "names", (1,))]


def test_a_value_that_was_sealed_anew_after_an_erasure_is_erased_by_the_same_name() -> None:
    gone = replace(BOUGHT, seller=Sealed.erased())
    entries = chain(gone, a_correction(seller=Sealed.of("a shop after all")))
    erasure = Erasure(entry=1, names=("seller", "seller")).complete(entries)
    assert erasure.erased == (Erased(entry=2, name="new.seller"),)
    assert against(entries, erasure) == ([], [])


def test_an_erasure_names_the_field_and_every_correction_that_sealed_it_anew() -> None:
    entries = chain(BOUGHT, a_correction(price=Sealed.of(usd("45.00"))), a_correction(seller=Sealed.of("a shop")))
    erasure = Erasure(entry=1, names=("price",)).complete(entries)
    assert erasure.erased == (Erased(entry=1, name="price"), Erased(entry=2, name="new.price"))


def test_an_erased_correction_leaves_the_field_erased_and_the_book_as_it_is() -> None:
    correction = a_correction(price=Sealed.of(usd("45.00"))).complete(chain(BOUGHT))
    erased = correction.with_sealed({**correction.sealed_fields(), "new.price": Sealed.erased()})
    amended = history(chain(replace(BOUGHT, price=Sealed.erased()), erased), CODEC)[0].event
    assert amended.sealed_fields()["price"].state is SealState.ERASED
    assert amended.sealed_fields()["seller"] == BOUGHT.seller


def test_an_erased_value_does_not_come_back_with_the_entry_it_corrected() -> None:
    erasure = Erasure(entry=1, names=("seller",))
    assert folded(BOUGHT, erasure) == replace(folded(BOUGHT), entries=2, last_recorded=at(2).recorded)


def test_their_lines_name_the_entry_and_need_no_sealed_value() -> None:
    correction = a_correction(price=Sealed.of(usd("45.00")), holding="raw")
    assert correction.summary() == "Corrects entry 1: holding, price"
    assert a_correction().summary() == "Corrects entry 1: nothing"
    assert shut(correction.complete(chain(BOUGHT))).summary() == (
        "Corrects entry 1: Raw or slabbed, and perhaps what is sealed"
    )
    assert shut(a_correction(price=Sealed.of(usd("45.00"))).complete(chain(BOUGHT))).summary() == (
        "Corrects entry 1: what is sealed"
    )
    assert shut(Withdrawal(entry=3)).summary() == "Withdraws entry 3"
    assert shut(Withdrawal(same_as="b-0002")).summary() == "The same copy as another book"
    assert shut(Erasure(entry=1, names=("price", "seller"))).summary() == "Erases price, seller of entry 1"


def test_a_correction_of_an_entry_that_is_not_there_is_completed_to_itself() -> None:
    assert a_correction(7, holding="raw").complete([an_entry(BOUGHT, 1)]).of_kind is None
