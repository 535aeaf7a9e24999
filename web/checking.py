"""What a verification says, in a collector's words: what was found, what is proven, only claimed, or out of its reach."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from types import MappingProxyType
from typing import Final

from ledger.errors import InvalidError, MalformedError, Problem
from ledger.proof import checkpoint as text_of
from ledger.proof.checkpoint import Checkpoint, collection_of
from ledger.proof.note import read_note
from ledger.proof.report import Evidence, Finding, Report
from web.wording import t

__all__ = [
    "FOUND_FIRST",
    "FOUND_MOST",
    "NOTE_MOST",
    "Area",
    "Found",
    "FoundArea",
    "Verification",
    "area_of",
    "read_anchor",
]

FOUND_FIRST: Final = 5
"""Findings of an area that stand in sight; the others open."""
FOUND_MOST: Final = 100
"""Findings of an area that a page tells one by one."""
NOTE_MOST: Final = 20_000
"""Characters of a checkpoint; one with as many signatures as there may be has fewer."""


class Area(StrEnum):
    """What a finding is about; each has its own way on."""

    ENTRIES = "entries"
    SIGNED = "signed"
    KEY = "key"
    SEALED = "sealed"
    ERASED = "erased"
    PICTURES = "pictures"
    STORE = "store"
    LISTS = "lists"
    GUARDS = "guards"
    NOTHING = "nothing"


_BEGINNINGS: Final[Mapping[str, Area]] = MappingProxyType(
    {
        "checkpoint-": Area.SIGNED,
        "stamp-": Area.SIGNED,
        "root-differs": Area.SIGNED,
        "heads-differ": Area.SIGNED,
        "entries-cut": Area.SIGNED,
        "key-": Area.KEY,
        "sealed-kept": Area.ERASED,
        "sealed-": Area.SEALED,
        "picture-": Area.PICTURES,
        "node-changed": Area.LISTS,
        "head-leaf-differs": Area.LISTS,
        "read-model-": Area.LISTS,
        "guard-": Area.GUARDS,
        "table-": Area.STORE,
        "receipt-": Area.STORE,
        "stranger-": Area.STORE,
        "nothing-here": Area.NOTHING,
    }
)
"""How the codes of an area begin; the first that fits counts, and every other code is about the entries themselves."""

_NOT_HERE: Final = frozenset({"entry-missing", "entries-cut", "sealed-without-entry", "nothing-here"})
"""Findings whose entry cannot be looked at, since it is not there."""

_CHAIN: Final = frozenset({Area.ENTRIES, Area.SIGNED, Area.KEY, Area.NOTHING})
_PROVEN: Final[Sequence[tuple[str, str, frozenset[Area]]]] = (
    ("entries", "entries", _CHAIN),
    ("books", "books", _CHAIN),
    ("checkpoints", "signed", _CHAIN),
    ("sealed values", "sealed", frozenset({Area.SEALED, Area.ERASED, Area.ENTRIES})),
    ("photographs", "pictures", frozenset({Area.PICTURES, Area.ENTRIES})),
    ("read models", "lists", frozenset({Area.LISTS, Area.ENTRIES})),
)
"""What was counted, the words that say what it proves, and the areas in which a finding takes that away."""


@dataclass(frozen=True)
class Found:
    """One finding."""

    sentence: str
    seen: str
    """How it was seen, and whether that took a checkpoint kept elsewhere."""
    seq: int | None
    """An entry that can be looked at."""
    book: str | None


@dataclass(frozen=True, kw_only=True)
class FoundArea:
    """All findings about the same thing, with what to do about them."""

    area: Area
    first: tuple[Found, ...]
    others: tuple[Found, ...]
    more: int
    """Findings beyond these."""

    @property
    def count(self) -> int:
        """How many there are."""
        return len(self.first) + len(self.others) + self.more


@dataclass(frozen=True, kw_only=True)
class Verification:
    """A report and the checkpoint kept elsewhere that the ledger was held against, if there was one.

    `beside` says that, for want of one, it was held against the one that this program keeps beside its key.
    """

    report: Report
    anchor: Checkpoint | None = None
    beside: bool = False

    @property
    def entries(self) -> int:
        """How many entries were read."""
        return self.report.checked.get("entries", 0)

    @property
    def notes(self) -> tuple[str, ...]:
        """What was noticed by the way; that there was no checkpoint from elsewhere, the last of it, is told by `beyond`."""
        return tuple(self.report.notes[: -1 if self.anchor is None and not self.beside else None])

    @property
    def found(self) -> tuple[FoundArea, ...]:
        """The findings, the gravest first."""
        by_area = {area: [each for each in self.report.findings if area_of(each) is area] for area in Area}
        return tuple(_found_area(area, findings) for area, findings in by_area.items() if findings)

    @property
    def proven(self) -> tuple[str, ...]:
        """What the bytes themselves show, as far as no finding takes it away."""
        areas = {area_of(each) for each in self.report.findings}
        counted = [
            t.n(f"check.proven.{words}", self.report.checked[what])
            for what, words, needs in _PROVEN
            if self.report.checked.get(what) and not needs & areas
        ]
        seen_by_anchor = any(each.evidence is Evidence.ANCHOR for each in self.report.findings)
        if self.anchor is not None and not seen_by_anchor and not _CHAIN & areas:
            counted.append(t.n("check.proven.anchored", self.anchor.size))
        return tuple(counted)

    @property
    def claimed(self) -> tuple[str, ...]:
        """What rests on somebody's word, however whole the ledger is."""
        dates = (
            t("check.claimed.dates") if self.anchor is None else t.n("check.claimed.dates_anchored", self.anchor.size)
        )
        return (t("check.claimed.told"), dates, t("check.claimed.key"))

    @property
    def beyond(self) -> tuple[str, ...]:
        """What nobody could see this way."""
        unanchored = t("check.beyond.beside" if self.beside else "check.beyond.unanchored")
        after = unanchored if self.anchor is None else t("check.beyond.after")
        unsigned = () if self.report.checked.get("checkpoints") else (t("check.beyond.unsigned"),)
        return (after, *unsigned, t("check.beyond.unwritten"), t("check.beyond.erased"))


