"""Reads the sheet of a record strictly: what it says has one shape, and nothing beside it."""

import re
from collections.abc import Sequence
from typing import Final

from ledger.proof.canonical import Plain
from ledger.proof.shapes import Shapes
from ledger.proof.sheet import (
    SHAPES,
    SHEET_FORMAT,
    Block,
    Facts,
    Map,
    Picture,
    Section,
    Sheet,
    Spot,
    Table,
    Words,
    Work,
)

__all__ = ["sheet_from"]

_READ: Final = Shapes("The sheet")
_ID: Final = re.compile(r"[a-z][a-z-]{0,30}")
_DIGEST: Final = re.compile(r"[0-9a-f]{64}")
_MILLIMETRES: Final = re.compile(r"(0|[1-9]\d{0,3})(\.\d{1,2})?")


def sheet_from(value: Plain) -> Sheet:
    """The sheet from what its JSON says.

    Raises: MalformedError.
    """
    said = _READ.members(value, "", ("format", "title", "lead", "sections"))
    if said["format"] != SHEET_FORMAT:
        _READ.refuse("format", f"this program reads {SHEET_FORMAT}", "Read it with the program that wrote it.")
    sections = enumerate(_READ.list(said["sections"], "sections"))
    return Sheet(
        title=_READ.text(said["title"], "title"),
        lead=_READ.text(said["lead"], "lead"),
        sections=tuple(_section(each, f"sections[{place}]") for place, each in sections),
    )


def _section(value: Plain, where: str) -> Section:
    said = _READ.members(value, where, ("id", "title", "blocks"))
    blocks = enumerate(_READ.list(said["blocks"], f"{where}.blocks"))
    return Section(
        id=_matching(said["id"], f"{where}.id", _ID),
        title=_READ.text(said["title"], f"{where}.title"),
        blocks=tuple(_block(each, f"{where}.blocks[{place}]") for place, each in blocks),
    )


def _matching(value: Plain, where: str, shape: re.Pattern[str]) -> str:
    text = _READ.text(value, where)
    if shape.fullmatch(text) is None:
        _READ.refuse(where, "it is not spelled as such a thing is", "Take the file again as it was given.")
    return text


def _block(value: Plain, where: str) -> Block:  # noqa: RET503 - refuse never returns
    kind = value.get("kind") if isinstance(value, dict) else None
    match kind:
        case "words":
            said = _READ.members(value, where, ("kind", "lines", "listed"))
            return Words(_READ.texts(said["lines"], f"{where}.lines"), _READ.flag(said["listed"], f"{where}.listed"))
        case "facts":
            said = _READ.members(value, where, ("kind", "rows"))
            return Facts(tuple((row[0], row[1]) for row in _rows(said["rows"], f"{where}.rows", 2)))
        case "table":
            said = _READ.members(value, where, ("kind", "head", "rows"))
            head = _READ.texts(said["head"], f"{where}.head")
            return Table(head, _rows(said["rows"], f"{where}.rows", len(head)))
        case "work":
            said = _READ.members(value, where, ("kind", "heading", "lines"))
            return Work(_READ.text(said["heading"], f"{where}.heading"), _READ.texts(said["lines"], f"{where}.lines"))
        case "picture":
            said = _READ.members(value, where, ("kind", "sha256", "words"))
            digest = _matching(said["sha256"], f"{where}.sha256", _DIGEST)
            return Picture(digest, _READ.text(said["words"], f"{where}.words"))
        case "map":
            return _map(value, where)
    _READ.refuse(where, "it is no kind of block that is known", "Read it with the program that wrote it.")


def _rows(value: Plain, where: str, cells: int) -> tuple[tuple[str, ...], ...]:
    rows = tuple(_READ.texts(each, f"{where}[{place}]") for place, each in enumerate(_READ.list(value, where)))
    for place, row in enumerate(rows):
        if len(row) != cells:
            _READ.refuse(f"{where}[{place}]", f"it has {len(row)} cells", f"Every row has {cells}.")
    return rows


def _map(value: Plain, where: str) -> Map:
    said = _READ.members(value, where, ("kind", "width", "height", "folds", "spots", "words"))
    folds = enumerate(_READ.list(said["folds"], f"{where}.folds"))
    spots = enumerate(_READ.list(said["spots"], f"{where}.spots"))
    return Map(
        width=_matching(said["width"], f"{where}.width", _MILLIMETRES),
        height=_matching(said["height"], f"{where}.height", _MILLIMETRES),
        folds=tuple(_matching(each, f"{where}.folds[{place}]", _MILLIMETRES) for place, each in folds),
        spots=tuple(_spot(each, f"{where}.spots[{place}]") for place, each in spots),
        words=_READ.text(said["words"], f"{where}.words"),
    )


def _spot(value: Plain, where: str) -> Spot:
    said = _READ.members(value, where, ("label", "x", "y", "to_x", "to_y", "shape", "solid"))
    shape = _READ.text(said["shape"], f"{where}.shape")
    if shape not in SHAPES:
        _READ.refuse(f"{where}.shape", "it is no shape of a map", f"It is one of {', '.join(SHAPES)}.")
    ends: Sequence[str] = ("x", "y") if shape == SHAPES[0] else ("x", "y", "to_x", "to_y")
    for name in ends:
        _matching(said[name], f"{where}.{name}", _MILLIMETRES)
    if shape == SHAPES[0] and (said["to_x"], said["to_y"]) != ("", ""):
        _READ.refuse(where, "a point has no end", "It is a line or an area, or its end is empty.")
    return Spot(
        label=_READ.text(said["label"], f"{where}.label"),
        x=_READ.text(said["x"], f"{where}.x"),
        y=_READ.text(said["y"], f"{where}.y"),
        to_x=_READ.text(said["to_x"], f"{where}.to_x"),
        to_y=_READ.text(said["to_y"], f"{where}.to_y"),
        shape=shape,
        solid=_READ.flag(said["solid"], f"{where}.solid"),
    )
