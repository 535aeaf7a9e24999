"""A record on paper: the words of the record in their order, the record itself in it, made to last, and nothing else."""

import base64
import re
import shutil
import subprocess
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
import typst

from ledger.adapters.codes import SegnoCodes
from ledger.adapters.sheets import TypstSheets
from ledger.errors import ConflictError, NotFoundError
from ledger.events._parts import Answer, Face, Mark, Region
from ledger.events._settings import Settings
from ledger.events.note import Note
from ledger.events.placement import Placement, Spot
from ledger.events.purchase import EarlierWork
from ledger.ports import Ledger
from ledger.proof.eight import eight_words
from ledger.proof.record_file import RecordFile, digest_of
from ledger.sealed import Sealed
from ledger.usecases.found import found
from ledger.usecases.record_sheet import key_named, sheet_pdf
from tests.builders import a_defect, a_purchase, an_examination, an_intervention, an_issue, on, usd
from tests.fakes import FakePictures
from tests.pdf import elements, opened, words
from tests.scanning import scanned_in
from tests.usecases.printed import MADE, Handed, a_record, streams, text_of_pdf
from tests.usecases.telling import OWNER
from tests.web.reports import HOSTILE

CANARIES = ("canaryseller", "canaryplace", "canarynote", "canaryfile")


@pytest.fixture
def printing(ledger: Ledger) -> Ledger:
    """A founded ledger that can print."""
    found(ledger, OWNER)
    return replace(ledger, sheets=TypstSheets(), codes=SegnoCodes())


@pytest.fixture
def known(printing: Ledger) -> Handed:
    """The record of a book of which much is known."""
    place = Region(x_mm="10", y_mm="20.5", width_mm="30")
    look = an_examination(
        height_mm="260",
        width_mm="170",
        defects=(a_defect(region=place), a_defect("d2", "tear", face=Face.BACK, size_mm="6", breaks_colour=Answer.YES)),
        marks=(Mark(id="m1", what="Blue fibre", face=Face.BACK, region=Region(x_mm="3", y_mm="4")),),
        examiner=Sealed.of("Q. Looker"),
    )
    heat = Settings(measured_celsius="60", hold_minutes=10, cooling_minutes=600)
    return a_record(
        printing,
        a_purchase(seller=Sealed.of("canaryseller"), price=Sealed.of(usd("98765.43")), earlier_work=EarlierWork.STATED),
        look,
        an_intervention("hot-press-dry", settings=heat, who=Sealed.of("H. Ands")),
        an_intervention("tear-sealing", "2024-03-11"),
        an_intervention("colour-touch", "2024-03-12", changed_anything=False),
        an_examination("2024-04-01", rest_hours=300, defects=(a_defect(gone=True, size_mm=None),)),
        Placement(on=on("2024-04-02"), spot=Spot.BOX, place=Sealed.of("canaryplace")),
        Note(words=Sealed.of("canarynote")),
        shots={
            "teal": {"on": on("2024-02-06"), "caption": Sealed.of("Before"), "file_name": Sealed.of("canaryfile.jpg")},
            "navy": {"on": on("2024-04-01"), "face": Face.BACK},
        },
    )


def test_it_says_what_the_record_says_each_text_in_its_order(printing: Ledger, known: Handed) -> None:
    text, at = text_of_pdf(sheet_pdf(printing, known.data, known.beside, MADE)), 0
    for piece in known.sheet.text():
        place = text.find(words(piece), at)
        assert place >= 0, piece
        at = place + len(words(piece))
    assert len(list(known.sheet.text())) > 100


def test_the_record_lies_in_it_to_the_byte(printing: Ledger, known: Handed) -> None:
    reader = opened(sheet_pdf(printing, known.data, known.beside, MADE))
    assert {name: list(each) for name, each in reader.attachments.items()} == {"record.json": [known.data]}
    # An associated file with its relationship. Source: ISO 19005-3, 6.8.
    (file,) = (each.get_object() for each in reader.root_object["/AF"])  # type: ignore[attr-defined]  # an array
    assert file["/AFRelationship"] == "/Data"


def test_it_is_made_to_last_and_to_be_read_out(printing: Ledger, known: Handed) -> None:
    """Marks of PDF/A-3a and PDF/UA-1. Source: ISO 19005-3, 6.6.4; ISO 14289-1, clause 5; ISO 32000-1, 14.7 and 14.8."""
    reader = opened(sheet_pdf(printing, known.data, known.beside, MADE))
    root: Any = reader.root_object
    about = root["/Metadata"].get_object().get_data().decode()
    assert re.search(r"<pdfaid:part>3</pdfaid:part>", about)
    assert re.search(r"<pdfaid:conformance>A</pdfaid:conformance>", about)
    assert re.search(r"<pdfuaid:part>1</pdfuaid:part>", about)
    assert bool(root["/MarkInfo"]["/Marked"].value)
    assert "/OpenAction" not in root
    kinds = [str(each.get("/S")) for each in elements(reader)]
    assert kinds.count("/H1") == 1
    assert kinds.count("/H2") == len(known.sheet.sections)
    assert kinds.count("/H3") == 3, "each heading of work"
    for kind in ("/TH", "/TD", "/Table", "/LI", "/P"):
        assert kind in kinds, kind
    figures = [each for each in elements(reader) if each.get("/S") == "/Figure"]
    assert figures
    assert all(each.get("/Alt") for each in figures)


def test_its_pictures_come_along(printing: Ledger, known: Handed) -> None:
    reader = opened(sheet_pdf(printing, known.data, known.beside, MADE))
    assert sum(len(page.images) for page in reader.pages) == 2


