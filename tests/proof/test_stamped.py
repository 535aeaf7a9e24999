"""Time stamps read from their bytes: DER in its one spelling, what is stamped of a checkpoint, and those in a record."""

import random
from hashlib import sha256

import pytest

from ledger.adapters.timestamps import Authorities
from ledger.proof.cosigning import with_lines
from ledger.proof.der import INTEGER, OCTETS, SEQUENCE, SET, Der, read_der
from ledger.proof.given import Checked
from ledger.proof.handed import HandedReport, check_record
from ledger.proof.report import LedgerError, MalformedError
from ledger.proof.stamped import StampError, a_request, answer_of, read_request, stamped_bytes, token_of
from ledger.proof.telling import told
from tests.proof.agreeing import disagreements
from tests.proof.handing_over import FIRST, WITNESS, a_house, record_of
from tests.stamping import NAME, Authority, made, openssl

KEYS = [FIRST.verifier]
NOTE = FIRST.sign(a_house().checkpoint.to_text())


@pytest.fixture(scope="module")
def authority(tmp_path_factory: pytest.TempPathFactory) -> Authority:
    return Authority.at(tmp_path_factory.mktemp("authority") / "lantern")


@pytest.fixture(scope="module")
def answer(authority: Authority) -> bytes:
    return authority.answer(a_request(stamped_bytes(NOTE), 2**63))


@pytest.fixture(scope="module")
def token(answer: bytes) -> bytes:
    return token_of(answer).data


def checked(record: bytes, authority: bytes | None = None) -> HandedReport:
    return check_record(record, {}, KEYS, stamps=Authorities(authority) if authority else None, pictures=False)


def found(report: HandedReport) -> list[tuple[str, str]]:
    return [(each.code, each.sentence) for each in report.findings]


# Source: ITU-T X.690 sections 8.1.3 (lengths), 8.3 (numbers), 10.1 and 11.7 (the one spelling).
@pytest.mark.parametrize(
    ("data", "value"),
    [
        ("020100", 0),
        ("02017f", 127),
        ("02020080", 128),
        ("020180", -128),
        ("0202ff7f", -129),
        ("020900ffffffffffffffff", 2**64 - 1),
    ],
)
def test_a_number_is_read_from_its_one_spelling(data: str, value: int) -> None:
    assert read_der(bytes.fromhex(data)).number() == value


@pytest.mark.parametrize("data", ["02020000", "0202007f", "0202ffff", "0200", "0401ff"])
def test_a_number_in_another_spelling_is_refused(data: str) -> None:
    with pytest.raises(MalformedError):
        read_der(bytes.fromhex(data)).number()


@pytest.mark.parametrize(
    "data",
    [
        "",
        "04",
        "0402ff",
        "0480",
        "048100",
        "04817f" + "00" * 127,
        "04820080" + "00" * 128,
        "0485000000000100",
        "1f0100",
        "020100ff",
    ],
    ids=[
        "nothing",
        "no length",
        "cut off",
        "no end",
        "long for 0",
        "long for 127",
        "idle octet",
        "five octets",
        "long tag",
        "more",
    ],
)
def test_bytes_that_are_not_one_value_in_its_one_spelling_are_refused(data: str) -> None:
    with pytest.raises(MalformedError):
        read_der(bytes.fromhex(data))


def test_openssl_reads_the_same_values(token: bytes, authority: Authority) -> None:
    (authority.folder / "token").write_bytes(token)
    theirs = openssl("asn1parse", "-inform", "DER", "-in", authority.folder / "token").decode().splitlines()
    assert len(theirs) == count(read_der(token))


def count(value: Der) -> int:
    """Values in a value, and it; those within a constructed tag."""
    return 1 + (sum(map(count, value.parts(value.tag))) if value.tag & 0x20 else 0)


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("20261125221930Z", "2026-11-25T22:19:30+00:00"),
        ("20261125221930.5Z", "2026-11-25T22:19:30.500000+00:00"),
        ("20261125221930.1234567Z", "2026-11-25T22:19:30.123456+00:00"),
    ],
)
def test_a_time_is_read_with_its_parts_of_a_second(text: str, told: str) -> None:
    assert read_der(bytes([0x18, len(text)]) + text.encode()).time().isoformat() == told


@pytest.mark.parametrize(
    "text",
    [
        "20261125221930",
        "20261125221930.50Z",
        "20261125221930.Z",
        "20261325221930Z",
        "202611252219Z",
        "20261125221930+0100",
    ],
)
def test_a_time_in_another_spelling_is_refused(text: str) -> None:
    with pytest.raises(MalformedError):
        read_der(bytes([0x18, len(text)]) + text.encode()).time()


def test_what_is_stamped_is_the_note_as_the_ledger_signed_it_whoever_cosigned_later() -> None:
    cosigned = with_lines(NOTE, [WITNESS.line(a_house().checkpoint.to_text(), 1767225600)])
    assert cosigned != NOTE
    assert stamped_bytes(cosigned) == stamped_bytes(NOTE) == NOTE.encode()


def test_a_request_has_the_digest_and_the_number_and_nothing_else() -> None:
    stamped = stamped_bytes(NOTE)
    request = a_request(stamped, 5)
    version, of, nonce, certificate = read_der(request).parts()
    assert (version.number(), nonce.number(), certificate.content) == (1, 5, b"\xff")
    how, imprint = of.parts()
    assert imprint.need(OCTETS) == sha256(stamped).digest()
    assert len(how.parts()) == 2
    assert len(request) == 62
    assert b"harbour" not in request
    assert a_house().collection.encode() not in request
    assert read_request(request).nonce == 5


def test_an_answer_and_its_token_alone_are_the_same_stamp(answer: bytes, token: bytes) -> None:
    assert token_of(token) == token_of(answer)
    assert answer_of(token) == answer


