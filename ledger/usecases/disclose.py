"""Makes the record of a book: chosen, seen before it is made, told by an entry, signed, and kept as it was given away."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Final

from ledger.actor import Actor, Permission
from ledger.damage import stored_so
from ledger.entry import Entry
from ledger.errors import ConflictError, StaleError
from ledger.events.disclosure import Disclosure, Opened
from ledger.events.key import Key
from ledger.handing import HandingStore, KeptRecord
from ledger.ports import Ledger, Reader, StoredCheckpoint, Writer
from ledger.proof.record_file import RecordFile, digest_of
from ledger.sealed import Sealed, SealState
from ledger.usecases.checkpoint import move_anchor, named_keys, sign_within
from ledger.usecases.choose import Field, Preview, Wish, preview
from ledger.usecases.drafts import Draft
from ledger.usecases.forget import forget_shown
from ledger.usecases.kept_records import need_unchanged
from ledger.usecases.key_in_use import settle
from ledger.usecases.prove import proof_of_book, proofs_of_entries
from ledger.usecases.record import Request, record_within
from ledger.usecases.stored import size_of
from ledger.when import When

__all__ = ["Issued", "issue", "issue_whole", "need_handing"]

_DIGITS_MOST: Final = 15
"""Digits of a number of entries: no ledger has more than 2**53 - 1."""


@dataclass(frozen=True, kw_only=True)
class Issued:
    """A record that was made just now, what is in it, and the photographs that go with it by digest."""

    kept: KeptRecord
    file: RecordFile
    pictures: Mapping[str, bytes] = field(default_factory=dict)


@dataclass(frozen=True, kw_only=True)
class _Written:
    """What one work wrote: the entry that tells of the record, and unless it was written before, all that follows it."""

    entry: Entry
    signed: StoredCheckpoint | None = None
    file: RecordFile | None = None


def issue(  # noqa: PLR0913 - what is made, and what its maker saw of it
    ledger: Ledger,
    actor: Actor,
    book: str,
    wish: Wish,
    request: Request | None = None,
    *,
    tag: str | None = None,
) -> KeptRecord:
    """The record, told by an entry, under a checkpoint signed after it, and kept as it is given away.

    With a key and a request that was answered before, the record of then. `tag` is that of the preview its maker saw; left
    out, nobody saw one.
    Keeps: the entry, the checkpoint and the proofs are made in one work, so that nobody writes in between and nothing is
    written where it cannot be signed. A record that shows what was erased meanwhile is not kept.
    Raises: what `preview` and `record` raise; StaleError where the record would not be the one that was seen;
    ConflictError where no key can sign, or something was erased meanwhile.
    """
    return _issued(ledger, actor, book, wish, request or Request(), tag, None).kept


def issue_whole(ledger: Ledger, actor: Actor, book: str, wish: Wish) -> Issued:
    """As `issue`, for whoever gives it away at once: its photographs are read and checked once for both.

    Raises: what `issue` raises.
    """
    brought: dict[str, bytes] = {}
    return _issued(ledger, actor, book, wish, Request(), None, brought)


def _issued(  # noqa: PLR0913 - those of `issue`, and where photographs go
    ledger: Ledger,
    actor: Actor,
    book: str,
    wish: Wish,
    given: Request,
    tag: str | None,
    brought: dict[str, bytes] | None,
) -> Issued:
    actor.require(Permission.SIGN)
    handing = need_handing(ledger)
    if not ledger.signer.at_hand:
        raise ConflictError(sentence="The signing key is not at hand, so no record can be made. Put it back first.")
    seen = preview(ledger, actor, book, wish, brought)
    asked = Request(key=given.key, body=given.body, tags={book: _seen_at(book, seen, tag)}, act=given.act)
    draft = Draft(event=_told(seen, wish), book=book)
    # Before the work, for what the work sees may not be durable yet.
    settle(ledger)
    written = ledger.log.write(lambda writer: _write(writer, ledger, actor, draft, asked, seen))
    entry = written.entry
    if written.signed is None or written.file is None:
        then = _made_then(handing, book, entry.seq)
        return Issued(kept=then, file=RecordFile.from_bytes(then.data))
    move_anchor(ledger, written.signed)
    data = written.file.to_bytes()
    kept = KeptRecord(sha256=digest_of(data), book=book, received=False, seq=entry.seq, made=entry.recorded, data=data)
    handing.write(lambda writer: writer.put_record(kept))
    _refuse_erased(ledger, book, seen)
    return Issued(kept=kept, file=written.file, pictures=brought or {})


def _seen_at(book: str, seen: Preview, tag: str | None) -> int:
    """Number of entries that the book had when its maker saw what the record says.

    Raises: StaleError where it has as many still and the record says something else, as it does on another day.
    """
    if tag is None:
        return seen.book_seq
    number = tag.partition(".")[0]
    at = int(number) if number.isascii() and number.isdecimal() and len(number) <= _DIGITS_MOST else 0
    if at == seen.book_seq and tag != seen.tag:
        raise StaleError(book=book, expected=at, found=seen.book_seq)
    # Any other number is refused where the entry is written, unless this very request was answered before.
    return at


def need_handing(ledger: Ledger) -> HandingStore:
    """Where records are kept.

    Raises: ConflictError.
    """
    if ledger.handing is None:
        raise ConflictError(sentence="This ledger is open for reading only; no record is made here.")
    return ledger.handing


def _told(seen: Preview, wish: Wish) -> Disclosure:
    return Disclosure(
        on=When.of_day(seen.made),
        statement=seen.sheet.digest,
        opened=tuple(Opened(entry=seq, name=name) for seq, name in sorted(seen.opened)),
        previous_head=seen.leaf,
        recipient=Sealed.of(wish.recipient),
    )


def _write(  # noqa: PLR0913 - one work
    writer: Writer, ledger: Ledger, actor: Actor, draft: Draft, asked: Request, seen: Preview
) -> _Written:
    """The entry, the checkpoint over it and the record under that: all of it, or none."""
    written = record_within(writer, ledger, actor, [draft], asked)
    entry = written.entries[0]
    if written.replayed:
        return _Written(entry=entry)
    signed = sign_within(ledger, writer)
    return _Written(entry=entry, signed=signed, file=_record_file(ledger, writer, str(draft.book), seen))


def _made_then(handing: HandingStore, book: str, seq: int) -> KeptRecord:
    with handing.read() as reader:
        found = next((each for each in reader.records(book) if each.seq == seq and not each.received), None)
    if found is None:
        sentence = f"Entry {seq} tells of a record that was cut off before it was kept. Make another one."
        raise ConflictError(sentence=sentence)
    return need_unchanged(found)


def _refuse_erased(ledger: Ledger, book: str, seen: Preview) -> None:
    """No record stays that shows what was erased while it was made.

    It is looked for after the record was kept: whatever is erased later finds the record there, and takes it out itself.
    Raises: ConflictError.
    """
    gone = _gone(ledger, book, seen.opened)
    if not gone:
        return
    forget_shown(ledger, gone)
    named = ", ".join(f"{name} of entry {seq}" for seq, name in sorted(gone))
    sentence = f"While the record was made, {named} was erased, so the record is not kept. Make another one."
    raise ConflictError(sentence=sentence)


def _gone(ledger: Ledger, book: str, opened: frozenset[Field]) -> set[Field]:
    if not opened:
        return set()
    with ledger.log.read() as reader:
        fields = {entry.seq: entry.event.sealed_fields() for entry in reader.of_book(book)}
    return {(seq, name) for seq, name in opened if fields[seq][name].state is not SealState.OPEN}


def _record_file(ledger: Ledger, reader: Reader, book: str, seen: Preview) -> RecordFile:
    """The record as the ledger stands; its last entry is the one that tells of it."""
    with stored_so():
        size = size_of(reader)
        own = [each for each in reader.of_collection() if isinstance(each.event, Key)]
        return RecordFile(
            proof=proof_of_book(reader, book, lambda entry: {name for seq, name in seen.opened if seq == entry.seq}),
            sheet=seen.sheet,
            collection=proofs_of_entries(reader, {each.seq: frozenset() for each in own}, size),
            pictures=seen.pictures,
            earlier=seen.along,
            keys=tuple(each.vkey for each in named_keys(ledger, reader)),
        )
