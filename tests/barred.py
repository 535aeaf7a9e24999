"""Barcodes as pictures, drawn from the published tables of bars alone: nothing of the reader that is tested is used."""

import io
import json
from pathlib import Path
from typing import Any, Final

from PIL import Image

__all__ = ["GS1", "a_barcode", "bars_of", "on_a_page"]

GS1: Final[dict[str, Any]] = json.loads(
    (Path(__file__).resolve().parent / "vectors/barcodes/gs1.json").read_text("utf-8")
)
QUIET: Final = "0" * 9
"""Light modules around a code and before its add-on. Source: GS1 General Specifications section 5.2.3.4."""
_TURNED: Final = str.maketrans("01", "10")


def bars_of(number: str, add_on: str = "") -> str:
    """A UPC-A and its add-on as modules, 1 dark."""
    left = "".join(GS1["L"][int(each)] for each in number[:6])
    right = "".join(GS1["L"][int(each)].translate(_TURNED) for each in number[6:])
    return f"{QUIET}101{left}01010{right}101{QUIET}{_add_on(add_on)}{QUIET}"


def _add_on(digits: str) -> str:
    if not digits:
        return ""
    sets = _parity(digits)
    coded = [GS1[kind][int(each)] for kind, each in zip(sets, digits, strict=True)]
    return "01011" + "01".join(coded)


def _parity(digits: str) -> str:
    if len(digits) == 2:
        return str(GS1["ean2_parity_by_value_mod_4"][int(digits) % 4])
    odd, even = sum(map(int, digits[::2])), sum(map(int, digits[1::2]))
    return str(GS1["ean5_parity_by_checksum"][(3 * odd + 9 * even) % 10])


def a_barcode(number: str, add_on: str = "", module: int = 3) -> Image.Image:
    """The code in grey, each module so many pixels wide."""
    bars = bars_of(number, add_on)
    line = Image.new("L", (len(bars), 1), 255)
    line.putdata([0 if each == "1" else 255 for each in bars])
    return line.resize((len(bars) * module, 40 * module), Image.Resampling.NEAREST)


def on_a_page(
    code: Image.Image, size: tuple[int, int] = (900, 1200), at: tuple[int, int] = (60, 80), turned: float = 0
) -> bytes:
    """The code on a cover of one colour, as a photograph of it."""
    page = Image.new("RGB", size, (196, 181, 150))
    page.paste(code.convert("RGB").rotate(turned, expand=True, fillcolor=(196, 181, 150)), at)
    out = io.BytesIO()
    page.save(out, "JPEG", quality=88)
    return out.getvalue()
