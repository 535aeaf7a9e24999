"""An archive of a small house, taken apart and put together again in any way a hostile hand could think of."""

import io
import re
import zipfile
from hashlib import sha256
from pathlib import Path

from ledger.archive.layout import MANIFEST, TAG_MANIFEST, TAGS, TOP
from ledger.archive.zip_files import ZipWriter
from ledger.keeping.take_out import take_out_to
from ledger.settings import Settings

PASSPHRASE = "a row of thirteen walnut shelves"

Files = dict[str, bytes]


def archive_of(settings: Settings, path: Path, passphrase: str | None = None) -> Path:
    take_out_to(settings, path, passphrase=passphrase)
    return path


def files_of(path: Path) -> Files:
    """Its files in their order, read by a reader that is not ours."""
    with zipfile.ZipFile(path) as archive:
        return {name.removeprefix(f"{TOP}/"): archive.read(name) for name in archive.namelist()}


def written(files: Files) -> bytes:
    """A zip of these files, in the form in which an archive is written."""
    made = io.BytesIO()
    writer = ZipWriter(made, TOP)
    for name, data in files.items():
        writer.add(name, [data])
    writer.finish()
    return made.getvalue()


def listed_anew(files: Files) -> Files:
    """The same with both lists of checksums made to fit, as somebody would who knows the format."""

    def lines(names: list[str]) -> bytes:
        return "".join(f"{sha256(found[name]).hexdigest()}  {name}\n" for name in sorted(names)).encode()

    found = dict(files)
    payload = [name for name in found if name not in TAGS]
    octets = sum(len(found[name]) for name in payload)
    info = found["bag-info.txt"].decode()
    found["bag-info.txt"] = re.sub(r"Payload-Oxum: .*", f"Payload-Oxum: {octets}.{len(payload)}", info).encode()
    found[MANIFEST] = lines(payload)
    found[TAG_MANIFEST] = lines([name for name in found if name in TAGS and name != TAG_MANIFEST])
    return found


def changed(data: bytes, at: int = -2) -> bytes:
    """One bit of it is another."""
    found = bytearray(data)
    found[at] ^= 1
    return bytes(found)
