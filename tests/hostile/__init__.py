"""Files that mean harm or are merely odd, made by code: what is sent as a photograph, and what has to come of it."""

import io
import random
import struct
import zlib
from collections.abc import Iterator
from dataclasses import dataclass
from enum import Enum
from functools import cache
from typing import Any, Final

from PIL import Image

CANARY: Final = b"Quillfeather-59.3293-18.0686"
"""Stands for a place, a serial number or a name; no copy that is shown may hold it, in any spelling."""
SCRIPT: Final = b"<!doctype html><script>alert('" + CANARY + b"')</script>"


class End(Enum):
    """What has to become of a file."""

    REFUSED = "refused"
    TAKEN = "taken"
    EITHER = "either"


@dataclass(frozen=True)
class Hostile:
    """One file, by what is wrong with it."""

    name: str
    data: bytes
    end: End = End.EITHER

    def __str__(self) -> str:
        return self.name


def drawn(size: tuple[int, int] = (48, 64)) -> Image.Image:
    """A picture with enough in it that its file has a middle."""
    picture = Image.new("RGB", size)
    noise = random.Random(7)
    picture.putdata([(noise.randrange(256), x % 256, 90) for x in range(size[0] * size[1])])
    return picture


def written(picture: Image.Image, kind: str, **options: Any) -> bytes:
    """It as a file."""
    out = io.BytesIO()
    picture.save(out, kind, **options)
    return out.getvalue()


@cache
def plain() -> dict[str, bytes]:
    """A sound file of every coding that is taken."""
    picture = drawn()
    return {
        "jpeg": written(picture, "JPEG"),
        "jpeg progressive": written(picture, "JPEG", progressive=True),
        "png": written(picture, "PNG"),
        "webp": written(picture, "WEBP"),
        "webp lossless": written(picture, "WEBP", lossless=True),
        "tiff": written(picture, "TIFF"),
        "tiff deflate": written(picture, "TIFF", compression="tiff_adobe_deflate"),
        "tiff lzw": written(picture, "TIFF", compression="tiff_lzw"),
    }


def segment(marker: int, data: bytes) -> bytes:
    """Of a JPEG file. Source: ITU-T T.81 section B.1.1.4."""
    return bytes((0xFF, marker)) + struct.pack(">H", len(data) + 2) + data


def jpeg_with(*segments: bytes) -> bytes:
    """A sound picture, with these segments after its start."""
    data = plain()["jpeg"]
    return data[:2] + b"".join(segments) + data[2:]


def chunk(kind: bytes, data: bytes) -> bytes:
    """Of a PNG file. Source: PNG (ISO/IEC 15948) section 5.3."""
    return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))


HEADER_ENDS: Final = 33
"""Bytes of a PNG file up to and with its header. Source: PNG sections 5.2 and 11.2.2."""


def png_with(*chunks: bytes) -> bytes:
    """A sound picture, with these chunks after its header."""
    data = plain()["png"]
    return data[:HEADER_ENDS] + b"".join(chunks) + data[HEADER_ENDS:]


def png_header(width: int, height: int, bits: int = 8, colours: int = 2) -> bytes:
    """Signature and header. Source: PNG section 11.2.2."""
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", struct.pack(">IIBBBBB", width, height, bits, colours, 0, 0, 0))


SHORT, LONG, ASCII, UNKNOWN = 3, 4, 2, 7
"""Types of a TIFF field. Source: TIFF 6.0, section 2, Types."""


def ifd(fields: list[tuple[int, int, int, int]], after: int = 0) -> bytes:
    """A directory of fields: tag, type, count, value or where it is. Source: TIFF 6.0, section 2."""
    body = b"".join(struct.pack("<HHII", *each) for each in sorted(fields))
    return struct.pack("<H", len(fields)) + body + struct.pack("<I", after)


def tiff(fields: list[tuple[int, int, int, int]], after: int = 0, rest: bytes = b"") -> bytes:
    """A file whose first directory stands at byte 8. Source: TIFF 6.0, section 2."""
    return b"II*\0" + struct.pack("<I", 8) + ifd(fields, after) + rest


def grey(width: int, height: int, **other: int) -> list[tuple[int, int, int, int]]:
    """The fields of a grey picture of 8 bits in one strip. Source: TIFF 6.0, section 4."""
    at = other.get("at", 200)
    return [
        (256, LONG, 1, width),
        (257, LONG, 1, height),
        (258, SHORT, 1, 8),
        (259, SHORT, 1, other.get("coding", 1)),
        (262, SHORT, 1, 1),
        (273, LONG, 1, at),
        (277, SHORT, 1, 1),
        (278, LONG, 1, other.get("rows", height)),
        (279, LONG, 1, other.get("length", width * height)),
    ]


def light() -> Iterator[Hostile]:
    """Those that cost little, the same in every run."""
    from tests.hostile import broken, odd, telling, two_in_one  # noqa: PLC0415  they are made of what stands here

    for part in (broken, two_in_one, odd, telling):
        yield from part.files()
