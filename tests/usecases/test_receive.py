"""The record of an earlier owner is received: checked, kept as it came, passed on, and never merged."""

from dataclasses import replace
from pathlib import Path

import pytest

from ledger.errors import InvalidError, MalformedError
from ledger.events.earlier import Earlier, Verdict
from ledger.proof.forms import check_file
from ledger.proof.zipped import read_zip, write_zip
from ledger.usecases.checkpoint import sign_checkpoint
from ledger.usecases.hand_on import (
    Form,
    records_of,
)
from ledger.usecases.hand_over import pages_in
from ledger.usecases.receive import issue_said, look_at, receive
from ledger.usecases.verify import verify_ledger
from tests.builders import a_purchase
from tests.fake_handing import FakeHanding
from tests.fakes import FakeClock, FakePictures
from tests.usecases.houses import House, a_house, handed, taken
from tests.usecases.telling import OWNER


@pytest.mark.parametrize("form", [Form.PAGE, Form.BAG])
def test_a_second_collection_receives_it_and_hands_it_on_with_its_own(house: House, other: House, form: Form) -> None:
    data = handed(house, house.worked_book(), form)
    book = taken(other, data, house.key)
    onward = handed(other, book, form)
    report = check_file(onward, [house.key, other.key])
    assert report.trusted
    (earlier,) = report.earlier
    assert earlier.report.trusted
    assert [each.kind for each in report.entries] == ["purchase", "earlier", "disclosure"]


def test_three_hand_overs_in_a_row_keep_all_that_was_said(
    house: House, other: House, tmp_path: Path, clock: FakeClock
) -> None:
    with a_house(tmp_path / "third", clock) as third:
        second = handed(other, taken(other, handed(house, house.worked_book()), house.key))
        last = handed(third, taken(third, second, other.key, house.key))
        report = check_file(last, [third.key])
        assert report.trusted
        (of_other,) = report.earlier
        (of_house,) = of_other.report.earlier
        # Neither of their keys was given, and that is no damage.
        assert [each.report.findings for each in (of_other, of_house)] == [[], []]
        assert not of_house.report.signer_known


@pytest.mark.parametrize(
    ("keys", "verdict"), [(True, Verdict.WHOLE), (False, Verdict.UNKNOWN_SIGNER)], ids=["with its key", "without"]
)
def test_the_verdict_says_whether_the_signer_is_known(
    house: House, other: House, *, keys: bool, verdict: Verdict
) -> None:
    data = handed(house, house.worked_book())
    book = taken(other, data, *([house.key] if keys else []))
    with other.ledger.log.read() as reader:
        told = reader.of_book(book)[-1].event
    assert isinstance(told, Earlier)
    assert told.verdict is verdict
    assert told.size == house.teller.head.size


def test_a_record_that_was_changed_is_received_as_broken_and_never_as_more(house: House, other: House) -> None:
    data = handed(house, house.worked_book()).replace(b"<h2 data-s>", b"<h2 data-s>X", 1)
    seen = look_at(OWNER, data, [house.key])
    assert seen.verdict is Verdict.BROKEN
    book = other.teller.buy()
    receive(other.ledger, OWNER, seen, book=book)
    onward = check_file(handed(other, book), [other.key])
    assert onward.ok


def test_a_file_that_is_none_is_refused_and_nothing_is_written(other: House) -> None:
    before = other.teller.head
    for data in (b"", b"PK\x03\x04", b"<!doctype html><p>hello", b"{}"):
        seen = look_at(OWNER, data)
        assert seen.verdict is Verdict.BROKEN
        with pytest.raises(InvalidError):
            receive(other.ledger, OWNER, seen, purchase=a_purchase())
    assert other.teller.head == before


def test_a_zip_that_unpacks_to_more_than_a_form_takes_is_refused_before_it_is_unpacked(
    house: House, monkeypatch: pytest.MonkeyPatch
) -> None:
    bag = handed(house, house.worked_book(), Form.BAG)
    whole = sum(map(len, read_zip(bag).values()))
    monkeypatch.setattr("ledger.usecases.receive.UNPACKED_MOST", whole)
    assert look_at(OWNER, bag).file is not None
    monkeypatch.setattr("ledger.usecases.receive.UNPACKED_MOST", whole - 1)
    seen = look_at(OWNER, bag)
    assert (seen.file, seen.beside, seen.size) == (None, {}, len(bag))
    sentence = seen.report.findings[0].sentence
    assert f"or {whole - 1} bytes. Check it with the command slipsheet check, which takes more" in sentence


def test_a_zip_of_pages_that_unpacks_to_more_than_a_form_takes_is_none(
    house: House, monkeypatch: pytest.MonkeyPatch
) -> None:
    pages = write_zip({"book-00001.html": handed(house, house.worked_book())}, "records")
    assert list(pages_in(pages)) == ["book-00001.html"]
    monkeypatch.setattr("ledger.usecases.hand_over.UNPACKED_MOST", 1000)
    with pytest.raises(MalformedError, match="more than 4096 files or 1000 bytes"):
        pages_in(pages)


def test_the_record_alone_is_not_enough_for_its_photographs_are_not_with_it(house: House, other: House) -> None:
    data = handed(house, house.worked_book(), Form.FILE)
    with pytest.raises(InvalidError, match="Take the page or the bag"):
        receive(other.ledger, OWNER, look_at(OWNER, data, [house.key]), purchase=a_purchase())


def test_the_issue_for_the_purchase_is_read_from_the_record(house: House) -> None:
    seen = look_at(OWNER, handed(house, house.worked_book()), [house.key])
    said = issue_said(house.ledger, seen)
    assert said is not None
    assert said["title"] == a_purchase().issue.title


def test_a_record_follows_the_purchase_too_and_photographs_are_kept_as_they_came(house: House, other: House) -> None:
    data = handed(house, house.worked_book(), Form.BAG)
    book = other.teller.buy()
    seen = look_at(OWNER, data, [house.key])
    receive(other.ledger, OWNER, seen, book=book, from_whom="canary giver")
    (kept,) = records_of(other.ledger, OWNER, book)
    assert (kept.received, kept.sha256) == (True, seen.sha256)
    assert seen.file is not None
    for each in seen.file.pictures:
        assert other.ledger.pictures.digest(each.sha256) == each.sha256
    sign_checkpoint(other.ledger, OWNER)


def test_verify_reads_every_record_that_is_kept_and_what_it_needs(house: House, other: House) -> None:
    book = taken(other, handed(house, house.worked_book()), house.key)
    sign_checkpoint(other.ledger, OWNER)
    report = verify_ledger(other.ledger, OWNER)
    assert (report.findings, report.checked["records"]) == ([], 1)
    (kept,) = records_of(other.ledger, OWNER, book)
    changed = replace(kept, data=kept.data.replace(b'"lead":"', b'"lead":"X'))
    beside = FakeHanding()
    beside.write(lambda writer: writer.put_record(changed))
    found = verify_ledger(replace(other.ledger, handing=beside), OWNER).findings
    assert [each.code for each in found] == ["record-changed"]
    lost = replace(other.ledger, pictures=FakePictures())
    assert {each.code for each in verify_ledger(lost, OWNER).findings} == {"picture-missing"}
