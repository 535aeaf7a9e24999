"""Decodes one picture after another in a process of its own, which may die of a hostile file; Pillow reads and writes.

Run as a program it answers on its standard output what comes on its standard input. It imports nothing of the project,
so that it starts quickly and has nothing to lose.
"""

import io
import json
import struct
import sys
import warnings
from collections.abc import Iterator
from dataclasses import dataclass
from typing import IO, Any

from PIL import ExifTags, Image, ImageCms, ImageFile, ImageOps, IptcImagePlugin

FORMATS = ("JPEG", "PNG", "WEBP", "TIFF")
"""The decoders that are let near a file; the rest of what the library can read stays shut."""
HEIC = "HEIF"
"""The decoder of the extra `heic`, let near a file that says it is one, where the extra is there."""
HEIC_BRANDS = frozenset({b"heic", b"heix", b"heim", b"heis", b"mif1", b"msf1"})
"""Source: ISO/IEC 23008-12 annex B, and section 10 for the two that every such file may carry."""
NO_HEIC = "Save it as JPEG, or install the program with its extra heic."
PIXELS_MOST = 40_000_000
SIDE_MOST = 20_000
QUALITY = 90
MEMORY_MOST = 1536 * 1024 * 1024
"""Address space of the process. Forty million pixels with transparency take 0.8 GB of it at the most, as measured."""
CPU_S = 15
"""Time of the processor for one picture. Forty million pixels take two to three seconds, as measured."""
SCANS_MOST = 100
"""Passes over a JPEG. One for each bit of each colour would be 24, so this is four times what any camera writes; each may
cost as much time as the whole picture while it costs the sender a few bytes. Our assumption."""
MEND = "Give a JPEG, PNG, WebP or TIFF file that other programs can open."
SMALLER = "Make it smaller."
DECODE, TELL = b"d", b"t"
"""What is asked for, before the file."""
HEAD = struct.Struct(">Q")
SIZE = struct.Struct(">II")


@dataclass(frozen=True)
class Decoded:
    """The clean copy of a picture. Units: px."""

    jpeg: bytes
    width: int
    height: int


@dataclass(frozen=True)
class Refused:
    """Why a file is not taken, and what would be."""

    problem: str
    mend: str


class RefusedError(Exception):
    """A file is not taken, for a reason of its own."""

    def __init__(self, problem: str, mend: str) -> None:
        super().__init__(problem)
        self.refused = Refused(problem, mend)


def decode(data: bytes) -> Decoded | Refused:
    """The picture upright, in standard colours, as JPEG with no metadata, or why not."""
    try:
        with warnings.catch_warnings():
            # A decoder warns of much that does no harm, such as a phone's sloppy metadata.
            warnings.simplefilter("ignore")
            with Image.open(io.BytesIO(data), formats=_formats(data)) as opened:
                _refuse_size(opened.size)
                _refuse_scans(data)
                picture = _standard_colours(ImageOps.exif_transpose(opened))
        out = io.BytesIO()
        picture.save(out, "JPEG", quality=QUALITY, subsampling=0)
    except RefusedError as error:
        return error.refused
    except MemoryError:
        return Refused("reading it takes more memory than a picture may", SMALLER)
    except Image.DecompressionBombError:
        return Refused(f"it has more than {PIXELS_MOST} pixels", SMALLER)
    except Exception:  # noqa: BLE001 - a hostile file makes a decoder fail in any way it likes
        return Refused("it cannot be read as a picture", MEND)
    return Decoded(out.getvalue(), picture.width, picture.height)


def _formats(data: bytes) -> tuple[str, ...]:
    """The decoders for this file. Source: ISO/IEC 14496-12 section 4.3: a file of that family begins with its brand."""
    if data[4:8] != b"ftyp" or data[8:12] not in HEIC_BRANDS:
        return FORMATS
    try:
        import pillow_heif  # noqa: PLC0415 - an extra, and slow to start
    except ImportError as error:
        raise RefusedError("it is a HEIC file, which this program was not set up to read", NO_HEIC) from error
    pillow_heif.register_heif_opener(thumbnails=False)
    pillow_heif.options.DECODE_THREADS = 1
    return (HEIC,)