def area_of(finding: Finding) -> Area:
    """What a finding is about."""
    return next((area for start, area in _BEGINNINGS.items() if finding.code.startswith(start)), Area.ENTRIES)


def read_anchor(text: str, collection: str) -> tuple[str, Checkpoint]:
    """A checkpoint of this collection as somebody pasted it, and what it says; whose it is shows when it is verified.

    Raises: InvalidError for what is no checkpoint, or one of another collection.
    """
    note = text.strip().removeprefix("\ufeff").replace("\r\n", "\n") + "\n"
    try:
        if len(note) > NOTE_MOST:
            raise _refused(t("check.anchor.too_long", most=NOTE_MOST))
        said = text_of.parse(read_note(note).text)
    except MalformedError as error:
        raise _refused(t("check.anchor.unread", problem=error.problem, mend=error.mend)) from error
    if collection_of(said.origin) != collection:
        raise _refused(t("check.anchor.other"))
    return note, said


def _refused(sentence: str) -> InvalidError:
    return InvalidError(problems=(Problem(field="anchor", sentence=sentence),))


def _found_area(area: Area, findings: Sequence[Finding]) -> FoundArea:
    """By the entry to look at; what says it plainest of an entry stands before what follows from it."""
    order = sorted(findings, key=lambda each: (each.seq is None, each.seq or 0, not each.code.startswith("entry-")))
    told = tuple(_found(each) for each in order[:FOUND_MOST])
    return FoundArea(area=area, first=told[:FOUND_FIRST], others=told[FOUND_FIRST:], more=len(findings) - len(told))


def _found(finding: Finding) -> Found:
    return Found(
        sentence=finding.sentence,
        seen=t(f"check.seen.{finding.evidence.value}"),
        seq=None if finding.code in _NOT_HERE else finding.seq,
        book=finding.book,
    )
