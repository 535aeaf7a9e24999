"""Keys one after another: a record under an earlier key, what a stolen key is worth, and chains that do not hold."""

from datetime import UTC, datetime, timedelta

import pytest

from ledger.proof.handed import HandedReport, check_record
from ledger.proof.key_chain import KeysFile, begins, read_chain
from ledger.proof.proof_file import EntryProof
from ledger.proof.report import MalformedError, Report
from ledger.proof.signature import VerifierKey
from ledger.proof.stamped import StampSaid, a_request, stamped_bytes, token_of
from ledger.when import When
from tests.proof.handing_over import (
    FIRST,
    SECOND,
    THIRD,
    WITNESS,
    a_house,
    after,
    chain_of,
    handed_over,
    key_entry,
    record_of,
)
from tests.proof.making import BOOK_A, Made
from tests.stamping import Authority

NEW = [SECOND.verifier]
OLD_RECORD = record_of(a_house())
NAME = f"{FIRST.verifier.name} ({FIRST.verifier.key_id.hex()})"
STOLEN = "2026-03-10"
EARLIER = (f"It is signed with an earlier key of this collection, {NAME}, in use from entry 1 until entry 4.",)


def checked(record: bytes, keys: list[VerifierKey], *chains: bytes) -> HandedReport:
    return check_record(record, {}, keys, chains=chains, pictures=False)


def found(report: HandedReport) -> list[str]:
    return [each.code for each in report.findings]


def seconds(text: str) -> int:
    return int(datetime.fromisoformat(text).timestamp())


def test_after_a_hand_over_the_old_record_still_holds_with_the_old_key() -> None:
    report = checked(OLD_RECORD, [FIRST.verifier])
    assert report.trusted
    assert report.notes == []


def test_with_the_new_key_alone_nobody_knows_whose_the_old_record_is() -> None:
    report = checked(OLD_RECORD, NEW)
    assert found(report) == ["checkpoint-other-key"]
    assert not report.trusted


def test_with_the_new_key_and_the_chain_it_is_told_as_signed_by_an_earlier_key() -> None:
    report = checked(OLD_RECORD, NEW, chain_of(after()))
    assert report.findings == []
    assert report.trusted
    assert tuple(report.notes) == EARLIER


def test_a_newer_record_of_the_same_collection_has_the_chain_too() -> None:
    made = after()
    keys = tuple(
        EntryProof(data=each.to_bytes(), proof=made.proof_of(each.seq)) for each in made.said if each.kind == "key"
    )
    newer = record_of(made, SECOND, collection=keys)
    report = checked(OLD_RECORD, NEW, newer)
    assert report.trusted
    assert tuple(report.notes) == EARLIER


def test_two_hand_overs_reach_back_to_the_first_key() -> None:
    made = after()
    key_entry(made, "rotate", THIRD, handed_over(SECOND, THIRD))
    report = checked(OLD_RECORD, [THIRD.verifier], chain_of(made, THIRD))
    assert report.trusted
    assert tuple(report.notes) == EARLIER


def test_the_chain_file_opens_nothing_and_has_key_entries_only() -> None:
    data = chain_of(after())
    file = KeysFile.from_bytes(data)
    assert file.to_bytes() == data
    assert [each.opened for each in file.entries] == [(), ()]
    assert b"bank" not in data
    assert b"harbour" not in data


def test_a_chain_that_another_key_signed_vouches_for_nobody() -> None:
    forged = chain_of(after(), THIRD)
    report = checked(OLD_RECORD, NEW, forged)
    assert found(report) == ["keys-unusable", "checkpoint-other-key"]
    assert checked(OLD_RECORD, [], chain_of(after())).findings[0].code == "keys-unusable"


def test_a_stranger_cannot_make_themselves_an_earlier_key() -> None:
    """They can sign that they hand over to the new key; that entry is in no ledger that the new key signed."""
    stranger = THIRD
    made = Made()
    key_entry(made, "start", stranger)
    for _ in range(2):
        made.write("purchase", BOOK_A)
    key_entry(made, "rotate", SECOND, handed_over(stranger, SECOND))
    forged = KeysFile(
        checkpoint=SECOND.sign(after().checkpoint.to_text()),
        entries=tuple(EntryProof(data=made.entries[seq - 1], proof=made.proof_of(seq)) for seq in (1, 4)),
    )
    report = checked(record_of(a_house(), stranger), NEW, forged.to_bytes())
    assert set(found(report)) == {"entry-not-in-ledger", "checkpoint-other-key"}


def test_a_chain_with_a_key_entry_left_out_is_told() -> None:
    made = after()
    key_entry(made, "rotate", THIRD, handed_over(SECOND, THIRD))
    report = checked(OLD_RECORD, [THIRD.verifier], chain_of(made, THIRD, left_out=[4]))
    assert report.findings[0].code == "keys-broken"
    assert report.findings[0].sentence.startswith(
        "The keys in the file of keys do not follow one another: a key entry was left out."
    )


def test_a_hand_over_of_another_change_joins_nothing() -> None:
    made = after(handover=handed_over(FIRST, THIRD))
    assert found(checked(OLD_RECORD, NEW, chain_of(made)))[0] == "keys-broken"


