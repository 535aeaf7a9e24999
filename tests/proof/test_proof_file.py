"""The file a stranger gets: written, read in any spacing, and refused when anything in it is out of form."""

import json
from dataclasses import replace
from typing import Any

import pytest

from ledger.proof import proof_file
from ledger.proof.canonical import decode
from ledger.proof.proof_file import ProofFile
from ledger.proof.report import MalformedError
from tests.proof.making import BOOK_A, a_ledger
from tests.proof.vectors import VECTORS, each_in

FILE = a_ledger().proof_file(BOOK_A, ("price", "seller"), first=6)


def test_the_record_in_the_vectors_is_the_one_of_the_tests() -> None:
    assert ProofFile.from_bytes((VECTORS / "record" / "good.json").read_bytes()) == FILE


@pytest.mark.parametrize("file", [FILE, replace(FILE, consistency=None), replace(FILE, entries=())])
def test_a_file_is_written_in_its_one_form_and_read_back(file: ProofFile) -> None:
    data = file.to_bytes()
    decode(data)
    assert ProofFile.from_bytes(data) == file


@pytest.mark.parametrize("spacing", [{"indent": 2}, {"indent": "\t"}, {"ensure_ascii": False}, {"sort_keys": True}])
def test_spacing_is_free(spacing: dict[str, Any]) -> None:
    respelled = json.dumps(json.loads(FILE.to_bytes()), **spacing).encode()
    assert respelled != FILE.to_bytes()
    assert ProofFile.from_bytes(b"\n" + respelled + b"\r\n") == FILE


def shapeless() -> list[Any]:
    return [case for case in each_in("record/damaged") if case.values[0]["findings"][0][0] == "file-unreadable"]


@pytest.mark.parametrize("case", shapeless())
def test_a_file_out_of_form_is_refused_with_its_place(case: Any) -> None:
    assert case["sentence"].startswith("The proof file")
    assert len(case["findings"]) == 1


@pytest.mark.parametrize(
    ("way", "value", "where"),
    [
        (["head"], [], "head"),
        (["head", "leaf"], 1, "head.leaf"),
        (["head", "proof"], "x", "head.proof"),
        (["head", "book_seq"], -1, "head.book_seq"),
        (["head", "more"], 1, "head"),
        (["entries", 1], 1, "entries[1]"),
        (["entries", 1, "open"], None, "entries[1].open"),
        (["entries", 0, "open", 0], 1, "entries[0].open[0]"),
        (["entries", 2, "proof", 1], "A" * 42, "entries[2].proof[1]"),
        (["entries", 2, "bytes"], "", "entries[2].bytes"),
        (["consistency"], None, "consistency"),
        (["consistency", "first"], "6", "consistency.first"),
        (["checkpoint"], None, "checkpoint"),
        (["format"], "slipsheet-proof/0", "format"),
    ],
)
def test_every_part_has_its_own_place_in_the_refusal(way: list[Any], value: object, where: str) -> None:
    said = box = json.loads(FILE.to_bytes())
    for step in way[:-1]:
        box = box[step]
    box[way[-1]] = value
    with pytest.raises(MalformedError) as caught:
        ProofFile.from_bytes(json.dumps(said).encode())
    assert (caught.value.what, caught.value.where) == ("The proof file", where)
    assert caught.value.mend


@pytest.mark.parametrize("data", [b"", b"null", b"[]", b"1", b"\xff", b"[" * 100_000, b'{"format":1,"format":1}'])
def test_bytes_that_are_no_file_are_refused(data: bytes) -> None:
    with pytest.raises(MalformedError) as caught:
        ProofFile.from_bytes(data)
    assert caught.value.what == "The proof file"


def test_a_file_without_measure_is_refused_before_it_is_read(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(proof_file, "_MOST_BYTES", 100)
    with pytest.raises(MalformedError) as caught:
        ProofFile.from_bytes(FILE.to_bytes())
    assert caught.value.problem == "it has more than 100 bytes"
