"""One change to many books: shown book by book, then written whole under one reason, or not at all."""

import pytest

from ledger.errors import InvalidError, KeyReusedError, NotFoundError, RuleError
from ledger.events.correction import Correction
from ledger.events.identification import Identification
from ledger.events.note import Note
from ledger.events.placement import Around, Housing, Placement, Spot
from ledger.events.sale import Disclosed, Means, Sale
from ledger.events.valuation import Method, Purpose, Valuation
from ledger.sealed import Sealed
from ledger.usecases import change_many
from ledger.usecases.change_many import Add, Change, Correct, Preview, found_by, preview, write_change
from ledger.usecases.record import Recorded, Request
from ledger.views import ShelfQuery
from tests.builders import an_issue, on, usd
from tests.conftest import Kept
from tests.store.writing import OWNER, Scribe

REASON = "Shelves were rearranged."
TO_BOX = Add(event=Placement(spot=Spot.BOX, place=Sealed.of("Box 9"), on=on("2025-01-05")))
PUBLISHER = Correct(field="issue.publisher", value="Gorse Hill Press", on=on("2025-01-05"))


@pytest.fixture
def scribe(store: Kept) -> Scribe:
    made = Scribe(store.log)
    for number in range(1, 6):
        made.buy(book=f"b{number}", issue=an_issue(number=str(number), publisher="Gorse Hil"))
    return made


BOOKS = tuple(f"b{number}" for number in range(1, 6))


def shown(scribe: Scribe, change: Change, books: tuple[str, ...] = BOOKS) -> Preview:
    return preview(scribe.ledger, OWNER, books, change, REASON)


def written(scribe: Scribe, change: Change, books: tuple[str, ...] = BOOKS, key: str | None = None) -> list[Recorded]:
    seen = shown(scribe, change, books).seen
    return write_change(scribe.ledger, OWNER, books, change, REASON, seen, Request(key=key, body=b"x"))


def size(scribe: Scribe) -> int:
    with scribe.log.read() as reader:
        return reader.head().size


def test_nothing_is_written_by_looking(scribe: Scribe) -> None:
    made = shown(scribe, TO_BOX)
    assert [(each.before, each.after, each.problems) for each in made.books] == [(None, "box: Box 9", ())] * 5
    assert size(scribe) == 5


def test_five_books_are_moved_in_one_act_with_the_reason_in_each_entry(scribe: Scribe) -> None:
    (recorded,) = written(scribe, TO_BOX)
    events = [each.event for each in recorded.entries]
    assert [each.book for each in recorded.entries] == list(BOOKS)
    assert {each.act for each in recorded.entries} == {recorded.act}
    assert all(isinstance(each, Placement) and each.remark.value == REASON for each in events)


def test_what_a_book_is_housed_in_goes_with_it_and_its_place_before_is_shown(scribe: Scribe) -> None:
    housing = Housing(around=Around.SLEEVE)
    first = Placement(spot=Spot.SAFE, place=Sealed.of("Safe"), housings=(housing,), on=on("2024-06"))
    scribe.add("b1", first)
    assert shown(scribe, TO_BOX).books[0].before == "safe: Safe"
    (recorded,) = written(scribe, TO_BOX)
    event = recorded.entries[0].event
    assert isinstance(event, Placement)
    assert event.housings == (housing,)


def test_a_field_of_the_issue_is_corrected_where_it_was_told_last(scribe: Scribe) -> None:
    issue = an_issue(number="1", publisher="Gorse")
    told = scribe.add("b1", Identification(issue=issue, how="indicia", on=on("2024-09")))
    made = shown(scribe, PUBLISHER)
    assert [each.before for each in made.books] == ["Gorse", *["Gorse Hil"] * 4]
    (recorded,) = written(scribe, PUBLISHER)
    events = [each.event for each in recorded.entries]
    assert [each.entry for each in events if isinstance(each, Correction)] == [told.seq, 2, 3, 4, 5]
    assert all(isinstance(each, Correction) and each.reason.value == REASON for each in events)
    with scribe.log.read() as reader:
        assert {reader.book(book).publisher for book in BOOKS} == {"Gorse Hill Press"}
        assert reader.book("b3").number == "3"


def test_a_sealed_field_and_a_year_are_corrected_too(scribe: Scribe) -> None:
    written(scribe, Correct(field="seller", value="Orrin Vale"))
    written(scribe, Correct(field="issue.start_year", value=1951))
    with scribe.log.read() as reader:
        assert reader.book("b2").start_year == 1951
    again = shown(scribe, Correct(field="seller", value="Orrin Vale"))
    assert [each.problems[0].sentence for each in again.refused] == [change_many.SAME] * 5


