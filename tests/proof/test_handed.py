"""A whole record checked: good, good but by a signer nobody knows, and every damage by its name, in each of its forms."""

from dataclasses import replace
from typing import Any

import pytest

from ledger.proof.checkpoint import origin_of
from ledger.proof.forms import bag_of, check_file
from ledger.proof.handed import HandedReport, check_record
from ledger.proof.page import page_of
from ledger.proof.record_file import PictureNamed, digest_of, earlier_of
from ledger.proof.sheet import Section, Words
from ledger.proof.signature import SigningKey
from ledger.proof.zipped import read_zip, write_zip
from tests.proof.making import OTHER_COLLECTION, OTHER_SEED, OWNER, OWNER_SEED
from tests.proof.recording import BACK, FRONT, Given, a_record

KEYS = [OWNER.verifier]
GOOD = a_record()
TWICE = a_record(earlier=GOOD)


def found(report: HandedReport) -> list[str]:
    return [each.code for each in report.findings]


def checked(given: Given, **said: Any) -> HandedReport:
    return check_record(given.data, given.beside, said.pop("keys", KEYS), **said)


@pytest.mark.parametrize("given", [GOOD, TWICE], ids=["one owner", "two owners"])
def test_a_good_record_is_trusted_with_the_owners_key(given: Given) -> None:
    report = checked(given)
    assert report.findings == []
    assert report.trusted
    assert report.checked["photographs"] == 2
    assert [each.kind for each in report.of_collection] == ["key"]
    assert [each.report.findings for each in report.earlier] == [[]] * (given is TWICE)


def test_without_a_key_it_is_consistent_and_its_signer_not_known() -> None:
    report = checked(GOOD, keys=[])
    assert report.ok
    assert not report.signer_known
    assert not report.trusted


def test_a_forgery_signed_anew_throughout_fails_with_the_owners_key_and_holds_together_without() -> None:
    forged = a_record(collection="anothercollectionelsewhere")
    assert found(checked(forged, keys=[])) == ["checkpoint-other-key"]
    assert "checkpoint-other-key" in found(checked(forged))


CHANGES: dict[str, tuple[Given, list[str]]] = {
    "a word changed": (
        GOOD.with_file(sheet=replace(GOOD.file.sheet, lead="Nothing was ever done.")),
        ["sheet-differs"],
    ),
    "a section left out": (
        GOOD.with_file(sheet=replace(GOOD.file.sheet, sections=GOOD.file.sheet.sections[:1])),
        ["sheet-differs"],
    ),
    "a section put in": (
        GOOD.with_file(
            sheet=replace(
                GOOD.file.sheet,
                sections=(*GOOD.file.sheet.sections, Section("more", "More", (Words(("Unrestored.",)),))),
            )
        ),
        ["sheet-differs"],
    ),
    "a photograph gone": (
        replace(GOOD, beside={digest_of(BACK): BACK}),
        ["picture-missing"],
    ),
    "a photograph changed": (
        replace(GOOD, beside={**GOOD.beside, digest_of(FRONT): FRONT + b"."}),
        ["picture-changed"],
    ),
    "a photograph that no entry names": (
        GOOD.with_file(
            pictures=(
                *GOOD.file.pictures,
                PictureNamed(sha256=digest_of(b"other"), media="image/png", size=5),
            )
        ),
        ["picture-stranger", "picture-missing"],
    ),
    "a photograph that the words speak of and the record does not name": (
        GOOD.with_file(pictures=GOOD.file.pictures[:1]),
        ["picture-missing"],
    ),
    "an earlier record gone": (
        replace(TWICE, beside=dict(GOOD.beside)),
        ["earlier-missing"],
    ),
    "an earlier record that no entry names": (
        replace(
            GOOD.with_file(earlier=(digest_of(GOOD.data),)),
            beside={**GOOD.beside, digest_of(GOOD.data): GOOD.data},
        ),
        ["earlier-stranger"],
    ),
    "an entry of a book among those of the collection": (
        GOOD.with_file(collection=GOOD.file.proof.entries[:1]),
        ["other-book"],
    ),
}


@pytest.mark.parametrize("name", CHANGES)
def test_every_change_is_named(name: str) -> None:
    given, codes = CHANGES[name]
    assert found(checked(given)) == codes


def test_a_value_that_was_not_chosen_to_be_opened_is_named() -> None:
    opened = GOOD.made.proof_file(GOOD.file.proof.head.book, ("seller", "price"))
    assert found(checked(GOOD.with_file(proof=opened))) == ["opened-more"]


def test_a_value_that_was_chosen_and_is_not_there_is_named() -> None:
    closed = GOOD.made.proof_file(GOOD.file.proof.head.book, ())
    assert found(checked(GOOD.with_file(proof=closed))) == ["opened-missing"]


def test_a_record_without_the_entry_that_ends_it_is_named() -> None:
    proof = GOOD.file.proof
    report = checked(GOOD.with_file(proof=replace(proof, entries=proof.entries[:-1])))
    assert found(report) == ["book-entry-missing", "not-disclosed"]


