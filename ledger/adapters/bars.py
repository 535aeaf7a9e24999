"""Barcodes in photographs, found by zxing-cpp: one outside library, asked for only when a picture is looked through.

The file is decoded as every photograph is, in a process apart with its limits; the library sees nothing but grey squares
that this program wrote itself.
"""

import io
from collections.abc import Iterator
from typing import TYPE_CHECKING, Final

from PIL import Image, ImageOps

from ledger.adapters.pictures import clean_copy
from ledger.barcodes import Barcode, read_barcode
from ledger.errors import MalformedError

if TYPE_CHECKING:
    import zxingcpp

__all__ = ["ZxingBars"]

LONGEST: Final = 1600
"""Side of the picture as it is first looked through; a code that fills a fifth of it has bars of some 1.5 px. Units: px."""
AROUND: Final = 1.2
"""How far beyond a code its neighbour digits are looked for, as a share of the code's longest side. Ours."""
TURNS: Final = (22.5, 45.0, 67.5)
"""Where nothing was found, the picture is turned so far; the library reads a code up to some ten degrees askew, in each
of the four directions. Units: degrees."""
TURNED_LONGEST: Final = 2400
"""Side of the picture that is turned. Units: px."""
SLANTS: Final = (0.0, 15.0, -15.0)
"""How askew a code that was found may lie; the digits beside it are read only where it is set upright. Units: degrees."""

Box = tuple[int, int, int, int]
Codes = dict[Barcode, Box]


class ZxingBars:
    """As `barcodes.BarcodeReader`."""

    def read(self, data: bytes) -> tuple[Barcode, ...]:
        """The codes of a picture, those with digits beside them first.

        The whole picture is looked through scaled down, then as sharp as it is, then turned; what lies around a code is
        looked through once more, set upright. A picture of twelve million pixels that shows no code takes some two
        seconds, as measured.
        """
        clean, _, _ = clean_copy(data)
        with Image.open(io.BytesIO(clean)) as opened:
            grey = opened.convert("L")
        seen, found = next((each for each in _looks(grey) if each[1]), (grey, {}))
        for barcode, place in list(found.items()):
            if not barcode.add_on:
                found |= _closer(seen.crop(_around(place, seen.size)), barcode)
        more = {each.number for each in found if each.add_on}
        kept = [each for each in found if each.add_on or each.number not in more]
        return tuple(sorted(kept, key=lambda each: (not each.add_on, each.code)))


def _looks(grey: Image.Image) -> Iterator[tuple[Image.Image, Codes]]:
    """Each way of looking at the whole picture, the quickest first: the picture that was looked at, and its codes."""
    yield grey, _found(grey, LONGEST)
    yield grey, _found(grey)
    smaller = _smaller(grey, TURNED_LONGEST)
    for turn in TURNS:
        if _found(_turned(smaller, turn)):
            turned = _turned(grey, turn)
            yield turned, _found(turned, TURNED_LONGEST) or _found(turned)
    if max(grey.size) < LONGEST:
        # Of a small picture each bar is hardly a pixel wide: what is between two of them is worked out.
        larger = grey.resize((2 * grey.width, 2 * grey.height), Image.Resampling.BICUBIC)
        yield larger, _found(larger)


def _closer(piece: Image.Image, barcode: Barcode) -> Codes:
    """The same code with the digits beside it, from what lies around it; empty where none can be read."""
    for slant in SLANTS:
        upright = ImageOps.autocontrast(_turned(_smaller(piece, LONGEST), slant), cutoff=1)
        # In half of the sharpness less noise is left.
        for longest in (None, max(upright.size) // 2):
            found = _found(upright, longest)
            if full := {each: at for each, at in found.items() if each.add_on and each.number == barcode.number}:
                return full
    return {}


def _turned(picture: Image.Image, by: float) -> Image.Image:
    if not by:
        return picture
    return picture.rotate(by, resample=Image.Resampling.BICUBIC, expand=True, fillcolor=255)


def _smaller(picture: Image.Image, longest: int) -> Image.Image:
    scale = min(1.0, longest / max(picture.size))
    if scale == 1:
        return picture
    return picture.resize((max(1, round(picture.width * scale)), max(1, round(picture.height * scale))))


def _found(picture: Image.Image, longest: int | None = None) -> Codes:
    """The codes in a picture, its longest side scaled down to that, and where each lies in the picture itself."""
    import zxingcpp  # noqa: PLC0415 - asked for only here

    seen = picture if longest is None else _smaller(picture, longest)
    kinds = zxingcpp.barcode_formats_from_str("EAN13,UPCA")
    read = zxingcpp.read_barcodes(seen, formats=kinds, ean_add_on_symbol=zxingcpp.EanAddOnSymbol.Read)
    found: Codes = {}
    for each in read:
        try:
            barcode = read_barcode(each.text)
        except MalformedError:
            continue
        found[barcode] = _box(each.position, picture.width / seen.width)
    return found


def _box(position: "zxingcpp.Position", scale: float) -> Box:
    corners = (position.top_left, position.top_right, position.bottom_left, position.bottom_right)
    across, down = [each.x for each in corners], [each.y for each in corners]
    left, top, right, bottom = (round(each * scale) for each in (min(across), min(down), max(across), max(down)))
    return left, top, right, bottom


def _around(place: Box, size: tuple[int, int]) -> Box:
    left, top, right, bottom = place
    more = round(max(right - left, bottom - top) * AROUND)
    return max(0, left - more), max(0, top - more), min(size[0], right + more), min(size[1], bottom + more)
