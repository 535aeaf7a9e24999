"""Chooses what a record shows, and shows what it will say before it is made."""

from collections.abc import Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, fields
from datetime import date
from typing import Any, Final

from ledger.actor import Actor, Permission
from ledger.disclosed import EarlierSaid, Telling, disclosed_sheet
from ledger.drawn import lies
from ledger.errors import InvalidError, NotFoundError, Problem, StoreError
from ledger.events import KINDS, Event
from ledger.events.correction import NEW, Correction
from ledger.events.disclosure import Disclosure
from ledger.events.earlier import Earlier
from ledger.events.photograph import Photograph
from ledger.history import Moment, history, states
from ledger.ports import Ledger
from ledger.proof.record_file import PictureNamed, RecordFile
from ledger.proof.sheet import Sheet
from ledger.sealed import SealState
from ledger.usecases.air import ageing_within
from ledger.usecases.earlier_seen import EarlierSeen, seen_alone
from ledger.usecases.kept_records import AT_ONCE, kept_picture, whole_record
from ledger.usecases.light import light_within, said_of

__all__ = ["Choice", "Field", "Preview", "Wish", "choices", "preview"]

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
    """The day on which it happened, corrections in effect."""
    title: str
    value: Any
    usual: bool
    corrected_by: int | None = None
    """The entry that says this field anew: what stands here is no longer so."""
    withdrawn_by: int | None = None


@dataclass(frozen=True, kw_only=True)
class Preview:
    """What the reader will see, before it is made."""

    made: date
    sheet: Sheet
    opened: frozenset[Field]
    pictures: tuple[PictureNamed, ...]
    left_out: tuple[int, ...]
    """Entries of photographs that show other books too, or whose file is not at hand: they cannot go along."""
    along: tuple[str, ...]
    """Digests of the earlier records that go with it: those of which every piece is here."""
    earlier: tuple[EarlierSeen, ...]
    """What the reader will see of all earlier owners, checked without a key from elsewhere."""
    book_seq: int
    leaf: str

    @property
    def tag(self) -> str:
        """What the book had and what the record says of it; another one where either is different by now."""
        return f"{self.book_seq}.{self.sheet.digest}"


def choices(ledger: Ledger, actor: Actor, book: str) -> list[Choice]:
    """Every sealed field of a book that has a value, in the order of its entries.

    Raises: NotFoundError.
    """
    actor.require(Permission.RECORD)
    with ledger.log.read() as reader:
        moments = history(reader.of_book(book), ledger.codec)
    by_number = {each.entry.seq: each for each in moments}
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
                    on="" if moment.event.on is None else str(moment.event.on),
                    title=_title_of(event, name),
                    value=sealed.value,
                    usual=_usual(moment, name),
                    corrected_by=_corrected_by(by_number, moment, name),
                    withdrawn_by=moment.withdrawn_by,
                )
            )
    return found


def preview(ledger: Ledger, actor: Actor, book: str, wish: Wish, brought: dict[str, bytes] | None = None) -> Preview:
    """What the record would say now; nothing is written. Its photographs are put into `brought`, where that is given.

    Raises: NotFoundError, InvalidError for a field or photograph that the book does not have; DamagedError for a
    photograph whose file is not the one that was kept.
    """
    actor.require(Permission.RECORD)
    said, today = said_of(ledger, book), ledger.clock.today()
    with ledger.log.read() as reader:
        head, number = reader.book_head(book), reader.book(book).no
        moments = history(reader.of_book(book), ledger.codec)
        along = states(book, number, moments)
        light = light_within(ledger, reader, along[-1], moments, said, today)
        ageing = None if ledger.care is None else ageing_within(ledger, reader, moments, along, today)
    opened = _opened(moments, wish)
    pictures, left_out = _pictures(ledger, moments, wish, brought)
    whole = _going_along(ledger, moments, brought)
    telling = Telling(
        collection=ledger.collection,
        book=along[-1],
        moments=moments,
        opened=opened,
        pictures={seq: each.sha256 for seq, each in pictures.items()},
        earlier=_earlier_said(moments, whole),
        stamped=_is_stamped(ledger),
        light=light,
        ageing=ageing,
        made=today,
    )
    return Preview(
        made=today,
        sheet=disclosed_sheet(telling),
        opened=opened,
        pictures=tuple({each.sha256: each for each in pictures.values()}.values()),
        left_out=left_out,
        along=tuple(whole),
        earlier=_seen(whole),
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


def _corrected_by(by_number: Mapping[int, Moment], moment: Moment, name: str) -> int | None:
    """The entry under which the field lies now; None where that is this one, or nothing takes this one's word."""
    event = moment.event
    if isinstance(event, Correction):
        corrected = by_number.get(event.entry)
        if corrected is None or not moment.in_force or not name.startswith(NEW):
            return None
        number, _ = lies(by_number, corrected, name.removeprefix(NEW))
    else:
        number, _ = lies(by_number, moment, name)
    return None if number == moment.entry.seq else number


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
    with ThreadPoolExecutor(AT_ONCE) as reading:
        read = reading.map(lambda each: _named(ledger, each[0], each[1], brought), alone)
        found = {seq: named for (seq, _), named in zip(alone, read, strict=True) if named is not None}
    return found, tuple(seq for seq in wished if seq not in found)


def _named(ledger: Ledger, seq: int, sha256: str, brought: dict[str, bytes] | None) -> PictureNamed | None:
    """A clean copy, read and checked once; None where it is not at hand."""
    try:
        data = kept_picture(ledger, sha256, f"entry {seq}")
    except (NotFoundError, StoreError):
        return None
    if brought is not None:
        brought[sha256] = data
    return PictureNamed(sha256=sha256, media=_media_of(data), size=len(data))


def _earlier_said(
    moments: Sequence[Moment], whole: Mapping[str, tuple[bytes, Mapping[str, bytes]]]
) -> tuple[EarlierSaid, ...]:
    """The records of earlier owners that entries in force speak of; those that are not whole here have no words."""
    return tuple(
        EarlierSaid(
            sha256=event.record,
            origin=event.origin or "",
            verdict=event.verdict.value,
            on="" if event.on is None else str(event.on),
            sheet=RecordFile.from_bytes(whole[event.record][0]).sheet if event.record in whole else None,
        )
        for event in _received(moments)
    )


def _received(moments: Sequence[Moment]) -> list[Earlier]:
    return [each.event for each in moments if each.in_force and isinstance(each.event, Earlier)]


def _going_along(
    ledger: Ledger, moments: Sequence[Moment], brought: dict[str, bytes] | None
) -> dict[str, tuple[bytes, Mapping[str, bytes]]]:
    """Earlier records of which every piece is here as it was; a reader could not check any other one."""
    found = {name: whole_record(ledger, name) for name in dict.fromkeys(each.record for each in _received(moments))}
    whole = {name: each for name, each in found.items() if each is not None}
    if brought is not None:
        for _, beside in whole.values():
            brought |= beside
    return whole


def _seen(whole: Mapping[str, tuple[bytes, Mapping[str, bytes]]]) -> tuple[EarlierSeen, ...]:
    """Each record of an earlier owner once, before those that it has in turn."""
    found: dict[str, EarlierSeen] = {}
    for name, (data, beside) in whole.items():
        for each in seen_alone(data, beside, name):
            found.setdefault(each.sha256, each)
    return tuple(found.values())


def _is_stamped(ledger: Ledger) -> bool:
    if ledger.handing is None:
        return False
    with ledger.handing.read() as reader:
        return bool(reader.stamps())
