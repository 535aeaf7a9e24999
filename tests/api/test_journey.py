"""One book from its purchase to its sale through the door, and its proof in the hands of somebody who has only that."""

import json
import subprocess
import sys
from base64 import b64decode, b64encode
from pathlib import Path
from typing import Any

import pytest

from tests.api.door import Door, problem

ROOT = Path(__file__).resolve().parents[2]

BEND = {"id": "d1", "type": "bend", "face": "front", "breaks_colour": "no", "size_mm": "12.5"}
TICK = {"id": "d2", "type": "spine-tick", "face": "spine", "breaks_colour": "yes", "count": 2}


def euros(amount: str) -> dict[str, str]:
    return {"amount": amount, "currency": "EUR"}


PURCHASE: dict[str, Any] = {
    "on": "2024-02-01",
    "issue": {"title": "The Copper Lantern", "number": "14", "start_year": 1962, "cover_date": "1964-03"},
    "holding": "slabbed",
    "holder_number": "77-1040",
    "stated": {"as_written": "VF/NM", "steps": ["9.0"], "matched_by": "holder number"},
    "expects_arrival": True,
    "price": euros("1250.00"),
    "seller": "A shop by the harbour",
}
STORY: list[dict[str, Any]] = [
    {"kind": "arrival", "on": "2024-02-06", "stage": "arrived", "as_described": "yes"},
    {"kind": "opening", "on": "2024-02-10", "condition": "intact"},
    {"kind": "examination", "on": "2024-02-11", "lights": ["raking"], "defects": [BEND, TICK], "presents_as": "9.0"},
    {
        "kind": "intervention",
        "on": "2024-02-12",
        "technique": "cold-press",
        "worked_defects": [{"id": "d1"}],
        "remark": "Between boards, two days.",
    },
    {"kind": "examination", "on": "2024-02-20", "rest_hours": 144, "defects": [{**BEND, "gone": True}]},
    {"kind": "choice", "on": "2024-02-20", "next": "stop", "why": "What is left would not go."},
    {
        "kind": "outlook",
        "on": "2024-02-21",
        "weights": [{"grade": "9.2", "per_mille": 700}, {"grade": "9.4", "per_mille": 300}],
        "for_batch": "spring-1",
        "values_used": [{"grade": "9.2", "value": euros("1600.00")}],
    },
    {"kind": "submission", "on": "2024-03-01", "batch": "spring-1", "asks": "grade", "fee": euros("60.00")},
    {"kind": "submission", "on": "2024-03-05", "stage": "received there", "batch": "spring-1"},
    {
        "kind": "slab",
        "on": "2024-04-20",
        "batch": "spring-1",
        "stated": {"as_written": "9.4", "steps": ["9.4"], "matched_by": "holder number"},
        "holder_number": "77-2001",
        "fee": euros("62.50"),
    },
    {"kind": "placement", "on": "2024-04-25", "spot": "wall", "place": "North wall, left of the door"},
    {"kind": "sale", "on": "2025-01-10", "means": "sold", "disclosed": "work told", "price": euros("2100.00")},
]


@pytest.fixture
def story(real_door: Door) -> str:
    """The book of the story; every step is sent with the tag of the step before."""
    made = real_door.post("/books", PURCHASE)
    assert made.status_code == 201, made.text
    book, tag = str(made.json()["entries"][0]["book"]), made.headers["etag"]
    for step in STORY:
        answer = real_door.post(f"/books/{book}/events", step, If_Match=tag)
        assert answer.status_code == 201, (step["kind"], answer.text)
        tag = answer.headers["etag"]
    assert tag == f'"{len(STORY) + 1}"'
    return book


def test_a_book_goes_through_the_door_from_its_purchase_to_its_sale(real_door: Door, story: str) -> None:
    state = real_door.get(f"/books/{story}").json()
    assert (state["status"], state["entries"]) == ("left the collection", len(STORY) + 1)
    assert [grade["stated"]["as_written"] for grade in state["grades"]] == ["VF/NM", "9.4"]
    assert [defect["gone"] for defect in state["defects"]] == [True, False]
    assert [work["heading"] for work in state["work"]] == ["non-additive"]
    assert [sent["ended_by"] is not None for sent in state["submissions"]] == [True]
    kinds = [entry["kind"] for entry in real_door.get(f"/books/{story}/events").json()["entries"]]
    assert kinds == ["purchase", *(step["kind"] for step in STORY)]
    assert problem(real_door.post(f"/books/{story}/events", STORY[-1]), 409)["errors"][0]["entries"]


def checked(file: Path, *more: str) -> subprocess.CompletedProcess[str]:
    """What the stranger's command says of a file."""
    command = [sys.executable, "-m", "ledger.proof", str(file), *more]
    return subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False)


@pytest.mark.long
def test_the_proof_of_the_book_stands_in_the_hands_of_a_stranger(real_door: Door, story: str, tmp_path: Path) -> None:
    real_door.client.post("/checkpoint")
    file = tmp_path / "proof.json"
    answer = real_door.get(f"/proofs/head?book={story}")
    assert answer.status_code == 200
    file.write_bytes(answer.content)
    vkey = real_door.ledger.signer.verifier.vkey
    good = checked(file, "--key", vkey)
    assert good.returncode == 0, good.stdout + good.stderr
    told = json.loads(answer.content)
    entry = bytearray(b64decode(told["entries"][3]["bytes"]))
    entry[len(entry) // 2] ^= 1
    told["entries"][3]["bytes"] = b64encode(entry).decode()
    file.write_text(json.dumps(told))
    bad = checked(file, "--key", vkey)
    assert bad.returncode == 1, bad.stdout + bad.stderr
    assert "NOT GOOD" in bad.stdout


@pytest.mark.long
def test_a_stranger_who_held_a_checkpoint_sees_that_the_ledger_only_grew(
    real_door: Door, story: str, tmp_path: Path
) -> None:
    held = real_door.client.post("/checkpoint").json()
    (tmp_path / "held").write_text(held["note"], encoding="utf-8")
    real_door.a_book()
    real_door.client.post("/checkpoint")
    file = tmp_path / "proof.json"
    file.write_bytes(real_door.get(f"/proofs/head?book={story}&held={held['size']}").content)
    told = checked(file, "--key", real_door.ledger.signer.verifier.vkey, "--held", str(tmp_path / "held"))
    assert told.returncode == 0, told.stdout + told.stderr


def test_the_whole_ledger_of_the_story_verifies_against_a_checkpoint_kept_elsewhere(
    real_door: Door, story: str
) -> None:
    anchor = real_door.client.post("/checkpoint").json()["note"]
    real_door.an_event(story, "note", words="Sold well.")
    told = real_door.post("/verify", {"anchor": anchor}).json()
    assert told["findings"] == []
    assert told["ok"]
