"""Chooses what a record shows, and shows what it will say before it is made."""

from collections.abc import Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, fields
from datetime import date
from typing import Any, Final

from ledger.actor import Actor, Permission
from ledger.disclosed import EarlierSaid, Telling, disclosed_sheet
from ledger.errors import DamagedError, InvalidError, MalformedError, NotFoundError, Problem, StoreError
from ledger.events import KINDS, Event
from ledger.events.correction import NEW, Correction
from ledger.events.disclosure import Disclosure
from ledger.events.earlier import Earlier
from ledger.events.photograph import Photograph
from ledger.history import Moment, fold, history
from ledger.ports import Ledger
from ledger.proof.record_file import PictureNamed, RecordFile, digest_of
from ledger.proof.sheet import Sheet
from ledger.sealed import SealState

__all__ = [
    "Choice",
    "Field",
    "Preview",
    "Wish",
    "choices",
    "earlier_said",
    "kept_pictures",
    "preview",
    "received_file",
    "today",
]

_JPEG: Final = b"\xff\xd8"
_AT_ONCE: Final = 2
"""Photographs read and checked at one time: hashing one keeps a core busy, and some are left to others. Our assumption."""
Field = tuple[int, str]
"""A sealed field: the number of its entry, its name."""


@dataclass(frozen=True, kw_only=True)
class Wish:
    """What its maker chose; left out, what a record shows by itself.

    `opened` are the sealed fields that it shows, `pictures` the entries whose photographs go with it.
    """

    opened: frozenset[Field] | None = None
    pictures: frozenset[int] | None = None
    recipient: str | None = None


@dataclass(frozen=True, kw_only=True)
class Choice:
    """One sealed field that can be opened, and whether a record opens it by itself."""

    seq: int
    name: str
    event: str
    """Title of the entry's kind."""
    on: str
    title: str
    value: Any
    usual: bool


@dataclass(frozen=True, kw_only=True)
class Preview:
    """What the reader will see, before it is made."""

    sheet: Sheet
    opened: frozenset[Field]
    pictures: tuple[PictureNamed, ...]
    left_out: tuple[int, ...]
    """Entries of photographs that show other books too, or whose file is not at hand: they cannot go along."""
    earlier: tuple[str, ...]
    """Digests of the records of earlier owners that go along."""
    book_seq: int
    leaf: str


def choices(ledger: Ledger, actor: Actor, book: str) -> list[Choice]:
    """Every sealed field of a book that has a value, in the order of its entries.

    Raises: NotFoundError.
    """
    actor.require(Permission.RECORD)
    with ledger.log.read() as reader:
        moments = history(reader.of_book(book), ledger.codec)
    found = []
    for moment in sorted(moments, key=lambda each: each.entry.seq):
        event = moment.entry.event
        for name, sealed in event.sealed_fields().items():
            if sealed.state is not SealState.OPEN or sealed.value is None:
                continue
            found.append(
                Choice(
                    seq=moment.entry.seq,
                    name=name,
                    event=event.title,
                    on="" if event.on is None else str(event.on),
                    title=_title_of(event, name),
                    value=sealed.value,
                    usual=_usual(moment, name),
                )
            )
    return found


def preview(ledger: Ledger, actor: Actor, book: str, wish: Wish, brought: dict[str, bytes] | None = None) -> Preview:
    """What the record would say now; nothing is written. Its photographs are put into `brought`, where that is given.

    Raises: NotFoundError, InvalidError for a field or photograph that the book does not have; DamagedError for a
    photograph whose file is not the one that was kept.
    """
    actor.require(Permission.RECORD)
    with ledger.log.read() as reader:
        entries = reader.of_book(book)
        head, number = reader.book_head(book), reader.book(book).no
    moments = history(entries, ledger.codec)
    opened = _opened(moments, wish)
    pictures, left_out = _pictures(ledger, moments, wish, brought)
    earlier = earlier_said(ledger, moments)
    telling = Telling(
        collection=ledger.collection,
        book=fold(book, number, moments),
        moments=moments,
        opened=opened,
        pictures={seq: each.sha256 for seq, each in pictures.items()},
        earlier=earlier,
        stamped=_is_stamped(ledger),
        made=today(ledger),
    )
    once = {each.sha256: each for each in pictures.values()}
    return Preview(
        sheet=disclosed_sheet(telling),
        opened=opened,
        pictures=tuple(once.values()),
        left_out=left_out,
        earlier=tuple(each.sha256 for each in earlier if each.sheet is not None),
        book_seq=head.seq,
        leaf=head.leaf,
    )


def _media_of(data: bytes) -> str:
    """What kind of picture a clean copy is: they are of two kinds."""
    return "image/jpeg" if data.startswith(_JPEG) else "image/png"


def _usual(moment: Moment, name: str) -> bool:
    """A record shows it by itself: what its kind says, of an entry in force."""
    shown = name in moment.entry.event.shown_fields()
    return shown and moment.in_force and not isinstance(moment.event, Disclosure)


