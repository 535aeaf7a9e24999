"""The parts that a form is made of: single values, groups of them, and rows of groups."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from enum import StrEnum
from typing import Any

from ledger.proof.canonical import Plain

__all__ = ["Group", "Leaf", "Option", "Part", "Rows", "Seal", "Way", "leaves", "with_options"]


class Way(StrEnum):
    """How one value is asked for."""

    LINE = "line"
    AREA = "area"
    LIST = "list"
    """Several texts, one on each line."""
    WHOLE = "whole"
    DECIMAL = "decimal"
    MONEY = "money"
    DATE = "date"
    PICK = "pick"
    CHOOSE = "choose"
    TICKS = "ticks"
    FILE = "file"
    ONE_FILE = "one-file"
    SPAN = "span"
    """Steps of the scale that follow one another: the lowest, and the highest where it is another."""


class Seal(StrEnum):
    """What becomes of a value in a disclosure record."""

    NONE = ""
    CLOSED = "closed"
    SHOWN = "shown"


@dataclass(frozen=True)
class Option:
    """One answer: how it is sent, how it is told, and the value it stands for."""

    value: str
    words: str
    plain: Plain = None


@dataclass(frozen=True, kw_only=True)
class Leaf:
    """One value that is asked for."""

    name: str
    title: str
    note: str = ""
    way: Way = Way.LINE
    needed: bool = False
    default: tuple[str, ...] = ()
    """What stands in it before anything is typed."""
    options: tuple[Option, ...] = ()
    unit: str = ""
    seal: Seal = Seal.NONE
    limits: Mapping[str, Any] = field(default_factory=dict, hash=False)
    suggest: tuple[tuple[str, str], ...] = ()
    """What can be written here, each with what it is in words."""
    size: str = ""
    """How wide it stands, where that is not as wide as its way has it."""


@dataclass(frozen=True, kw_only=True)
class Group:
    """Values that belong together; an optional group of which nothing was typed is left out."""

    name: str
    title: str
    parts: "tuple[Part, ...]"
    note: str = ""
    optional: bool = False
    of: str = ""
    """Name of the class it is an instance of."""


@dataclass(frozen=True, kw_only=True)
class Rows:
    """As many groups of a kind as there are; rows in which nothing was typed are left out."""

    name: str
    title: str
    row: Group
    note: str = ""
    needed: bool = False
    most: int = 200
    seal: Seal = Seal.NONE


Part = Leaf | Group | Rows


def leaves(parts: Sequence[Part]) -> Iterator[tuple[str, Leaf]]:
    """Every single value outside of rows, by its path."""
    for part in parts:
        if isinstance(part, Leaf):
            yield part.name, part
        elif isinstance(part, Group):
            yield from ((f"{part.name}.{name}", leaf) for name, leaf in leaves(part.parts))


def with_options(
    parts: Sequence[Part], known: Mapping[str, Sequence[tuple[str, str]]], at: str = ""
) -> tuple[Part, ...]:
    """The parts with what is known of this book to choose from, by path; a row's fields have `#` in place of its number.

    A list of names is then ticked; a line can still hold another name.
    """
    made: list[Part] = []
    for part in parts:
        path = f"{at}{part.name}"
        if isinstance(part, Group):
            made.append(replace(part, parts=with_options(part.parts, known, f"{path}.")))
        elif isinstance(part, Rows):
            made.append(replace(part, row=replace(part.row, parts=with_options(part.row.parts, known, f"{path}.#."))))
        elif known.get(path):
            made.append(_offering(part, known[path]))
        else:
            made.append(part)
    return tuple(made)


def _offering(leaf: Leaf, known: Sequence[tuple[str, str]]) -> Leaf:
    if leaf.way is Way.LIST:
        return replace(
            leaf, way=Way.TICKS, note="", options=tuple(Option(value, words, value) for value, words in known)
        )
    return replace(leaf, suggest=tuple(known))
