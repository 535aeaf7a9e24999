"""The parts that a form is made of: single values, groups of them, and rows of groups."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from enum import StrEnum
from typing import Any

from ledger.events._spelling import DIGEST
from ledger.proof.canonical import Plain
from web.wording import t

MEANT = "meant"
"""Sent where a thing is meant and nothing more is said of it."""

__all__ = ["MEANT", "Group", "Leaf", "Option", "Part", "Rows", "Seal", "Way", "leaves", "with_options"]


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
    GIVEN = "given"
    """Stands there by itself and is sent along; it alone says nothing."""
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
    """As many groups of a kind as there are; rows in which nothing was typed are left out.

    Where it is known what there is, `each` has it: then there is one row for each, and none is added.
    """

    name: str
    title: str
    row: Group
    note: str = ""
    needed: bool = False
    most: int = 200
    seal: Seal = Seal.NONE
    each: tuple[Option, ...] | None = None


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

    A digest, which nobody types, is then picked, and rows of things by their ids have one for each; a line can still hold
    another name.
    """
    made: list[Part] = []
    for part in parts:
        path = f"{at}{part.name}"
        if isinstance(part, Group):
            made.append(replace(part, parts=with_options(part.parts, known, f"{path}.")))
        elif isinstance(part, Rows) and path in known:
            made.append(_for_each(part, known[path]))
        elif isinstance(part, Rows):
            made.append(replace(part, row=replace(part.row, parts=with_options(part.row.parts, known, f"{path}.#."))))
        elif known.get(path):
            made.append(_offering(part, known[path]))
        else:
            made.append(part)
    return tuple(made)


def _offering(leaf: Leaf, known: Sequence[tuple[str, str]]) -> Leaf:
    if leaf.limits.get("pattern") == DIGEST:
        options = (Option("", t("new_entry.blank.none")), *(Option(value, words, value) for value, words in known))
        return replace(leaf, way=Way.PICK, note="", options=options, default=("",))
    return replace(leaf, suggest=tuple(known))


def _for_each(rows: Rows, known: Sequence[tuple[str, str]]) -> Rows:
    """A row for each of these, by its id; its one answer tells too whether it is meant at all."""
    named, asked = rows.row.parts
    assert isinstance(named, Leaf)
    assert isinstance(asked, Leaf)
    answers = tuple(each for each in asked.options if each.value)
    options = (Option("", t("new_entry.each.not")), Option(MEANT, t("new_entry.each.only")), *answers)
    parts = (replace(named, way=Way.GIVEN), replace(asked, way=Way.CHOOSE, options=options, note=""))
    each = tuple(Option(value, words, value) for value, words in known)
    return replace(rows, each=each, row=replace(rows.row, parts=parts))
