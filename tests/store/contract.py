"""The contract of a log, first part: how every kind of store writes, whatever it is made of."""

from dataclasses import replace

import pytest

from ledger.errors import ConflictError
from ledger.events import NotUnderstood
from ledger.ports import ENTRIES, HEADS, BookHead, LogHead, StoredEntry, Writer
from ledger.proof import merkle
from ledger.proof.chain import Envelope
from ledger.store.records import moment
from tests.builders import a_purchase
from tests.conftest import COLLECTION, Kept
from tests.store.writing import WHEN, Scribe, a_note, append_one


class Interrupt(Exception):  # noqa: N818 - it is no error of the ledger's
    """Something that goes wrong in the middle of a work."""


class WritingContract:
    """A work is kept whole or not at all, and what was written is never changed."""

    def test_a_new_log_is_empty(self, store: Kept) -> None:
        with store.log.read() as reader:
            assert reader.collection == COLLECTION
            assert reader.head() == LogHead(size=0, books=0)
            assert (reader.stored(1, 9), reader.book_heads(), reader.checkpoints()) == ([], [], [])
            assert reader.last_checkpoint() is None
            assert reader.receipt("k") is None

    def test_what_was_written_is_read_again(self, store: Kept) -> None:
        entry = store.log.write(lambda writer: append_one(writer, a_purchase(), book="b1", number=1))
        with store.log.read() as reader:
            assert reader.entry(1) == entry
            assert reader.of_book("b1") == [entry]
            assert reader.head() == LogHead(size=1, books=1)
            assert reader.book_head("b1") == BookHead(book="b1", no=1, seq=1, leaf=entry.leaf)
            stored = reader.stored(1, 5)
        assert [merkle.leaf_hash(each.data).hex() for each in stored] == [entry.leaf]
        assert (stored[0].act, stored[0].kind, stored[0].actor) == ("act", "purchase", "owner")
        assert stored[0].recorded == WHEN

    def test_a_work_sees_what_it_has_written_itself(self, store: Kept) -> None:
        def work(writer: Writer) -> list[int]:
            append_one(writer, a_purchase(), book="b1", number=1)
            append_one(writer, a_note(), book="b1", number=1)
            return [entry.seq for entry in writer.of_book("b1")]

        assert store.log.write(work) == [1, 2]

    def test_a_work_that_raises_leaves_nothing_behind(self, store: Kept) -> None:
        def work(writer: Writer) -> None:
            append_one(writer, a_purchase(), book="b1", number=1)
            raise Interrupt

        with pytest.raises(Interrupt):
            store.log.write(work)
        with store.log.read() as reader:
            assert reader.head() == LogHead(size=0, books=0)
            assert (reader.node_count(ENTRIES), reader.node_count(HEADS), list(reader.listings())) == (0, 0, [])

    def test_the_number_of_a_work_that_raised_is_given_to_the_next(self, store: Kept) -> None:
        def work(writer: Writer) -> None:
            append_one(writer, a_note())
            raise Interrupt

        scribe = Scribe(store.log)
        scribe.buy()
        with pytest.raises(Interrupt):
            store.log.write(work)
        assert scribe.buy().seq == 2

    def test_a_reader_sees_one_state_while_others_write(self, store: Kept) -> None:
        scribe = Scribe(store.log)
        scribe.buy()
        with store.log.read() as reader:
            scribe.buy()
            assert reader.head().size == 1
            assert len(reader.stored(1, 9)) == 1
            assert len(list(reader.listings())) == 1
        with store.log.read() as reader:
            assert reader.head().size == 2

    @pytest.mark.parametrize("wrong", [0, 1, 3])
    def test_an_entry_that_does_not_follow_the_last_one_is_refused(self, store: Kept, wrong: int) -> None:
        Scribe(store.log).buy()
        with store.log.read() as reader:
            stored = reader.stored(1, 1)[0]
        stray = replace(stored, seq=wrong, book=None, book_no=None, book_seq=None)
        with pytest.raises(ConflictError):
            store.log.write(lambda writer: writer.put_entry(stray))

    def test_a_number_within_a_book_is_not_given_twice(self, store: Kept) -> None:
        Scribe(store.log).buy(book="b1")
        with store.log.read() as reader:
            stored = reader.stored(1, 1)[0]
        with pytest.raises(ConflictError):
            store.log.write(lambda writer: writer.put_entry(replace(stored, seq=2)))

    @pytest.mark.parametrize("seq", [1, 3])
    def test_a_books_head_moves_by_one(self, store: Kept, seq: int) -> None:
        Scribe(store.log).buy(book="b1")
        with pytest.raises(ConflictError):
            store.log.write(lambda writer: writer.put_book_head(BookHead(book="b1", no=1, seq=seq, leaf="ab" * 32)))

    def test_a_books_number_is_given_once(self, store: Kept) -> None:
        Scribe(store.log).buy(book="b1")
        with pytest.raises(ConflictError):
            store.log.write(lambda writer: writer.put_book_head(BookHead(book="b2", no=1, seq=1, leaf="ab" * 32)))

    def test_a_node_of_the_tree_of_entries_never_changes(self, store: Kept) -> None:
        Scribe(store.log).buy()
        with pytest.raises(ConflictError):
            store.log.write(lambda writer: writer.put_nodes(ENTRIES, [(0, 0, b"\x01" * 32)]))

    def test_an_entry_of_a_newer_program_is_read_as_not_understood(self, store: Kept) -> None:
        said = Envelope(
            book=None,
            book_no=None,
            book_seq=None,
            book_prev=None,
            on=None,
            fmt="slipsheet/1",
            collection=COLLECTION,
            seq=1,
            act="a",
            kind="telling",
            v=7,
            recorded="2026-01-01T00:00:00.000000Z",
            actor="owner",
            body={"words": ["kept"]},
            sealed={},
        )
        store.log.write(lambda writer: _put_whole(writer, said))
        with store.log.read() as reader:
            event = reader.entry(1).event
        assert isinstance(event, NotUnderstood)
        assert (event.wire_kind, event.version, event.body) == ("telling", 7, {"words": ["kept"]})


def _put_whole(writer: Writer, said: Envelope) -> None:
    """An entry of no book, as it stands in an envelope."""
    writer.put_entry(
        StoredEntry(
            seq=said.seq,
            data=said.to_bytes(),
            leaf=said.leaf.hex(),
            book=None,
            book_no=None,
            book_seq=None,
            act=said.act,
            kind=said.kind,
            actor=said.actor,
            recorded=moment(said.recorded),
        )
    )
    writer.put_nodes(ENTRIES, merkle.appended(0, said.leaf, lambda which: writer.nodes(ENTRIES, which)))