class WithoutCopies(FakePictures):
    """Pictures of which none is here."""

    def small(self, sha256: str, width: int, part: Any = None) -> bytes:
        raise NotFoundError(what="picture", name=sha256)


def test_photographs_that_are_not_here_any_more_are_taken_from_the_record_and_else_only_named(
    printing: Ledger, known: Handed
) -> None:
    elsewhere = replace(printing, pictures=WithoutCopies())
    one, none = (sheet_pdf(elsewhere, known.data, beside, MADE) for beside in (known.beside, {}))
    assert sum(len(page.images) for page in opened(one).pages) == 2
    assert sum(len(page.images) for page in opened(none).pages) == 0
    assert text_of_pdf(one) == text_of_pdf(none)


def test_the_same_record_gives_the_same_bytes(printing: Ledger, known: Handed) -> None:
    first = sheet_pdf(printing, known.data, known.beside, MADE)
    assert sheet_pdf(printing, known.data, dict(reversed(list(known.beside.items()))), MADE) == first


def test_nothing_sealed_and_not_chosen_is_anywhere_in_it(printing: Ledger, known: Handed) -> None:
    """In no object, in no stream once unpacked, nor in the text that its letters come to; in none of the usual spellings."""
    data = sheet_pdf(printing, known.data, known.beside, MADE)
    everything = [each.lower() for each in streams(data)]
    assert any(b"slipsheet-record/1" in each for each in everything), "the record was unpacked too"
    printed = text_of_pdf(data).lower()
    for canary in (*CANARIES, "98765.43", "98,765"):
        spelled = [canary.encode(), canary.encode("utf-16-be"), canary.encode().hex().encode()]
        spelled += [base64.b64encode(canary.encode())[2:-3].lower()]
        for form in spelled:
            assert not any(form in each for each in everything), canary
        assert canary not in printed
    assert b"h. ands" in b"".join(base64_texts(known.data)), "what was chosen is there"


def base64_texts(record: bytes) -> Iterator[bytes]:
    """The opened values as a reader of the record gets them."""
    for entry in RecordFile.from_bytes(record).proof.entries:
        for text in entry.opened:
            yield base64.urlsafe_b64decode(text + "=" * (-len(text) % 4)).lower()


def test_the_digest_is_on_it_in_digits_in_eight_words_and_with_the_name_of_the_key(
    printing: Ledger, known: Handed
) -> None:
    text, digest = text_of_pdf(sheet_pdf(printing, known.data, known.beside, MADE)), digest_of(known.data)
    key = key_named(RecordFile.from_bytes(known.data))
    assert digest in text
    assert words(eight_words(digest)) in text
    assert words("first 88 bits") in text
    assert words(key) in text
    assert key.split("+")[0] == printing.signer.verifier.name
    assert key.split("+")[1] == printing.signer.verifier.key_id.hex()


def test_its_code_is_read_by_another_decoder_and_holds_no_address(
    printing: Ledger, known: Handed, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The page as typst draws it in dots, read by OpenCV's detector."""
    compiled = typst.compile

    def drawn(main: Path, **asked: Any) -> Any:
        pages = compiled(main, **{**asked, "format": "png", "ppi": 220.0, "pdf_standards": []})
        return pages[0] if isinstance(pages, list) else pages

    monkeypatch.setattr(typst, "compile", drawn)
    said = scanned_in(sheet_pdf(printing, known.data, known.beside, MADE))
    key = key_named(RecordFile.from_bytes(known.data))
    assert said == f"slipsheet-record/1\nsha256 {digest_of(known.data)}\n{key}\n"
    assert "://" not in said


def test_one_page_where_one_page_can_do_and_long_ones_flow_on(printing: Ledger, known: Handed) -> None:
    short = a_record(printing, a_purchase())
    assert len(opened(sheet_pdf(printing, short.data, short.beside, MADE)).pages) == 1
    assert len(opened(sheet_pdf(printing, known.data, known.beside, MADE)).pages) > 1


def test_text_is_never_read_as_markup_and_no_page_breaks_by_it(printing: Ledger) -> None:
    issue = an_issue(title=HOSTILE[:60], publisher=HOSTILE)
    hostile = a_record(printing, a_purchase(issue=issue, earlier_work_words=Sealed.of(HOSTILE)))
    data = sheet_pdf(printing, hostile.data, hostile.beside, MADE)
    assert text_of_pdf(data).count(words(HOSTILE)) == 2
    assert len(opened(data).pages) == 1
    assert b"/JavaScript" not in data


def test_where_no_pdf_can_be_made_it_says_what_to_do(printing: Ledger, known: Handed) -> None:
    with pytest.raises(ConflictError, match="Print the record's page instead"):
        sheet_pdf(replace(printing, sheets=None), known.data, known.beside, MADE)


def test_without_codes_it_is_made_all_the_same(printing: Ledger, known: Handed) -> None:
    data = sheet_pdf(replace(printing, codes=None), known.data, known.beside, MADE)
    assert words(eight_words(digest_of(known.data))) in text_of_pdf(data)


QPDF = shutil.which("qpdf")


def test_an_outside_program_finds_its_form_whole(printing: Ledger, known: Handed, tmp_path: Path) -> None:
    """Every object and stream by pypdf's strict reading, and `qpdf --check` beside it where that is at hand."""
    data = sheet_pdf(printing, known.data, known.beside, MADE)
    assert len(list(streams(data))) > 20
    if QPDF is not None:
        (tmp_path / "sheet.pdf").write_bytes(data)
        ran = subprocess.run([QPDF, "--check", tmp_path / "sheet.pdf"], capture_output=True, check=False)
        assert ran.returncode == 0, ran.stdout + ran.stderr
