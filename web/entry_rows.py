"""The entries of a book as a table shows them: what happened, what became of it, and what of it is sealed."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

from ledger.events import Event
from ledger.events.intervention import Intervention
from ledger.events.photograph import Photograph
from ledger.history import Moment
from ledger.ports import Codec
from ledger.rules.headings import Heading
from web.brief import brief, brief_day, brief_when, written_apart
from web.filters import when
from web.lanes import ROWS, Row
from web.numbers import and_so_on
from web.prints import address_of, shown_as
from web.said import Said, Was, changes_of, reason_of, sealed_of
from web.step_words import claimed, step_lines
from web.wording import t

__all__ = ["EntryRow", "Mended", "row_of", "rows_of"]


@dataclass(frozen=True)
class Mended:
    """One correction of an entry: by which entry, what it changed, and why."""

    by: int
    changes: tuple[Was, ...]
    """Open fields, as they were and as they are."""
    before: tuple[Was, ...]
    """Sealed fields it sealed anew, as they were; their values stand in the fold."""
    sealed: str
    """The names of those fields."""
    reason: str


class EntryRow(NamedTuple):
    """One entry in the table and in the lists of its lane."""

    seq: int
    event: Event
    brief: str
    when: str
    short_when: str
    written: str
    """When it was written down, where that is another day; empty otherwise."""
    lane: Row
    heading: Heading | None
    lines: tuple[str, ...]
    """Of a step of work: with what, and how long hands were at it."""
    claimed: str
    """What was said of defects right after it; empty where nothing was."""
    picture: str
    """Of a photograph the address of a small copy."""
    caption: str
    withdrawn_by: int | None
    withdrawn_why: str
    mended: tuple[Mended, ...]
    sealed: tuple[Said, ...]
    sealed_words: str
    leaf: str


def rows_of(moments: Sequence[Moment], codec: Codec) -> tuple[EntryRow, ...]:
    """Every entry, in the order of happening."""
    return tuple(row_of(moment, moments, codec) for moment in moments)


def row_of(moment: Moment, moments: Sequence[Moment], codec: Codec) -> EntryRow:
    """One entry.

    Requires: the moment is one of them.
    """
    event, entry = moment.event, moment.entry
    by_seq = {each.entry.seq: each.event for each in moments} if moment.corrected_by or moment.withdrawn_by else {}
    sealed = sealed_of(event)
    return EntryRow(
        seq=entry.seq,
        event=event,
        brief=brief(event),
        when=when(event.on) if event.on else event.on_as_written or when(None),
        short_when=brief_when(event.on) if event.on else event.on_as_written or brief_when(None),
        written=brief_day(entry.recorded) if written_apart(event.on, entry.recorded) else "",
        lane=ROWS[event.lane],
        heading=event.heading if isinstance(event, Intervention) else None,
        lines=step_lines(event),
        claimed=claimed(event),
        picture=address_of(event, 160) if isinstance(event, Photograph) else "",
        caption=shown_as(event) if isinstance(event, Photograph) else "",
        withdrawn_by=moment.withdrawn_by,
        withdrawn_why=reason_of(by_seq[moment.withdrawn_by]) if moment.withdrawn_by else "",
        mended=_mended(moment, moments, by_seq, codec),
        sealed=sealed,
        sealed_words=_sealed_words(sealed),
        leaf=entry.leaf,
    )


def _mended(moment: Moment, moments: Sequence[Moment], by_seq: dict[int, Event], codec: Codec) -> tuple[Mended, ...]:
    if not moment.corrected_by:
        return ()
    changes = changes_of(moment, moments, codec)
    return tuple(
        Mended(
            by=seq,
            changes=tuple(each for each in changes if each.by == seq and not each.field.state),
            before=tuple(each for each in changes if each.by == seq and each.field.state),
            sealed=and_so_on([each.field.title for each in changes if each.by == seq and each.field.state]),
            reason=reason_of(by_seq[seq]),
        )
        for seq in moment.corrected_by
    )


def _sealed_words(sealed: Sequence[Said]) -> str:
    """How many values are sealed here, and how many of them are gone."""
    if not sealed:
        return ""
    states = [each.state for each in sealed]
    counts = ((state, states.count(state)) for state in ("open", "withheld", "erased"))
    parts = [t.n(f"book.entries.sealed.{state}", count) for state, count in counts if count]
    return ", ".join(parts) if parts else t("book.entries.sealed.empty")
