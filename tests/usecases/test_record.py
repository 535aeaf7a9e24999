"""The one door: an act is written whole or not at all, once for each key, by whoever may."""

from collections.abc import Set as AbstractSet
from typing import Any

import pytest

from ledger.actor import Actor, Permission
from ledger.errors import (
    ConflictError,
    ForbiddenError,
    InvalidError,
    KeyReusedError,
    MalformedError,
    NotFoundError,
    RuleError,
    StaleError,
)
from ledger.events import Event
from ledger.events.erasure import Erasure
from ledger.events.key import Action, Key
from ledger.events.note import Note
from ledger.events.placement import Placement, Spot
from ledger.events.withdrawal import Withdrawal
from ledger.proof.checkpoint import origin_of
from ledger.proof.signature import SigningKey
from ledger.sealed import Sealed
from ledger.usecases.record import ACT_MOST, Draft, record
from tests.builders import a_purchase, a_slab, an_examination, an_issue, an_opening, usd
from tests.conftest import COLLECTION
from tests.usecases.tampering import a_note
from tests.usecases.telling import Teller

ANOTHER_KEY = Key(action=Action.LOST, vkey=SigningKey.from_seed(origin_of(COLLECTION), b"\x05" * 32).verifier.vkey)


def test_the_same_request_writes_once_and_gets_the_same_answer(teller: Teller) -> None:
    draft = Draft(event=a_slab(), new_book=True)
    first = teller.tell(draft, key="k", body=b"one")
    before = teller.kept()
    again = teller.tell(draft, key="k", body=b"one")
    assert (again.entries, again.act, again.warnings) == (first.entries, first.act, first.warnings)
    assert (first.replayed, again.replayed) == (False, True)
    assert teller.kept() == before


def test_a_key_used_for_another_request_is_refused(teller: Teller) -> None:
    teller.tell(Draft(event=a_purchase(), new_book=True), key="k", body=b"one")
    error = teller.refused(Draft(event=a_purchase(), new_book=True), error=KeyReusedError, key="k", body=b"other")
    assert error.key == "k"
    assert teller.tell(Draft(event=a_purchase(), new_book=True), key="l", body=b"other").replayed is False


def test_a_key_whose_act_was_refused_is_free_for_a_better_one(teller: Teller) -> None:
    book = teller.buy()
    teller.refused(Draft(event=an_opening(), book=book), error=RuleError, key="k", body=b"opening")
    mended = teller.tell(Draft(event=an_examination(), book=book), key="k", body=b"examination")
    assert mended.replayed is False
    assert teller.tell(Draft(event=an_examination(), book=book), key="k", body=b"examination").replayed is True


def test_an_act_without_a_key_is_written_each_time(teller: Teller) -> None:
    book = teller.buy()
    draft = Draft(event=a_note("again"), book=book)
    assert [teller.tell(draft).entries[0].seq for _ in range(2)] == [3, 4]


def test_of_an_act_with_one_impossible_event_nothing_is_written(teller: Teller) -> None:
    book = teller.buy()
    drafts = [Draft(event=a_purchase(), new_book=True), Draft(event=an_examination(), book=book)]
    error = teller.refused(*drafts, Draft(event=an_opening(), book=book), error=RuleError, key="k")
    assert [(each.field, each.rule) for each in error.problems] == [("events.2.on", "opening.1")]


def test_entries_of_one_act_share_its_id_and_the_person_who_wrote_them(teller: Teller) -> None:
    other = teller.buy()
    drafts = [Draft(event=a_slab(), new_book=True, id="b-new"), Draft(event=a_note("of the lot"), book=other)]
    drafts += [Draft(event=an_opening(), book="b-new"), Draft(event=a_note("on the collection"))]
    act = record(teller.ledger, Actor(id="somebody"), drafts)
    assert [entry.seq for entry in act.entries] == [3, 4, 5, 6]
    assert [entry.book for entry in act.entries] == ["b-new", other, "b-new", None]
    assert [entry.book_no for entry in act.entries] == [2, 1, 2, None]
    assert [entry.book_seq for entry in act.entries] == [1, 2, 2, None]
    assert {entry.actor for entry in act.entries} == {"somebody"}
    assert {entry.act for entry in act.entries} == {act.act}
    assert len({entry.recorded for entry in act.entries}) == 1
    with teller.ledger.log.read() as reader:
        assert tuple(reader.of_act(act.act)) == act.entries
        assert reader.book("b-new").holding == "raw"
        assert reader.book(other).entries == 2


