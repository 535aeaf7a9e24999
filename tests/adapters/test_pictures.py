"""The clean copy of a photograph: upright, in plain colours, with nothing of where, when and by what it was taken."""

import io
from typing import Any, Literal
from zlib import crc32

import pytest
from PIL import Image, ImageCms, PngImagePlugin

from ledger.adapters.pictures import BYTES_MOST, PIXELS_MOST, SIDE_MOST, clean_copy
from ledger.proof.report import MalformedError
from tests.pictures import a_picture

CANARY = "Quillfeather-59.3293-18.0686"
FORMATS = ["JPEG", "PNG", "WEBP", "TIFF"]

# Source: EXIF 2.32 (CIPA DC-008), tag numbers in sections 4.6.4 to 4.6.6.
MAKE, ORIENTATION, DESCRIPTION, GPS, LATITUDE_REF, LATITUDE, AREA = 0x010F, 0x0112, 0x010E, 0x8825, 1, 2, 0x1C
PHOTO, SERIAL, COMMENT = 0x8769, 0xA431, 0x9286


def encoded(picture: Image.Image, kind: str, **options: Any) -> bytes:
    out = io.BytesIO()
    picture.save(out, kind, **options)
    return out.getvalue()


def opened(data: bytes) -> Image.Image:
    picture = Image.open(io.BytesIO(data))
    picture.load()
    return picture


def near(pixel: object, expected: tuple[int, int, int], by: int = 12) -> bool:
    """JPEG is not exact."""
    assert isinstance(pixel, tuple)
    return all(abs(here - there) <= by for here, there in zip(pixel, expected, strict=True))


def refusal(data: bytes) -> MalformedError:
    with pytest.raises(MalformedError) as caught:
        clean_copy(data)
    assert caught.value.what == "The photograph"
    assert caught.value.mend
    return caught.value


def telling_exif() -> Image.Exif:
    """Where, by what and by whom a picture was taken, as a telephone writes it."""
    exif = Image.Exif()
    exif[MAKE] = f"maker {CANARY}"
    exif[DESCRIPTION] = f"words {CANARY}"
    exif.get_ifd(GPS).update({LATITUDE_REF: "N", LATITUDE: (59.0, 19.0, 45.5), AREA: CANARY.encode()})
    exif.get_ifd(PHOTO).update({SERIAL: f"serial {CANARY}", COMMENT: CANARY.encode()})
    return exif


@pytest.mark.parametrize("kind", FORMATS)
def test_nothing_of_place_device_or_person_is_left(kind: str) -> None:
    options: dict[str, Any] = {"exif": telling_exif()}
    if kind == "JPEG":
        options |= {"comment": CANARY.encode(), "xmp": f"<x:xmpmeta>{CANARY}</x:xmpmeta>".encode()}
    if kind == "PNG":
        words = PngImagePlugin.PngInfo()
        words.add_text("Author", CANARY)
        words.add_itxt("XML:com.adobe.xmp", CANARY)
        options |= {"pnginfo": words}
    data = encoded(Image.new("RGB", (24, 36), "teal"), kind, **options)
    assert CANARY.encode() in data
    clean, width, height = clean_copy(data)
    assert CANARY.encode() not in clean
    found = opened(clean)
    assert (found.format, found.mode, found.size) == ("JPEG", "RGB", (24, 36)) == ("JPEG", "RGB", (width, height))
    assert dict(found.getexif()) == {}
    assert set(found.info) <= {"jfif", "jfif_version", "jfif_unit", "jfif_density"}
    # Every segment of the file. Source: ITU-T T.81 table B.1: no application segment but APP0, and no comment.
    assert {marker for marker in markers(clean) if 0xE1 <= marker <= 0xEF or marker == 0xFE} == set()


def markers(data: bytes) -> list[int]:
    """The segments of a JPEG file up to its picture. Source: ITU-T T.81 section B.1.1."""
    found, at = [], 2
    while data[at + 1] != 0xDA:
        found.append(data[at + 1])
        at += 2 + int.from_bytes(data[at + 2 : at + 4], "big")
    return found


