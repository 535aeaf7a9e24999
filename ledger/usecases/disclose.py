"""Makes the record of a book: chosen, seen before it is made, told by an entry, signed, and kept as it was given away."""

from ledger.actor import Actor, Permission
from ledger.damage import stored_so
from ledger.entry import Entry
from ledger.errors import ConflictError
from ledger.events.disclosure import Disclosure, Opened
from ledger.events.key import Key
from ledger.handing import HandingStore, KeptRecord
from ledger.history import history
from ledger.ports import Ledger
from ledger.proof.record_file import RecordFile, digest_of
from ledger.sealed import Sealed
from ledger.usecases.checkpoint import named_keys, sign_checkpoint
from ledger.usecases.choose import Preview, Wish, earlier_said, preview, today
from ledger.usecases.drafts import Draft
from ledger.usecases.prove import proof_of_book, proof_of_entry
from ledger.usecases.record import Request, record
from ledger.usecases.stored import size_of
from ledger.when import When

__all__ = ["issue", "need_handing"]


def issue(ledger: Ledger, actor: Actor, book: str, wish: Wish, request: Request | None = None) -> KeptRecord:
    """The record, told by an entry, under a checkpoint signed after it, and kept as it is given away.

    With a key and a request that was answered before, the record of then.
    Raises: what `preview` and `record` raise; ConflictError where no key can sign, or the book was written to meanwhile.
    """
    actor.require(Permission.SIGN)
    handing = need_handing(ledger)
    if not ledger.signer.at_hand:
        raise ConflictError(sentence="The signing key is not at hand, so no record can be made. Put it back first.")
    seen = preview(ledger, actor, book, wish)
    told = Disclosure(
        on=When.of_day(today(ledger)),
        statement=seen.sheet.digest,
        opened=tuple(Opened(entry=seq, name=name) for seq, name in sorted(seen.opened)),
        previous_head=seen.leaf,
        recipient=Sealed.of(wish.recipient),
    )
    given = request or Request()
    asked = Request(key=given.key, body=given.body, tags={book: seen.book_seq}, act=given.act)
    entry, *_ = (written := record(ledger, actor, [Draft(event=told, book=book)], asked)).entries
    if written.replayed:
        return _made_then(handing, book, entry.seq)
    sign_checkpoint(ledger, actor)
    data = _record_file(ledger, book, entry, seen).to_bytes()
    kept = KeptRecord(sha256=digest_of(data), book=book, received=False, seq=entry.seq, made=entry.recorded, data=data)
    handing.write(lambda writer: writer.put_record(kept))
    return kept


def need_handing(ledger: Ledger) -> HandingStore:
    """Where records are kept.

    Raises: ConflictError.
    """
    if ledger.handing is None:
        raise ConflictError(sentence="This ledger is open for reading only; no record is made here.")
    return ledger.handing


def _made_then(handing: HandingStore, book: str, seq: int) -> KeptRecord:
    with handing.read() as reader:
        found = next((each for each in reader.records(book) if each.seq == seq and not each.received), None)
    if found is None:
        sentence = f"Entry {seq} tells of a record that was cut off before it was kept. Make another one."
        raise ConflictError(sentence=sentence)
    return found


def _record_file(ledger: Ledger, book: str, told: Entry, seen: Preview) -> RecordFile:
    """The record as the ledger stands; its last entry is the one that tells of it."""
    with stored_so(), ledger.log.read() as reader:
        if reader.book_head(book).leaf != told.leaf:
            sentence = "The book was written to while its record was made. Make the record again."
            raise ConflictError(sentence=sentence)
        proof = proof_of_book(reader, book, lambda entry: {name for seq, name in seen.opened if seq == entry.seq})
        size = size_of(reader)
        own = [each for each in reader.of_collection() if isinstance(each.event, Key)]
        return RecordFile(
            proof=proof,
            sheet=seen.sheet,
            collection=tuple(proof_of_entry(reader, each.seq, size, frozenset()) for each in own),
            pictures=seen.pictures,
            earlier=tuple(
                each.sha256
                for each in earlier_said(ledger, history(reader.of_book(book), ledger.codec))
                if each.sheet is not None
            ),
            keys=tuple(each.vkey for each in named_keys(ledger, reader)),
        )
