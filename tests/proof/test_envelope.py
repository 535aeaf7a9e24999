"""What every entry says about itself: the stored bytes, and everything that is not one."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta, timezone
from typing import Any

import pytest

from ledger.proof.canonical import decode
from ledger.proof.chain import FMT, Envelope, UnknownFormatError, head_leaf, unreadable
from ledger.proof.envelope import moment_text
from ledger.proof.merkle import leaf_hash
from ledger.proof.report import MalformedError
from tests.proof.making import BOOK_A, a_ledger
from tests.proof.vectors import each_in, each_of, load

MADE = a_ledger()


@pytest.mark.parametrize("case", each_of("chain/entries.json", "entries"))
def test_stored_bytes_are_read_and_written_back_the_same(case: Any) -> None:
    data = case["text"].encode()
    entry = Envelope.from_bytes(data)
    assert entry.to_bytes() == data
    assert entry.leaf.hex() == case["leaf"] == leaf_hash(data).hex()
    assert entry.fmt == FMT == "slipsheet/1"


def test_the_ledger_of_the_tests_is_the_one_in_the_vectors() -> None:
    golden = load("chain/entries.json")
    assert [data.decode() for data in MADE.entries] == [each["text"] for each in golden["entries"]]
    assert MADE.tree.root.hex() == golden["root"]
    assert MADE.heads_tree.root.hex() == golden["heads_root"]


@pytest.mark.parametrize("case", load("chain/entries.json")["heads"], ids=["A", "B", "C"])
def test_the_head_of_a_book_has_the_bytes_in_the_vectors(case: Any) -> None:
    said = decode(case["text"].encode())
    assert isinstance(said, dict)
    data = head_leaf(said["book"], said["book_no"], said["book_seq"], said["leaf"])  # type: ignore[arg-type]  # plain data
    assert data == case["text"].encode()
    assert leaf_hash(data).hex() == case["hash"]


@pytest.mark.parametrize("case", each_in("chain/refused"))
def test_bytes_that_are_no_entry_are_refused_with_their_place(case: Any) -> None:
    data = case["text"].encode()
    with pytest.raises(MalformedError) as caught:
        Envelope.from_bytes(data)
    error = caught.value
    assert type(error).__name__ == case["error"]
    assert error.problem.startswith(case["problem"])
    assert error.mend
    if "where" in case:
        assert error.where == case["where"]
    finding = unreadable("Entry 7", data, error, 7)
    assert (finding.code, finding.seq) == (case["code"], 7)
    assert finding.sentence.startswith("Entry 7 cannot be read")


def test_a_lowered_format_has_a_sentence_of_its_own() -> None:
    data = MADE.entries[0].replace(b"slipsheet/1", b"slipsheet/0")
    with pytest.raises(UnknownFormatError) as caught:
        Envelope.from_bytes(data)
    assert caught.value.found == "slipsheet/0"
    assert "claims another format than its own is forged" in str(caught.value)


@pytest.mark.parametrize("name", ["book", "book_no", "book_seq"])
def test_the_book_fields_are_all_there_or_none(name: str) -> None:
    entry = MADE.said[6]
    changes: dict[str, Any] = {name: None}
    with pytest.raises(MalformedError) as caught:
        replace(entry, **changes)
    assert caught.value.where == name
    none: dict[str, Any] = dict.fromkeys(("book", "book_no", "book_seq", "book_prev"))
    assert replace(entry, **none).book is None


def test_a_body_with_a_fraction_has_no_bytes() -> None:
    body: dict[str, Any] = {"price": {"minor": 1.5}}
    with pytest.raises(MalformedError) as caught:
        replace(MADE.said[0], body=body).to_bytes()
    assert caught.value.where == "body.price.minor"


@pytest.mark.parametrize(
    ("change", "where"),
    [
        ({"book": "two words"}, "book"),
        ({"book_no": 0}, "book_no"),
        ({"book_seq": True}, "book_seq"),
        ({"leaf_hex": "0" * 63}, "leaf"),
        ({"leaf_hex": "A" * 64}, "leaf"),
    ],
)
def test_a_head_that_is_none_has_no_bytes(change: dict[str, Any], where: str) -> None:
    head: dict[str, Any] = {"book": BOOK_A, "book_no": 1, "book_seq": 1, "leaf_hex": "0" * 64} | change
    with pytest.raises(MalformedError) as caught:
        head_leaf(**head)
    assert (caught.value.what, caught.value.where) == ("The head of a book", where)


def test_every_flipped_bit_of_an_entry_is_refused_or_has_another_leaf() -> None:
    data = MADE.entries[6]
    leaf = leaf_hash(data)
    read_as_another = 0
    for place in range(len(data) * 8):
        bad = bytearray(data)
        bad[place // 8] ^= 1 << place % 8
        try:
            entry = Envelope.from_bytes(bytes(bad))
        except MalformedError:
            continue
        read_as_another += 1
        assert entry.leaf != leaf
    assert 0 < read_as_another < len(data) * 8


@pytest.mark.parametrize(
    ("moment", "text"),
    [
        (datetime(2026, 1, 2, 3, 4, 5, 6, tzinfo=UTC), "2026-01-02T03:04:05.000006Z"),
        (datetime(2026, 1, 2, 3, 4, 5, tzinfo=UTC), "2026-01-02T03:04:05.000000Z"),
        (datetime(2026, 1, 2, 1, 4, 5, tzinfo=timezone(timedelta(hours=2))), "2026-01-01T23:04:05.000000Z"),
        (datetime(1, 1, 1, tzinfo=UTC), "0001-01-01T00:00:00.000000Z"),
    ],
)
def test_a_moment_is_written_in_utc_with_six_digits_after_the_point(moment: datetime, text: str) -> None:
    # RFC 3339 section 5.6: a full date has four digits for its year; Z stands for UTC.
    assert moment_text(moment) == text
    assert datetime.fromisoformat(text) == moment