def test_a_new_book_is_only_there_after_its_own_purchase(teller: Teller) -> None:
    drafts = [Draft(event=an_opening(), book="b-new"), Draft(event=a_slab(), new_book=True, id="b-new")]
    error = teller.refused(*drafts, error=NotFoundError)
    assert (error.what, error.name) == ("book", "b-new")


def test_two_books_never_have_one_id(teller: Teller) -> None:
    book = teller.buy("b-one")
    draft = Draft(event=a_purchase(), new_book=True, id=book)
    error = teller.refused(draft, error=ConflictError)
    assert str(error) == "There is a book b-one already. Give the new one another id, or none."
    twins = [Draft(event=a_purchase(), new_book=True, id="b-two") for _ in range(2)]
    teller.refused(*twins, error=ConflictError)
    error = teller.refused(Draft(event=a_purchase(), new_book=True, id="b two"), error=MalformedError)
    assert error.where == "book"


def test_a_book_that_moved_on_since_it_was_read_takes_no_entry(teller: Teller) -> None:
    book = teller.buy()
    teller.add(book, a_note("somebody wrote in between"))
    error = teller.refused(Draft(event=a_note("late"), book=book), error=StaleError, tags={book: 1})
    assert (error.book, error.expected, error.found) == (book, 1, 2)
    assert teller.tell(Draft(event=a_note("read again"), book=book), tags={book: 2}).entries[0].book_seq == 3
    assert teller.refused(Draft(event=a_note("x")), error=NotFoundError, tags={"nobody": 1}).name == "nobody"


def test_a_request_that_is_sent_again_is_answered_even_when_its_tag_is_old_by_now(teller: Teller) -> None:
    book = teller.buy()
    draft = Draft(event=a_note("once"), book=book)
    asked: dict[str, Any] = {"key": "k", "body": b"x", "tags": {book: 1}}
    first = teller.tell(draft, **asked)
    assert teller.tell(draft, **asked).entries == first.entries


def test_everything_wrong_with_the_drafts_is_told_with_its_place(teller: Teller) -> None:
    flawed = a_purchase(holder_number="A-1", price=Sealed.of(usd("-1.00")))
    drafts = [Draft(event=flawed, new_book=True), Draft(event=Note(words=Sealed.of(" "))), Draft(event=an_opening())]
    error = teller.refused(*drafts, error=InvalidError)
    assert [(each.field, each.rule) for each in error.problems] == [
        ("events.0.price", ""),
        ("events.0.holder_number", "purchase.3"),
        ("events.1.words", "note.1"),
        ("events.2.book", ""),
    ]
    alone = teller.refused(Draft(event=flawed, new_book=True), error=InvalidError)
    assert [each.field for each in alone.problems] == ["price", "holder_number"]


@pytest.mark.parametrize("count", [0, ACT_MOST + 1])
def test_an_act_has_one_to_five_hundred_entries(teller: Teller, count: int) -> None:
    error = teller.refused(*[Draft(event=a_note("x"))] * count, error=InvalidError)
    assert [(each.field, each.sentence) for each in error.problems] == [
        ("events", f"An act has 1 to 500 entries; this has {count}. Split it.")
    ]


def test_a_book_begins_with_its_purchase(teller: Teller) -> None:
    error = teller.refused(Draft(event=an_opening(), new_book=True), error=InvalidError)
    assert [each.field for each in error.problems] == ["kind"]


@pytest.mark.parametrize(
    ("draft", "field"),
    [
        (Draft(event=a_purchase(), book="b-one", new_book=True), "book"),
        (Draft(event=a_note("x"), id="b-two"), "id"),
        (Draft(event=an_examination(), book="b-one", id="b-two"), "id"),
    ],
)
def test_a_draft_that_contradicts_itself_is_refused(teller: Teller, draft: Draft, field: str) -> None:
    teller.buy("b-one")
    error = teller.refused(draft, error=InvalidError)
    assert [each.field for each in error.problems] == [field]
    among = teller.refused(Draft(event=a_note("x")), draft, error=InvalidError)
    assert [each.field for each in among.problems] == [f"events.1.{field}"]


