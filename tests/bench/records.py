"""A record of 50 entries and 20 photographs as a bag, beside zipping the same files without deflating them.

The photographs are of the size that a phone's are after intake: clean copies, which are there since then. Ours chooses,
writes the entry and the checkpoint, holds each photograph against its digest, keeps the record, and writes the bag; the
reference reads the files of that bag and zips them. Both begin with a quiet disk and files that were read before, store
and do not deflate, and end when their zip was forced to the disk.
"""

import io
import os
import shutil
import tempfile
import zipfile
from collections.abc import Iterator
from pathlib import Path
from time import perf_counter
from typing import Final

from PIL import Image

from ledger.actor import Actor
from ledger.bootstrap import open_ledger
from ledger.events.note import Note
from ledger.ports import Ledger
from ledger.proof.zipped import read_zip
from ledger.sealed import Sealed
from ledger.settings import Settings
from ledger.usecases.choose import Wish
from ledger.usecases.hand_on import Form, given_parts, made_now
from ledger.usecases.photograph import Shot, photograph
from ledger.usecases.record import Draft, record
from tests.bench.measuring import Ratio
from tests.builders import a_purchase

ENTRIES: Final = 50
PHOTOGRAPHS: Final = 20
ROUNDS: Final = 9
SIDE: Final = (1500, 2200)
"""Units: px."""
_BY: Final = Actor(id="owner")


def ratios() -> Iterator[Ratio]:
    """Units: s, the best of each; the PDF is apart."""
    with (
        tempfile.TemporaryDirectory() as place,
        open_ledger(Settings(folder=f"{place}/data", keys=f"{place}/keys")) as ledger,
    ):
        book = _a_book(ledger)
        ours, theirs = [], []
        for number in range(ROUNDS):
            os.sync()
            start = perf_counter()
            made = made_now(ledger, _BY, book, Wish())
            parts = given_parts(ledger, made, Form.BAG)
            with (Path(place) / "ours.zip").open("xb") as out:
                out.writelines(parts)
                out.flush()
                os.fsync(out.fileno())
            ours.append(perf_counter() - start)
            (Path(place) / "ours.zip").unlink()
            theirs.append(_zipped(read_zip(b"".join(parts)), Path(place) / f"theirs {number}"))
        yield Ratio(
            what=f"a record of {ENTRIES} entries and {PHOTOGRAPHS} photographs as a bag",
            ours=min(ours),
            reference="zipping the same files, stored",
            theirs=min(theirs),
            unit="s",
            goal=1.5,
        )


def _zipped(files: dict[str, bytes], folder: Path) -> float:
    """The files from a disk into a zip on it, forced there, as a bare program does it."""
    for name, data in files.items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_bytes(data)
    os.sync()
    start = perf_counter()
    with (folder / "theirs.zip").open("xb") as out:
        with zipfile.ZipFile(out, "w", zipfile.ZIP_STORED) as archive:
            for name in files:
                archive.write(folder / name, name)
        out.flush()
        os.fsync(out.fileno())
    taken = perf_counter() - start
    shutil.rmtree(folder)
    return taken


def _a_book(ledger: Ledger) -> str:
    book = str(record(ledger, _BY, [Draft(event=a_purchase(), new_book=True)]).entries[0].book)
    shots = [Shot(data=_a_photograph(number), said={}) for number in range(PHOTOGRAPHS)]
    photograph(ledger, _BY, book, shots)
    more = ENTRIES - PHOTOGRAPHS - 2
    record(ledger, _BY, [Draft(event=Note(words=Sealed.of(f"note {each}")), book=book) for each in range(more)])
    return book


def _a_photograph(number: int) -> bytes:
    """Noise on a colour, so that it is as large as a photograph."""
    noise = Image.effect_noise(SIDE, 40 + number).convert("RGB")
    out = io.BytesIO()
    Image.blend(noise, Image.new("RGB", SIDE, (number * 9, 90, 120)), 0.5).save(out, "JPEG", quality=88)
    return out.getvalue()
