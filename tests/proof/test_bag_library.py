"""Our verdict on bags beside that of the library `bagit` and of `sha256sum`: where they agree, and where one is right.

Source: RFC 8493; the library is the one its authors keep, version 1.9. Where it lets something by that the RFC refuses, or
refuses what the RFC allows, the case stands in a list here with the section that decides it, so that a later version of
the library that changes its mind is noticed.
"""

import logging
import shutil
import subprocess
from collections.abc import Iterator, Mapping
from pathlib import Path

import bagit
import pytest

from ledger.proof.bag import check_bag
from ledger.proof.forms import bag_of
from ledger.proof.report import Report
from ledger.proof.zipped import read_zip
from tests.proof.recording import a_record
from tests.proof.test_bag import GOOD, HELLO, INVALID, MINIMAL, VALID, codes_in, listing

LENIENT = {
    "a file in one list only": "2.1.3, since version 1.0: every list of the payload lists every file of it",
    "a space before the colon": "2.1.1: the two lines have one spelling",
    "three lines": "2.1.1: exactly two lines",
    "lines the other way round": "2.1.1: in this order",
    "the count twice": "2.2.2: Payload-Oxum must not be repeated",
    "a list of tag files without the list of the payload": "2.2.1: it must list all payload manifests",
    "a per cent sign that is not spelled": "2.1.3: a per cent sign is spelled %25",
    "a line that is none": "2.1.3: every line is a checksum and a path",
    "a path that begins with a point": "the public suite warns of it; refused here, since a path has one spelling",
    "a star before the path": "the public suite warns of it; refused here: 2.1.3 knows no sign before a path",
    "names that differ by case": "5.1.2.1 warns of it; refused here, since one of the two would be lost",
    "names that differ by composition": "5.1.2.2 warns of it; refused here for the same reason",
}
"""Let by in the library, refused here: the section of RFC 8493 that decides, or what is our own rule."""
STRICTER = {"names with a per cent sign and a line break": "2.1.3: %25 and %0A are how such names are spelled"}
"""Refused by the library, allowed here."""


@pytest.fixture(autouse=True)
def quiet() -> Iterator[None]:
    """The library writes what it refuses to its log as well."""
    logging.disable(logging.CRITICAL)
    yield
    logging.disable(logging.NOTSET)


def laid(folder: Path, files: Mapping[str, bytes]) -> Path:
    """The files of a bag on the disk."""
    top = folder / "bag"
    for name, data in files.items():
        path = top / name
        if name.endswith("/"):
            path.mkdir(parents=True, exist_ok=True)
            continue
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(data)
    return top


def is_valid_to_the_library(folder: Path) -> bool:
    try:
        bagit.Bag(str(folder)).validate()
    except (bagit.BagError, UnicodeDecodeError):
        return False
    return True


@pytest.mark.parametrize("name", VALID)
def test_a_bag_that_is_good_here_is_good_to_the_library_where_that_is_right(name: str, tmp_path: Path) -> None:
    assert is_valid_to_the_library(laid(tmp_path, VALID[name])) is (name not in STRICTER)


@pytest.mark.parametrize("name", INVALID)
def test_a_bag_that_is_refused_here_is_refused_by_the_library_where_that_is_right(name: str, tmp_path: Path) -> None:
    assert is_valid_to_the_library(laid(tmp_path, INVALID[name][0])) is (name in LENIENT)


def test_every_case_in_which_the_two_differ_is_one_that_is_tried() -> None:
    assert LENIENT.keys() <= INVALID.keys()
    assert STRICTER.keys() <= VALID.keys()


def test_a_tag_file_in_the_list_of_the_payload_is_refused_here_though_its_checksum_fits(tmp_path: Path) -> None:
    """Source: RFC 8493 section 2.1.3: a payload manifest must not list tag files; the library lets it by."""
    files = {
        **MINIMAL,
        "manifest-sha256.txt": MINIMAL["manifest-sha256.txt"] + listing({"bagit.txt": MINIMAL["bagit.txt"]}),
    }
    assert codes_in(files) == ["bag-malformed"]
    assert is_valid_to_the_library(laid(tmp_path, files))


def test_a_file_to_fetch_that_no_list_names_is_refused_here_with_an_address_too(tmp_path: Path) -> None:
    """Source: RFC 8493 section 2.2.3: what is to be fetched is in every payload manifest; the library lets it by."""
    files = {**MINIMAL, "fetch.txt": b"http://example.org/more.bin 5 data/more.bin\n"}
    assert codes_in(files) == ["bag-malformed"]
    assert is_valid_to_the_library(laid(tmp_path, files))


RECORD = read_zip(bag_of(a_record(earlier=a_record()).data, a_record(earlier=a_record()).beside))


def damaged() -> dict[str, dict[str, bytes]]:
    """The bag of a record with one file changed, one taken out, each in turn, and one put in."""
    found: dict[str, dict[str, bytes]] = {}
    for name in RECORD:
        first = RECORD[name][0] ^ 1
        found[f"{name} changed"] = {**RECORD, name: bytes([first]) + RECORD[name][1:]}
        found[f"{name} gone"] = {other: data for other, data in RECORD.items() if other != name}
    return {**found, "a file more": {**RECORD, "data/more.txt": b"x"}}


def ours(files: Mapping[str, bytes]) -> bool:
    report = Report()
    check_bag(files, report)
    return report.ok


def test_the_bag_of_a_record_is_valid_to_the_library_and_to_sha256sum(tmp_path: Path) -> None:
    folder = laid(tmp_path, RECORD)
    assert ours(RECORD)
    assert is_valid_to_the_library(folder)
    program = shutil.which("sha256sum")
    assert program is not None
    for name in ("tagmanifest-sha256.txt", "manifest-sha256.txt"):
        done = subprocess.run(
            [program, "--check", name], cwd=folder, capture_output=True, encoding="utf-8", check=False
        )
        assert (done.returncode, done.stderr) == (0, "")
        assert all(line.endswith(": OK") for line in done.stdout.splitlines())


@pytest.mark.parametrize("name", damaged())
def test_a_damaged_bag_of_a_record_is_refused_here_and_by_the_library(name: str, tmp_path: Path) -> None:
    """A list of tag files is listed nowhere, so without it the bag is one that never had it: RFC 8493 section 2.2.1."""
    files = damaged()[name]
    allowed = name == "tagmanifest-sha256.txt gone"
    assert ours(files) is allowed
    assert is_valid_to_the_library(laid(tmp_path, files)) is allowed


def test_a_bag_that_the_library_made_is_good_here_but_for_the_version_it_writes(tmp_path: Path) -> None:
    """It still writes version 0.97, which allowed what 1.0 does not; only 1.0 is read here. Source: RFC 8493 section 2.1.1."""
    folder = laid(tmp_path, {HELLO.removeprefix("data/"): GOOD[HELLO]})
    bagit.make_bag(str(folder), checksums=["sha256", "sha512"])
    files = {path.relative_to(folder).as_posix(): path.read_bytes() for path in folder.rglob("*") if path.is_file()}
    assert codes_in(files) == ["bag-malformed"]
    newer = files["bagit.txt"].replace(b"0.97", b"1.0")
    payload = {name: data for name, data in files.items() if not name.startswith("tagmanifest-")}
    assert codes_in({**payload, "bagit.txt": newer}) == []
    assert payload[HELLO] == GOOD[HELLO]
