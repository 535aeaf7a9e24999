"""Gives a record away: in each of its forms, and at an address that expires and can be ended."""

import hmac
from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import timedelta
from enum import StrEnum
from types import MappingProxyType
from typing import Final

from ledger.actor import Actor, Permission
from ledger.errors import ConflictError, InvalidError, NotFoundError, Problem
from ledger.events.earlier import Earlier
from ledger.handing import HandingReader, HandingWriter, KeptRecord, Link
from ledger.history import history
from ledger.ports import Ledger
from ledger.proof.forms import bag_parts
from ledger.proof.handed import Glance
from ledger.proof.page import page_of
from ledger.proof.record_file import RecordFile, earlier_there
from ledger.proof.sheet import Sheet
from ledger.usecases.choose import Wish
from ledger.usecases.disclose import issue_whole, need_handing
from ledger.usecases.doorbook import Came, note
from ledger.usecases.earlier_seen import EarlierSeen, seen_at_a_glance
from ledger.usecases.kept_records import earlier_kept, kept_pictures, kept_record, received_file
from ledger.usecases.record import random_id
from ledger.usecases.record_sheet import sheet_pdf
from ledger.usecases.secret import hash_of, new_secret
from ledger.usecases.stamps import with_stamps

__all__ = [
    "DAYS_MOST",
    "Form",
    "Made",
    "Shown",
    "count_opening",
    "earlier_records",
    "end_link",
    "given",
    "given_parts",
    "links_of",
    "made_now",
    "made_record",
    "make_link",
    "picture_in",
    "record_at",
    "records_of",
    "shown_at",
    "shown_record",
    "with_pictures",
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
class Shown:
    """A record as it was kept, read, with the records of the owners before beside it; photographs stay where they lie.

    One that was made here has what others said of its checkpoint since then; its `sha256` stays that of the one kept.
    """

    kept: KeptRecord
    file: RecordFile
    beside: Mapping[str, bytes]
    """By digest."""
    glanced: Mapping[str, Glance | None]
    """What is seen of each photograph without reading it; None for what is not kept here."""

    @property
    def lost(self) -> tuple[str, ...]:
        """What it names and is not kept here: it came without it."""
        return tuple(each for each, there in self.glanced.items() if there is None)

    @property
    def sheets(self) -> tuple[tuple[str, Sheet], ...]:
        """Digest and words of the record, then of those of the owners before, the last of them first."""
        earlier, _ = earlier_there(self.file, self.beside)
        return ((self.kept.sha256, self.file.sheet), *((name, each.sheet) for name, each in earlier.items()))

    @property
    def seen(self) -> tuple[EarlierSeen, ...]:
        """What a check without a key from elsewhere finds in it and in each earlier record: itself first."""
        return seen_at_a_glance(self.kept.data, self.beside, self.kept.sha256, self.glanced)

    @property
    def media(self) -> Mapping[str, str]:
        """What kind of picture each photograph in it is, by digest."""
        files = (self.file, *earlier_there(self.file, self.beside)[0].values())
        return {each.sha256: each.media for file in files for each in file.pictures}


@dataclass(frozen=True, kw_only=True)
class Made(Shown):
    """The same with its photographs beside it too, as it is given in one of its forms."""


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

    Raises: NotFoundError; DamagedError where it, or something that lies beside it, was changed.
    """
    actor.require(Permission.READ)
    with need_handing(ledger).read() as reader:
        return with_pictures(ledger, _shown(ledger, reader, sha256))


def shown_record(ledger: Ledger, actor: Actor, sha256: str) -> Shown:
    """A record to be read, none of its photographs.

    Raises: NotFoundError; MalformedError where it is damaged.
    """
    actor.require(Permission.READ)
    with need_handing(ledger).read() as reader:
        return _shown(ledger, reader, sha256)


def picture_in(ledger: Ledger, shown: Shown, sha256: str) -> bytes:
    """The one photograph, if it goes with that record; no other is read for it.

    Raises: NotFoundError; DamagedError where the file is not what its name says.
    """
    if sha256 not in shown.media:
        raise NotFoundError(what="photograph", name=sha256[:12])
    return kept_pictures(ledger, [sha256])[sha256]


def with_pictures(ledger: Ledger, shown: Shown, pictures: Mapping[str, bytes] = MappingProxyType({})) -> Made:
    """The same record with all its photographs; those in `pictures` were read and checked before, and are not read again.

    Raises: NotFoundError, DamagedError.
    """
    more = kept_pictures(ledger, [each for each in shown.media if each not in pictures and each not in shown.lost])
    beside = {**shown.beside, **pictures, **more}
    return Made(kept=shown.kept, file=shown.file, beside=beside, glanced=shown.glanced)


def made_now(ledger: Ledger, actor: Actor, book: str, wish: Wish) -> Made:
    """A record that is made and given away in one go, as `made_record` has it; nothing is read twice for that.

    Raises: what `disclose.issue` and `made_record` raise.
    """
    actor.require(Permission.READ)
    issued = issue_whole(ledger, actor, book, wish)
    with need_handing(ledger).read() as reader:
        shown = _beside(ledger, reader, issued.kept, issued.file)
    return with_pictures(ledger, shown, issued.pictures)


def given(ledger: Ledger, made: Made, form: Form) -> bytes:
    """The record in one of its forms; the same record gives the same bytes.

    Raises: ConflictError where no PDF can be made here, or something is missing that the form has in it.
    """
    return b"".join(given_parts(ledger, made, form))


def given_parts(ledger: Ledger, made: Made, form: Form) -> list[bytes]:
    """As `given`, as pieces to be sent or written one after another.

    Raises: what `given` raises.
    """
    if made.lost and form in (Form.PAGE, Form.BAG):
        named = " and ".join(each[:12] for each in made.lost)
        sentence = (
            f"{named}, which belongs to this record, is not kept here. Take the record alone, or the sheet to print."
        )
        raise ConflictError(sentence=sentence)
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
    """The record at an address with its photographs, for anybody who has it.

    Raises: NotFoundError, whatever is wrong with the address.
    """
    return with_pictures(ledger, shown_at(ledger, secret))


def shown_at(ledger: Ledger, secret: str) -> Shown:
    """The record at an address to be read, none of its photographs, for anybody who has it.

    Raises: NotFoundError, whatever is wrong with the address.
    """
    handing, hashed = need_handing(ledger), hash_of(secret).hex()
    with handing.read() as reader:
        link = reader.link_by(hashed)
        # Compared once more in a time that tells nothing; the hash of a secret of 256 bits cannot be felt out by it.
        known = link is not None and hmac.compare_digest(link.hashed, hashed)
        if link is None or not known or ledger.clock.now() >= link.expires:
            raise NotFoundError(what="record", name="of that address")
        return _shown(ledger, reader, link.record)


def count_opening(ledger: Ledger, secret: str) -> None:
    """One more opening of the address, if it is there."""
    hashed = hash_of(secret).hex()

    def work(writer: HandingWriter) -> None:
        link = writer.link_by(hashed)
        if link is not None:
            writer.put_link(replace(link, seen=link.seen + 1))

    need_handing(ledger).write(work)


def _shown(ledger: Ledger, reader: HandingReader, sha256: str) -> Shown:
    kept = kept_record(reader, sha256)
    if not kept.received:
        kept = replace(kept, data=with_stamps(ledger, kept.data))
    return _beside(ledger, reader, kept, RecordFile.from_bytes(kept.data))


def _beside(ledger: Ledger, reader: HandingReader, kept: KeptRecord, file: RecordFile) -> Shown:
    found = earlier_kept(ledger, reader, file)
    return Shown(kept=kept, file=file, beside=found.beside, glanced=found.glanced)