def tell(data: bytes) -> list[tuple[str, str]]:
    """What the file says beside its picture: a name of `TOLD` or of `_beside`, and the value as text."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        try:
            with Image.open(io.BytesIO(data), formats=_formats(data)) as opened:
                return [(name, _text(value)) for name, value in (*_exif(opened), *_beside(opened)) if _text(value)]
        except Exception:  # noqa: BLE001 - as above: what cannot be read tells nothing, and says so
            return [("unread", "")]


IFD, GPS = ExifTags.IFD, ExifTags.GPS
TOLD = (
    (0, ExifTags.Base.Make, "make"),
    (0, ExifTags.Base.Model, "model"),
    (0, ExifTags.Base.Software, "software"),
    (0, ExifTags.Base.DateTime, "changed"),
    (0, ExifTags.Base.Artist, "person"),
    (0, ExifTags.Base.Copyright, "person"),
    (0, ExifTags.Base.ImageDescription, "words"),
    (0, ExifTags.Base.HostComputer, "software"),
    (IFD.Exif, ExifTags.Base.DateTimeOriginal, "taken"),
    (IFD.Exif, ExifTags.Base.CameraOwnerName, "person"),
    (IFD.Exif, ExifTags.Base.BodySerialNumber, "serial"),
    (IFD.Exif, ExifTags.Base.LensModel, "lens"),
    (IFD.Exif, ExifTags.Base.LensSerialNumber, "serial"),
    (IFD.Exif, ExifTags.Base.UserComment, "words"),
    (IFD.Exif, ExifTags.Base.MakerNote, "maker"),
)
"""Which tags of which part are told, and as what. Source: CIPA DC-008 (Exif 2.32) section 4.6."""
WORDS_MOST = 300


def _exif(picture: Image.Image) -> Iterator[tuple[str, Any]]:
    exif = picture.getexif()
    for part, tag, name in TOLD:
        found = exif.get_ifd(part) if part else exif
        if tag in found:
            yield name, f"{len(found[tag])} bytes" if name == "maker" else found[tag]
    place = exif.get_ifd(IFD.GPSInfo)
    if place:
        yield "place", _place(place)
        yield "place_when", place.get(GPS.GPSDateStamp, "")
    if exif.get_ifd(IFD.IFD1):
        yield "thumbnail", "+"


def _place(place: dict[int, Any]) -> str:
    """Degrees to five places, north and east positive; a plus where there is something that cannot be read."""
    try:
        sides = []
        for tag, ref, negative in (
            (GPS.GPSLatitude, GPS.GPSLatitudeRef, "S"),
            (GPS.GPSLongitude, GPS.GPSLongitudeRef, "W"),
        ):
            degrees, minutes, seconds = (float(each) for each in place[tag])
            size = degrees + minutes / 60 + seconds / 3600
            sides.append(f"{-size if place.get(ref) == negative else size:.5f}")
        return ", ".join(sides)
    except (KeyError, TypeError, ValueError, ZeroDivisionError):
        return "+"


def _beside(picture: ImageFile.ImageFile) -> Iterator[tuple[str, Any]]:
    """What lies in the file beside the tags of the camera."""
    xmp = picture.info.get("xmp") or picture.info.get("XML:com.adobe.xmp")
    if xmp:
        yield "xmp", f"{len(xmp)} bytes"
    lines = IptcImagePlugin.getiptcinfo(picture) or {}
    if lines:
        yield "iptc", f"{len(lines)} fields"
    profile = picture.info.get("icc_profile")
    if profile:
        yield "profile", ImageCms.getProfileDescription(ImageCms.ImageCmsProfile(io.BytesIO(profile)))
    yield "words", picture.info.get("comment", "")
    for name, value in getattr(picture, "text", {}).items():
        if name != "XML:com.adobe.xmp":
            yield "words", f"{name}: {value}"


def _text(value: object) -> str:
    """One line, no longer than somebody reads."""
    text = value.decode("utf-8", "replace") if isinstance(value, bytes) else str(value)
    line = " ".join("".join(each if each.isprintable() else " " for each in text.replace("\0", "")).split())
    return line if len(line) <= WORDS_MOST else line[:WORDS_MOST] + " …"


def _refuse_size(size: tuple[int, int]) -> None:
    width, height = size
    if max(size) > SIDE_MOST:
        raise RefusedError(f"it is {width} by {height} pixels and {SIDE_MOST} on a side is the most", SMALLER)
    if width * height > PIXELS_MOST:
        raise RefusedError(f"it is {width} by {height} pixels and {PIXELS_MOST} in all is the most", SMALLER)


def _refuse_scans(data: bytes) -> None:
    """Source: ITU-T T.81 section B.1.1.2: within coded data FF is followed by 00, so FF DA begins a scan."""
    if data.startswith(b"\xff\xd8") and data.count(b"\xff\xda") > SCANS_MOST:
        raise RefusedError(f"it is drawn in more than {SCANS_MOST} passes", "Save it anew with another program.")


def _standard_colours(picture: Image.Image) -> Image.Image:
    """RGB on white, converted to sRGB when the picture brings a profile of its own."""
    profile = picture.info.get("icc_profile")
    if picture.mode in ("I", "F"):
        raise RefusedError("it has 32 bits for each pixel's grey", "Save it with 8 or 16 bits, then give it again.")
    if picture.mode.startswith("I;16"):
        picture = _eight_bits(picture)
    if picture.mode in ("RGBA", "LA", "PA") or "transparency" in picture.info:
        ground = Image.new("RGBA", picture.size, "white")
        picture = Image.alpha_composite(ground, picture.convert("RGBA")).convert("RGB")
    if profile and picture.mode in ("RGB", "CMYK", "L"):
        try:
            source = ImageCms.ImageCmsProfile(io.BytesIO(profile))
            converted = ImageCms.profileToProfile(picture, source, ImageCms.createProfile("sRGB"), outputMode="RGB")
        except (ImageCms.PyCMSError, OSError):
            converted = None
        if converted is not None:
            picture = converted
    plain = picture.convert("RGB")
    # What a file brought along, a comment among it, would otherwise be written into the copy.
    plain.info.clear()
    return plain


def _eight_bits(picture: Image.Image) -> Image.Image:
    """A grey of 16 bits as one of 8: the library's own conversion would turn all but the darkest white."""
    picture.info.pop("transparency", None)
    return picture.convert("I").point(lambda grey: grey * (1 / 256)).convert("L")


