"""Records with earlier ones that are broken, missing or none: each is told as such, and the next owner's own goes on."""

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from ledger.errors import ConflictError, DamagedError
from ledger.events._parts import Issue
from ledger.events.correction import Correction
from ledger.events.earlier import Earlier, Verdict
from ledger.events.identification import Identification
from ledger.events.withdrawal import Withdrawal
from ledger.handing import HandingWriter
from ledger.proof.bag import write_bag
from ledger.proof.forms import check_file, open_file
from ledger.proof.given import Asked, check_given
from ledger.proof.page import page_of
from ledger.proof.record_file import RecordFile, digest_of
from ledger.proof.zipped import read_zip, write_zip
from ledger.usecases.choose import Wish, choices, preview
from ledger.usecases.disclose import issue
from ledger.usecases.hand_on import Form, earlier_records, given, made_record
from ledger.usecases.receive import issue_said, look_at, receive
from tests.builders import a_purchase
from tests.fakes import FakeClock
from tests.proof.agreeing import disagreements
from tests.usecases.houses import House, a_house, handed, taken
from tests.usecases.telling import OWNER

NONE = b"no record at all"


@pytest.fixture
def third(tmp_path: Path, clock: FakeClock) -> Iterator[House]:
    with a_house(tmp_path / "third", clock) as opened:
        yield opened


def forged_page(of: House) -> bytes:
    """The page of a record in which other words stand than those that its ledger has the digest of."""
    data, beside = open_file(handed(of, of.worked_book()))
    file = RecordFile.from_bytes(data)
    return page_of(replace(file, sheet=replace(file.sheet, lead="Nothing was done here.")).to_bytes(), beside)


def given_on(house: House, other: House) -> bytes:
    """The page of an honest owner who received a forged record, and hands it on beside their own."""
    book = other.teller.buy()
    receive(other.ledger, OWNER, look_at(OWNER, forged_page(house), [house.key]), book=book)
    return handed(other, book)


def test_a_forged_record_inside_a_whole_one_is_seen_before_it_is_taken_with_its_own_verdict(
    house: House, other: House
) -> None:
    seen = look_at(OWNER, given_on(house, other), [other.key, house.key])
    assert (seen.verdict, seen.report.findings) == (Verdict.WHOLE, [])
    (inner,) = seen.earlier
    assert (inner.verdict, inner.inside, inner.broken) == (Verdict.BROKEN, seen.sha256, True)
    assert any("they were changed" in each for each in inner.findings)
    assert inner.sheet is not None
    assert inner.sheet.lead == "Nothing was done here."


def test_a_key_that_an_inner_record_claims_makes_nobody_known(house: House, other: House) -> None:
    book = taken(other, handed(house, house.worked_book()))
    (inner,) = look_at(OWNER, handed(other, book), [other.key]).earlier
    assert (inner.verdict, inner.findings) == (Verdict.UNKNOWN_SIGNER, ())
    (inner,) = look_at(OWNER, handed(other, book), [other.key, house.key]).earlier
    assert inner.verdict is Verdict.WHOLE


def test_what_is_kept_is_checked_again_each_time_it_is_shown(house: House, other: House) -> None:
    data = given_on(house, other)
    book = house.teller.buy()
    seen = look_at(OWNER, data, [other.key])
    receive(house.ledger, OWNER, seen, book=book)
    own, inner = made_record(house.ledger, OWNER, seen.sha256).seen
    assert (own.verdict, inner.verdict) == (Verdict.UNKNOWN_SIGNER, Verdict.BROKEN)


def rebagged(record: RecordFile, beside: dict[str, bytes], **changed: bytes) -> bytes:
    """A bag whose lists fit whatever lies in it."""
    files = {
        "record.json": record.to_bytes(),
        "sheet.txt": "".join(f"{each}\n" for each in record.sheet.text()).encode(),
        **{f"entries/{place:06}.json": each.data for place, each in enumerate(record.proof.entries, 1)},
        **{f"earlier/{name}.json": beside[name] for name in record.earlier if name in beside},
        **changed,
    }
    return write_zip(write_bag({f"data/{name}": data for name, data in files.items()}), "record")


def with_garbage(of: House, **changed: bytes) -> bytes:
    """The bag of a cheat, whose ledger speaks of an earlier record that is none."""
    name = digest_of(NONE)
    book = of.teller.buy()
    of.teller.add(book, Earlier(record=name, verdict=Verdict.WHOLE, origin="x.slipsheet.invalid", size=3))
    kept = issue(of.ledger, OWNER, book, Wish())
    return rebagged(replace(RecordFile.from_bytes(kept.data), earlier=(name,)), {name: NONE}, **changed)


