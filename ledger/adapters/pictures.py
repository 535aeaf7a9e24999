"""Photographs as files named by their SHA-256, original and clean copy; Pillow reads and writes the pictures."""

import hashlib
import io
import os
import secrets
import shutil
import threading
import warnings
from pathlib import Path

from PIL import Image, ImageCms, ImageOps

from ledger.adapters.folders import force_folder, make_folder
from ledger.adapters.small_pictures import SmallPictures
from ledger.errors import NotFoundError
from ledger.events.photograph import Crop
from ledger.ports import KeptPicture
from ledger.proof.report import MalformedError

FORMATS = ("JPEG", "PNG", "WEBP", "TIFF")
"""The decoders that are let near a file; the rest of what the library can read stays shut."""
PIXELS_MOST = 40_000_000
BYTES_MOST = 64 * 1024 * 1024
QUALITY = 90
SIDE_MOST = 20_000
_MEND = "Give a JPEG, PNG, WebP or TIFF file that other programs can open."


class FilePictures:
    """A folder of pictures, each file named by the SHA-256 of its bytes and never written twice.

    Keeps: a file appears under its name only after its bytes were forced to the disk and read back.
    """

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self._small = SmallPictures(folder.with_name(f"{folder.name}-small"))
        self._writing = threading.Lock()

    def keep(self, data: bytes) -> KeptPicture:
        """Original and clean copy on the disk: the copy upright, re-encoded, with no metadata.

        Raises: MalformedError for a file that is no picture or too large.
        """
        clean, width, height = clean_copy(data)
        return KeptPicture(original=self._put(data), clean=self._put(clean), width=width, height=height)

    def read(self, sha256: str) -> bytes:
        """Raises: NotFoundError."""
        try:
            return self._path(sha256).read_bytes()
        except FileNotFoundError as error:
            raise NotFoundError(what="photograph", name=sha256) from error

    def small(self, sha256: str, width: int, part: Crop | None = None) -> bytes:
        """A copy of a clean copy, or of a part of it alone, no wider than this, made once.

        Raises: NotFoundError for a picture that is not there, or is none any more.
        """
        path = self._path(sha256)
        try:
            return self._small.kept(sha256, width, part) or self._small.make(sha256, width, path.read_bytes(), part)
        except OSError as error:
            raise NotFoundError(what="photograph", name=sha256) from error

    def stored(self) -> list[str]:
        """Every name in the folder."""
        return sorted(path.name for path in self.folder.glob("??/*") if not path.name.startswith("."))

    def digest(self, sha256: str) -> str | None:
        """What the file's bytes hash to now; None when there is no file."""
        try:
            with self._path(sha256).open("rb") as file:
                return hashlib.file_digest(file, "sha256").hexdigest()
        except FileNotFoundError:
            return None

    def room(self) -> int | None:
        """Bytes left on the disk of the folder, for somebody who is no superuser."""
        near = next(each for each in (self.folder, *self.folder.parents) if each.exists())
        return shutil.disk_usage(near).free

    def _path(self, sha256: str) -> Path:
        if len(sha256) != hashlib.sha256().digest_size * 2 or not set(sha256) <= set("0123456789abcdef"):
            raise NotFoundError(what="photograph", name=sha256)
        return self.folder / sha256[:2] / sha256

    def _put(self, data: bytes) -> str:
        """The name under which the bytes are kept; of two threads with one picture, the second finds it there."""
        name = hashlib.sha256(data).hexdigest()
        with self._writing:
            if self.digest(name) != name:
                self._write(data, name)
        return name

    def _write(self, data: bytes, name: str) -> None:
        """Temporary name, force to disk, read back, compare, rename, force the folder to disk.

        Keeps: after a failure nothing stands under the final name, for what was forced in vain may be lost unseen.
        """
        path = self._path(name)
        make_folder(path.parent)
        draft = path.parent / f".{secrets.token_hex(8)}"
        try:
            with draft.open("xb") as file:
                file.write(data)
                file.flush()
                os.fsync(file.fileno())
            _need_digest(draft, name)
            _give_name(draft, path)
        finally:
            draft.unlink(missing_ok=True)


def clean_copy(data: bytes) -> tuple[bytes, int, int]:
    """The picture upright, in standard colours, as JPEG with no metadata; with its width and height in pixels.

    Raises: MalformedError.
    """
    if len(data) > BYTES_MOST:
        raise _no_picture(f"it has {len(data)} bytes and {BYTES_MOST} is the most", "Give a smaller file.")
    try:
        with warnings.catch_warnings():
            # A decoder warns of much that does no harm, such as a phone's sloppy metadata.
            warnings.simplefilter("ignore")
            with Image.open(io.BytesIO(data), formats=FORMATS) as opened:
                _refuse_size(opened.size)
                upright = ImageOps.exif_transpose(opened)
                picture = _standard_colours(upright)
    except MalformedError:
        raise
    except Image.DecompressionBombError as error:
        raise _no_picture(f"it has more than {PIXELS_MOST} pixels", "Make it smaller.") from error
    except Exception as error:  # a hostile file makes a decoder fail in any way it likes
        raise _no_picture("it cannot be read as a picture", _MEND) from error
    out = io.BytesIO()
    picture.save(out, "JPEG", quality=QUALITY, subsampling=0)
    return out.getvalue(), picture.width, picture.height


def _need_digest(path: Path, name: str) -> None:
    if hashlib.sha256(path.read_bytes()).hexdigest() != name:
        raise OSError(f"{path} does not hold what was written to it")


def _give_name(draft: Path, path: Path) -> None:
    try:
        draft.replace(path)
        force_folder(path.parent)
    except OSError:
        path.unlink(missing_ok=True)
        raise


def _refuse_size(size: tuple[int, int]) -> None:
    width, height = size
    if max(size) > SIDE_MOST:
        raise _no_picture(f"it is {width} by {height} pixels and {SIDE_MOST} on a side is the most", "Make it smaller.")
    if width * height > PIXELS_MOST:
        raise _no_picture(f"it is {width} by {height} pixels and {PIXELS_MOST} in all is the most", "Make it smaller.")


def _standard_colours(picture: Image.Image) -> Image.Image:
    """RGB on white, converted to sRGB when the picture brings a profile of its own."""
    profile = picture.info.get("icc_profile")
    if picture.mode in ("I", "F"):
        raise _no_picture("it has 32 bits for each pixel's grey", "Save it with 8 or 16 bits, then give it again.")
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


def _no_picture(problem: str, mend: str) -> MalformedError:
    return MalformedError(what="The photograph", problem=problem, mend=mend)
