"""Tampering with the record of an earlier owner that lies inside another, and with the record attached to a printed sheet.

Whoever tampers with an earlier record and hands it on beside a good one of their own is as careful as any: page and bag
are made anew around it. What is found is the earlier record's and never the book's own, and the whole is not good.
"""

from base64 import b64encode

import pytest

from ledger.proof.bag import write_bag
from ledger.proof.forms import bag_of
from ledger.proof.given import broken
from ledger.proof.page import page_of
from ledger.proof.record_file import digest_of, earlier_there
from ledger.proof.report import LedgerError
from ledger.proof.zipped import read_zip, write_zip
from tests.proof.agreeing import disagreements
from tests.proof.making import OWNER
from tests.proof.printed import a_pdf
from tests.proof.recording import Given, a_record
from tests.proof.second import verdict
from tests.proof.tamper_table import KINDS
from tests.proof.tampering import FORMS, GOOD, TWICE, Form, Tampering, as_files, checked

KEY = OWNER.verifier.vkey
ROWS = [row for row in KINDS if row.held is None and not row.beside]
INSIDE = ("page", "bag", "folder")
NAMES = [f"{row.number} {row.what}" for row in ROWS]


def is_read(given: Given) -> bool:
    """The earlier record in it can be read."""
    return not earlier_there(given.file, given.beside)[1]


def made(given: Given, form: str) -> Form | None:
    """The form made from the record; None where something in it stands in the way."""
    try:
        if form == "page":
            return page_of(given.data, given.beside)
        bag = bag_of(given.data, given.beside)
    except (LedgerError, KeyError):
        return None
    return bag if form == "bag" else read_zip(bag)


def handed(given: Given, inner: Given, form: str) -> Form:
    """The outer record in a form, around an inner one that may be none: then the rest of a good form is taken."""
    if (whole := made(given, form)) is not None:
        return whole
    if form == "page":
        page = page_of(TWICE.data, TWICE.beside).replace(b64encode(TWICE.data), b64encode(given.data))
        page = page.replace(b64encode(GOOD.data), b64encode(inner.data))
        return page.replace(digest_of(GOOD.data).encode(), digest_of(inner.data).encode())
    payload = {name: data for name, data in as_files(TWICE).items() if name.startswith("data/")}
    del payload[f"data/earlier/{digest_of(GOOD.data)}.json"]
    payload |= {"data/record.json": given.data, f"data/earlier/{digest_of(inner.data)}.json": inner.data}
    payload |= {f"data/entries/{at:06}.json": each.data for at, each in enumerate(given.file.proof.entries, 1)}
    label = [("Bag-Software-Agent", "slipsheet"), ("External-Identifier", digest_of(given.data))]
    files = write_bag(payload, label)
    return files if form == "folder" else write_zip(files, "record")


@pytest.mark.parametrize("row", ROWS, ids=NAMES)
@pytest.mark.parametrize("form", INSIDE)
def test_a_tampering_with_an_earlier_record_is_named_as_its_own_in_every_form_that_has_it(
    row: Tampering, form: str
) -> None:
    inner = row.change(row.start)
    outer = a_record(earlier=inner)
    given = handed(outer, inner, form)
    found = checked(given)
    assert not found.whole
    own = set() if is_read(outer) else {"earlier-unreadable"}
    own |= {"page-differs"} if form == "page" and made(outer, form) is None else set()
    assert {each.code for each in found.report.findings} == own
    mine = next(each for each in broken(found.report) if each.sha256 == digest_of(inner.data))
    sentences = [each.sentence for each in mine.report.findings if each.code == row.code]
    assert any(row.sentence in each for each in sentences), mine.report.findings
    assert disagreements([(row.what, given)], [KEY]) == []


@pytest.mark.parametrize("row", ROWS, ids=NAMES)
def test_forms_that_have_no_earlier_record_in_them_say_that_it_was_not_looked_at(row: Tampering) -> None:
    outer = a_record(earlier=row.change(row.start))
    for form in (outer.data, a_pdf(outer.data)):
        found = checked(form)
        assert found.report.earlier == []
        assert any("earlier records do not lie beside it" in each for each in found.report.notes)
        assert disagreements([(row.what, form)], [KEY]) == []


@pytest.mark.parametrize("form", INSIDE)
def test_an_earlier_record_two_owners_back_is_named_as_its_own(form: str) -> None:
    (row,) = [each for each in ROWS if each.what == "a word of the sheet"]
    inner = row.change(row.start)
    given = FORMS[form](a_record(earlier=a_record(earlier=inner)))
    found = checked(given)
    assert (found.whole, found.report.findings) == (False, [])
    (middle,) = found.report.earlier
    assert middle.report.ok
    (oldest,) = middle.report.earlier
    assert [each.code for each in oldest.report.findings] == ["sheet-differs"]
    assert verdict(given, [KEY]) == "not good"


@pytest.mark.parametrize("row", ROWS, ids=NAMES)
def test_a_tampering_is_named_in_the_record_that_is_attached_to_a_printed_sheet(row: Tampering) -> None:
    given = a_pdf(row.change(row.start).data)
    found = checked(given)
    assert not found.whole
    sentences = [each.sentence for each in found.report.findings]
    attached = "was found attached to it" in "".join(sentences)
    assert attached is not row.change(row.start).data.startswith(b'{"collection":[')
    if not attached:
        of_code = [each.sentence for each in found.report.findings if each.code == row.code]
        assert any(row.sentence in each for each in of_code), sentences
    assert disagreements([(row.what, given)], [KEY]) == []