def codes(data: bytes, *keys: Any) -> dict[str, list[str]]:
    found: dict[str, list[str]] = {}
    for each in check_file(data, keys).findings:
        found.setdefault(each.code, []).append(each.sentence)
    return found


def test_a_bag_with_an_earlier_record_that_is_none_is_not_whole_and_the_rest_of_it_is_compared(house: House) -> None:
    changes = {"sheet.txt": b"Nothing was ever done.\n", "read-me-first.html": b"<h1>All is well</h1>"}
    found = codes(with_garbage(house, **changes), house.key)
    assert [digest_of(NONE)[:8] in each for each in found["earlier-unreadable"]] == [True]
    assert any("'data/sheet.txt' is not what the record gives" in each for each in found["bag-file-changed"])
    assert any("'data/read-me-first.html'" in each for each in found["bag-file-extra"])
    assert not any("data/earlier" in each for each in found["bag-file-changed"] + found["bag-file-extra"])
    unchanged = codes(with_garbage(house), house.key)
    assert not any("data/sheet.txt" in each for each in unchanged["bag-file-changed"])
    assert "bag-file-extra" not in unchanged
    for data in (with_garbage(house), with_garbage(house, **changes)):
        assert disagreements([("bag", data)], [house.key.vkey]) == []
        assert not check_given(data, Asked(keys=(house.key,))).whole


def test_a_bag_in_which_something_else_is_wrong_is_compared_all_the_same(house: House) -> None:
    files = dict(read_zip(handed(house, house.worked_book(), Form.BAG)))
    payload = {name: data for name, data in files.items() if name.startswith("data/")}
    record = RecordFile.from_bytes(payload["data/record.json"])
    payload["data/record.json"] = replace(record, keys=("nonsense",)).to_bytes()
    payload["data/sheet.txt"] = b"Other words.\n"
    payload["data/more.txt"] = b"x"
    found = codes(write_zip(write_bag(payload), "record"), house.key)
    assert {"key-unreadable", "bag-file-extra", "bag-file-changed"} <= found.keys()
    assert any("'data/sheet.txt'" in each for each in found["bag-file-changed"])


def test_the_next_owner_of_a_record_that_is_not_whole_gives_their_own_and_it_says_so(
    house: House, other: House
) -> None:
    seen = look_at(OWNER, with_garbage(house), [house.key])
    assert seen.verdict is Verdict.BROKEN
    book = other.teller.buy()
    receive(other.ledger, OWNER, seen, book=book)
    shown = preview(other.ledger, OWNER, book, Wish())
    assert (shown.along, shown.earlier) == ((), ())
    for form in (Form.PAGE, Form.BAG, Form.FILE):
        data = handed(other, book, form)
        report = check_file(data, [other.key])
        assert report.trusted
        assert report.earlier == []
        assert report.file is not None
        said = list(report.file.sheet.text())
        assert any(each.startswith("It does not go with this record") for each in said)
        assert seen.sha256 in said


def without_a_photograph(of: House) -> bytes:
    """A bag from which somebody took a photograph."""
    files = read_zip(handed(of, of.worked_book(), Form.BAG))
    shot = next(name for name in sorted(files) if name.startswith("data/photographs/"))
    return write_zip({name: data for name, data in files.items() if name != shot}, "record")


def test_a_received_record_whose_photograph_is_missing_is_read_and_not_given_as_a_whole(
    house: House, other: House
) -> None:
    seen = look_at(OWNER, without_a_photograph(house), [house.key])
    book = other.teller.buy()
    receive(other.ledger, OWNER, seen, book=book)
    made = made_record(other.ledger, OWNER, seen.sha256)
    assert len(made.lost) == 1
    assert given(other.ledger, made, Form.FILE) == seen.data
    for form in (Form.PAGE, Form.BAG):
        with pytest.raises(ConflictError):
            given(other.ledger, made, form)
    assert check_file(handed(other, book), [other.key]).trusted


def test_a_record_that_came_alone_without_the_earlier_one_in_it_does_not_hold_up_the_next(
    house: House, other: House, third: House
) -> None:
    alone = handed(other, taken(other, handed(house, house.teller.buy()), house.key), Form.FILE)
    seen = look_at(OWNER, alone, [other.key])
    written = receive(third.ledger, OWNER, seen, purchase=a_purchase("2025-12-24"))
    assert made_record(third.ledger, OWNER, seen.sha256).lost == RecordFile.from_bytes(alone).earlier
    assert check_file(handed(third, str(written.entries[0].book)), [third.key]).trusted


