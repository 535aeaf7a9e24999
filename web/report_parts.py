"""What a report is made of, on a page and on paper alike: sections of facts, tables, words, photographs, lines to fill."""

from collections.abc import Iterable
from dataclasses import asdict, dataclass

from ledger.events._base import Event
from ledger.events._parts import Region
from ledger.proof.canonical import Plain
from ledger.report import Of
from ledger.sealed import Sealed, SealState
from web.filters import when
from web.wording import t

__all__ = [
    "Block",
    "Facts",
    "Lines",
    "Photographs",
    "Section",
    "Shown",
    "Table",
    "Words",
    "dated",
    "every",
    "grouped",
    "known",
    "plain",
    "region",
    "sealed",
    "table",
]


GROUP = 8
"""Digits of a digest that stand together."""


@dataclass(frozen=True)
class Facts:
    """Names and values; a title where several stand below each other."""

    rows: tuple[tuple[str, str], ...]
    title: str = ""
    kind: str = "facts"


@dataclass(frozen=True)
class Table:
    """Rows under a head; the first cell names its row."""

    title: str
    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    kind: str = "table"


@dataclass(frozen=True)
class Words:
    """Sentences, as a list where `listed`."""

    lines: tuple[str, ...]
    title: str = ""
    listed: bool = False
    kind: str = "words"


@dataclass(frozen=True)
class Shown:
    """One photograph: where a small copy is, and what is said of it."""

    seq: int
    href: str
    alt: str
    rows: tuple[tuple[str, str], ...]
    file: str = ""
    """Name of the copy beside a sheet; empty where there is none."""


@dataclass(frozen=True)
class Photographs:
    """Photographs side by side."""

    shown: tuple[Shown, ...]
    kind: str = "photographs"


@dataclass(frozen=True)
class Lines:
    """Names with an empty line behind each, to be filled by hand."""

    names: tuple[str, ...]
    kind: str = "lines"


Block = Facts | Table | Words | Photographs | Lines


@dataclass(frozen=True)
class Section:
    """A part of the report under a title."""

    id: str
    title: str
    blocks: tuple[Block, ...]


def plain(sections: Iterable[Section]) -> list[Plain]:
    """The sections as plain data."""
    return [asdict(each) for each in sections]


def known(value: object) -> str:
    """The value in words, or that it is not known; a zero is known."""
    return t("frame.not_known") if value is None or value == "" else str(value)


def every(values: Iterable[object]) -> str:
    """The values in a row; nothing becomes "none recorded"."""
    return ", ".join(str(each) for each in values) or t("report.none")


def sealed(value: Sealed[str]) -> str:
    """A sealed text as it is at hand: its words, or why there are none."""
    if value.state is SealState.OPEN:
        return known(value.value)
    return t(f"report.sealed.{value.state.value}")


def dated(of: Of[Event]) -> str:
    """When something happened, and under which number it is entered."""
    return t("report.dated", when=when(of.on), seq=of.seq)


def grouped(digest: str) -> str:
    """A digest in groups that can be read aloud."""
    return " ".join(digest[at : at + GROUP] for at in range(0, len(digest), GROUP))


def region(of: Region | None) -> str:
    """A place on a face in millimetres."""
    if of is None:
        return t("frame.not_known")
    if of.is_line:
        return t("report.region.line", x=of.x_mm, y=of.y_mm, to_x=of.to_x_mm, to_y=of.to_y_mm)
    if of.width_mm is None and of.height_mm is None:
        return t("report.region.point", x=of.x_mm, y=of.y_mm)
    return t("report.region.area", x=of.x_mm, y=of.y_mm, width=of.width_mm or "0", height=of.height_mm or "0")


def table(title: str, head: Iterable[str], rows: Iterable[Iterable[str]], otherwise: str) -> Block:
    """A table, or a sentence where it would have no row."""
    found = tuple(tuple(row) for row in rows)
    return Table(title, tuple(head), found) if found else Words((otherwise,), title)
