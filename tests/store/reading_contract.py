"""The contract of a log, second part: how every kind of store reads, and what it keeps beside the entries."""

from datetime import timedelta

import pytest

from ledger.errors import ConflictError, InvalidError, NotFoundError
from ledger.events.erasure import Erasure
from ledger.ports import ENTRIES, Receipt, StoredCheckpoint, StoredToken
from ledger.sealed import Sealed
from ledger.usecases.record import Draft
from ledger.views import BookQuery, EntryQuery
from tests.builders import a_purchase, a_slab, usd
from tests.conftest import Kept
from tests.store.writing import WHEN, Scribe, a_note

SALT = b"\x05" * 16


class ReadingContract:
    """Entries are found by number, book, act and kind; what is not there is named."""

    def test_what_is_not_there_is_named(self, store: Kept) -> None:
        Scribe(store.log).buy()
        with store.log.read() as reader:
            for read, what, name in (
                (lambda: reader.entry(2), "entry", "2"),
                (lambda: reader.of_book("b9"), "book", "b9"),
                (lambda: reader.of_act("a9"), "act", "a9"),
                (lambda: reader.book_head("b9"), "book", "b9"),
                (lambda: reader.book("b9"), "book", "b9"),
            ):
                with pytest.raises(NotFoundError) as refused:
                    read()
                assert (refused.value.what, refused.value.name) == (what, name)

    def test_entries_are_listed_in_the_order_they_were_recorded(self, store: Kept) -> None:
        scribe = Scribe(store.log)
        book = scribe.buy().book
        scribe.buy()
        for _ in range(3):
            scribe.add(book, a_note())
        scribe.add(None, a_note())
        with store.log.read() as reader:

            def seqs(**query: object) -> tuple[list[int], str | None]:
                page = reader.entries(EntryQuery(**query))  # type: ignore[arg-type]  # the names are checked by it
                return [entry.seq for entry in page.rows], page.after

            assert seqs() == ([1, 2, 3, 4, 5, 6], None)
            assert seqs(limit=4) == ([1, 2, 3, 4], "4")
            assert seqs(limit=4, after=4) == ([5, 6], None)
            assert seqs(limit=6) == ([1, 2, 3, 4, 5, 6], None)
            assert seqs(newest_first=True, limit=2) == ([6, 5], "5")
            assert seqs(newest_first=True, limit=4, after=5) == ([4, 3, 2, 1], None)
            assert seqs(book=book) == ([1, 3, 4, 5], None)
            assert seqs(kinds=("purchase",)) == ([1, 2], None)
            assert seqs(kinds=("purchase", "note"), book=book, after=1, limit=1) == ([3], "3")
            assert [entry.seq for entry in reader.of_collection()] == [6]

    def test_numbers_that_no_database_holds_are_of_nothing(self, store: Kept) -> None:
        Scribe(store.log).buy()
        with store.log.read() as reader:
            for beyond in (2**63, -(2**63), 2**200):
                with pytest.raises(NotFoundError) as refused:
                    reader.entry(beyond)
                assert refused.value.name == str(beyond)
                assert reader.stored(beyond, 5) == []
            assert reader.entries(EntryQuery(after=2**63)).rows == []
            assert len(reader.entries(EntryQuery(after=-(2**70))).rows) == 1
            assert len(reader.entries(EntryQuery(after=2**70, newest_first=True)).rows) == 1
            assert reader.books(BookQuery(grade_from=2**63)).rows == []

    @pytest.mark.parametrize("limit", [0, -1, 501])
    def test_a_page_has_no_more_rows_than_a_page_may_have(self, store: Kept, limit: int) -> None:
        with store.log.read() as reader, pytest.raises(InvalidError) as refused:
            reader.entries(EntryQuery(limit=limit))
        assert [problem.field for problem in refused.value.problems] == ["limit"]

    def test_entries_written_together_are_found_by_their_act(self, store: Kept) -> None:
        scribe = Scribe(store.log)
        scribe.buy()
        lot = scribe.write(*(Draft(event=a_purchase(), new_book=True) for _ in range(3)))
        with store.log.read() as reader:
            assert [entry.seq for entry in reader.of_act(lot.act)] == [2, 3, 4]
            assert [entry.seq for entry in reader.entries(EntryQuery(act=lot.act)).rows] == [2, 3, 4]

    def test_a_node_that_is_missing_is_empty(self, store: Kept) -> None:
        Scribe(store.log).buy()
        with store.log.read() as reader:
            there, missing = reader.nodes(ENTRIES, [(0, 0), (5, 9)])
            assert (there.hex(), missing) == (reader.entry(1).leaf, b"")
            assert reader.nodes(ENTRIES, []) == []

    def test_books_are_found_by_the_number_of_their_holder(self, store: Kept) -> None:
        scribe = Scribe(store.log)
        first = scribe.write(Draft(event=a_slab(), new_book=True)).entries[0].book
        scribe.write(Draft(event=a_slab(holder_number="B-1"), new_book=True))
        with store.log.read() as reader:
            assert reader.books_in_holder("A-77") == [first]
            assert reader.books_in_holder("none") == []


