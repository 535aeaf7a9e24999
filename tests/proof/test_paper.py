"""The record attached to a printed sheet: taken out without a PDF library, and as one takes it out."""

import io
import re
import zlib

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pypdf import PdfReader, PdfWriter

from ledger.proof import paper
from ledger.proof.paper import attached_record, is_pdf
from ledger.proof.report import MalformedError
from tests.proof.printed import a_pdf
from tests.proof.recording import a_record

GOOD = a_record()
PDF = a_pdf(GOOD.data)
OTHER = a_record(collection="anothercollectionelsewhere").data


def refusal_of(data: bytes) -> str:
    with pytest.raises(MalformedError) as caught:
        attached_record(data)
    return str(caught.value)


def test_the_attached_record_is_taken_out_to_the_byte_as_a_pdf_library_takes_it_out() -> None:
    assert is_pdf(PDF)
    assert attached_record(PDF) == GOOD.data
    (found,) = PdfReader(io.BytesIO(PDF)).attachments["record.json"]
    assert found == GOOD.data


def test_a_sheet_that_another_program_wrote_anew_still_gives_its_record() -> None:
    """Pypdf writes attachments without packing them, and its numbers stand in another order."""
    writer = PdfWriter()
    writer.add_blank_page(100, 100)
    writer.add_attachment("record.json", GOOD.data)
    out = io.BytesIO()
    writer.write(out)
    assert attached_record(out.getvalue()) == GOOD.data


def test_a_sheet_with_another_file_attached_beside_the_record_gives_the_record() -> None:
    assert attached_record(a_pdf(GOOD.data, b"{}")) == GOOD.data


def test_two_records_that_differ_are_refused_and_one_attached_twice_is_one() -> None:
    assert "two records that differ are attached to it" in refusal_of(a_pdf(GOOD.data, OTHER))
    assert attached_record(a_pdf(GOOD.data, GOOD.data)) == GOOD.data


@pytest.mark.parametrize(
    "data",
    [
        b"%PDF-1.7\n",
        a_pdf(b"{}"),
        PDF[: len(PDF) // 3],
        PDF.replace(b"/Type/EmbeddedFile", b"/Type/EmbeddedFilm"),
        PDF.replace(b"/Filter/FlateDecode/Subtype", b"/Filter/LZWDecodeX/Subtype"),
        re.sub(rb"/Length \d+(/Type/EmbeddedFile)", rb"/Length 12 0 R\1", PDF),
        re.sub(rb"/Length \d+(/Type/EmbeddedFile)", rb"/Length 999999999\1", PDF),
        re.sub(rb"/Length \d+(/Type/EmbeddedFile)", rb"/Length 10\1", PDF),
    ],
    ids=[
        "nothing in it",
        "no record",
        "cut",
        "no attachment",
        "packed otherwise",
        "length elsewhere",
        "too long",
        "too short",
    ],
)
def test_a_sheet_without_a_record_that_can_be_found_says_how_to_take_it_out_by_hand(data: bytes) -> None:
    told = refusal_of(data)
    assert "no record was found attached to it" in told
    assert "pdfdetach -save 1 FILE" in told


def test_an_attachment_that_unpacks_to_more_than_a_record_has_is_refused_without_being_unpacked() -> None:
    packing = zlib.compressobj(9)
    packed = packing.compress(b'{"collection":[') + packing.compress(bytes(100_000_000)) + packing.flush()
    head = b"<</Length %d/Type/EmbeddedFile/Filter/FlateDecode>>\nstream\n" % len(packed)
    assert "no record was found" in refusal_of(b"%PDF-1.7\n1 0 obj\n" + head + packed + b"\nendstream\nendobj\n")


def attached(*files: bytes) -> bytes:
    """As little of a PDF as has files attached. Source: ISO 32000-1 sections 7.3.8 and 7.11.4."""
    parts = [b"%PDF-1.7\n"]
    for number, data in enumerate(files, 1):
        packed = zlib.compress(data, 9)
        head = b"%d 0 obj\n<</Length %d/Type/EmbeddedFile/Filter/FlateDecode>>\nstream\n" % (number, len(packed))
        parts.append(head + packed + b"\nendstream\nendobj\n")
    return b"".join(parts)


def test_of_other_files_that_are_attached_no_more_than_their_beginning_is_unpacked(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    data = attached(*(b"%08d" % number + bytes(1_000_000) for number in range(20)), GOOD.data)
    unpacked: list[int] = []

    class Counted:
        def __init__(self) -> None:
            self.inner = zlib_as_it_is()

        def decompress(self, packed: bytes, most: int) -> bytes:
            found = self.inner.decompress(packed, most)
            unpacked.append(len(found))
            return found

        @property
        def eof(self) -> bool:
            return self.inner.eof

    zlib_as_it_is = zlib.decompressobj
    monkeypatch.setattr("ledger.proof.paper.zlib.decompressobj", Counted)
    assert attached_record(data) == GOOD.data
    assert sum(unpacked) < len(GOOD.data) + 1000


def test_a_record_attached_again_and_again_is_refused_after_a_few() -> None:
    assert attached_record(attached(*[GOOD.data] * 4)) == GOOD.data
    assert "more than 4 times" in refusal_of(attached(*[GOOD.data] * 5))


def test_more_streams_than_a_sheet_has_are_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(paper, "_STREAMS_MOST", 2)
    assert "more than 2 streams" in refusal_of(attached(b"a", b"b", GOOD.data))


def test_a_record_larger_than_the_reader_takes_is_none() -> None:
    size = len(GOOD.data)
    assert attached_record(PDF, most=size) == GOOD.data
    with pytest.raises(MalformedError):
        attached_record(PDF, most=size - 1)


@given(st.integers(0, len(PDF) - 1), st.integers(0, 7))
def test_a_flipped_bit_of_a_sheet_gives_the_same_record_or_is_refused(place: int, bit: int) -> None:
    """What is packed carries a checksum of its own (RFC 1950 section 2.2), so that a changed bit does not pass."""
    damaged = bytearray(PDF)
    damaged[place] ^= 1 << bit
    try:
        found = attached_record(bytes(damaged))
    except MalformedError:
        return
    assert found == GOOD.data
