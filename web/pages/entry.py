"""The page of one entry: what it says, what became of it, its bytes, and the proof that it is in the ledger."""

from base64 import b64encode
from collections.abc import Iterator
from dataclasses import dataclass

from fastapi import APIRouter, Response

from ledger.errors import MalformedError
from ledger.events import NotUnderstood
from ledger.events.correction import NOT_CORRECTED
from ledger.events.intervention import Intervention
from ledger.events.withdrawal import NOT_WITHDRAWN
from ledger.ports import Ledger, StoredCheckpoint
from ledger.proof.nodes import HASH_BYTES
from ledger.rules.headings import Heading
from ledger.sealed import SealState
from ledger.usecases.lay_open import LaidOpen, bytes_of, lay_open
from ledger.usecases.prove import InclusionProof
from ledger.views import BookRow
from web.deps import ActorDep, FrameDep, LedgerDep
from web.dose_words import dose_words
from web.entry_rows import EntryRow, row_of
from web.filters import moment
from web.frame import Frame, Place
from web.numbers import number
from web.prints import Alone, alone
from web.render import Page, page, render
from web.said import Said, in_full, unsaid_of
from web.wording import t

__all__ = ["DamagedPage", "damaged", "router"]

router = APIRouter()

ACT_MOST = 12
"""Entries written together that are named; more of them are left to the day book."""


@dataclass(frozen=True)
class Together:
    """An entry written together with this one."""

    seq: int
    words: str


@dataclass(frozen=True)
class SealedField:
    """A sealed field: what is at hand of it now, and the digest that the bytes hold."""

    said: Said
    digest: str


@dataclass(frozen=True)
class Step:
    """One step from the leaf to the root: a hash, and whether it stands left of the one worked out so far."""

    left: bool
    hash: str


@page("entry.html")
@dataclass(frozen=True, kw_only=True)
class EntryPage(Page):
    """One entry, laid open."""

    seq: int
    row: EntryRow
    book: BookRow | None
    place: str
    """Which one it is of its book."""
    written: str
    heading: Heading | None
    dose: tuple[str, ...]
    """What its heat did to the paper, in sentences; nothing where there was none."""
    picture: Alone | None
    """Of a photograph the picture; of a group picture only the part that shows this book."""
    said: tuple[Said, ...]
    unsaid: tuple[str, ...]
    act: str
    alone: bool
    """Nothing else was written together with it."""
    together: tuple[Together, ...]
    together_words: str
    sealed: tuple[SealedField, ...]
    before: int | None
    after: int | None
    text: str
    """Its bytes, which are text."""
    file_name: str
    command: str
    """How a shell works out its leaf."""
    proof: InclusionProof
    root_signed: str
    """The same root as a checkpoint spells it."""
    proof_words: str
    steps: tuple[Step, ...]
    checkpoint: StoredCheckpoint | None
    mends: tuple[str, ...]
    """Ways in which this entry can be mended now, each the name of the kind that does it."""


@page("entry_damaged.html")
@dataclass(frozen=True, kw_only=True)
class DamagedPage(Page):
    """An entry that cannot be read, or a book that has one."""

    title: str
    told: str
    """What is wrong with the bytes."""
    seq: int | None


