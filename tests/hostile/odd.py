"""Pictures that are odd and sound: other depths and inks, several in one file, turned, with directories that go round."""

import struct
from collections.abc import Iterator

from PIL import Image

from tests.hostile import ASCII, LONG, SHORT, End, Hostile, drawn, grey, ifd, jpeg_with, segment, tiff, written

EXIF, ORIENTATION, GPS, SUB, NEXT_OF = 0x8769, 0x0112, 0x8825, 0x014A, 0xA005
"""Source: EXIF 2.32 (CIPA DC-008), section 4.6."""


def files() -> Iterator[Hostile]:
    """All of them."""
    yield from inks()
    yield from several()
    yield from turned()
    yield from going_round()


def inks() -> Iterator[Hostile]:
    """Every way of keeping a colour that the formats have."""
    ways = {
        "TIFF": ("1", "L", "LA", "P", "RGB", "RGBA", "RGBX", "CMYK", "YCbCr", "LAB", "I;16", "I;16B"),
        "PNG": ("1", "L", "LA", "P", "RGB", "RGBA", "I;16"),
        "WEBP": ("L", "LA", "RGB", "RGBA"),
        "JPEG": ("1", "L", "RGB", "CMYK", "YCbCr"),
    }
    for kind, modes in ways.items():
        for mode in modes:
            yield Hostile(f"{kind.lower()} in {mode}", written(Image.new(mode, (24, 24)), kind), End.TAKEN)
    for mode in ("I", "F"):
        yield Hostile(f"tiff in {mode}", written(Image.new(mode, (24, 24)), "TIFF"), End.REFUSED)
    pale = Image.new("P", (24, 24))
    pale.putpalette([200, 30, 30, 0, 0, 255])
    yield Hostile("png, a palette with one clear colour", written(pale, "PNG", transparency=0), End.TAKEN)
    yield Hostile("png, a palette half clear", written(pale, "PNG", transparency=b"\x00\x80"), End.TAKEN)
    yield Hostile("png with a profile that is none", written(drawn(), "PNG", icc_profile=b"none" * 99), End.TAKEN)
    yield Hostile("jpeg with a profile that is none", written(drawn(), "JPEG", icc_profile=b"none" * 99), End.TAKEN)


def several() -> Iterator[Hostile]:
    """Animated, or with more than one page."""
    more = [Image.new("RGB", (48, 64), colour) for colour in ("red", "blue", "green")] * 8
    for kind in ("WEBP", "PNG", "TIFF", "MPO"):
        data = written(drawn(), kind, save_all=True, append_images=more)
        yield Hostile(f"{kind.lower()} of several pictures", data, End.EITHER if kind == "MPO" else End.TAKEN)
    data = written(drawn(), "GIF", save_all=True, append_images=more)
    yield Hostile("gif that moves", data, End.REFUSED)


def turned() -> Iterator[Hostile]:
    """Orientations there are and those there are not. Source: EXIF 2.32 section 4.6.4, tag 274."""
    for kind in ("JPEG", "PNG", "WEBP", "TIFF"):
        for value in (0, 1, 6, 8, 9, 255, 65_535):
            exif = Image.Exif()
            exif[ORIENTATION] = value
            yield Hostile(f"{kind.lower()} turned by {value}", written(drawn(), kind, exif=exif), End.TAKEN)
    for name, field in {
        "words": (ORIENTATION, ASCII, 4, 0x36363636),
        "many numbers": (ORIENTATION, SHORT, 60_000, 8),
        "a place outside the file": (ORIENTATION, LONG, 9, 0xFFFFFFF0),
        "an unknown type": (ORIENTATION, 99, 1, 6),
    }.items():
        yield Hostile(f"jpeg turned by {name}", _jpeg_of_directory(tiff([field])))


def going_round() -> Iterator[Hostile]:
    """Directories that lead to themselves, to each other, into the picture, or nowhere."""
    for name, data in _directories().items():
        yield Hostile(f"jpeg with {name}", _jpeg_of_directory(data))
    picture = bytes(24 * 24)
    for name, after in {"itself": 8, "the header": 0, "its middle": 20, "nowhere": 0xFFFFFFF0, "the end": 700}.items():
        data = tiff(grey(24, 24), after, bytes(78)) + picture
        yield Hostile(f"tiff whose next directory is {name}", data)
    for tag in (SUB, EXIF, GPS):
        data = tiff([*grey(24, 24), (tag, LONG, 1, 8)], 0, bytes(66)) + picture
        yield Hostile(f"tiff whose directory {tag:#x} is itself", data)
        data = tiff([*grey(24, 24), (tag, LONG, 40_000, 12)], 0, bytes(66)) + picture
        yield Hostile(f"tiff with forty thousand of {tag:#x}", data)
    two = tiff(grey(24, 24, at=300), 150, bytes(24)) + ifd(grey(24, 24, at=300), 8)
    yield Hostile("tiff of two directories that lead to each other", two.ljust(300, b"\0") + picture)
    yield Hostile("tiff with 65535 fields", b"II*\0\x08\0\0\0\xff\xff" + bytes(100))
    yield Hostile("big tiff", b"II+\0\x08\0\0\0" + struct.pack("<QQ", 16, 2**63) + bytes(100), End.REFUSED)


def _directories() -> dict[str, bytes]:
    deep = b"".join(ifd([(EXIF, LONG, 1, 8 + 18 * (level + 1))]) for level in range(3000))
    return {
        "a directory that is its own": tiff([(EXIF, LONG, 1, 8)]),
        "a directory that follows itself": tiff([(ORIENTATION, SHORT, 1, 6)], 8),
        "places that are the directory": tiff([(GPS, LONG, 1, 8), (ORIENTATION, SHORT, 1, 6)]),
        "a use that is the directory": tiff([(NEXT_OF, LONG, 1, 8), (EXIF, LONG, 1, 8)]),
        "directories three thousand deep": b"II*\0\x08\0\0\0" + deep,
        "65535 fields": b"II*\0\x08\0\0\0\xff\xff" + bytes(200),
        "a directory outside the file": b"II*\0\xf0\xff\xff\xff",
        "a field of four thousand million": tiff([(0x010E, ASCII, 0xFFFFFFFF, 0)]),
    }


def _jpeg_of_directory(data: bytes) -> bytes:
    return jpeg_with(segment(0xE1, b"Exif\0\0" + data))
