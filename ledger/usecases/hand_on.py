"""Gives a record away: in each of its forms, and at an address that expires and can be ended."""

import hmac
from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import timedelta
from enum import StrEnum
from typing import Final

from ledger.actor import Actor, Permission
from ledger.errors import InvalidError, NotFoundError, Problem
from ledger.events.earlier import Earlier
from ledger.handing import HandingReader, HandingWriter, KeptRecord, Link
from ledger.history import history
from ledger.ports import Ledger
from ledger.proof.forms import bag_parts
from ledger.proof.page import page_of
from ledger.proof.record_file import RecordFile, digest_of, earlier_of
from ledger.proof.sheet import Sheet
from ledger.usecases.choose import Wish, kept_pictures, received_file
from ledger.usecases.disclose import issue_whole, need_handing
from ledger.usecases.doorbook import Came, note
from ledger.usecases.record import random_id
from ledger.usecases.record_sheet import sheet_pdf
from ledger.usecases.secret import hash_of, new_secret
from ledger.usecases.stamps import with_stamps

__all__ = [
    "DAYS_MOST",
    "Form",
    "Made",
    "count_opening",
    "earlier_records",
    "end_link",
    "given",
    "given_parts",
    "links_of",
    "made_now",
    "made_record",
    "make_link",
    "record_at",
    "records_of",
]

DAYS_MOST: Final = 366
"""How long a link may last: after a year it is made anew. Our assumption."""


class Form(StrEnum):
    """A form in which a record is given."""

    PAGE = "page"
    BAG = "bag"
    FILE = "file"
    SHEET = "sheet"


@dataclass(frozen=True, kw_only=True)
class Made:
    """A record as it was kept, read, with all that lies beside it by digest.

    One that was made here has what others said of its checkpoint since then; its `sha256` stays that of the one kept.
    """

    kept: KeptRecord
    file: RecordFile
    beside: Mapping[str, bytes]

    @property
    def sheets(self) -> tuple[tuple[str, Sheet], ...]:
        """Digest and words of the record, then of those of the owners before, the last of them first."""
        earlier = earlier_of(self.file, self.beside)
        return ((self.kept.sha256, self.file.sheet), *((name, each.sheet) for name, each in earlier.items()))

    @property
    def media(self) -> Mapping[str, str]:
        """What kind of picture each photograph in it is, by digest."""
        files = (self.file, *earlier_of(self.file, self.beside).values())
        return {each.sha256: each.media for file in files for each in file.pictures}

    def picture(self, sha256: str) -> bytes:
        """A photograph that goes with it, and no other file.

        Raises: NotFoundError.
        """
        if sha256 not in self.media:
            raise NotFoundError(what="photograph", name=sha256[:12])
        return self.beside[sha256]


def records_of(ledger: Ledger, actor: Actor, book: str) -> list[KeptRecord]:
    """Every record of a book, made here or received, the oldest first."""
    actor.require(Permission.READ)
    with need_handing(ledger).read() as reader:
        return reader.records(book)


def earlier_records(ledger: Ledger, actor: Actor, book: str) -> list[tuple[int, Earlier, RecordFile | None]]:
    """Every earlier owner's record that an entry in force speaks of, with its file where it is kept and can be read."""
    actor.require(Permission.READ)
    with ledger.log.read() as reader:
        told = [each for each in history(reader.of_book(book), ledger.codec) if each.in_force]
    return [
        (each.entry.seq, each.event, received_file(ledger, each.event.record))
        for each in told
        if isinstance(each.event, Earlier)
    ]


def made_record(ledger: Ledger, actor: Actor, sha256: str) -> Made:
    """A record with what lies beside it.

    Raises: NotFoundError, also for a photograph that is missing; MalformedError where it is damaged.
    """
    actor.require(Permission.READ)
    with need_handing(ledger).read() as reader:
        return _made(ledger, reader, sha256)


def made_now(ledger: Ledger, actor: Actor, book: str, wish: Wish) -> Made:
    """A record that is made and given away in one go, as `made_record` has it; nothing is read twice for that.

    Raises: what `disclose.issue` and `made_record` raise.
    """
    actor.require(Permission.READ)
    issued = issue_whole(ledger, actor, book, wish)
    beside = dict(issued.pictures)
    with need_handing(ledger).read() as reader:
        _bring(ledger, reader, issued.file, beside)
    return Made(kept=issued.kept, file=issued.file, beside=beside)


