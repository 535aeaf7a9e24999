"""Writer of the log in memory: the same refusals as the database gives."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace
from datetime import datetime

from ledger.book import Book
from ledger.errors import ConflictError, NotFoundError
from ledger.history import Moment
from ledger.many import ManyBooks
from ledger.ports import ENTRIES, HEADS, BookHead, Receipt, SealedValue, StoredCheckpoint, StoredEntry, StoredToken
from ledger.rows import listing
from tests.fake_log import FakeReader


class FakeWriter(FakeReader):
    """As `ports.Writer`, on a copy that is kept as a whole or not at all."""

    def put_entry(self, entry: StoredEntry) -> None:
        places = {(each.book, each.book_seq) for each in self.held.entries if each.book is not None}
        if entry.seq != len(self.held.entries) + 1 or (entry.book, entry.book_seq) in places:
            raise ConflictError(sentence=f"Entry {entry.seq} does not follow the last one.")
        self.held.entries.append(entry)

    def put_nodes(self, tree: str, nodes: Iterable[tuple[int, int, bytes]]) -> None:
        for level, index, found in nodes:
            if tree == ENTRIES and (tree, level, index) in self.held.nodes:
                raise ConflictError(sentence=f"A node of the tree of {tree} is there already.")
            self.held.nodes[tree, level, index] = found

    def put_book_head(self, head: BookHead) -> None:
        old = self.held.book_heads.get(head.book)
        numbers = {each.no for each in self.held.book_heads.values()}
        fits = (old.no, old.seq + 1) == (head.no, head.seq) if old else head.seq == 1 and head.no not in numbers
        if not fits:
            raise ConflictError(sentence=f"Entry {head.seq} of book {head.book} does not follow its last one.")
        self.held.book_heads[head.book] = head

    def put_sealed(self, values: Iterable[SealedValue]) -> None:
        for value in values:
            if (value.seq, value.name) in self.held.sealed:
                raise ConflictError(sentence="A sealed value of this name is kept for this entry already.")
            self.held.sealed[value.seq, value.name] = value

    def erase_sealed(self, seq: int, names: Sequence[str]) -> None:
        for name in names:
            if (seq, name) not in self.held.sealed:
                raise NotFoundError(what="sealed field", name=f"{name} of entry {seq}")
            self.held.sealed[seq, name] = SealedValue(seq=seq, name=name, salt=None, value=None)

    def put_receipt(self, receipt: Receipt) -> None:
        if receipt.key in self.held.receipts:
            raise ConflictError(sentence=f"The key {receipt.key} was used before.")
        self.held.receipts[receipt.key] = receipt

    def forget_receipts(self, seqs: Sequence[int]) -> None:
        for key, receipt in self.held.receipts.items():
            if any(receipt.first <= seq < receipt.first + receipt.count for seq in seqs):
                self.held.receipts[key] = replace(receipt, salt=None, request=None)

    def put_checkpoint(self, checkpoint: StoredCheckpoint) -> None:
        last = self.last_checkpoint()
        if checkpoint.size > len(self.held.entries) or (last is not None and checkpoint.size < last.size):
            raise ConflictError(sentence=f"A checkpoint over {checkpoint.size} entries does not follow the last one.")
        self.held.checkpoints.append(checkpoint)

    def project(self, book: Book, history: Sequence[Moment]) -> None:
        self.held.listings[book.id] = listing(book, history)

    def put_many(self, many: ManyBooks) -> None:
        for entry in many.entries:
            self.put_entry(entry)
        self.put_sealed(many.sealed)
        self.put_nodes(ENTRIES, many.entry_nodes)
        self.put_nodes(HEADS, many.head_nodes)
        for head in many.heads:
            for seq in range(1, head.seq + 1):
                self.put_book_head(replace(head, seq=seq))
        for receipt in many.receipts:
            self.put_receipt(receipt)
        for book, moments in many.books:
            self.project(book, moments)

    def find_places(self, first: int, count: Callable[[int], None]) -> None:
        count(sum(each.row.no >= first for each in self.held.listings.values()))

    def clear_views(self) -> None:
        self.held.listings.clear()

    def put_token(self, token: StoredToken) -> None:
        if token.id in self.held.tokens or self.token(token.hashed) is not None:
            raise ConflictError(sentence=f"There is a token {token.id} already.")
        self.held.tokens[token.id] = token

    def revoke_token(self, token: str, when: datetime) -> None:
        if token not in self.held.tokens:
            raise NotFoundError(what="token", name=token)
        kept = self.held.tokens[token]
        self.held.tokens[token] = kept if kept.revoked else replace(kept, revoked=when)