# Where the corner that is the upper left of the scene is stored. Source: EXIF 2.32 section 4.6.4, tag 274, Orientation:
# row 0 and column 0 of the file, as sides of the scene.
TURNED = {
    1: ("top", "left"),
    2: ("top", "right"),
    3: ("bottom", "right"),
    4: ("bottom", "left"),
    5: ("left", "top"),
    6: ("right", "top"),
    7: ("right", "bottom"),
    8: ("left", "bottom"),
}


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP", "TIFF"])
@pytest.mark.parametrize("orientation", TURNED)
def test_it_stands_upright_however_the_camera_was_held(orientation: int, kind: str) -> None:
    row, column = TURNED[orientation]
    sides = {"top", "left", "bottom", "right"}
    assert {row, column} <= sides
    # The scene is 40 wide and 60 high with a red upper left corner; it is stored as the camera lay.
    on_its_side = row in ("left", "right")
    stored = Image.new("RGB", (60, 40) if on_its_side else (40, 60), "white")
    # Row 0 of the file is the `row` side of the scene: is the scene's top left at the beginning of the rows?
    vertical, horizontal = (column, row) if on_its_side else (row, column)
    first_row = (horizontal == "left") if on_its_side else (vertical == "top")
    first_column = (vertical == "top") if on_its_side else (horizontal == "left")
    width, height = stored.size
    corner = (0 if first_column else width - 16, 0 if first_row else height - 16)
    stored.paste("red", (*corner, corner[0] + 16, corner[1] + 16))
    exif = Image.Exif()
    exif[ORIENTATION] = orientation
    clean, width, height = clean_copy(encoded(stored, kind, exif=exif))
    found = opened(clean)
    assert (width, height) == found.size == (40, 60)
    assert near(found.getpixel((4, 4)), (255, 0, 0), 40)
    for place in ((35, 4), (4, 55), (35, 55)):
        assert near(found.getpixel(place), (255, 255, 255), 40), place


@pytest.mark.parametrize("kind", ["PNG", "TIFF"])
@pytest.mark.parametrize("mode", ["I;16", "I;16B"])
def test_a_grey_scan_of_sixteen_bits_keeps_its_greys(kind: str, mode: str) -> None:
    if (kind, mode) == ("PNG", "I;16B"):
        mode = "I;16"  # a PNG file has but one order of bytes
    order: Literal["big", "little"] = "big" if mode.endswith("B") else "little"
    row = b"".join((0x4000 * step).to_bytes(2, order) * 10 for step in range(4))
    scan = Image.frombytes(mode, (40, 10), row * 10)
    found = opened(clean_copy(encoded(scan, kind))[0])
    for step in range(4):
        grey = 0x40 * step
        assert near(found.getpixel((10 * step + 5, 5)), (grey, grey, grey)), step


@pytest.mark.parametrize("mode", ["I", "F"])
def test_a_file_with_more_bits_than_a_camera_has_is_refused(mode: str) -> None:
    error = refusal(encoded(Image.new(mode, (8, 8), 70_000), "TIFF"))
    assert error.problem == "it has 32 bits for each pixel's grey"


def test_four_inks_become_three_colours() -> None:
    for kind in ("JPEG", "TIFF"):
        found = opened(clean_copy(encoded(Image.new("CMYK", (16, 16), (0, 255, 255, 0)), kind))[0])
        assert near(found.getpixel((8, 8)), (255, 0, 0), 30)


@pytest.mark.parametrize(("mode", "ink"), [("RGBA", (0, 0, 255, 0)), ("LA", (0, 0))])
@pytest.mark.parametrize("kind", ["PNG", "WEBP", "TIFF"])
def test_what_is_transparent_lies_on_white(mode: str, ink: tuple[int, ...], kind: str) -> None:
    found = opened(clean_copy(encoded(Image.new(mode, (16, 16), ink), kind))[0])
    assert near(found.getpixel((8, 8)), (255, 255, 255))


def test_a_palette_is_looked_up_and_its_transparent_colour_lies_on_white() -> None:
    picture = Image.new("P", (16, 16), 0)
    picture.putpalette([200, 30, 30, 0, 0, 255])
    assert near(opened(clean_copy(encoded(picture, "PNG"))[0]).getpixel((8, 8)), (200, 30, 30), 30)
    clear = encoded(picture, "PNG", transparency=0)
    assert near(opened(clean_copy(clear)[0]).getpixel((8, 8)), (255, 255, 255))
    several = encoded(picture, "PNG", transparency=bytes([0, 255]))
    assert near(opened(clean_copy(several)[0]).getpixel((8, 8)), (255, 255, 255))


def test_one_bit_and_one_grey_become_three_colours() -> None:
    assert near(opened(clean_copy(encoded(Image.new("1", (16, 16), 1), "TIFF"))[0]).getpixel((8, 8)), (255,) * 3)
    assert near(opened(clean_copy(encoded(Image.new("L", (16, 16), 90), "JPEG"))[0]).getpixel((8, 8)), (90,) * 3)


def test_colours_of_a_profile_of_its_own_become_those_of_every_screen() -> None:
    # In this profile red and blue are exchanged, so that a copy that forgot it would be seen at once.
    swapped = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    red, blue = swapped.index(b"rXYZ"), swapped.index(b"bXYZ")
    swapped = b"".join((swapped[:red], b"bXYZ", swapped[red + 4 : blue], b"rXYZ", swapped[blue + 4 :]))
    found = opened(clean_copy(encoded(Image.new("RGB", (16, 16), "red"), "PNG", icc_profile=swapped))[0])
    assert near(found.getpixel((8, 8)), (0, 0, 255), 30)
    assert "icc_profile" not in found.info


def test_a_profile_that_is_none_is_left_aside() -> None:
    data = encoded(Image.new("RGB", (16, 16), "red"), "PNG", icc_profile=b"no profile" * 20)
    assert near(opened(clean_copy(data)[0]).getpixel((8, 8)), (255, 0, 0), 30)