def test_notes_and_values_carry_the_reason(scribe: Scribe) -> None:
    (noted,) = written(scribe, Add(event=Note(words=Sealed.of("Seen at the fair."))))
    assert all(
        isinstance(each.event, Note) and each.event.words.value == f"Seen at the fair.\n\n{REASON}"
        for each in noted.entries
    )
    value = Valuation(
        purpose=Purpose.MARKET, method=Method.OWN_JUDGEMENT, amount=Sealed.of(usd("12.00")), on=on("2025-02")
    )
    assert {str(each.after) for each in shown(scribe, Add(event=value)).books} == {"12.00 USD"}
    (valued,) = written(scribe, Add(event=value))
    assert all(isinstance(each.event, Valuation) and each.event.remark.value == REASON for each in valued.entries)
    assert {str(each.before) for each in shown(scribe, Add(event=value)).books} == {"12.00 USD"}


def test_a_book_that_stands_in_the_way_is_named_and_nothing_is_written(scribe: Scribe) -> None:
    scribe.add("b3", Sale(means=Means.SOLD, disclosed=Disclosed.NOT_APPLICABLE, on=on("2024-08")))
    made = shown(scribe, TO_BOX)
    assert [each.row.book for each in made.refused] == ["b3"]
    assert "has left the collection" in made.refused[0].problems[0].sentence
    before = size(scribe)
    with pytest.raises(RuleError, match="Look at it once more"):
        written(scribe, TO_BOX)
    assert size(scribe) == before
    (recorded,) = written(scribe, TO_BOX, ("b1", "b2", "b4", "b5"))
    assert len(recorded.entries) == 4


def test_what_was_not_seen_so_is_not_written(scribe: Scribe) -> None:
    seen = shown(scribe, TO_BOX).seen
    scribe.add("b2", Note(words=Sealed.of("meanwhile")))
    with pytest.raises(RuleError, match="Something has changed"):
        write_change(scribe.ledger, OWNER, BOOKS, TO_BOX, REASON, seen, Request())
    with pytest.raises(RuleError, match="Something has changed"):
        write_change(scribe.ledger, OWNER, BOOKS, TO_BOX, "Another.", shown(scribe, TO_BOX).seen, Request())


def test_more_books_are_several_acts_that_are_kept_together(scribe: Scribe, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(change_many, "ACT_MOST", 2)
    assert shown(scribe, TO_BOX).acts == 3
    recorded = written(scribe, TO_BOX, key="k")
    assert [len(each.entries) for each in recorded] == [2, 2, 1]
    assert len({each.act for each in recorded}) == 3


def test_the_same_request_twice_writes_once(scribe: Scribe, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(change_many, "ACT_MOST", 2)
    seen = shown(scribe, PUBLISHER).seen
    asked = Request(key="k", body=b"x")
    first = write_change(scribe.ledger, OWNER, BOOKS, PUBLISHER, REASON, seen, asked)
    again = write_change(scribe.ledger, OWNER, BOOKS, PUBLISHER, REASON, seen, asked)
    assert [each.act for each in first] == [each.act for each in again]
    assert all(each.replayed for each in again)
    assert size(scribe) == 10
    with pytest.raises(KeyReusedError):
        write_change(scribe.ledger, OWNER, BOOKS, PUBLISHER, REASON, seen, Request(key="k", body=b"y"))


def test_no_book_no_reason_and_too_many_are_refused(scribe: Scribe, monkeypatch: pytest.MonkeyPatch) -> None:
    with pytest.raises(InvalidError, match="No book is chosen"):
        preview(scribe.ledger, OWNER, (), TO_BOX, REASON)
    with pytest.raises(InvalidError, match="Say why"):
        preview(scribe.ledger, OWNER, BOOKS, TO_BOX, "  ")
    with pytest.raises(NotFoundError):
        preview(scribe.ledger, OWNER, ("nobody",), TO_BOX, REASON)
    monkeypatch.setattr(change_many, "CHANGED_MOST", 4)
    with pytest.raises(InvalidError, match="At most 4"):
        preview(scribe.ledger, OWNER, BOOKS, TO_BOX, REASON)
    with pytest.raises(InvalidError, match="Narrow the list"):
        found_by(scribe.ledger, OWNER, ShelfQuery(kept=True))


def test_all_that_a_search_finds_are_meant_page_after_page(scribe: Scribe, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(change_many, "_PAGE", 2)
    assert sorted(found_by(scribe.ledger, OWNER, ShelfQuery(kept=True))) == list(BOOKS)
