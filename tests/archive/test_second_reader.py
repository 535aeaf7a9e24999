"""An archive read by a second program, written from ARCHIVE.md and the documents it names, that knows nothing of ours.

Only the standard library and general ones: rfc8785 for the one spelling, pymerkle for the root, cryptography for Ed25519.
"""

import hashlib
import json
import zipfile
from base64 import b64decode, urlsafe_b64encode
from pathlib import Path
from typing import Any, Final

import pytest
import rfc8785
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PublicKey
from pymerkle import InmemoryTree

ROOT: Final = Path(__file__).resolve().parents[2]
GOLDEN: Final = ROOT / "tests" / "vectors" / "archives" / "v1.zip"
PAGE: Final = ROOT / "ledger" / "archive" / "ARCHIVE.md"


@pytest.fixture(scope="module")
def files() -> dict[str, bytes]:
    with zipfile.ZipFile(GOLDEN) as archive:
        assert {name.partition("/")[0] for name in archive.namelist()} == {"slipsheet-archive"}
        return {name.partition("/")[2]: archive.read(name) for name in archive.namelist()}


def rows(files: dict[str, bytes], table: str) -> list[dict[str, Any]]:
    found = [json.loads(line) for line in files[f"data/tables/{table}.jsonl"].splitlines()]
    return [
        {name: b64decode(value["base64"]) if isinstance(value, dict) else value for name, value in row.items()}
        for row in found
    ]


def entries(files: dict[str, bytes]) -> list[bytes]:
    return files["data/entries.jsonl"].split(b"\n")[:-1]


def base64url(data: bytes) -> str:
    return urlsafe_b64encode(data).decode().rstrip("=")


def test_every_file_has_the_checksum_that_the_lists_say(files: dict[str, bytes]) -> None:
    for name, covers in (("manifest-sha256.txt", True), ("tagmanifest-sha256.txt", False)):
        listed = {line.partition("  ")[2]: line.partition("  ")[0] for line in files[name].decode().splitlines()}
        assert set(listed) == {each for each in files if each.startswith("data/") is covers} - {
            "tagmanifest-sha256.txt"
        }
        assert all(hashlib.sha256(files[each]).hexdigest() == digest for each, digest in listed.items())


def test_the_root_over_the_entries_is_the_one_that_is_said(files: dict[str, bytes]) -> None:
    """RFC 9162 section 2.1, by pymerkle, whose leaves and nodes are hashed so too."""
    said = json.loads(files["data/archive.json"])
    _, size, root, _ = said["checkpoint"].splitlines()
    tree = InmemoryTree(algorithm="sha256")
    for entry in entries(files):
        tree.append_entry(entry)
    assert (len(entries(files)), tree.get_root()) == (int(size), b64decode(root))


def test_every_sealed_value_belongs_to_the_digest_in_its_entry(files: dict[str, bytes]) -> None:
    """RFC 9901 sections 4.2.1 and 4.2.3, spelled as RFC 8785 says."""
    said = {entry["seq"]: entry for entry in map(json.loads, entries(files))}
    opened = 0
    for row in rows(files, "sealed_value"):
        digest = said[row["seq"]]["sealed"][row["name"]]
        if row["salt"] is None:
            assert row["value"] is None
            continue
        disclosure = base64url(rfc8785.dumps([base64url(row["salt"]), row["name"], json.loads(row["value"])]))
        assert base64url(hashlib.sha256(disclosure.encode()).digest()) == digest
        opened += 1
    assert opened > 10


def test_the_statement_is_signed_by_the_key_that_the_entries_name_and_speaks_of_this_archive(
    files: dict[str, bytes],
) -> None:
    """C2SP signed-note: name, four bytes of the key's id, 64 bytes of Ed25519."""
    said = json.loads(files["data/archive.json"])
    text, _, line = files["signed.txt"].decode().partition("\n\n")
    digest = hashlib.sha256(files["manifest-sha256.txt"]).hexdigest()
    assert text + "\n" == f"slipsheet archive 1\nmade {said['made']}\n{said['checkpoint']}manifest {digest}\n"
    vkey = next(entry["body"]["vkey"] for entry in map(json.loads, entries(files)) if entry["kind"] == "key")
    name, key_id, key = vkey.split("+", 2)
    _, by, signature = line.strip().split(" ")
    assert by == name
    assert b64decode(signature)[:4].hex() == key_id
    Ed25519PublicKey.from_public_bytes(b64decode(key)[1:]).verify(b64decode(signature)[4:], (text + "\n").encode())


def test_every_photograph_lies_under_its_digest_and_entries_name_them(files: dict[str, bytes]) -> None:
    pictures = {name.rpartition("/")[2]: data for name, data in files.items() if name.startswith("data/pictures/")}
    named = {
        entry["body"][each]
        for entry in map(json.loads, entries(files))
        if entry["kind"] == "photograph"
        for each in ("original", "clean")
    }
    assert named == set(pictures)
    assert all(hashlib.sha256(data).hexdigest() == name for name, data in pictures.items())


def test_the_page_names_every_file_and_every_table_that_is_in_it(files: dict[str, bytes]) -> None:
    page = PAGE.read_text("utf-8")
    said = json.loads(files["data/archive.json"])
    for table, count in said["tables"].items():
        assert f"`{table}`" in page
        assert len(rows(files, table)) == count
    for name in files:
        if not name.startswith(("data/tables/", "data/pictures/")):
            assert f"`{name}`" in page


MADE_UP: Final = {"care", "rotation", "climate", "climate_part"}
"""Tables of which the archive of version 1 has rows that no program reads."""


def test_the_page_names_every_column_and_whatever_a_row_says(files: dict[str, bytes]) -> None:
    page = PAGE.read_text("utf-8")
    said = json.loads(files["data/archive.json"])
    for table in said["tables"]:
        for row in rows(files, table):
            assert [each for each in row if f"`{each}`" not in page] == [], table
            if "data" in row and table not in MADE_UP:
                told = json.loads(row["data"])
                assert [each for each in told if f"`{each}`" not in page] == [], table


def test_records_and_stamps_are_bytes_in_base64_and_a_record_lies_under_its_digest(files: dict[str, bytes]) -> None:
    (record,) = rows(files, "record")
    assert hashlib.sha256(b64decode(json.loads(record["data"])["file"])).hexdigest() == record["id"]
    (stamp,) = rows(files, "stamp")
    assert b64decode(json.loads(stamp["data"])["said"]).decode().startswith("\N{EM DASH} ")
