"""Many new books come in one work, and are then as if each had been written by itself."""

from collections.abc import Sequence
from dataclasses import fields, replace
from operator import attrgetter
from typing import Any

import pytest

from ledger.errors import ConflictError, InvalidError, RuleError
from ledger.events import Event
from ledger.events.placement import Placement, Spot
from ledger.events.purchase import Means
from ledger.events.valuation import Method, Valuation
from ledger.many import ManyBooks
from ledger.ports import Writer
from ledger.sealed import Sealed
from ledger.usecases import new_books
from ledger.usecases.new_books import NewBooks, misfits
from ledger.usecases.record import Draft, Request, record
from ledger.usecases.verify import verify_ledger
from ledger.views import BookQuery, EntryQuery
from tests.builders import CODEC, a_purchase, a_slab, an_issue, on, usd
from tests.conftest import Kept
from tests.store.writing import OWNER, Scribe


@pytest.fixture(autouse=True)
def few_at_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """So that a few books are put in by several goes."""
    monkeypatch.setattr(new_books, "AT_ONCE", 7)


def a_row(number: int, title: str = "Amber Anchor") -> tuple[Event, ...]:
    return (
        a_purchase("1998-04-03", issue=an_issue(title=title, number=str(number)), price=Sealed.of(usd("2.50"))),
        Placement(spot=Spot.BOX, place=Sealed.of(f"Box {number}")),
        Valuation(on=on("2024-01-01"), method=Method.OWN_JUDGEMENT, amount=Sealed.of(usd("5.00"))),
    )


def bring(scribe: Scribe, rows: Sequence[Sequence[Event]], *, key: str = "row") -> int:
    def work(writer: Writer) -> int:
        new = NewBooks(scribe.ledger, OWNER, writer)
        for number, events in enumerate(rows):
            new.add(events, f"{key}{number}", str(number).encode())
        new.finish(lambda _: None)
        return new.entries

    return scribe.log.write(work)


def listed(log: object, text: str = "") -> list[tuple[str, str]]:
    with log.read() as reader:  # type: ignore[attr-defined]
        page = reader.books(BookQuery(text=text or None, limit=100))
    return [(row.title, row.number) for row in page.rows]


