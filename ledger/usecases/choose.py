"""Chooses what a record shows, and shows what it will say before it is made."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, fields
from datetime import date
from typing import Any, Final

from ledger.actor import Actor, Permission
from ledger.disclosed import EarlierSaid, Telling, disclosed_sheet
from ledger.errors import InvalidError, MalformedError, NotFoundError, Problem, StoreError
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

__all__ = ["Choice", "Field", "Preview", "Wish", "choices", "earlier_said", "preview", "received_file", "today"]

_JPEG: Final = b"\xff\xd8"
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


def preview(ledger: Ledger, actor: Actor, book: str, wish: Wish) -> Preview:
    """What the record would say now; nothing is written.

    Raises: NotFoundError, InvalidError for a field or photograph that the book does not have.
    """
    actor.require(Permission.RECORD)
    with ledger.log.read() as reader:
        entries = reader.of_book(book)
        head, number = reader.book_head(book), reader.book(book).no
    moments = history(entries, ledger.codec)
    opened = _opened(moments, wish)
    pictures, left_out = _pictures(ledger, moments, wish)
    telling = Telling(
        collection=ledger.collection,
        book=fold(book, number, moments),
        moments=moments,
        opened=opened,
        pictures={seq: each.sha256 for seq, each in pictures.items()},
        earlier=earlier_said(ledger, moments),
        stamped=_is_stamped(ledger),
        made=today(ledger),
    )
    once = {each.sha256: each for each in pictures.values()}
    return Preview(
        sheet=disclosed_sheet(telling),
        opened=opened,
        pictures=tuple(once.values()),
        left_out=left_out,
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
    ledger: Ledger, moments: Sequence[Moment], wish: Wish
) -> tuple[Mapping[int, PictureNamed], tuple[int, ...]]:
    """Clean copies by the numbers of their entries, and those that cannot go along."""
    found: dict[int, PictureNamed] = {}
    out: list[int] = []
    own = {each.entry.seq: each.event for each in moments if each.in_force and isinstance(each.event, Photograph)}
    if wish.pictures is not None and (strange := sorted(wish.pictures - own.keys())):
        sentence = f"Entry {strange[0]} is no photograph of this book. Leave it out."
        raise InvalidError(problems=(Problem(field="pictures", sentence=sentence),))
    for seq, event in sorted(own.items()):
        if wish.pictures is not None and seq not in wish.pictures:
            continue
        data = None if event.region is not None else _at_hand(ledger, event.clean)
        if data is None:
            out.append(seq)
        else:
            found[seq] = PictureNamed(sha256=event.clean, media=_media_of(data), size=len(data))
    return found, tuple(out)


def _at_hand(ledger: Ledger, sha256: str) -> bytes | None:
    try:
        data = ledger.pictures.read(sha256)
    except (NotFoundError, StoreError, MalformedError):
        return None
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