def given(ledger: Ledger, made: Made, form: Form) -> bytes:
    """The record in one of its forms; the same record gives the same bytes.

    Raises: ConflictError where no PDF can be made here.
    """
    return b"".join(given_parts(ledger, made, form))


def given_parts(ledger: Ledger, made: Made, form: Form) -> list[bytes]:
    """As `given`, as pieces to be sent or written one after another.

    Raises: what `given` raises.
    """
    match form:
        case Form.PAGE:
            return [page_of(made.kept.data, made.beside)]
        case Form.BAG:
            return bag_parts(made.kept.data, made.beside, made.file)
        case Form.FILE:
            return [made.kept.data]
        case Form.SHEET:
            return [sheet_pdf(ledger, made.kept.data, made.beside, made.kept.made)]


def make_link(ledger: Ledger, actor: Actor, sha256: str, days: int) -> tuple[Link, str]:
    """An address for a record, and its secret, which is told this once and kept nowhere.

    Raises: NotFoundError, InvalidError, ForbiddenError.
    """
    actor.require(Permission.TOKENS)
    if not 1 <= days <= DAYS_MOST:
        sentence = f"A link lasts from 1 to {DAYS_MOST} days. Choose such a number."
        raise InvalidError(problems=(Problem(field="days", sentence=sentence),))
    handing = need_handing(ledger)
    with handing.read() as reader:
        kept = reader.record(sha256)
    if kept is None:
        raise NotFoundError(what="record", name=sha256[:12])
    secret = new_secret(ledger.chance)
    now = ledger.clock.now()
    link = Link(
        id=random_id(ledger.chance),
        hashed=hash_of(secret).hex(),
        record=sha256,
        book=kept.book,
        made=now,
        expires=now + timedelta(days=days),
    )
    handing.write(lambda writer: writer.put_link(link))
    note(Came.RECORD_LINK_MADE, who=actor.id)
    return link, secret


def end_link(ledger: Ledger, actor: Actor, link: str) -> None:
    """The address lets nobody in from now on; a second time changes nothing."""
    actor.require(Permission.TOKENS)
    need_handing(ledger).write(lambda writer: writer.take_link(link))
    note(Came.RECORD_LINK_ENDED, who=actor.id)


def links_of(ledger: Ledger, actor: Actor, book: str) -> list[Link]:
    """The addresses that are in force or have expired, without their secrets."""
    actor.require(Permission.READ)
    with need_handing(ledger).read() as reader:
        return reader.links(book)


def record_at(ledger: Ledger, secret: str) -> Made:
    """The record at an address, for anybody who has it.

    Raises: NotFoundError, whatever is wrong with the address.
    """
    handing, hashed = need_handing(ledger), hash_of(secret).hex()
    with handing.read() as reader:
        link = reader.link_by(hashed)
        # Compared once more in a time that tells nothing; the hash of a secret of 256 bits cannot be felt out by it.
        known = link is not None and hmac.compare_digest(link.hashed, hashed)
        if link is None or not known or ledger.clock.now() >= link.expires:
            raise NotFoundError(what="record", name="of that address")
        return _made(ledger, reader, link.record)


def count_opening(ledger: Ledger, secret: str) -> None:
    """One more opening of the address, if it is there."""
    hashed = hash_of(secret).hex()

    def work(writer: HandingWriter) -> None:
        link = writer.link_by(hashed)
        if link is not None:
            writer.put_link(replace(link, seen=link.seen + 1))

    need_handing(ledger).write(work)


def _made(ledger: Ledger, reader: HandingReader, sha256: str) -> Made:
    kept = reader.record(sha256)
    if kept is None:
        raise NotFoundError(what="record", name=sha256[:12])
    if not kept.received:
        kept = replace(kept, data=with_stamps(ledger, kept.data))
    file = RecordFile.from_bytes(kept.data)
    beside: dict[str, bytes] = {}
    _bring(ledger, reader, file, beside)
    return Made(kept=kept, file=file, beside=beside)


def _bring(ledger: Ledger, reader: HandingReader, file: RecordFile, beside: dict[str, bytes]) -> None:
    """Photographs and earlier records, of these in turn too."""
    beside |= kept_pictures(ledger, [each.sha256 for each in file.pictures if each.sha256 not in beside])
    for name in file.earlier:
        if name in beside:
            continue
        kept = reader.record(name)
        if kept is None or digest_of(kept.data) != name:
            raise NotFoundError(what="earlier record", name=name[:12])
        beside[name] = kept.data
        _bring(ledger, reader, RecordFile.from_bytes(kept.data), beside)
