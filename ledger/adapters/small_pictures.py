"""Small copies of clean photographs, each made once; Pillow makes them, and any of them can be thrown away."""

import io
import secrets
from pathlib import Path

from PIL import Image

from ledger.adapters.folders import make_folder

__all__ = ["SmallPictures"]

QUALITY = 84
_TALLEST = 20_000
"""No side of a picture is longer, so only the width is held to."""


class SmallPictures:
    """A folder of small copies, by width and by the name of the picture they show.

    Keeps: a copy that is half written has another name, so that no one ever reads it.
    """

    def __init__(self, folder: Path) -> None:
        self.folder = folder

    def kept(self, sha256: str, width: int) -> bytes | None:
        """The copy of that width, if it was made before."""
        try:
            return self._path(sha256, width).read_bytes()
        except FileNotFoundError:
            return None

    def make(self, sha256: str, width: int, clean: bytes) -> bytes:
        """The copy of that width, made from the clean one and kept.

        Requires: a digest in its one spelling, as the clean copy is found by.
        Raises: OSError for a file that is no picture any more.
        """
        data = small_copy(clean, width)
        path = self._path(sha256, width)
        make_folder(path.parent)
        draft = path.parent / f".{secrets.token_hex(8)}"
        try:
            draft.write_bytes(data)
            draft.replace(path)
        finally:
            draft.unlink(missing_ok=True)
        return data

    def _path(self, sha256: str, width: int) -> Path:
        return self.folder / str(width) / sha256[:2] / sha256


def small_copy(clean: bytes, width: int) -> bytes:
    """The same picture so wide, and as high as it then is; one that is not wider stays as it is.

    Units: px.
    """
    with Image.open(io.BytesIO(clean), formats=("JPEG",)) as picture:
        if picture.width <= width:
            return clean
        # The decoder leaves out what the small copy cannot show: `thumbnail` asks it to, by `draft`.
        picture.thumbnail((width, _TALLEST), reducing_gap=2.0)
        out = io.BytesIO()
        picture.save(out, "JPEG", quality=QUALITY)
    return out.getvalue()
