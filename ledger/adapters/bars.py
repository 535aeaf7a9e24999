"""Barcodes in photographs, found by zxing-cpp: one outside library, asked for only when a picture is looked through.

The file is decoded as every photograph is, in a process apart with its limits; the library sees nothing but grey squares
that this program wrote itself.
"""

import io
from typing import TYPE_CHECKING, Final

from PIL import Image

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

Box = tuple[int, int, int, int]


class ZxingBars:
    """As `barcodes.BarcodeReader`."""

    def read(self, data: bytes) -> tuple[Barcode, ...]:
        """The codes of a picture, those with digits beside them first.

        The whole picture is looked through scaled down, then what lies around a code as sharp as it is; where nothing was
        found, the whole as sharp as it is, which takes half a second for thirty million pixels, as measured.
        """
        clean, _, _ = clean_copy(data)
        with Image.open(io.BytesIO(clean)) as opened:
            grey = opened.convert("L")
        whole = (0, 0, *grey.size)
        found = _found(grey, whole, LONGEST) or _found(grey, whole)
        for barcode, place in list(found.items()):
            if not barcode.add_on:
                found |= _found(grey, _around(place, grey.size))
        more = {each.number for each in found if each.add_on}
        kept = [each for each in found if each.add_on or each.number not in more]
        return tuple(sorted(kept, key=lambda each: (not each.add_on, each.code)))


def _found(grey: Image.Image, part: Box, longest: int | None = None) -> dict[Barcode, Box]:
    """The codes in a part of the picture, its longest side scaled down to that, and where each lies in the whole."""
    import zxingcpp  # noqa: PLC0415 - asked for only here

    seen = grey.crop(part)
    scale = 1.0 if longest is None else min(1.0, longest / max(seen.size))
    if scale < 1:
        seen = seen.resize((max(1, round(seen.width * scale)), max(1, round(seen.height * scale))))
    kinds = zxingcpp.barcode_formats_from_str("EAN13,UPCA")
    read = zxingcpp.read_barcodes(seen, formats=kinds, ean_add_on_symbol=zxingcpp.EanAddOnSymbol.Read)
    found: dict[Barcode, Box] = {}
    for each in read:
        try:
            barcode = read_barcode(each.text)
        except MalformedError:
            continue
        found[barcode] = _box(each.position, part, scale)
    return found


def _box(position: "zxingcpp.Position", part: Box, scale: float) -> Box:
    corners = (position.top_left, position.top_right, position.bottom_left, position.bottom_right)
    across, down = [each.x for each in corners], [each.y for each in corners]
    left, top, right, bottom = (round(each / scale) for each in (min(across), min(down), max(across), max(down)))
    return part[0] + left, part[1] + top, part[0] + right, part[1] + bottom


def _around(place: Box, size: tuple[int, int]) -> Box:
    left, top, right, bottom = place
    more = round(max(right - left, bottom - top) * AROUND)
    return max(0, left - more), max(0, top - more), min(size[0], right + more), min(size[1], bottom + more)
