"""Files cut short, with bytes changed, under a wrong signature, or with sizes that cannot be."""

import random
import struct
from collections.abc import Iterator
from typing import Final

from tests.hostile import CANARY, End, Hostile, chunk, drawn, grey, plain, png_header, segment, tiff, written

CUTS: Final = (1, 5, 12, 20, 35, 50, 65, 80, 92)
"""Where a file ends. Units: per cent."""
FLIPS: Final = 8
OTHERS: Final = ("GIF", "BMP", "PPM", "TGA", "ICO", "PCX", "SGI", "JPEG2000", "PDF", "EPS", "ICNS", "DDS", "XBM")


def files() -> Iterator[Hostile]:
    """All of them."""
    yield from cut()
    yield from flipped()
    yield from mistaken()
    yield from sized()


def cut() -> Iterator[Hostile]:
    """Cut at many places; at the very end a decoder may have all it needs."""
    for name, data in plain().items():
        for part in CUTS:
            yield Hostile(f"{name} cut at {part} per cent", data[: len(data) * part // 100], End.REFUSED)
        for less in (1, 4, 12):
            yield Hostile(f"{name} {less} bytes short", data[:-less])


def flipped() -> Iterator[Hostile]:
    """Some bytes changed, the same ones in every run."""
    for name, data in plain().items():
        for number in range(FLIPS):
            chance, changed = random.Random(f"{name} {number}"), bytearray(data)
            for _ in range(1 + number):
                changed[chance.randrange(len(changed))] ^= 1 << chance.randrange(8)
            yield Hostile(f"{name} with {1 + number} bits changed", bytes(changed))


def mistaken() -> Iterator[Hostile]:
    """The signature of one format before the body of another; formats that are not asked for."""
    marks = {
        "jpeg": b"\xff\xd8\xff\xe0",
        "png": b"\x89PNG\r\n\x1a\n",
        "webp": b"RIFF\x00\x10\x00\x00WEBP",
        "tiff": b"II*\0",
    }
    sound = plain()
    for name, mark in marks.items():
        for other in marks:
            if other != name:
                yield Hostile(f"{other} under the signature of {name}", mark + sound[other][len(mark) :], End.REFUSED)
        yield Hostile(f"nothing but the signature of {name}", mark, End.REFUSED)
        yield Hostile(f"words under the signature of {name}", mark + CANARY * 40, End.REFUSED)
    for kind in OTHERS:
        picture = drawn().convert("1") if kind == "XBM" else drawn((32, 32))
        yield Hostile(f"a file of {kind}", written(picture, kind), End.REFUSED)
    for name, data in {"nothing": b"", "one byte": b"\xff", "nulls": bytes(4096), "words": CANARY * 100}.items():
        yield Hostile(name, data, End.REFUSED)


def sized() -> Iterator[Hostile]:
    """Headers that say there is no picture, or far too much of it."""
    most = 2**31 - 1
    for width, height in ((0, 8), (8, 0), (0, 0), (20_001, 1), (1, 20_001), (9000, 9000), (most, most), (most, 1)):
        rows = chunk(b"IDAT", b"x\x9c\x03\x00\x00\x00\x00\x01") + chunk(b"IEND", b"")
        yield Hostile(f"png of {width} by {height}", png_header(width, height) + rows, End.REFUSED)
        data = tiff(grey(width, height, length=8), rest=bytes(100))
        yield Hostile(f"tiff of {width} by {height}", data, End.REFUSED)
    for width, height in ((0, 0), (0, 9), (9, 0), (65_535, 65_535), (30_000, 2), (9000, 9000)):
        yield Hostile(f"jpeg of {width} by {height}", _jpeg_of(width, height), End.REFUSED)
    canvas = struct.pack("<I", 0xFFFFFE)[:3]
    yield Hostile("webp with a canvas of 2^24", _riff(b"VP8X", b"\x02\0\0\0" + canvas + canvas), End.REFUSED)
    yield Hostile("webp lossless of 16384", _riff(b"VP8L", b"\x2f\xff\xff\xff\x0f" + bytes(32)), End.REFUSED)
    yield Hostile(
        "webp lossy of 16383", _riff(b"VP8 ", b"\x10\0\0\x9d\x01\x2a\xff\x3f\xff\x3f" + bytes(32)), End.REFUSED
    )
    yield Hostile("webp of no size", _riff(b"VP8 ", b"\x10\0\0\x9d\x01\x2a\0\0\0\0" + bytes(32)), End.REFUSED)


def _jpeg_of(width: int, height: int) -> bytes:
    """A sound file whose frame says another size. Source: ITU-T T.81 section B.2.2."""
    data = bytearray(plain()["jpeg"])
    at = data.index(b"\xff\xc0")
    data[at + 5 : at + 9] = struct.pack(">HH", height, width)
    return bytes(data[:2]) + segment(0xFE, CANARY) + bytes(data[2:])


def _riff(kind: bytes, data: bytes) -> bytes:
    """Source: RFC 9649 section 2.3."""
    body = b"WEBP" + kind + struct.pack("<I", len(data)) + data
    return b"RIFF" + struct.pack("<I", len(body)) + body