def pack(answer: Decoded | Refused) -> bytes:
    """An answer as bytes: whether it was decoded, then what there is of it."""
    if isinstance(answer, Decoded):
        return b"+" + SIZE.pack(answer.width, answer.height) + answer.jpeg
    return b"-" + f"{answer.problem}\n{answer.mend}".encode()


def unpack(packed: bytes) -> Decoded | Refused:
    """The answer again."""
    if packed.startswith(b"+"):
        width, height = SIZE.unpack(packed[1 : 1 + SIZE.size])
        return Decoded(packed[1 + SIZE.size :], width, height)
    problem, _, mend = packed[1:].decode().partition("\n")
    return Refused(problem, mend)


def take(stream: IO[bytes]) -> bytes | None:
    """One message: its length and its bytes. None where the other side is gone."""
    head = stream.read(HEAD.size)
    if len(head) < HEAD.size:
        return None
    (length,) = HEAD.unpack(head)
    data = stream.read(length)
    return data if len(data) == length else None


def give(stream: IO[bytes], data: bytes) -> None:
    """Sends one message."""
    stream.write(HEAD.pack(len(data)))
    stream.write(data)
    stream.flush()


def main() -> None:
    """Answers until the other side is gone."""
    limit_memory()
    while (data := take(sys.stdin.buffer)) is not None:
        limit_time()
        asked, file = data[:1], data[1:]
        give(sys.stdout.buffer, json.dumps(tell(file)).encode() if asked == TELL else pack(decode(file)))


def limit_memory() -> None:
    """No more memory than that, where the system can hold a process to it."""
    if sys.platform != "win32":
        import resource  # noqa: PLC0415 - there is none on every system

        resource.setrlimit(resource.RLIMIT_AS, (MEMORY_MOST, MEMORY_MOST))
        resource.setrlimit(resource.RLIMIT_CORE, (0, 0))


def limit_time() -> None:
    """So much more time of the processor than was used so far; then the system ends this process."""
    if sys.platform != "win32":
        import resource  # noqa: PLC0415 - as above

        used = resource.getrusage(resource.RUSAGE_SELF)
        _, hard = resource.getrlimit(resource.RLIMIT_CPU)
        until = int(used.ru_utime + used.ru_stime) + 1 + CPU_S
        resource.setrlimit(resource.RLIMIT_CPU, (until if hard == resource.RLIM_INFINITY else min(until, hard), hard))


if __name__ == "__main__":
    main()
