"""HEIC, an extra: read where it is there, within the same limits; refused with the mend where it is not."""

import hashlib
import io
import sys
from pathlib import Path

import pillow_heif
import pytest
from PIL import Image

from ledger.adapters import picture_decoder
from ledger.adapters.picture_decoder import MEMORY_MOST, NO_HEIC, PIXELS_MOST, Decoded, Refused, decode
from ledger.adapters.pictures import READER, FilePictures
from ledger.proof.report import MalformedError
from tests.hostile import CANARY, drawn
from tests.hostile.telling import telling_exif


def heic(size: tuple[int, int] = (640, 480), **options: object) -> bytes:
    """A file as the library itself writes one."""
    out = io.BytesIO()
    pillow_heif.from_pillow(drawn(size)).save(out, **options)
    return out.getvalue()


@pytest.fixture
def pictures(tmp_path: Path) -> FilePictures:
    return FilePictures(tmp_path / "pictures")


def test_a_heic_file_is_kept_byte_for_byte_with_a_clean_copy(pictures: FilePictures) -> None:
    data = heic(exif=telling_exif().tobytes())
    assert CANARY in data
    kept = pictures.keep(data)
    assert kept.original == hashlib.sha256(data).hexdigest()
    assert (kept.width, kept.height) == (640, 480)
    clean = pictures.read(kept.clean)
    assert CANARY not in clean
    with Image.open(io.BytesIO(clean)) as copy:
        assert (copy.format, copy.size) == ("JPEG", (640, 480))


def test_the_clean_copy_shows_the_same_picture(pictures: FilePictures) -> None:
    out = io.BytesIO()
    pillow_heif.from_pillow(Image.new("RGB", (320, 200), (200, 40, 40))).save(out)
    with Image.open(io.BytesIO(pictures.read(pictures.keep(out.getvalue()).clean))) as copy:
        middle = copy.getpixel((160, 100))
    assert isinstance(middle, tuple)
    # Two lossy codings lie between; our assumption of what nobody sees.
    assert all(abs(got - was) <= 6 for got, was in zip(middle, (200, 40, 40), strict=True))


def test_what_a_heic_file_tells_is_read_apart(pictures: FilePictures) -> None:
    kept = pictures.keep(heic(exif=telling_exif().tobytes()))
    assert ("place", "59.32931, 18.06861") in list(pictures.told(kept.original))


def test_too_many_pixels_are_refused_before_they_are_decoded(pictures: FilePictures) -> None:
    out = io.BytesIO()
    pillow_heif.from_pillow(Image.new("L", (8000, 5200))).save(out, quality=1)
    with pytest.raises(MalformedError, match=f"{PIXELS_MOST} in all is the most"):
        pictures.keep(out.getvalue())


def test_cut_and_changed_files_cost_a_refusal_or_are_taken(pictures: FilePictures) -> None:
    data = heic((96, 64))
    for end in range(8, len(data), len(data) // 12):
        for file in (data[:end], data[:end] + bytes([data[end] ^ 0xFF]) + data[end + 1 :]):
            ended = READER.ask(file)
            assert isinstance(ended, Decoded) or (isinstance(ended, Refused) and ended.mend)
    assert pictures.keep(data).width == 96


@pytest.mark.skipif(sys.platform != "linux", reason="only this system lets one process read the limits of another")
def test_the_decoder_still_has_its_limits_after_a_heic_file(pictures: FilePictures) -> None:
    assert sys.platform == "linux"
    import resource  # noqa: PLC0415 - there is none on every system

    pictures.keep(heic())
    assert READER.pid is not None
    assert resource.prlimit(READER.pid, resource.RLIMIT_AS) == (MEMORY_MOST, MEMORY_MOST)


def test_without_the_extra_the_refusal_says_the_mend(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "pillow_heif", None)
    refused = decode(heic((64, 64)))
    assert isinstance(refused, Refused)
    assert "HEIC" in refused.problem
    assert refused.mend == NO_HEIC


def test_no_other_file_reaches_that_decoder(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "pillow_heif", None)
    avif = b"\x00\x00\x00\x1cftypavif" + bytes(64)
    assert decode(avif) == Refused("it cannot be read as a picture", picture_decoder.MEND)
