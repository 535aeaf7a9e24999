"""The sheet of a record as the inside of a page: every piece of text in an element of its own, marked as such."""

from base64 import b64encode
from collections.abc import Mapping
from html import escape
from typing import Final

from ledger.proof.record_file import RecordFile
from ledger.proof.sheet import Block, Facts, Map, Picture, Section, Spot, Table, Words, Work

__all__ = ["article_of", "escaped", "map_of"]

_FILLS: Final = {"conservation": "light", "restoration": "dense"}
"""The hatch of a heading; every other has its outline alone."""


def escaped(text: str) -> str:
    """Text that is text wherever it stands in a page."""
    return escape(text, quote=True)


def article_of(record: RecordFile, beside: Mapping[str, bytes], name: str) -> str:
    """One sheet, its photographs in it."""
    sheet = record.sheet
    media = {each.sha256: each.media for each in record.pictures}
    sections = "".join(_section(each, beside, media) for each in sheet.sections)
    return (
        f'<article class="{name}">\n<h1 data-s>{escaped(sheet.title)}</h1>\n'
        f'<p class="lead" data-s>{escaped(sheet.lead)}</p>\n{sections}</article>\n'
    )


def _section(section: Section, beside: Mapping[str, bytes], media: Mapping[str, str]) -> str:
    blocks = "".join(_block(each, beside, media) for each in section.blocks)
    return f"<section>\n<h2 data-s>{escaped(section.title)}</h2>\n{blocks}</section>\n"


def _block(block: Block, beside: Mapping[str, bytes], media: Mapping[str, str]) -> str:
    match block:
        case Words():
            return (
                _listed(block.lines)
                if block.listed
                else "".join(f"<p data-s>{escaped(each)}</p>\n" for each in block.lines)
            )
        case Facts():
            rows = (
                f"<dt data-s>{escaped(name)}</dt>\n<dd data-s>{escaped(value)}</dd>\n" for name, value in block.rows
            )
            return f"<dl>\n{''.join(rows)}</dl>\n"
        case Table():
            return _table(block)
        case Work():
            return (
                f"<h3>{_hatch(block.heading)}<span data-s>{escaped(block.heading)}</span></h3>\n{_listed(block.lines)}"
            )
        case Picture():
            kind, data = media[block.sha256], b64encode(beside[block.sha256]).decode("ascii")
            image = f'<img data-sha="{block.sha256}" alt="{escaped(block.words)}" src="data:{kind};base64,{data}">'
            return f"<figure>{image}\n<figcaption data-s>{escaped(block.words)}</figcaption></figure>\n"
        case Map():
            return f"<figure>{map_of(block)}\n<figcaption data-s>{escaped(block.words)}</figcaption></figure>\n"


def _listed(lines: tuple[str, ...]) -> str:
    return f"<ul>\n{''.join(f'<li data-s>{escaped(each)}</li>{chr(10)}' for each in lines)}</ul>\n"


def _table(table: Table) -> str:
    head = "".join(f'<th scope="col" data-s>{escaped(each)}</th>' for each in table.head)
    rows = ("".join(f"<td data-s>{escaped(each)}</td>" for each in row) for row in table.rows)
    body = "".join(f"<tr>{row}</tr>\n" for row in rows)
    inside = f"<thead><tr>{head}</tr></thead>\n<tbody>\n{body}</tbody>\n"
    return f'<div class="wide" tabindex="0" role="group">\n<table>\n{inside}</table>\n</div>\n'


def _hatch(heading: str) -> str:
    fill = _FILLS.get(heading)
    inside = f'<rect x="0.5" y="0.5" width="31" height="17" fill="url(#{fill})"/>' if fill else ""
    return (
        f'<svg class="hatch" viewBox="0 0 32 18" aria-hidden="true">{inside}'
        '<rect x="0.5" y="0.5" width="31" height="17"/></svg>'
    )


def map_of(drawn: Map) -> str:
    """The map as SVG, a millimetre to a unit; its numbers are pieces of text."""
    margin = 6
    folds = "".join(f'<path class="sheet-flat" d="M{x} 0V{drawn.height}"/>' for x in drawn.folds)
    spots = "".join(map(_spot, drawn.spots))
    box = f"-{margin} -{margin} {_plus(drawn.width, 2 * margin)} {_plus(drawn.height, 2 * margin)}"
    return (
        f'<svg class="map" viewBox="{box}" role="img" aria-label="{escaped(drawn.words)}">'
        f'<rect class="sheet-flat" x="0" y="0" width="{drawn.width}" height="{drawn.height}"/>{folds}{spots}</svg>'
    )


def _spot(spot: Spot) -> str:
    kind = "spot" if spot.solid else "spot dashed"
    match spot.shape:
        case "line":
            drawn = f'<path class="{kind}" d="M{spot.x} {spot.y}L{spot.to_x} {spot.to_y}"/>'
        case "area":
            drawn = f'<path class="{kind}" d="M{spot.x} {spot.y}H{spot.to_x}V{spot.to_y}H{spot.x}Z"/>'
        case _:
            drawn = f'<circle class="{kind}" cx="{spot.x}" cy="{spot.y}" r="3"/>'
    return f'{drawn}<text x="{spot.x}" y="{spot.y}" dx="4" dy="-2" data-s>{escaped(spot.label)}</text>'


def _plus(text: str, more: int) -> str:
    """A decimal that much greater, exactly."""
    whole, dot, rest = text.partition(".")
    return f"{int(whole) + more}{dot}{rest}"
