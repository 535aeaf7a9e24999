"""Pictures that tell where, by what and by whom they were taken, in every place a file has for it."""

import zlib
from collections.abc import Iterator
from typing import Any

from PIL import Image, ImageCms, PngImagePlugin

from tests.hostile import CANARY, End, Hostile, chunk, drawn, jpeg_with, png_with, segment, written

# Source: EXIF 2.32 (CIPA DC-008), tag numbers in sections 4.6.4 to 4.6.6; the thumbnail's in section 4.6.8.
MAKE, ARTIST, PHOTO, SERIAL, COMMENT, GPS, AREA = 0x010F, 0x013B, 0x8769, 0xA431, 0x9286, 0x8825, 0x1C
WIDE = CANARY.decode().encode("utf-16-le")
XMP = b"<x:xmpmeta xmlns:x='adobe:ns:meta/'><exif:GPSLatitude>" + CANARY + b"</exif:GPSLatitude></x:xmpmeta>"


def files() -> Iterator[Hostile]:
    """All of them; each is taken, and tells nothing when it is shown."""
    for name, data in (*_in_all(), *_in_jpeg(), *_in_png()):
        assert CANARY in data or WIDE in data or b"zTXt" in data or b"iCCP" in data
        yield Hostile(f"telling {name}", data, End.TAKEN)


def telling_exif() -> Image.Exif:
    """Where, by what and by whom, as a telephone writes it."""
    exif, said = Image.Exif(), CANARY.decode()
    exif[MAKE], exif[ARTIST] = said, said
    exif.get_ifd(PHOTO).update({SERIAL: said, COMMENT: WIDE})
    exif.get_ifd(GPS).update({1: "N", 2: (59.0, 19.0, 45.5), 3: "E", 4: (18.0, 4.0, 7.0), AREA: CANARY})
    return exif


def _in_all() -> Iterator[tuple[str, bytes]]:
    for kind in ("JPEG", "PNG", "WEBP", "TIFF"):
        options: dict[str, Any] = {"exif": telling_exif()}
        yield f"{kind.lower()} in EXIF", written(drawn(), kind, **options)
        options["icc_profile"] = _profile()
        yield f"{kind.lower()} in EXIF and a profile", written(drawn(), kind, **options)
    for kind in ("JPEG", "WEBP"):
        yield f"{kind.lower()} in XMP", written(drawn(), kind, xmp=XMP)
    yield "webp that moves, in XMP", written(drawn(), "WEBP", save_all=True, append_images=[drawn()], xmp=XMP)
    yield "tiff in XMP and IPTC", written(drawn(), "TIFF", tiffinfo={700: XMP, 33723: CANARY, 270: CANARY.decode()})


def _in_jpeg() -> Iterator[tuple[str, bytes]]:
    thumbnail = written(drawn((16, 16)), "JPEG", comment=CANARY, exif=telling_exif())
    places = (0xE0, 0xE1, 0xE2, 0xE3, 0xEC, 0xED, 0xEE, 0xEF, 0xFE)
    for marker in places:
        yield f"jpeg in segment {marker:x}", jpeg_with(segment(marker, CANARY))
        yield f"jpeg in wide letters in segment {marker:x}", jpeg_with(segment(marker, WIDE))
    yield "jpeg in its thumbnail", jpeg_with(segment(0xE1, b"Exif\0\0II*\0\x08\0\0\0\0\0" + bytes(4) + thumbnail))
    yield "jpeg in the thumbnail of JFXX", jpeg_with(segment(0xE0, b"JFXX\0\x10" + thumbnail))
    iptc = b"Photoshop 3.0\x008BIM\x04\x04\0\0\0\0" + len(CANARY).to_bytes(2, "big") + CANARY
    yield "jpeg in IPTC", jpeg_with(segment(0xED, iptc))
    long_one = segment(0xE1, b"http://ns.adobe.com/xmp/extension/\0" + b"a" * 40 + CANARY)
    yield "jpeg in a continued XMP", jpeg_with(long_one, long_one)
    yield "jpeg in a giant EXIF", jpeg_with(*[segment(0xE1, b"Exif\0\0" + CANARY * 2300)] * 200)


def _in_png() -> Iterator[tuple[str, bytes]]:
    words = PngImagePlugin.PngInfo()
    words.add_text("Author", CANARY.decode())
    words.add_itxt("XML:com.adobe.xmp", XMP.decode())
    yield "png in its words", written(drawn(), "PNG", pnginfo=words)
    packed = b"Author\0\0" + zlib.compress(CANARY * 9)
    yield "png in packed words", png_with(chunk(b"zTXt", packed))
    yield "png in the name of its profile", png_with(chunk(b"iCCP", CANARY + b"\0\0" + zlib.compress(_profile())))
    yield (
        "png in words behind the picture",
        written(drawn(), "PNG")[:-12] + chunk(b"tEXt", b"Place\0" + CANARY) + chunk(b"IEND", b""),
    )
    yield "png in a time and a private chunk", png_with(chunk(b"prVt", CANARY), chunk(b"tIME", b"\x07\xea\1\2\3\4\5"))


def _profile() -> bytes:
    """A sound profile that has something to tell in its spare bytes."""
    return ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes() + CANARY