def test_the_id_of_an_act_is_used_once(teller: Teller) -> None:
    first = teller.tell(Draft(event=a_note("one")), act="a-lot", key="k", body=b"one")
    assert first.act == "a-lot"
    error = teller.refused(Draft(event=a_note("two")), error=ConflictError, act="a-lot")
    assert str(error) == "There is an act a-lot already. Give this one another id, or none."
    again = teller.tell(Draft(event=a_note("one")), act="a-lot", key="k", body=b"one")
    assert (again.replayed, again.entries) == (True, first.entries)
    assert teller.tell(Draft(event=a_note("two")), act="another").act == "another"


EVERY = frozenset(Permission)


@pytest.mark.parametrize(
    ("event", "book", "without"),
    [
        (Placement(spot=Spot.BOX, place=Sealed.of("Box 1")), True, Permission.RECORD),
        (Erasure(entry=2, names=("seller",)), True, Permission.RECORD),
        (Erasure(entry=2, names=("seller",)), True, Permission.ERASE),
        (ANOTHER_KEY, False, Permission.KEYS),
    ],
)
def test_who_may_not_do_it_writes_nothing(teller: Teller, event: Event, book: bool, without: Permission) -> None:  # noqa: FBT001
    draft = Draft(event=event, book=teller.buy() if book else None)

    def act(scopes: AbstractSet[Permission]) -> object:
        return record(teller.ledger, Actor(id="x", scopes=scopes), [draft])

    error = teller.nothing_written(lambda: act(EVERY - {without}), ForbiddenError)
    assert error.needs == without.value
    assert act(EVERY)


def test_bench_work_needs_one_of_two_permissions(teller: Teller) -> None:
    def act(*scopes: Permission) -> object:
        return record(teller.ledger, Actor(id="x", scopes=frozenset(scopes)), [Draft(event=a_note("x"))])

    either = EVERY - {Permission.RECORD, Permission.BENCH}
    assert teller.nothing_written(lambda: act(*either), ForbiddenError).needs == Permission.BENCH.value
    assert act(Permission.BENCH)
    assert act(Permission.RECORD)


def test_a_duplicate_names_a_book_that_there_is(teller: Teller) -> None:
    book, other = teller.buy(), teller.buy()
    error = teller.refused(Draft(event=Withdrawal(same_as="nobody"), book=book), error=RuleError)
    assert [each.field for each in error.problems] == ["same_as"]
    assert "There is no book nobody." in str(error)
    teller.add(book, Withdrawal(same_as=other))
    with teller.ledger.log.read() as reader:
        assert reader.book(book).state == "The same copy as another book"


def test_of_two_copies_one_is_left(teller: Teller) -> None:
    book, other = teller.buy(), teller.buy()
    teller.add(book, Withdrawal(same_as=other))
    error = teller.refused(Draft(event=Withdrawal(same_as=book), book=other), error=RuleError)
    assert [(each.rule, each.field) for each in error.problems] == [("withdrawal.6", "same_as")]
    assert f"as the same copy as {other}. Name the one that is left." in str(error)
    error = teller.refused(Draft(event=Withdrawal(same_as=other), book=book), error=RuleError)
    assert [(each.rule, each.field) for each in error.problems] == [("withdrawal.4", "same_as")]


def test_of_two_copies_one_is_left_within_one_act_too(teller: Teller) -> None:
    book, other = teller.buy(), teller.buy()
    drafts = [Draft(event=Withdrawal(same_as=other), book=book), Draft(event=Withdrawal(same_as=book), book=other)]
    error = teller.refused(*drafts, error=RuleError)
    assert [(each.rule, each.field) for each in error.problems] == [("withdrawal.6", "events.1.same_as")]


@pytest.mark.parametrize(
    ("event", "field"),
    [
        (a_purchase(issue=an_issue(title="x" * 201)), "issue.title"),
        (a_purchase(issue=an_issue(start_year=3)), "issue.start_year"),
        (a_purchase(seller=Sealed.of("x" * 4001)), "seller"),
    ],
)
def test_what_could_not_be_read_again_is_not_written(teller: Teller, event: Event, field: str) -> None:
    error = teller.refused(Draft(event=event, new_book=True), error=InvalidError)
    assert [each.field for each in error.problems] == [field]
    among = teller.refused(Draft(event=a_note("x")), Draft(event=event, new_book=True), error=InvalidError)
    assert [each.field for each in among.problems] == [f"events.1.{field}"]
