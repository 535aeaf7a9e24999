"""Small files that cost much: what unpacks to far more than it is, and what has to be gone over again and again."""

import struct
import zlib
from collections.abc import Iterator
from typing import Final

from PIL import Image

from tests.hostile import (
    LONG,
    End,
    Hostile,
    chunk,
    drawn,
    grey,
    jpeg_with,
    png_header,
    png_with,
    segment,
    tiff,
    written,
)

MANY: Final = 200 * 1024 * 1024
"""Bytes that a bomb unpacks to."""


def files() -> Iterator[Hostile]:
    """All of them."""
    yield from words()
    yield from rows()
    yield from strips()
    yield from passes()


def words() -> Iterator[Hostile]:
    """Text that unpacks to far more than it is, or of which there is no end."""
    bomb = packed(MANY)
    yield Hostile("png with a bomb of words", png_with(chunk(b"zTXt", b"a\0\0" + bomb)))
    yield Hostile("png with a bomb of words in a language", png_with(chunk(b"iTXt", b"a\0\1\0\0\0" + bomb)))
    yield Hostile("png with a bomb of a profile", png_with(chunk(b"iCCP", b"a\0\0" + bomb)))
    yield Hostile("png with many bombs", png_with(*[chunk(b"zTXt", b"a\0\0" + packed(900_000))] * 200))
    yield Hostile("png with many words", png_with(*[chunk(b"tEXt", b"a\0b")] * 50_000))
    yield Hostile("png with enormous words", png_with(chunk(b"tEXt", b"a\0" + b"b" * 8_000_000)))
    yield Hostile("png with a chunk longer than the file", png_with(b"\x7f\xff\xff\xfftEXt"), End.REFUSED)
    yield Hostile("png with a chunk of less than nothing", png_with(b"\xff\xff\xff\xfftEXt"), End.REFUSED)
    yield Hostile("jpeg with a thousand comments", jpeg_with(*[segment(0xFE, b"c" * 60_000)] * 200))
    yield Hostile("jpeg with a segment of no length", jpeg_with(b"\xff\xe5\0\0"))
    yield Hostile("jpeg with a segment of one byte", jpeg_with(b"\xff\xe5\0\1"))
    yield Hostile("jpeg with a hundred thousand fill bytes", jpeg_with(b"\xff" * 100_000), End.EITHER)
    for at in range(1, 5):
        bad = b"ICC_PROFILE\0" + bytes((at, 255)) + b"p" * 60_000
        yield Hostile(f"jpeg with part {at} of a profile of 255", jpeg_with(segment(0xE2, bad)))


def rows() -> Iterator[Hostile]:
    """Rows that unpack to more than the picture, or to nothing."""
    end = chunk(b"IEND", b"")
    for width, height in ((64, 64), (1, 20_000), (20_000, 1), (20_000, 1999)):
        data = png_header(width, height) + chunk(b"IDAT", packed(MANY)) + end
        yield Hostile(f"png of {width} by {height} with too many rows", data)
    yield Hostile("png without rows", png_header(64, 64) + end, End.REFUSED)
    yield Hostile("png with empty rows", png_header(64, 64) + chunk(b"IDAT", b"") * 10_000 + end, End.REFUSED)
    one = packed(64 * 193)
    byte_by_byte = b"".join(chunk(b"IDAT", one[at : at + 1]) for at in range(len(one)))
    yield Hostile("png with its rows byte by byte", png_header(64, 64) + byte_by_byte + end, End.TAKEN)
    for mode in ("1", "L", "RGBA"):
        data = written(Image.new(mode, (5000, 4000)), "PNG")
        yield Hostile(f"png of twenty million pixels in {mode}, a thousand times as large", data, End.TAKEN)
    data = png_header(20_000, 2000, 16, 6) + chunk(b"IDAT", packed(2000 * (20_000 * 8 + 1))) + end
    yield Hostile("png of forty million pixels with 16 bits and transparency", data, End.TAKEN)


def strips() -> Iterator[Hostile]:
    """Strips that unpack to more than they should, lie, overlap or are missing."""
    for coding in (5, 8, 32_946, 32_773, 7, 50_000, 34_925):
        data = tiff(grey(64, 64, coding=coding, length=4096), rest=bytes(78)) + packed(MANY)[:4096]
        yield Hostile(f"tiff in coding {coding} with a bomb for a strip", data)
    for length in (0, 1, 2**31, 2**32 - 1):
        data = tiff(grey(64, 64, length=length), rest=bytes(78)) + bytes(4096)
        yield Hostile(f"tiff with a strip of {length} bytes", data)
    for at in (0, 4, 2**31, 2**32 - 1):
        yield Hostile(f"tiff with a strip at {at}", tiff(grey(64, 64, at=at), rest=bytes(4200)))
    fields = [each for each in grey(64, 64, rows=1) if each[0] not in (273, 279)]
    fields += [(273, LONG, 2**20, 8), (279, LONG, 2**20, 8)]
    yield Hostile("tiff with a million strips that are not there", tiff(fields, rest=bytes(9000)))
    tiled = [each for each in grey(64, 64) if each[0] not in (273, 278, 279)]
    tiled += [(322, LONG, 1, 2**31 - 16), (323, LONG, 1, 2**31 - 16), (324, LONG, 1, 200), (325, LONG, 1, 64)]
    yield Hostile("tiff with tiles of two thousand million", tiff(tiled, rest=bytes(9000)))
    flat = written(Image.new("RGB", (6000, 6000)), "TIFF", compression="tiff_adobe_deflate")
    yield Hostile("tiff of 36 million pixels, a thousand times as large", flat, End.TAKEN)


def passes() -> Iterator[Hostile]:
    """A picture that is gone over again and again."""
    data = written(drawn((2000, 2000)).convert("L"), "JPEG", progressive=True)
    last = data.rindex(b"\xff\xda")
    again = data[last:-2]
    for count in (120, 2000):
        yield Hostile(f"jpeg in {count} passes more", data[:-2] + empty_scans(count) + b"\xff\xd9", End.REFUSED)
    yield Hostile("jpeg whose last pass comes again", data[:-2] + again * 3 + b"\xff\xd9")
    yield Hostile("jpeg that begins a hundred times", b"\xff\xd8" * 100 + data)
    yield Hostile(
        "webp lossless of one colour", written(Image.new("RGB", (8000, 5000)), "WEBP", lossless=True), End.TAKEN
    )


def empty_scans(count: int) -> bytes:
    """Scans of next to nothing, each of which has the decoder go over the whole picture. Source: ITU-T T.81 B.2.3, G.1.2."""
    head = segment(0xDA, struct.pack(">BBBBBB", 1, 1, 0, 1, 63, 0x10))
    return (head + bytes(2)) * count


def packed(length: int) -> bytes:
    """So many nulls, deflated, made piece by piece."""
    packer, piece = zlib.compressobj(9), bytes(min(length, 1 << 20))
    whole, rest = divmod(length, len(piece))
    return b"".join(packer.compress(piece) for _ in range(whole)) + packer.compress(piece[:rest]) + packer.flush()
