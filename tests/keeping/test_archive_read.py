"""What lies beside the ledger is read from an archive by the words of ARCHIVE.md, with nothing but the standard library."""

import json
import zlib
from base64 import b64decode
from hashlib import sha256
from pathlib import Path
from typing import Any

from ledger.bootstrap import OWNER
from ledger.usecases.light import ClassSaid, set_light_class
from ledger.usecases.wants import WantSaid, keep_want
from tests.keeping.archived import Files, archive_of, files_of
from tests.keeping.conftest import House, buy
from tests.usecases.test_climate import TWO, taken

PAGE = (Path(__file__).parents[2] / "ledger" / "archive" / "ARCHIVE.md").read_text("utf-8")


def rows(files: Files, table: str) -> dict[str, dict[str, Any]]:
    """What each row says, by its id."""
    found = (json.loads(line) for line in files[f"data/tables/{table}.jsonl"].splitlines())
    return {row["id"]: json.loads(row["data"]) for row in found}


def test_a_loggers_file_and_its_readings_can_be_read(plain_house: House) -> None:
    with plain_house.opened() as ledger:
        taken(ledger)
    files = files_of(archive_of(plain_house.settings, plain_house.around / "all.zip"))
    climate, parts = rows(files, "climate"), rows(files, "climate_part")
    digest = sha256(TWO).hexdigest()
    assert zlib.decompress(b64decode(climate[digest]["zlib"])) == TWO
    channel = climate[f"{digest}.01cy"]
    assert set(parts) == {f"{digest}.01cy/{month}" for month in channel["months"]}
    assert len(parts[f"{digest}.01cy/2026-01"]["seconds"]) == len(parts[f"{digest}.01cy/2026-01"]["celsius"])
    told = {name for row in (*climate.values(), *parts.values()) for name in row}
    assert [each for each in told if f"`{each}`" not in PAGE] == []


def test_what_is_said_of_a_book_and_what_is_wanted_can_be_read(plain_house: House) -> None:
    with plain_house.opened() as ledger:
        book = buy(ledger)
        set_light_class(ledger, OWNER, book, ClassSaid(light_class="medium", why="Coated stock"))
        want = keep_want(ledger, OWNER, WantSaid(title="Harbor Lamp", number="2", note="With its poster."))
    care = rows(files_of(archive_of(plain_house.settings, plain_house.around / "all.zip")), "care")
    assert (care[book]["light_class"], care[book]["why"]) == ("medium", "Coated stock")
    assert (care[f"want/{want.id}"]["title"], care[f"want/{want.id}"]["note"]) == ("Harbor Lamp", "With its poster.")
    assert [each for row in care.values() for each in row if f"`{each}`" not in PAGE] == []