class SealedContract:
    """Sealed values are kept beside the entries, and gone for good when they are erased."""

    def test_sealed_values_come_back_as_they_were_sealed(self, store: Kept) -> None:
        Scribe(store.log).buy(price=Sealed.of(usd("120.00")), seller=Sealed.of("Nana Ölberg"))
        with store.log.read() as reader:
            event = reader.entry(1).event.sealed_fields()
            kept = {value.name: value for value in reader.sealed(1)}
        assert event["price"] == Sealed.of(usd("120.00"))
        assert event["seller"] == Sealed.of("Nana Ölberg")
        assert event["venue"] == Sealed.of(None)
        assert set(kept) == set(event)
        assert (kept["venue"].value, len(kept["venue"].salt or b"")) == (None, 16)
        assert len({value.salt for value in kept.values()}) == len(kept)

    def test_sealed_values_are_listed_for_a_run_of_entries(self, store: Kept) -> None:
        scribe = Scribe(store.log)
        for _ in range(3):
            scribe.add(None, a_note())
        with store.log.read() as reader:
            assert [(value.seq, value.name) for value in reader.sealed_between(2, 2)] == [(2, "words"), (3, "words")]

    def test_an_erased_value_is_read_as_erased_and_its_request_is_forgotten(self, store: Kept) -> None:
        scribe = Scribe(store.log)
        bought = scribe.buy(key="k1", seller=Sealed.of("Nana Ölberg"))
        scribe.add(bought.book, Erasure(entry=1, names=("seller",)))
        with store.log.read() as reader:
            fields = reader.entry(1).event.sealed_fields()
            assert (fields["seller"], fields["venue"]) == (Sealed.erased(), Sealed.of(None))
            kept = {value.name: value for value in reader.sealed(1)}
            assert (kept["seller"].salt, kept["seller"].value) == (None, None)
            receipt = reader.receipt("k1")
        assert receipt is not None
        assert (receipt.salt, receipt.request, receipt.first, receipt.count) == (None, None, 1, 1)

    def test_only_a_field_that_was_kept_can_be_erased(self, store: Kept) -> None:
        Scribe(store.log).buy()
        with pytest.raises(NotFoundError) as refused:
            store.log.write(lambda writer: writer.erase_sealed(1, ["remark"]))
        assert refused.value.what == "sealed field"


class BesideContract:
    """Receipts, checkpoints and tokens are kept beside the entries."""

    def test_a_receipt_says_what_its_key_did(self, store: Kept) -> None:
        receipt = Receipt(key="k", salt=SALT, request=b"\x01" * 32, first=1, count=1, warnings=("Dates overlap.", "ä"))
        Scribe(store.log).buy()
        store.log.write(lambda writer: writer.put_receipt(receipt))
        with store.log.read() as reader:
            assert reader.receipt("k") == receipt
            assert reader.receipt("K") is None

    def test_a_key_is_used_once(self, store: Kept) -> None:
        Scribe(store.log).buy(key="k")
        again = Receipt(key="k", salt=SALT, request=b"\x01" * 32, first=1, count=1)
        with pytest.raises(ConflictError):
            store.log.write(lambda writer: writer.put_receipt(again))

    def test_forgetting_an_entry_forgets_only_the_request_that_made_it(self, store: Kept) -> None:
        scribe = Scribe(store.log)
        scribe.write(*(Draft(event=a_purchase(), new_book=True) for _ in range(2)), key="two")
        scribe.buy(key="one")
        store.log.write(lambda writer: writer.forget_receipts([2]))
        with store.log.read() as reader:
            two, one = reader.receipt("two"), reader.receipt("one")
        assert two is not None
        assert one is not None
        assert (two.salt, two.request) == (None, None)
        assert one.request is not None

    def test_checkpoints_are_kept_in_the_order_of_signing(self, store: Kept) -> None:
        scribe = Scribe(store.log)
        signed = [StoredCheckpoint(size=size, note=f"note {size}", signed=WHEN) for size in (0, 1, 1, 2)]
        for checkpoint in signed:
            if checkpoint.size and checkpoint is not signed[2]:
                scribe.buy()
            _sign(store, checkpoint)
        with store.log.read() as reader:
            assert reader.checkpoints() == signed
            assert reader.last_checkpoint() == signed[-1]

    @pytest.mark.parametrize("size", [1, 3])
    def test_a_checkpoint_covers_no_less_than_the_last_and_no_more_than_there_is(self, store: Kept, size: int) -> None:
        scribe = Scribe(store.log)
        scribe.buy()
        scribe.buy()
        _sign(store, StoredCheckpoint(size=2, note="n", signed=WHEN))
        with pytest.raises(ConflictError):
            _sign(store, StoredCheckpoint(size=size, note="m", signed=WHEN))

    def test_tokens_are_found_by_their_hash_until_they_are_revoked(self, store: Kept) -> None:
        token = StoredToken(
            id="t1",
            label="shop till",
            hashed=b"\x09" * 32,
            scopes=("read", "record"),
            person="owner",
            created=WHEN,
            expires=WHEN + timedelta(days=9),
        )
        store.log.write(lambda writer: writer.put_token(token))
        with store.log.read() as reader:
            assert (reader.token(token.hashed), reader.token(b"\x08" * 32)) == (token, None)
            assert reader.tokens() == [token]
        store.log.write(lambda writer: writer.revoke_token("t1", WHEN + timedelta(days=1)))
        store.log.write(lambda writer: writer.revoke_token("t1", WHEN + timedelta(days=2)))
        with store.log.read() as reader:
            found = reader.token(token.hashed)
        assert found is not None
        assert found.revoked == WHEN + timedelta(days=1)

    def test_a_token_that_is_not_there_cannot_be_revoked(self, store: Kept) -> None:
        with pytest.raises(NotFoundError) as refused:
            store.log.write(lambda writer: writer.revoke_token("t9", WHEN))
        assert (refused.value.what, refused.value.name) == ("token", "t9")


def _sign(store: Kept, checkpoint: StoredCheckpoint) -> None:
    store.log.write(lambda writer: writer.put_checkpoint(checkpoint))