def test_a_broken_earlier_record_is_told_as_its_own_and_not_as_the_books() -> None:
    broken = GOOD.with_file(sheet=replace(GOOD.file.sheet, lead="Nothing was ever done."))
    report = checked(a_record(earlier=broken))
    assert report.findings == []
    assert [found(each.report) for each in report.earlier] == [["sheet-differs"]]


FORMS = {"page": page_of, "bag": bag_of}


@pytest.mark.parametrize("form", FORMS)
@pytest.mark.parametrize("given", [GOOD, TWICE], ids=["one owner", "two owners"])
def test_each_form_is_good_and_always_the_same(form: str, given: Given) -> None:
    data = FORMS[form](given.data, given.beside)
    assert data == FORMS[form](given.data, given.beside)
    report = check_file(data, KEYS)
    assert report.findings == []
    assert report.trusted
    assert report.file == given.file


def test_the_file_alone_says_that_photographs_were_not_looked_at() -> None:
    report = check_file(GOOD.data, KEYS)
    assert report.findings == []
    assert report.notes == ["The record alone was checked; photographs and earlier records do not lie beside it."]


@pytest.mark.parametrize("form", FORMS)
def test_one_changed_byte_anywhere_is_named_or_changes_no_file(form: str) -> None:
    """A zip has bytes that say nothing of its files, such as a day; whoever packs a bag anew may set others."""
    data = FORMS[form](GOOD.data, GOOD.beside)
    for place in range(0, len(data), 61):
        damaged = data[:place] + bytes([data[place] ^ 1]) + data[place + 1 :]
        named = found(check_file(damaged, KEYS))
        assert named or (form == "bag" and read_zip(damaged) == read_zip(data)), place


def test_a_record_that_names_another_key_than_its_signers_is_named() -> None:
    other = SigningKey.from_seed(OWNER.verifier.name, OTHER_SEED).verifier.vkey
    assert found(checked(GOOD.with_file(keys=(other,)))) == ["key-other"]
    assert found(checked(GOOD.with_file(keys=("nonsense",)))) == ["key-unreadable"]


def test_a_bag_with_a_file_more_or_less_or_another_is_named() -> None:
    files = read_zip(bag_of(GOOD.data, GOOD.beside))
    how = "data/how-to-check.txt"
    assert found(check_file(write_zip({**files, "trust-me.txt": b"x"}, "r"), KEYS)) == ["bag-file-extra"]
    assert "bag-file-missing" in found(check_file(write_zip({n: d for n, d in files.items() if n != how}, "r"), KEYS))
    assert "bag-file-changed" in found(check_file(write_zip({**files, how: b"Do not check."}, "r"), KEYS))


def test_what_is_no_record_is_refused() -> None:
    for data in (b"", b"{}", b"PK\x03\x04", b"<!DOCTYPE html><p>trust me", b"%PDF-1.7"):
        assert found(check_file(data, KEYS)) == ["file-unreadable"], data


def test_words_in_a_page_cannot_break_out_of_their_place() -> None:
    page = page_of(GOOD.data, GOOD.beside).decode()
    assert page.count("<script") == page.count("</script>") == 2
    assert "<b>bold</b>" not in page
    assert "alert(1)</script>" not in page


THRICE = a_record(earlier=TWICE)


def test_three_owners_in_a_row_go_into_every_form_and_each_is_checked() -> None:
    assert list(earlier_of(THRICE.file, THRICE.beside)) == [digest_of(TWICE.data), digest_of(GOOD.data)]
    for made in (page_of(THRICE.data, THRICE.beside), bag_of(THRICE.data, THRICE.beside)):
        report = check_file(made, KEYS)
        assert found(report) == []
        (second,) = report.earlier
        (first,) = second.report.earlier
        assert (found(second.report), found(first.report)) == ([], [])
        assert first.sha256 == digest_of(GOOD.data)


def another_owners(seed: bytes) -> Given:
    """A record of another collection, signed by its own key, which it names."""
    given = a_record(collection=OTHER_COLLECTION)
    theirs = SigningKey.from_seed(origin_of(OTHER_COLLECTION), seed)
    note = theirs.sign(given.made.checkpoint.to_text())
    return given.with_file(keys=(theirs.verifier.vkey,), proof=replace(given.file.proof, checkpoint=note))


def test_an_earlier_owner_whose_key_is_not_known_is_told_so_and_is_no_damage() -> None:
    other = another_owners(OTHER_SEED)
    assert "checkpoint-other-key" in found(checked(other))
    report = checked(a_record(earlier=other))
    assert found(report) == []
    assert report.signer_known
    (earlier,) = report.earlier
    assert (found(earlier.report), earlier.report.signer_known) == ([], False)


def test_an_earlier_record_signed_by_another_key_than_the_one_at_hand_under_its_name_is_damage() -> None:
    theirs = SigningKey.from_seed(origin_of(OTHER_COLLECTION), OTHER_SEED).verifier
    record = a_record(earlier=another_owners(OTHER_SEED))
    (earlier,) = checked(record, keys=[*KEYS, theirs]).earlier
    assert (found(earlier.report), earlier.report.signer_known) == ([], True)
    (earlier,) = checked(a_record(earlier=another_owners(OWNER_SEED)), keys=[*KEYS, theirs]).earlier
    assert found(earlier.report) == ["checkpoint-other-key"]
