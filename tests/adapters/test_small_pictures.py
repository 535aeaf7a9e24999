"""Small copies: of clean copies, made once, no larger than asked for, never of anything else."""

import io
from pathlib import Path

import pytest
from PIL import Image

from ledger.adapters.pictures import FilePictures
from ledger.adapters.small_pictures import small_copy
from ledger.errors import NotFoundError
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