def test_nothing_makes_reading_crash(answer: bytes) -> None:
    chance = random.Random(20261125)
    for _ in range(3000):
        data = bytearray(answer)
        for _ in range(chance.randint(1, 4)):
            data[chance.randrange(len(data))] = chance.randrange(256)
        cut = bytes(data[: chance.randint(0, len(data))]) if chance.random() < 0.3 else bytes(data)
        try:
            assert token_of(cut).imprint
        except LedgerError:
            continue


@pytest.mark.parametrize(
    "data", [bytes([SEQUENCE, 0]), bytes([SET, 0]), bytes([INTEGER, 1, 0]), b"<html>", b"\x30\x02\x30\x00"]
)
def test_what_is_no_stamp_is_refused(data: bytes) -> None:
    with pytest.raises(MalformedError):
        token_of(data)


def test_a_stamp_in_a_record_waits_for_an_authority(token: bytes) -> None:
    report = checked(record_of(a_house(), stamps=[token]))
    assert report.findings == []
    assert report.stamps == []
    assert report.checked["time stamps"] == 1
    (note,) = report.notes
    assert note == (
        f"A time stamp in the record says {token_of(token).time.isoformat()}. Anybody can write that: it counts once it "
        "is held against an authority that you choose (--authority)."
    )


def test_a_stamp_in_a_record_counts_under_the_authority_that_was_named(authority: Authority, token: bytes) -> None:
    report = checked(record_of(a_house(), stamps=[token]), authority.root.pem)
    assert report.findings == []
    assert report.trusted
    (said,) = report.stamps
    assert said.under
    assert report.notes == [f"This checkpoint existed at {said.time.isoformat()}, says {NAME}."]


def test_cosignatures_that_came_later_leave_the_stamp_good(authority: Authority, token: bytes) -> None:
    line = WITNESS.line(a_house().checkpoint.to_text(), 1767225600)
    report = checked(record_of(a_house(), lines=[line], stamps=[token]), authority.root.pem)
    assert report.findings == []
    assert len(report.stamps) == 1


def test_a_stamp_of_another_checkpoint_is_named_without_any_authority(authority: Authority) -> None:
    made_later = a_house()
    made_later.write("note", None)
    other = token_of(authority.answer(a_request(stamped_bytes(FIRST.sign(made_later.checkpoint.to_text())), 1))).data
    report = checked(record_of(a_house(), stamps=[other]))
    assert found(report) == [("stamp-other", "The time stamp is of something else than the checkpoint of this record.")]


def test_a_stamp_of_an_authority_that_was_not_named_is_a_finding(token: bytes) -> None:
    report = checked(record_of(a_house(), stamps=[token]), made("Another Root").pem)
    assert [code for code, _ in found(report)] == ["stamp-refused"]
    assert "does not lead to the authority that was named" in found(report)[0][1]


def test_a_changed_stamp_is_a_finding(authority: Authority, token: bytes) -> None:
    time = token_of(token).time.strftime("%Y%m%d%H%M%S").encode()
    changed = record_of(a_house(), stamps=[token.replace(time, b"20010101000000")])
    assert [code for code, _ in found(checked(changed, authority.root.pem))] == ["stamp-refused"]
    assert "it was changed" in found(checked(changed, authority.root.pem))[0][1]


@pytest.mark.parametrize("data", [b"not a stamp at all, and long enough for one", bytes([SEQUENCE, 0]) * 16])
def test_bytes_that_are_no_stamp_are_a_finding(data: bytes) -> None:
    report = checked(record_of(a_house(), stamps=[data]))
    assert [code for code, _ in found(report)] == ["stamp-unreadable"]


def test_a_refusal_says_its_words() -> None:
    status = bytes.fromhex("3019 3017 020102 3012 0c10".replace(" ", "")) + b"No\x1b[2J such luck"
    with pytest.raises(StampError) as caught:
        token_of(status)
    assert "'No\\x1b[2J such luck'" in str(caught.value)


def test_a_refusal_with_a_number_too_long_to_be_written_out_is_a_refusal() -> None:
    # 2000 octets of a number in two sequences: more digits than Python writes out (`sys.get_int_max_str_digits`).
    answer = bytes.fromhex("308207d8 308207d4 028207d0") + b"\x7f" * 2000
    with pytest.raises(StampError, match="its answer has status unknown"):
        token_of(answer)


def test_the_second_verifier_says_the_same_of_stamps_good_and_bad(authority: Authority, token: bytes) -> None:
    later = a_house()
    later.write("note", None)
    other = token_of(authority.answer(a_request(stamped_bytes(FIRST.sign(later.checkpoint.to_text())), 1))).data
    line = WITNESS.line(a_house().checkpoint.to_text(), 1767225600)
    records = {
        "good": record_of(a_house(), stamps=[token]),
        "cosigned since": record_of(a_house(), lines=[line], stamps=[token]),
        "of another checkpoint": record_of(a_house(), stamps=[other]),
        "no stamp": record_of(a_house(), stamps=[b"x"]),
        "cut": record_of(a_house(), stamps=[token[:-1]]),
    }
    assert disagreements(records.items(), [FIRST.verifier.vkey]) == []


def test_who_reads_the_verdict_is_not_told_that_nobody_saw_it_where_an_authority_did(
    authority: Authority, token: bytes
) -> None:
    record = record_of(a_house(), stamps=[token])
    for pem, nobody in ((authority.root.pem, False), (None, True)):
        lines = "\n".join(told(Checked(report=checked(record, pem), record=record)))
        assert ("no second person's signature was checked" in lines) is nobody
        assert (f"says {NAME}." in lines) is not nobody
