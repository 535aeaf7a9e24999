"""Small copies of clean photographs, each made once; Pillow makes them, and any of them can be thrown away."""

import io
import secrets
from pathlib import Path

from PIL import Image

from ledger.adapters.folders import make_folder
from ledger.events.photograph import WHOLE, Crop

__all__ = ["SmallPictures", "brightness", "small_copy"]

QUALITY = 84
_TALLEST = 20_000
"""No side of a picture is longer, so only the width is held to."""


class SmallPictures:
    """A folder of small copies, by width, by the name of the picture they show, and by which part of it.

    Keeps: a copy that is half written has another name, so that no one ever reads it.
    """

    def __init__(self, folder: Path) -> None:
        self.folder = folder

    def kept(self, sha256: str, width: int, part: Crop | None = None) -> bytes | None:
        """The copy of that width, if it was made before."""
        try:
            return self._path(sha256, width, part).read_bytes()
        except FileNotFoundError:
            return None

    def make(self, sha256: str, width: int, clean: bytes, part: Crop | None = None) -> bytes:
        """The copy of that width, made from the clean one and kept.

        Requires: a digest in its one spelling, as the clean copy is found by.
        Raises: OSError for a file that is no picture any more.
        """
        data = small_copy(clean, width, part)
        path = self._path(sha256, width, part)
        make_folder(path.parent)
        draft = path.parent / f".{secrets.token_hex(8)}"
        try:
            draft.write_bytes(data)
            draft.replace(path)
        finally:
            draft.unlink(missing_ok=True)
        return data

    def _path(self, sha256: str, width: int, part: Crop | None) -> Path:
        return self.folder / str(width) / sha256[:2] / (sha256 if part is None else f"{sha256}-{_name(part)}")


def small_copy(clean: bytes, width: int, part: Crop | None = None) -> bytes:
    """The same picture, or that part of it and nothing else, so wide, and as high as it then is.

    One that is not wider stays as it is.
    Requires: a part that lies inside the picture.
    Units: width px.
    """
    with Image.open(io.BytesIO(clean), formats=("JPEG",)) as picture:
        if part is None and picture.width <= width:
            return clean
        if part is None:
            # The decoder leaves out what the small copy cannot show: `thumbnail` asks it to, by `draft`, which holds to
            # the larger of both sides, so the height must be no more than it will be.
            picture.thumbnail((width, -(-picture.height * width // picture.width)), reducing_gap=2.0)
            return _written(picture)
        # As above: the whole is made no larger than it has to be for its part to be so wide.
        picture.draft(None, (-(-width * WHOLE // part.width_percent), 1))
        shown = picture.crop(_box(part, picture.size))
    shown.thumbnail((width, _TALLEST))
    return _written(shown)


def brightness(clean: bytes, wide: int, high: int) -> tuple[int, int, bytes]:
    """Width, height and one byte for each pixel of the picture in greys, made no larger than this.

    Raises: OSError for a file that is no picture any more.
    Units: px.
    """
    with Image.open(io.BytesIO(clean), formats=("JPEG",)) as picture:
        picture.draft("L", (wide, high))
        shown = picture.convert("L")
    shown.thumbnail((wide, high))
    return *shown.size, shown.tobytes()


def _written(picture: Image.Image) -> bytes:
    out = io.BytesIO()
    picture.save(out, "JPEG", quality=QUALITY)
    return out.getvalue()


def _box(part: Crop, size: tuple[int, int]) -> tuple[int, int, int, int]:
    """The part in pixels, no pixel of which lies outside of it; one pixel at least. Units: px."""
    left, right = _inside(part.x_percent, part.width_percent, size[0])
    top, bottom = _inside(part.y_percent, part.height_percent, size[1])
    return left, top, right, bottom


def _inside(start: int, length: int, pixels: int) -> tuple[int, int]:
    first = min(-(-start * pixels // WHOLE), pixels - 1)
    return first, max((start + length) * pixels // WHOLE, first + 1)


def _name(part: Crop) -> str:
    return f"{part.x_percent}-{part.y_percent}-{part.width_percent}-{part.height_percent}"
