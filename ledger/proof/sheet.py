"""What a record says in words: titled sections of a few kinds of blocks, the same in every form it is given in.

Its digest stands in the ledger, in the entry by which the record was made; so no form can say anything else. It is
words and numbers ready to be read, so that whoever shows it adds nothing: a page, a sheet of paper, a plain text.
"""

from collections.abc import Iterator
from dataclasses import dataclass, field
from hashlib import sha256
from typing import Final, TypeAlias

from ledger.proof.canonical import Plain, encode

__all__ = [
    "SHAPES",
    "SHEET_FORMAT",
    "Block",
    "Facts",
    "Map",
    "Picture",
    "Section",
    "Sheet",
    "Spot",
    "Table",
    "Words",
    "Work",
]

SHEET_FORMAT: Final = "slipsheet-sheet/1"
SHAPES: Final = ("point", "line", "area")


@dataclass(frozen=True)
class Words:
    """Sentences, one to a line; `listed` where they are points of a list."""

    lines: tuple[str, ...]
    listed: bool = False

    def plain(self) -> dict[str, Plain]:
        """It under the names it has in JSON."""
        return {"kind": "words", "lines": list(self.lines), "listed": self.listed}

    def text(self) -> Iterator[str]:
        """Its pieces of text, as they are read."""
        yield from self.lines


@dataclass(frozen=True)
class Facts:
    """Names with what they are."""

    rows: tuple[tuple[str, str], ...]

    def plain(self) -> dict[str, Plain]:
        """It under the names it has in JSON."""
        return {"kind": "facts", "rows": [list(each) for each in self.rows]}

    def text(self) -> Iterator[str]:
        """Its pieces of text, as they are read."""
        for row in self.rows:
            yield from row


@dataclass(frozen=True)
class Table:
    """Rows under heads, as many cells in each."""

    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]

    def plain(self) -> dict[str, Plain]:
        """It under the names it has in JSON."""
        return {"kind": "table", "head": list(self.head), "rows": [list(each) for each in self.rows]}

    def text(self) -> Iterator[str]:
        """Its pieces of text, as they are read."""
        yield from self.head
        for row in self.rows:
            yield from row


@dataclass(frozen=True)
class Work:
    """Steps of work under one heading, which is drawn by its hatch and always stands beside it as a word."""

    heading: str
    lines: tuple[str, ...]

    def plain(self) -> dict[str, Plain]:
        """It under the names it has in JSON."""
        return {"kind": "work", "heading": self.heading, "lines": list(self.lines)}

    def text(self) -> Iterator[str]:
        """Its pieces of text, as they are read."""
        yield self.heading
        yield from self.lines


@dataclass(frozen=True)
class Picture:
    """A photograph, by the digest of its clean copy, and the words under it."""

    sha256: str
    words: str

    def plain(self) -> dict[str, Plain]:
        """It under the names it has in JSON."""
        return {"kind": "picture", "sha256": self.sha256, "words": self.words}

    def text(self) -> Iterator[str]:
        """Its pieces of text, as they are read."""
        yield self.words


@dataclass(frozen=True)
class Spot:
    """A defect or mark on a map: a number at a point, on an area, or at a line to another point.

    Units: mm from the upper left of the book opened flat, decimals as text.
    """

    label: str
    x: str
    y: str
    to_x: str = ""
    to_y: str = ""
    shape: str = "point"
    solid: bool = False

    def plain(self) -> dict[str, Plain]:
        """It under the names it has in JSON."""
        return {
            "label": self.label,
            "x": self.x,
            "y": self.y,
            "to_x": self.to_x,
            "to_y": self.to_y,
            "shape": self.shape,
            "solid": self.solid,
        }


@dataclass(frozen=True)
class Map:
    """The book opened flat, to scale, with what was found on it.

    Units: mm, decimals as text; `folds` are the x of the lines between back, spine and front.
    """

    width: str
    height: str
    folds: tuple[str, ...]
    spots: tuple[Spot, ...]
    words: str

    def plain(self) -> dict[str, Plain]:
        """It under the names it has in JSON."""
        return {
            "kind": "map",
            "width": self.width,
            "height": self.height,
            "folds": list(self.folds),
            "spots": [each.plain() for each in self.spots],
            "words": self.words,
        }

    def text(self) -> Iterator[str]:
        """Its pieces of text, as they are read."""
        yield from (each.label for each in self.spots)
        yield self.words


Block: TypeAlias = Words | Facts | Table | Work | Picture | Map


@dataclass(frozen=True)
class Section:
    """One part of the sheet under its title."""

    id: str
    title: str
    blocks: tuple[Block, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Sheet:
    """All that a record says of one book in words."""

    title: str
    lead: str
    """The one sentence on top."""
    sections: tuple[Section, ...] = field(default=())

    def to_plain(self) -> dict[str, Plain]:
        """The sheet under the names it has in JSON."""
        return {
            "format": SHEET_FORMAT,
            "title": self.title,
            "lead": self.lead,
            "sections": [
                {"id": each.id, "title": each.title, "blocks": [block.plain() for block in each.blocks]}
                for each in self.sections
            ],
        }

    def to_bytes(self) -> bytes:
        """Its one byte form, over which its digest is made.

        Raises: MalformedError.
        """
        return encode(self.to_plain(), what="The sheet")

    @property
    def digest(self) -> str:
        """SHA-256 of its one byte form, in lower hexadecimal, as it stands in the ledger."""
        return sha256(self.to_bytes()).hexdigest()

    @property
    def pictures(self) -> tuple[str, ...]:
        """Digests of the photographs it shows, each once, in the order in which they are met."""
        shown = [block.sha256 for each in self.sections for block in each.blocks if isinstance(block, Picture)]
        return tuple(dict.fromkeys(shown))

    def text(self) -> Iterator[str]:
        """Every piece of text in the order in which it is read; each form shows these, in this order."""
        yield self.title
        yield self.lead
        for section in self.sections:
            yield section.title
            for block in section.blocks:
                yield from block.text()