def changed_where_it_is_kept(of: House, sha256: str) -> None:
    def work(writer: HandingWriter) -> None:
        kept = writer.record(sha256)
        assert kept is not None
        file = RecordFile.from_bytes(kept.data)
        data = replace(file, sheet=replace(file.sheet, lead="Nothing was ever done.")).to_bytes()
        writer.take_record(sha256)
        writer.put_record(replace(kept, data=data))

    assert of.ledger.handing is not None
    of.ledger.handing.write(work)


def test_a_record_that_was_changed_where_it_is_kept_is_shown_to_nobody(house: House, other: House) -> None:
    page = handed(house, house.worked_book())
    book = taken(other, page, house.key)
    sha256 = look_at(OWNER, page).sha256
    for of in (house, other):
        changed_where_it_is_kept(of, sha256)
        with pytest.raises(DamagedError, match="it was changed where it is kept"):
            made_record(of.ledger, OWNER, sha256)
    ((_, _, file),) = earlier_records(other.ledger, OWNER, book)
    assert file is None
    onward = check_file(handed(other, book), [other.key])
    assert (onward.trusted, onward.earlier) == (True, [])


def test_a_record_whose_earlier_one_was_changed_where_it_is_kept_is_shown_to_nobody(house: House, other: House) -> None:
    page = handed(house, house.worked_book())
    kept = issue(other.ledger, OWNER, taken(other, page, house.key), Wish())
    changed_where_it_is_kept(other, look_at(OWNER, page).sha256)
    with pytest.raises(DamagedError, match="it was changed where it is kept"):
        made_record(other.ledger, OWNER, kept.sha256)


OTHER_ISSUE = Issue(title="Another Title", number="99", start_year=1950)


def test_the_issue_for_the_purchase_is_the_one_that_was_identified_last(house: House) -> None:
    book = house.teller.buy()
    house.teller.add(book, Identification(issue=OTHER_ISSUE, how="indicia"))
    said = issue_said(house.ledger, look_at(OWNER, handed(house, book), [house.key]))
    assert said is not None
    assert (said["title"], said["number"], said["start_year"]) == ("Another Title", "99", 1950)


def test_the_issue_is_the_corrected_one_and_what_was_withdrawn_does_not_count(house: House) -> None:
    book = house.teller.buy()
    purchase = house.teller.head.size
    changes = {"issue": {"title": "A Corrected Title", "number": "7"}}
    house.teller.add(book, Correction(entry=purchase, changes=changes))
    house.teller.add(book, Identification(issue=OTHER_ISSUE, how="indicia"))
    house.teller.add(book, Withdrawal(entry=house.teller.head.size))
    said = issue_said(house.ledger, look_at(OWNER, handed(house, book), [house.key]))
    assert said is not None
    assert (said["title"], said["number"]) == ("A Corrected Title", "7")


def test_a_preview_shows_all_that_goes_along_of_earlier_owners_with_what_they_opened(
    house: House, other: House, third: House
) -> None:
    book = house.worked_book()
    price = next(each for each in choices(house.ledger, OWNER, book) if each.name == "price")
    first = issue(house.ledger, OWNER, book, Wish(opened=frozenset({(price.seq, "price")})))
    page = given(house.ledger, made_record(house.ledger, OWNER, first.sha256), Form.PAGE)
    second = taken(third, handed(other, taken(other, page, house.key)), other.key, house.key)
    shown = preview(third.ledger, OWNER, second, Wish(opened=frozenset()))
    assert len(shown.earlier) == 2
    nearest, oldest = shown.earlier
    assert (nearest.sha256,) == shown.along
    assert (oldest.sha256, oldest.inside) == (first.sha256, nearest.sha256)
    assert [each.verdict for each in shown.earlier] == [Verdict.UNKNOWN_SIGNER] * 2
    assert [(each.entry, each.name) for each in oldest.opened] == [(price.seq, "price")]
    given_away = check_file(handed(third, second), [third.key])
    (of_other,) = given_away.earlier
    (of_house,) = of_other.report.earlier
    files = [of_other.report.file, of_house.report.file]
    assert [each.sheet for each in shown.earlier] == [each.sheet if each else None for each in files]