@router.get("/ledger/{seq}")
def look(seq: int, frame: FrameDep, ledger: LedgerDep, actor: ActorDep) -> Response:
    """One entry."""
    try:
        found = lay_open(ledger, actor, seq)
    except MalformedError as damage:
        return damaged(frame, damage, t("entry.damaged.title", seq=seq), seq)
    event = found.moment.event
    before, after = _neighbours(found)
    said, sealed = _words(found, ledger)
    shown = EntryPage(
        frame=frame.at(Place.LEDGER),
        seq=seq,
        row=row_of(found.moment, found.moments, ledger.codec),
        book=found.row,
        place=t("entry.place", place=found.entry.book_seq, entries=found.row.entries) if found.row else "",
        written=moment(found.entry.recorded),
        heading=event.heading if isinstance(event, Intervention) else None,
        dose=dose_words(event),
        picture=alone(event),
        said=said,
        unsaid=unsaid_of(event),
        act=found.entry.act,
        alone=len(found.act) == 1,
        together=_together(found),
        together_words=t.n("entry.act.among", len(found.act), number=number(len(found.act))),
        sealed=sealed,
        before=before,
        after=after,
        text=found.data.decode(),
        file_name=_file_name(seq),
        command=f"printf '\\000' | cat - {_file_name(seq)} | sha256sum",
        proof=found.proof,
        root_signed=b64encode(found.proof.root).decode(),
        proof_words=_proof_words(found),
        steps=_steps(found.proof),
        checkpoint=found.checkpoint,
        mends=tuple(kind for kind in _mends(found) if actor.may_write(kind)),
    )
    return render(shown)


@router.get("/ledger/{seq}/bytes")
def take(seq: int, ledger: LedgerDep, actor: ActorDep) -> Response:
    """The bytes of one entry, to be hashed by somebody else."""
    headers = {"Content-Disposition": f'attachment; filename="{_file_name(seq)}"'}
    return Response(bytes_of(ledger, actor, seq), media_type="application/octet-stream", headers=headers)


def damaged(frame: Frame, damage: MalformedError, title: str, seq: int | None = None) -> Response:
    """The page that says which bytes cannot be read, and leads to the check."""
    shown = DamagedPage(frame=frame.at(Place.LEDGER), title=title, told=str(damage), seq=seq)
    return render(shown, status=500)


def _words(found: LaidOpen, ledger: Ledger) -> tuple[tuple[Said, ...], tuple[SealedField, ...]]:
    said, sealed = in_full(found.moment, found.moments, ledger.codec)
    return said, tuple(SealedField(each, found.digests.get(each.name, "")) for each in sealed)


def _proof_words(found: LaidOpen) -> str:
    size, seq = found.proof.size, found.entry.seq
    return t.n("entry.proof.covered" if found.checkpoint else "entry.proof.not_covered", size, seq=seq)


def _file_name(seq: int) -> str:
    return f"entry-{seq}.json"


def _neighbours(found: LaidOpen) -> tuple[int | None, int | None]:
    """The entries written before and after it in its own chain."""
    seqs = sorted(each.entry.seq for each in found.moments)
    place = seqs.index(found.entry.seq)
    return (seqs[place - 1] if place else None), (seqs[place + 1] if place + 1 < len(seqs) else None)


def _mends(found: LaidOpen) -> Iterator[str]:
    """Correct it and withdraw it while it is in force, erase in it as long as something sealed is at hand."""
    event = found.moment.event
    if isinstance(event, NotUnderstood):
        return
    if found.moment.withdrawn_by is None:
        if event.kind not in NOT_CORRECTED:
            yield "correction"
        if event.kind not in NOT_WITHDRAWN:
            yield "withdrawal"
    if any(each.state is SealState.OPEN and not each.empty for each in event.sealed_fields().values()):
        yield "erasure"


def _together(found: LaidOpen) -> tuple[Together, ...]:
    """The others of its act; none where there are too many to name."""
    others = [each for each in found.act if each.seq != found.entry.seq]
    if len(others) > ACT_MOST:
        return ()
    return tuple(
        Together(each.seq, t("entry.act.other", seq=each.seq, summary=each.event.summary())) for each in others
    )


def _steps(proof: InclusionProof) -> tuple[Step, ...]:
    """The hashes of a proof with their sides.

    Source: RFC 9162 section 2.1.3.2.
    """
    index = proof.seq - 1
    inner = (index ^ (proof.size - 1)).bit_length()
    lefts = (level >= inner or bool(index >> level & 1) for level in range(len(proof.proof)))
    assert all(len(each) == HASH_BYTES for each in proof.proof)
    return tuple(Step(left, each.hex()) for left, each in zip(lefts, proof.proof, strict=True))