def test_books_that_come_together_have_ids_in_their_order_each_its_own(
    store: Kept, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(new_books, "IDS_AT_ONCE", (5, 10))

    bring(Scribe(store.log), [a_row(number) for number in range(40)])

    with store.log.read() as reader:
        rows = sorted(reader.books(BookQuery(limit=100)).rows, key=attrgetter("no"))
        acts = [reader.entries(EntryQuery(book=row.book)).rows[0].act for row in rows]
    for ids in ([row.book for row in rows], acts):
        assert len(set(ids)) == 40
        drawn = [ids[:5], ids[5:10], ids[10:20], ids[20:30], ids[30:]]
        assert [sorted(some) for some in drawn] == drawn
        assert sorted(ids) != ids


def test_books_that_come_together_prove_themselves_and_are_listed(store: Kept) -> None:
    scribe = Scribe(store.log)
    scribe.buy(issue=an_issue(title="Copper Comet", number="1"))

    count = bring(scribe, [a_row(number, f"Title {number % 7}") for number in range(40)])

    assert count == 120
    report = verify_ledger(scribe.ledger, OWNER)
    assert report.checked["entries"] == 121
    assert not report.findings
    scribe.buy(issue=an_issue(title="Zinc Zebra", number="1"))
    with store.log.read() as reader:
        assert reader.head().books == 42


def test_what_is_worked_out_of_them_is_what_a_rebuild_works_out(store: Kept) -> None:
    scribe = Scribe(store.log)
    bring(scribe, [a_row(number, f"Title {number % 7}") for number in range(30)])
    with store.log.read() as reader:
        before = list(reader.listings())

    store.log.rebuild()

    with store.log.read() as reader:
        assert list(reader.listings()) == before


def test_they_are_found_by_a_search_in_the_order_of_titles_among_those_that_were_there(store: Kept) -> None:
    scribe = Scribe(store.log)
    for title in ("Bold Beacon", "Dusty Deputy"):
        scribe.buy(issue=an_issue(title=title, number="1"))

    bring(scribe, [a_row(1, title) for title in ("Cold Beacon", "Airy Beacon", "Eager Beacon")])

    found = [title for title, _ in listed(store.log, "beacon")]
    assert found == ["Airy Beacon", "Bold Beacon", "Cold Beacon", "Eager Beacon"]


def test_where_no_place_is_left_between_two_titles_all_of_them_are_placed_anew(store: Kept) -> None:
    scribe = Scribe(store.log)
    bring(scribe, [a_row(1, "Amber"), a_row(1, "Zinc")])
    for turn in range(25):
        bring(scribe, [a_row(number, f"Beacon {turn:02}") for number in range(4)], key=f"turn {turn} ")

    found = listed(store.log, "beacon")

    assert len(found) == 100
    assert [title for title, _ in found] == sorted(title for title, _ in found)


def test_each_book_is_one_act_under_its_own_key(store: Kept) -> None:
    scribe = Scribe(store.log)
    bring(scribe, [a_row(1), a_row(2)])

    with store.log.read() as reader:
        assert reader.used_keys(["row0", "row1", "row2"]) == {"row0", "row1"}
        receipt = reader.receipt("row1")
        assert receipt is not None
        assert (receipt.first, receipt.count) == (4, 3)
        assert [entry.event.kind for entry in reader.of_act(reader.entry(4).act)] == [
            "purchase",
            "placement",
            "valuation",
        ]


def test_a_work_that_ends_half_way_leaves_nothing(store: Kept) -> None:
    scribe = Scribe(store.log)
    rows = [a_row(number) for number in range(20)]
    rows[17] = (a_purchase(means=Means.CAME_BACK),)

    with pytest.raises(RuleError):
        bring(scribe, rows)

    with store.log.read() as reader:
        assert reader.head().size == 0
        assert not list(reader.listings())


def test_entries_that_leave_a_gap_are_refused_and_nothing_of_them_is_kept(store: Kept) -> None:
    scribe = Scribe(store.log)
    bring(scribe, [a_row(1)])

    def work(writer: Writer) -> None:
        late = [replace(each, seq=each.seq + 4) for each in writer.stored(1, 3)]
        none: dict[str, Any] = dict.fromkeys([each.name for each in fields(ManyBooks)], ())
        writer.put_many(ManyBooks(**{**none, "entries": late}))

    with pytest.raises(ConflictError, match="not follow the last"):
        scribe.log.write(work)

    with store.log.read() as reader:
        assert reader.head().size == 3


def test_a_key_that_was_used_cannot_be_used_again(store: Kept) -> None:
    scribe = Scribe(store.log)
    bring(scribe, [a_row(1)])

    with pytest.raises(ConflictError):
        bring(scribe, [a_row(1)])

    with store.log.read() as reader:
        assert reader.head().books == 1


def test_a_book_written_by_itself_and_one_written_among_many_are_alike(store: Kept) -> None:
    scribe = Scribe(store.log)
    first = a_row(1)
    drafts = [
        Draft(event=first[0], new_book=True, id="alone"),
        *(Draft(event=each, book="alone") for each in first[1:]),
    ]
    record(scribe.ledger, OWNER, drafts, Request(key="alone"))
    bring(scribe, [a_row(1)])

    with store.log.read() as reader:
        one, other = reader.listings()
        events = [[entry.event for entry in reader.of_book(each.row.book)] for each in (one, other)]

    assert events[0] == events[1]
    assert (one.title_key, one.grade_key, one.row.state) == (other.title_key, other.grade_key, other.row.state)
    assert [each._replace(seq=0) for each in one.costs] == [each._replace(seq=0) for each in other.costs]


def test_what_stands_against_a_new_book_is_told_without_writing_it() -> None:
    late = Valuation(on=on("1990"), method=Method.OWN_JUDGEMENT, amount=Sealed.of(usd("5.00")))

    assert not misfits(a_row(1), CODEC)
    assert [at for at, _ in misfits((a_purchase("1998"), late), CODEC)] == [1]
    assert [at for at, _ in misfits((a_purchase(means=Means.CAME_BACK),), CODEC)] == [0]
    assert [problem.field for _, problem in misfits((a_slab(holder_number="x" * 41),), CODEC)] == ["holder_number"]


def test_an_entry_that_could_never_be_read_again_is_refused(store: Kept) -> None:
    scribe = Scribe(store.log)

    with pytest.raises(InvalidError):
        bring(scribe, [(a_slab(holder_number="x" * 41),)])