def _title_of(event: Event, name: str) -> str:
    """The field as a form names it; of a correction, the field that it gives a new value."""
    kind: type[Event] | None = type(event)
    if isinstance(event, Correction) and name.startswith(NEW):
        kind, name = KINDS.get(event.of_kind or ""), name.removeprefix(NEW)
    titles = {each.name: each.metadata["title"] for each in fields(kind) if "title" in each.metadata} if kind else {}
    return str(titles.get(name, name))


def _opened(moments: Sequence[Moment], wish: Wish) -> frozenset[Field]:
    there = {
        (moment.entry.seq, name): _usual(moment, name)
        for moment in moments
        for name, sealed in moment.entry.event.sealed_fields().items()
        if sealed.state is SealState.OPEN and sealed.value is not None
    }
    if wish.opened is None:
        return frozenset(field for field, usual in there.items() if usual)
    if strange := sorted(wish.opened - there.keys()):
        raise InvalidError(
            problems=tuple(
                Problem(field="opened", sentence=f"Entry {seq} has no {name} that could be opened. Leave it out.")
                for seq, name in strange
            )
        )
    return wish.opened


def _pictures(
    ledger: Ledger, moments: Sequence[Moment], wish: Wish, brought: dict[str, bytes] | None
) -> tuple[Mapping[int, PictureNamed], tuple[int, ...]]:
    """Clean copies by the numbers of their entries, and those that cannot go along."""
    own = {each.entry.seq: each.event for each in moments if each.in_force and isinstance(each.event, Photograph)}
    if wish.pictures is not None and (strange := sorted(wish.pictures - own.keys())):
        sentence = f"Entry {strange[0]} is no photograph of this book. Leave it out."
        raise InvalidError(problems=(Problem(field="pictures", sentence=sentence),))
    wished = [seq for seq in sorted(own) if wish.pictures is None or seq in wish.pictures]
    alone = [(seq, own[seq].clean) for seq in wished if own[seq].region is None]
    with ThreadPoolExecutor(_AT_ONCE) as reading:
        read = reading.map(lambda each: _named(ledger, each[0], each[1], brought), alone)
        found = {seq: named for (seq, _), named in zip(alone, read, strict=True) if named is not None}
    return found, tuple(seq for seq in wished if seq not in found)


def _named(ledger: Ledger, seq: int, sha256: str, brought: dict[str, bytes] | None) -> PictureNamed | None:
    """A clean copy, read and checked once; None where it is not at hand."""
    try:
        data = _kept(ledger, sha256, f"entry {seq}")
    except (NotFoundError, StoreError):
        return None
    if brought is not None:
        brought[sha256] = data
    return PictureNamed(sha256=sha256, media=_media_of(data), size=len(data))


def kept_pictures(ledger: Ledger, names: Sequence[str]) -> dict[str, bytes]:
    """Photographs as they were kept, by their digests.

    Raises: NotFoundError, StoreError; DamagedError where the bytes of one are others now.
    """
    with ThreadPoolExecutor(_AT_ONCE) as reading:
        return dict(zip(names, reading.map(lambda name: _kept(ledger, name), names), strict=True))


def _kept(ledger: Ledger, sha256: str, where: str = "") -> bytes:
    """One photograph, its bytes read once and held against its name."""
    data = ledger.pictures.read(sha256)
    if digest_of(data) != sha256:
        mend = "Put its file back from a backup, or leave the photograph out. Verify names every one that is damaged."
        raise DamagedError(
            what=f"Photograph {sha256[:12]}", where=where, problem="it is not what its name says", mend=mend
        )
    return data


def earlier_said(ledger: Ledger, moments: Sequence[Moment]) -> tuple[EarlierSaid, ...]:
    """The records of earlier owners that entries in force speak of."""
    found = []
    for moment in moments:
        event = moment.event
        if moment.in_force and isinstance(event, Earlier):
            file = received_file(ledger, event.record)
            found.append(
                EarlierSaid(
                    sha256=event.record,
                    origin=event.origin or "",
                    verdict=event.verdict.value,
                    on="" if event.on is None else str(event.on),
                    sheet=None if file is None else file.sheet,
                )
            )
    return tuple(found)


def received_file(ledger: Ledger, sha256: str) -> RecordFile | None:
    """A received record that is kept and can be read."""
    if ledger.handing is None:
        return None
    with ledger.handing.read() as reader:
        kept = reader.record(sha256)
    if kept is None or digest_of(kept.data) != sha256:
        return None
    try:
        return RecordFile.from_bytes(kept.data)
    except MalformedError:
        return None


def _is_stamped(ledger: Ledger) -> bool:
    if ledger.handing is None:
        return False
    with ledger.handing.read() as reader:
        return bool(reader.stamps())


def today(ledger: Ledger) -> date:
    """The day on which a record is made, UTC."""
    return ledger.clock.now().date()