def test_a_picture_with_sloppy_metadata_is_still_a_picture() -> None:
    exif = b"Exif\0\0II*\0\x08\0\0\0\x01\0\x0e\x01\x02\0\xff\xff\0\0\xff\xff\0\0"
    clean, *_ = clean_copy(encoded(Image.new("RGB", (16, 16), "red"), "JPEG", exif=exif))
    assert near(opened(clean).getpixel((8, 8)), (255, 0, 0), 30)


@pytest.mark.parametrize(
    "data",
    [
        b"",
        b"\xff\xd8",
        b"not a picture at all",
        b'<svg xmlns="http://www.w3.org/2000/svg"><script>alert(1)</script></svg>',
        b"<!doctype html><script>alert(1)</script>",
        b"%PDF-1.7\n",
        b"GIF89a" + bytes(40),
        b"PK\x03\x04" + bytes(40),
    ],
    ids=["nothing", "two bytes", "words", "SVG", "HTML", "PDF", "GIF", "archive"],
)
def test_what_is_no_picture_is_refused_whatever_its_name_says(data: bytes) -> None:
    assert refusal(data).problem == "it cannot be read as a picture"


@pytest.mark.parametrize("kind", ["GIF", "BMP", "PPM", "TGA", "ICO", "PCX", "SGI", "JPEG2000", "PDF", "EPS"])
def test_a_format_that_is_not_asked_for_is_not_even_tried(kind: str) -> None:
    assert refusal(encoded(Image.new("RGB", (16, 16), "red"), kind)).problem == "it cannot be read as a picture"


@pytest.mark.parametrize("kind", FORMATS)
@pytest.mark.parametrize("share", [0.3, 0.6, 0.95])
def test_a_picture_that_was_cut_off_is_refused(kind: str, share: float) -> None:
    data = encoded(Image.effect_noise((200, 300), 90).convert("RGB"), kind)
    assert refusal(data[: int(len(data) * share)]).problem == "it cannot be read as a picture"


def test_what_hides_behind_a_picture_is_not_in_its_copy() -> None:
    page = b"<script>alert(1)</script><!-- " + CANARY.encode() + b" -->"
    for kind in ("JPEG", "PNG", "WEBP"):
        clean, *_ = clean_copy(a_picture(kind=kind) + page)
        assert page not in clean
        assert clean.startswith(b"\xff\xd8\xff")
        assert clean.endswith(b"\xff\xd9")
    # A JPEG comment early in the file is where a browser would look for a page.
    hidden, *_ = clean_copy(encoded(Image.new("RGB", (16, 16)), "JPEG", comment=page))
    assert b"script" not in hidden


def png_of(width: int, height: int) -> bytes:
    """A small file that says it is a large picture, with the checksum that belongs to it. Source: PNG (ISO/IEC 15948)."""
    small = bytearray(encoded(Image.new("1", (8, 8)), "PNG"))
    small[16:24] = width.to_bytes(4, "big") + height.to_bytes(4, "big")
    small[29:33] = crc32(small[12:29]).to_bytes(4, "big")
    return bytes(small)


@pytest.mark.parametrize(
    ("width", "height", "problem"),
    [
        (6400, 6251, f"it is 6400 by 6251 pixels and {PIXELS_MOST} in all is the most"),
        (SIDE_MOST + 1, 1, f"it is {SIDE_MOST + 1} by 1 pixels and {SIDE_MOST} on a side is the most"),
        (1, SIDE_MOST + 1, f"it is 1 by {SIDE_MOST + 1} pixels and {SIDE_MOST} on a side is the most"),
        (20_000, 20_000, f"it has more than {PIXELS_MOST} pixels"),
        (2**31 - 1, 2**31 - 1, f"it has more than {PIXELS_MOST} pixels"),
    ],
)
def test_a_picture_that_would_fill_the_memory_is_refused_before_it_is_unpacked(
    width: int, height: int, problem: str
) -> None:
    data = png_of(width, height)
    assert len(data) < 200
    assert refusal(data).problem == problem


@pytest.mark.long
def test_a_picture_of_forty_megapixels_is_still_taken() -> None:
    data = encoded(Image.new("1", (8000, 5000), 1), "PNG")
    assert clean_copy(data)[1:] == (8000, 5000)


def test_a_file_of_too_many_bytes_is_refused_without_a_look() -> None:
    error = refusal(a_picture() + bytes(BYTES_MOST))
    assert error.problem.endswith(f"bytes and {BYTES_MOST} is the most")


def test_of_several_pictures_in_one_file_the_first_is_taken() -> None:
    first, second = Image.new("RGB", (16, 16), "red"), Image.new("RGB", (16, 16), "blue")
    for kind in ("TIFF", "WEBP", "PNG"):
        data = encoded(first, kind, save_all=True, append_images=[second])
        assert near(opened(clean_copy(data)[0]).getpixel((8, 8)), (255, 0, 0), 30)
