"""Small pictures for tests, drawn on the spot."""

import io

from PIL import Image


def a_picture(colour: str = "teal", size: tuple[int, int] = (24, 36), kind: str = "PNG") -> bytes:
    """A plain picture file."""
    out = io.BytesIO()
    Image.new("RGB", size, colour).save(out, kind)
    return out.getvalue()
