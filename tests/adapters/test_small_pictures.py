"""Small copies: of clean copies, made once, no larger than asked for, never of anything else."""

import io
from pathlib import Path

import pytest
from PIL import Image

from ledger.adapters.pictures import FilePictures
from ledger.adapters.small_pictures import small_copy
from ledger.errors import NotFoundError
from ledger.events.photograph import Crop
from tests.pictures import a_picture


@pytest.fixture
def pictures(tmp_path: Path) -> FilePictures:
    return FilePictures(tmp_path / "pictures")


def opened(data: bytes) -> Image.Image:
    picture = Image.open(io.BytesIO(data))
    picture.load()
    return picture


@pytest.mark.parametrize(("width", "size"), [(160, (160, 240)), (480, (480, 720)), (1200, (800, 1200))])
def test_a_copy_is_as_wide_as_asked_for_and_as_high_as_it_then_is(
    pictures: FilePictures, width: int, size: tuple[int, int]
) -> None:
    kept = pictures.keep(a_picture("teal", (800, 1200)))
    small = opened(pictures.small(kept.clean, width))
    assert (small.format, small.size) == ("JPEG", size)
    red, green, blue = small.convert("RGB").getpixel((5, 5))  # type: ignore[misc]  # an RGB picture has three
    assert (abs(red), abs(green - 128), abs(blue - 128)) < (4, 4, 4)


def test_a_picture_that_is_no_wider_is_given_as_it_is(pictures: FilePictures) -> None:
    kept = pictures.keep(a_picture(size=(160, 900)))
    assert pictures.small(kept.clean, 160) == pictures.read(kept.clean)


def test_a_copy_is_made_once_and_made_again_when_it_was_thrown_away(pictures: FilePictures, tmp_path: Path) -> None:
    kept = pictures.keep(a_picture(size=(400, 600)))
    first = pictures.small(kept.clean, 160)
    (made,) = [path for path in (tmp_path / "pictures-small").rglob("*") if path.is_file()]
    assert made == tmp_path / "pictures-small" / "160" / kept.clean[:2] / kept.clean
    made.write_bytes(b"as it was kept")
    assert pictures.small(kept.clean, 160) == b"as it was kept"
    made.unlink()
    assert pictures.small(kept.clean, 160) == first


def test_small_copies_lie_beside_the_photographs_and_not_among_them(pictures: FilePictures) -> None:
    kept = pictures.keep(a_picture(size=(400, 600)))
    pictures.small(kept.clean, 160)
    assert pictures.stored() == sorted({kept.original, kept.clean})


