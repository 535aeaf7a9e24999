"""Cover pictures of the demo's books, drawn by code: the same call gives the same pixels.

`python -m seeds.draw` draws every picture of the demo again into seeds/pictures.
"""

import io
import sys
from collections.abc import Sequence
from typing import Literal

from PIL import Image

from seeds.covers.askew import askew
from seeds.covers.faults import Fault
from seeds.covers.issues import ISSUES, Issue
from seeds.covers.marks import close_up
from seeds.covers.sheets import SHEETS, Sheet, picture_name
from seeds.covers.worn import worn
from seeds.pictures import FOLDER, read_picture

__all__ = ["ISSUES", "SHEETS", "Fault", "Issue", "Sheet", "draw", "drawn", "encoded", "picture_name", "read_picture"]

Face = Literal["front", "back"]
Light = Literal["normal", "raking", "ultraviolet"]
COLOURS = 128


def draw(key: str, faults: Sequence[Fault] = (), *, face: Face = "front", light: Light = "normal") -> Image.Image:
    """One face of a book of that issue, with the faults that lie on it, in a light.

    Units: 640 pixels wide, as high as the issue's size asks; faults in mm.
    Raises: KeyError for an issue or a type of fault that nobody drew.
    """
    return worn(ISSUES[key], faults, face, light)


def drawn(sheet: Sheet) -> Image.Image:
    """The picture of a sheet, fresh from the drawing."""
    if sheet.detail is not None:
        return close_up(ISSUES[sheet.key], sheet)
    face = worn(ISSUES[sheet.key], sheet.faults, sheet.face, sheet.light)
    return askew(face, sheet.name) if sheet.by_hand else face


def encoded(picture: Image.Image) -> bytes:
    """The bytes that are kept: PNG with a palette, nothing in it but the pixels."""
    kept = io.BytesIO()
    few = picture.quantize(COLOURS, Image.Quantize.MAXCOVERAGE, kmeans=3, dither=Image.Dither.NONE)
    few.save(kept, "PNG", optimize=True)
    return kept.getvalue()


def main() -> None:
    """Every picture of the demo drawn again."""
    FOLDER.mkdir(exist_ok=True)
    for sheet in SHEETS:
        (FOLDER / sheet.name).write_bytes(encoded(drawn(sheet)))
        sys.stdout.write(f"{sheet.name}\n")


if __name__ == "__main__":
    main()