def test_a_key_that_was_lost_is_known_but_not_who_signed_with_it() -> None:
    chain = chain_of(after("lost"))
    report = checked(OLD_RECORD, NEW, chain)
    assert report.findings == []
    assert not report.trusted
    assert report.notes[0] == EARLIER[0]
    assert report.notes[1].startswith("That key did not hand over to the next one: it was lost")
    # Whoever has it from its owner knows more than the chain.
    assert checked(OLD_RECORD, [FIRST.verifier], chain).findings[0].code == "keys-unusable"
    assert checked(OLD_RECORD, [FIRST.verifier, *NEW], chain).trusted


def test_what_a_key_signed_after_it_had_ended_is_a_finding() -> None:
    made = after()
    report = checked(record_of(made), NEW, chain_of(made))
    assert found(report) == ["key-ended"]
    assert report.findings[0].sentence == (
        "It speaks of 4 entries and is signed with a key that ended with entry 4: it was signed after that, and not by "
        "the collection."
    )


def stolen_record(*times: str) -> HandedReport:
    made = a_house()
    lines = [WITNESS.line(made.checkpoint.to_text(), seconds(each)) for each in times]
    chain = chain_of(after("stolen", stolen_since=STOLEN))
    return check_record(record_of(made, lines=lines), {}, [*NEW, WITNESS.verifier], chains=[chain], pictures=False)


def test_a_stolen_key_signs_nothing_that_counts() -> None:
    report = stolen_record()
    assert found(report) == ["key-stolen"]
    assert report.findings[0].sentence == (
        "It is signed with a key that was stolen, since 2026-03-10, and nobody whom you trust saw it before: it is not "
        "trusted."
    )
    assert not report.trusted


def test_a_cosignature_before_the_theft_keeps_the_record_good() -> None:
    report = stolen_record("2026-03-09T09:59:59+00:00")
    assert report.findings == []
    assert report.trusted
    assert report.notes[0] == (
        "It is signed with a key that was stolen, since 2026-03-10. It was seen by somebody else before that, at "
        "2026-03-09T09:59:59+00:00."
    )


@pytest.mark.parametrize(
    "time", ["2026-03-09T10:00:00+00:00", "2026-03-10T12:00:00+00:00", "2026-05-01T00:00:00+00:00"]
)
def test_a_cosignature_that_may_be_from_after_the_theft_does_not(time: str) -> None:
    """The day of the theft begins fourteen hours earlier somewhere on earth than in UTC."""
    report = stolen_record(time)
    assert found(report) == ["key-stolen"]
    assert report.findings[0].sentence == (
        f"It is signed with a key that was stolen, since 2026-03-10, and was first seen by somebody else at {time}, not "
        "before: it is not trusted."
    )


def test_a_stolen_key_that_is_given_as_known_is_told_all_the_same() -> None:
    chain = chain_of(after("stolen", stolen_since=STOLEN))
    report = checked(OLD_RECORD, [FIRST.verifier, *NEW], chain)
    assert found(report) == ["key-stolen"]


@pytest.fixture(scope="module")
def a_token(tmp_path_factory: pytest.TempPathFactory) -> bytes:
    authority = Authority.at(tmp_path_factory.mktemp("authority") / "lantern")
    note = FIRST.sign(a_house().checkpoint.to_text())
    return token_of(authority.answer(a_request(stamped_bytes(note), 7))).data


@pytest.mark.parametrize(
    ("under", "time", "codes"),
    [
        (True, "2026-03-01T00:00:00+00:00", []),
        (True, "2026-03-11T00:00:00+00:00", ["key-stolen"]),
        (False, "2026-03-01T00:00:00+00:00", ["key-stolen"]),
    ],
)
def test_a_time_stamp_counts_for_a_stolen_key_only_under_an_authority_that_was_named(
    time: str, codes: list[str], a_token: bytes, *, under: bool
) -> None:
    chain = chain_of(after("stolen", stolen_since=STOLEN))
    said = StampSaid(time=datetime.fromisoformat(time), by="Paper Lantern Time", under=under)
    record = record_of(a_house(), stamps=[a_token])
    report = check_record(record, {}, NEW, chains=[chain], stamps=lambda _token, _data: said, pictures=False)
    assert found(report) == codes


@pytest.mark.parametrize("data", [b"", b"{}", b'{"format":"slipsheet-keys/2","checkpoint":"","entries":[]}', b"[]"])
def test_a_file_that_is_no_chain_is_told(data: bytes) -> None:
    report = Report()
    assert read_chain(data, NEW, report) is None
    assert [each.code for each in report.findings] == ["keys-unusable"]
    with pytest.raises(MalformedError):
        KeysFile.from_bytes(data)


@pytest.mark.parametrize(
    "text",
    [
        *("1998", "1998-04", "1998-04-03", "199X", "1998-04-03/1998-05", "1998/1999", "2024-05-01T14:30:00+02:00"),
        *("2024-05-01T14:30:00Z", "2000-02-29"),
    ],
)
def test_the_first_moment_of_a_date_is_the_one_that_dates_have_everywhere_here(text: str) -> None:
    assert begins(text) == When(text).span()[0]


def test_what_is_no_date_has_no_first_moment() -> None:
    for text in ("", "yesterday", "1998-13", "1998-02-30", "0000", "19XX", "2024-05-01T25:00:00Z"):
        assert begins(text) is None
    assert begins("1998") == datetime(1998, 1, 1, tzinfo=UTC) - timedelta(hours=14)
