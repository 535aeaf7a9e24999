"""Records of many earlier owners inside one another: each is looked at once, and none so deep that it never ends."""

import pytest

from ledger.proof.canonical import Plain
from ledger.proof.given import broken
from ledger.proof.handed import HandedReport, check_record
from ledger.proof.record_file import RecordFile, digest_of
from tests.proof.agreeing import disagreements
from tests.proof.making import BOOK_A, OWNER, a_ledger
from tests.proof.recording import Given, a_record, a_sheet
from tests.proof.tampering import FORMS, checked

KEY = OWNER.verifier.vkey


def a_record_over(*earlier: Given, title: str) -> Given:
    """A record without photographs that has these of earlier owners."""
    made = a_ledger()
    beside: dict[str, bytes] = {}
    for each in earlier:
        beside |= {**each.beside, digest_of(each.data): each.data}
        made.write("earlier", BOOK_A, body={"record": digest_of(each.data), "verdict": "whole"})
    sheet = a_sheet(title=title)
    said: dict[str, Plain] = {"statement": sheet.digest, "opened": [], "previous_head": made.heads[BOOK_A].leaf}
    made.write("disclosure", BOOK_A, on="2026-03-20", body=said)
    record = RecordFile(
        proof=made.proof_file(BOOK_A),
        sheet=sheet,
        earlier=tuple(digest_of(each.data) for each in earlier),
        keys=(KEY,),
    )
    return Given(record.to_bytes(), beside, made)


def depth_of(report: HandedReport) -> int:
    return 1 + max((depth_of(each.report) for each in report.earlier), default=0)


def all_in(report: HandedReport) -> list[str]:
    return [name for each in report.earlier for name in (each.sha256, *all_in(each.report))]


def in_a_row(owners: int) -> Given:
    given = a_record_over(title="Owner 1")
    for number in range(2, owners + 1):
        given = a_record_over(given, title=f"Owner {number}")
    return given


@pytest.mark.parametrize("form", [name for name in FORMS if name != "record.json"])
def test_seventeen_owners_in_a_row_are_whole_and_an_eighteenth_is_too_many(form: str) -> None:
    most, more = FORMS[form](in_a_row(17)), FORMS[form](in_a_row(18))
    found = checked(most)
    assert found.whole
    assert depth_of(found.report) == 17
    found = checked(more)
    assert not found.whole
    codes = [each.code for one in broken(found.report) for each in one.report.findings]
    assert codes == ["earlier-too-many"]
    assert disagreements([("most", most), ("more", more)], [KEY]) == []


def test_records_that_name_each_other_crosswise_are_each_looked_at_once() -> None:
    """Two on each of ten levels, each with both of the level below: 1,024 ways through them, and twenty records."""
    level = [a_record_over(title="1, left"), a_record_over(title="1, right")]
    for number in range(2, 11):
        level = [a_record_over(*level, title=f"{number}, {side}") for side in ("left", "right")]
    top = a_record_over(*level, title="top")
    report = check_record(top.data, top.beside, [OWNER.verifier])
    assert report.findings == []
    assert len(all_in(report)) == len(set(all_in(report))) == 20
    assert disagreements([("page", FORMS["page"](top)), ("folder", FORMS["folder"](top))], [KEY]) == []


def test_a_record_that_lies_under_the_name_of_one_that_has_it_goes_round_in_no_circle() -> None:
    one = a_record()
    two = a_record(earlier=one)
    names = {digest_of(one.data): two.data, digest_of(two.data): two.data}
    report = check_record(two.data, {**two.beside, **names}, [OWNER.verifier])
    assert [each.code for each in report.findings] == ["earlier-missing"]
    for form in ("page", "folder"):
        given = FORMS[form](Given(two.data, {**two.beside, **names}, two.made))
        assert not checked(given).whole
        assert disagreements([(form, given)], [KEY]) == []
