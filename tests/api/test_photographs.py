"""Photographs for programs: sent as they are, one file however often, and shown as the clean copy alone."""

import hashlib
import io
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from PIL import Image

from api.raw_bodies import PICTURE_TYPES
from ledger.actor import Permission
from ledger.adapters.pictures import FilePictures
from ledger.arriving import PICTURE_MOST
from ledger.ports import Ledger
from ledger.usecases.found import found
from tests.api.door import OWNER, Door, door_to, problem
from tests.check import check_ledger
from tests.hostile import CANARY, drawn, written
from tests.hostile.telling import telling_exif
from tests.pictures import a_picture


@pytest.fixture
def files_door(ledger: Ledger, tmp_path: Path) -> Iterator[Door]:
    """On SQLite, with photographs as files."""
    on_disk = replace(ledger, pictures=FilePictures(tmp_path / "pictures"))
    found(on_disk, OWNER)
    yield door_to(on_disk, set(Permission))
    check_ledger(on_disk)


def sent(door: Door, data: bytes, kind: str = "image/png", **headers: str) -> dict[str, object]:
    answer = door.post("/photographs", data, Content_Type=kind, **headers)
    assert answer.status_code in {200, 201}, answer.text
    kept = answer.json()
    assert isinstance(kept, dict)
    assert kept["was_here"] == (answer.status_code == 200)
    return kept


def shown_by(door: Door, kept: dict[str, object]) -> int:
    names = ("original", "clean", "width_px", "height_px")
    return door.an_event(door.a_book(), "photograph", face="front", **{name: kept[name] for name in names})


def test_a_photograph_is_sent_recorded_and_fetched_as_its_clean_copy(files_door: Door) -> None:
    data = written(drawn((1600, 900)), "JPEG", exif=telling_exif())
    kept = sent(files_door, data, "image/jpeg")
    assert kept["original"] == hashlib.sha256(data).hexdigest()
    assert (kept["width_px"], kept["height_px"], kept["was_here"]) == (1600, 900, False)
    shown_by(files_door, kept)
    whole = files_door.get(f"/photographs/{kept['clean']}")
    assert whole.headers["content-type"] == "image/jpeg"
    assert hashlib.sha256(whole.content).hexdigest() == kept["clean"]
    for size in (160, 480, 1200):
        small = files_door.get(f"/photographs/{kept['clean']}?size={size}").content
        assert Image.open(io.BytesIO(small)).size[0] == size
        assert CANARY not in small
    assert CANARY in data
    assert CANARY not in whole.content


def test_the_same_file_twice_is_one_file_and_says_so(files_door: Door) -> None:
    first = sent(files_door, a_picture())
    before = files_door.ledger.pictures.stored()
    again = sent(files_door, a_picture())
    assert (first["was_here"], again["was_here"]) == (False, True)
    assert {**first, "was_here": True} == again
    assert files_door.ledger.pictures.stored() == before


def test_an_original_is_never_fetched_and_a_clean_copy_only_once_an_entry_names_it(files_door: Door) -> None:
    kept = sent(files_door, a_picture())
    problem(files_door.get(f"/photographs/{kept['clean']}"), 404)
    shown_by(files_door, kept)
    assert files_door.get(f"/photographs/{kept['clean']}").status_code == 200
    problem(files_door.get(f"/photographs/{kept['original']}"), 404)
    problem(files_door.get(f"/photographs/{kept['clean']}?size=161"), 400)


@pytest.mark.parametrize("kind", ["application/json", "text/html", "image/svg+xml", "image/gif", ""])
def test_a_body_that_is_not_said_to_be_a_picture_is_refused_with_what_is_taken(files_door: Door, kind: str) -> None:
    refused = problem(files_door.post("/photographs", a_picture(), Content_Type=kind), 415)
    assert all(each in str(refused) for each in PICTURE_TYPES)


def test_what_only_claims_to_be_a_picture_is_refused_and_leaves_nothing(files_door: Door) -> None:
    before = files_door.ledger.pictures.stored()
    for data in (b"", b"<svg onload='x'/>", b"%PDF-1.7", a_picture()[:40]):
        problem(files_door.post("/photographs", data, Content_Type="image/jpeg"), 400)
    assert files_door.ledger.pictures.stored() == before


def test_a_file_that_is_too_long_is_refused_by_what_it_says_and_by_what_it_has(files_door: Door) -> None:
    told = files_door.post("/photographs", b"x", Content_Type="image/png", Content_Length=str(PICTURE_MOST + 1))
    assert str(PICTURE_MOST) in str(problem(told, 413))

    def endless() -> Iterator[bytes]:
        for _ in range(PICTURE_MOST // 2**20 + 1):
            yield bytes(2**20)

    headers = {"Content-Type": "image/png"}
    problem(files_door.client.post("/photographs", content=endless(), headers=headers), 413)


def test_only_who_may_record_sends_one(files_door: Door) -> None:
    other = files_door.as_other(Permission.READ)
    problem(other.post("/photographs", a_picture(), Content_Type="image/png"), 403)