def test_a_copy_that_could_not_be_written_leaves_nothing(
    pictures: FilePictures, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    kept = pictures.keep(a_picture(size=(400, 600)))

    def full(self: Path, data: bytes) -> int:
        self.touch()
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(Path, "write_bytes", full)
    with pytest.raises(NotFoundError):
        pictures.small(kept.clean, 160)
    assert [path for path in (tmp_path / "pictures-small").rglob("*") if path.is_file()] == []


@pytest.mark.parametrize("name", ["a" * 64, "..", "../../etc/passwd", "", "A" * 64, "a" * 63 + "/"])
def test_what_is_no_picture_of_this_folder_has_no_copy(pictures: FilePictures, name: str) -> None:
    with pytest.raises(NotFoundError) as refused:
        pictures.small(name, 160)
    assert (refused.value.what, refused.value.name) == ("photograph", name)


def test_a_file_that_is_no_picture_any_more_has_no_copy(pictures: FilePictures, tmp_path: Path) -> None:
    kept = pictures.keep(a_picture(size=(400, 600)))
    (tmp_path / "pictures" / kept.clean[:2] / kept.clean).write_bytes(b"\xff\xd8\xff\xe0 cut off")
    with pytest.raises(NotFoundError):
        pictures.small(kept.clean, 160)


def test_only_a_clean_copy_is_made_smaller() -> None:
    # A clean copy is a JPEG; what another decoder would read is not given to one.
    with pytest.raises(OSError, match="cannot identify"):
        small_copy(a_picture(size=(400, 600), kind="PNG"), 160)


# --- a part of a group picture ----------------------------------------------------------------------------------------


def a_group(size: tuple[int, int] = (1000, 500)) -> bytes:
    """Four books that touch: red and blue above, green and yellow below."""
    picture = Image.new("RGB", size)
    wide, high = size[0] // 2, size[1] // 2
    for place, colour in enumerate(("red", "blue", "green", "yellow")):
        picture.paste(colour, (place % 2 * wide, place // 2 * high, (place % 2 + 1) * wide, (place // 2 + 1) * high))
    out = io.BytesIO()
    picture.save(out, "PNG")
    return out.getvalue()


def a_part(x: int, y: int, width: int, height: int) -> Crop:
    return Crop(x_percent=x, y_percent=y, width_percent=width, height_percent=height)


def colours(picture: Image.Image) -> set[str]:
    """What is seen in it, by the strongest of red, green and blue; an edge between two blocks may be one step off."""
    named = {(1, 0, 0): "red", (0, 0, 1): "blue", (0, 1, 0): "green", (1, 1, 0): "yellow"}
    pixels = picture.convert("RGB").reduce(4).tobytes()
    return {named[tuple(int(each > 90) for each in pixels[at : at + 3])] for at in range(0, len(pixels), 3)}  # type: ignore[index]


@pytest.mark.parametrize("width", [160, 480, 1200])
@pytest.mark.parametrize(
    ("part", "seen"),
    [
        (a_part(0, 0, 50, 50), {"red"}),
        (a_part(50, 0, 50, 50), {"blue"}),
        (a_part(52, 55, 45, 40), {"yellow"}),
        (a_part(0, 50, 100, 50), {"green", "yellow"}),
    ],
)
def test_a_part_shows_one_book_and_nothing_of_the_others(
    pictures: FilePictures, part: Crop, seen: set[str], width: int
) -> None:
    kept = pictures.keep(a_group())
    small = opened(pictures.small(kept.clean, width, part))
    assert colours(small) == seen
    whole = (10 * part.width_percent, 5 * part.height_percent)
    assert small.width == min(width, whole[0])
    # Its edges may lie one pixel further in, as the decoder gives it: half as large as the whole, or less.
    assert abs(small.height - small.width * whole[1] / whole[0]) <= 2


def test_no_pixel_outside_of_a_part_is_in_its_copy(pictures: FilePictures) -> None:
    # 37 pixels do not divide by 100: the part from 50 % on begins with the first pixel that lies in it wholly, the 20th.
    kept = pictures.keep(a_picture(size=(37, 53)))
    assert opened(pictures.small(kept.clean, 160, a_part(50, 50, 50, 50))).size == (37 - 19, 53 - 27)
    assert opened(pictures.small(kept.clean, 160, a_part(0, 0, 50, 50))).size == (18, 26)


def test_a_part_is_one_pixel_at_least(pictures: FilePictures) -> None:
    kept = pictures.keep(a_picture(size=(30, 20)))
    for part in (a_part(99, 99, 1, 1), a_part(0, 0, 1, 1), a_part(50, 50, 1, 1)):
        assert opened(pictures.small(kept.clean, 160, part)).size == (1, 1)


def test_each_part_has_a_copy_of_its_own_and_it_is_made_once(pictures: FilePictures, tmp_path: Path) -> None:
    kept = pictures.keep(a_group())
    left, right = a_part(0, 0, 50, 100), a_part(50, 0, 50, 100)
    first = pictures.small(kept.clean, 160, left)
    assert pictures.small(kept.clean, 160, right) != first
    assert pictures.small(kept.clean, 160) != first
    made = [path for path in (tmp_path / "pictures-small").rglob("*") if path.is_file()]
    assert len(made) == 3
    (tmp_path / "pictures" / kept.clean[:2] / kept.clean).write_bytes(b"\xff\xd8\xff\xe0 cut off")
    assert pictures.small(kept.clean, 160, left) == first
    with pytest.raises(NotFoundError):
        pictures.small(kept.clean, 480, left)
