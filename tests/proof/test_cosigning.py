"""A second person cosigns: as published, what they are shown, and every way in which it is not the same ledger grown."""

from base64 import b64encode
from dataclasses import replace

import pytest

from ledger.proof.attested import open_checkpoint
from ledger.proof.cosigned import Cosigned, Seen
from ledger.proof.cosigning import Shown, cosign, line_text, moment_of, read_shown, with_lines, write_shown
from ledger.proof.merkle import consistency_proof
from ledger.proof.note import read_note
from ledger.proof.record import verify
from ledger.proof.report import LedgerError, MalformedError
from ledger.proof.signature import CosigningKey, ForgedError, SigningKey, UnsignedError, open_note, parse_vkey
from ledger.proof.stamped import StampError
from tests.proof.making import BOOK_A, OTHER_COLLECTION, OTHER_SEED, OWNER, Made, a_cosignature, a_ledger
from tests.proof.vectors import load

WITNESS = CosigningKey.from_seed("example.org/witness-1", OTHER_SEED)
OWN = [OWNER.verifier]
TIME = 1767225600
MADE = a_ledger()


def shown(made: Made = MADE, since: int = 0) -> Shown:
    grown = 0 < since < made.tree.size
    proof = consistency_proof(since, made.tree.size, made.tree.read) if grown else []
    return Shown(note=made.note, old=since, proof=tuple(proof))


def refused(asked: Shown, last: str | None = None) -> str:
    with pytest.raises(StampError) as caught:
        cosign(asked, OWN, last, WITNESS, TIME)
    return str(caught.value)


def test_a_cosignature_is_the_published_one_byte_for_byte() -> None:
    case = load("notes/good/signature-and-cosignature.json")
    text = read_note(case["note"]).text
    own, theirs = read_note(case["note"]).lines
    seconds = int.from_bytes(theirs.signature[:8], "big")
    # The key of RFC 8032 section 7.1, TEST 2, under the name in that note; the same seed as in the case.
    key = CosigningKey.from_seed(theirs.name, OTHER_SEED)
    assert key.line(text, seconds) == theirs
    assert case["note"].endswith(line_text(theirs))
    assert line_text(own) in case["note"]


def test_a_cosignature_holds_for_whoever_has_the_key() -> None:
    line = cosign(shown(), OWN, None, WITNESS, TIME)
    note = with_lines(MADE.note, [line])
    assert note == a_cosignature(MADE.note, "example.org/witness-1", TIME)[0]
    checkpoint, opened = open_checkpoint(note, [*OWN, WITNESS.verifier])
    assert checkpoint == MADE.checkpoint
    assert [(each.key, each.timestamp) for each in opened.verified] == [(OWN[0], None), (WITNESS.verifier, TIME)]
    assert with_lines(note, [line]) == note


def test_its_secret_never_shows() -> None:
    assert OTHER_SEED.hex() not in repr(WITNESS)
    assert repr(WITNESS).count("private") == 0


@pytest.mark.parametrize("since", range(11))
def test_what_is_shown_is_read_as_it_was_written(since: int) -> None:
    asked = shown(since=since)
    assert read_shown(write_shown(asked).encode()) == asked
    assert write_shown(asked).startswith(f"old {since}\n")


def test_a_checkpoint_by_itself_is_shown_without_a_way_to_it() -> None:
    assert read_shown(MADE.note.encode()) == Shown(note=MADE.note)


@pytest.mark.parametrize("since", range(11))
def test_a_ledger_that_only_grew_is_cosigned(since: int) -> None:
    last = a_ledger(since).note if since else None
    line = cosign(shown(since=since), OWN, last, WITNESS, TIME)
    assert open_note(with_lines(MADE.note, [line]), [WITNESS.verifier]).verified[0].timestamp == TIME


def test_from_the_empty_ledger_no_proof_is_needed() -> None:
    empty = Made()
    assert cosign(shown(), OWN, empty.note, WITNESS, TIME).name == "example.org/witness-1"


def test_an_old_checkpoint_beside_a_newer_one_is_not_cosigned() -> None:
    assert refused(shown(a_ledger(7)), MADE.note) == (
        "This checkpoint is over 7 entries, and the one cosigned last was over 10: entries are missing, or an old one was "
        "handed out. It is not cosigned."
    )


def another_history() -> Made:
    made = a_ledger(3)
    for number in range(4, 11):
        made.write("note", BOOK_A, body={"said": f"something else, {number}"})
    return made


def test_two_histories_under_one_name_are_told() -> None:
    other = another_history()
    sentence = (
        "The first {} entries are not those that were cosigned last: this is another history under the same name. "
        "Do not cosign it, and keep both files: together they show it."
    )
    assert refused(shown(other), MADE.note) == sentence.format(10)
    assert refused(shown(other, 7), a_ledger(7).note) == sentence.format(7)
    heads = OWNER.sign(replace(MADE.checkpoint, heads_root=b"\x01" * 32).to_text())
    assert refused(Shown(note=heads), MADE.note) == sentence.format(10)


@pytest.mark.parametrize("asked", [Shown(note=MADE.note), shown(since=4), shown(since=0)])
def test_a_way_that_does_not_begin_where_they_stopped_is_not_enough(asked: Shown) -> None:
    assert refused(asked, a_ledger(7).note) == (
        "Nothing shows how the ledger grew from the 7 entries that were cosigned last to 10. Ask the owner for a request "
        "from that size: slipsheet stamp request --since 7."
    )


def test_a_way_from_somewhere_that_they_never_were_is_told() -> None:
    assert refused(shown(since=7)).startswith("The request begins at 7 entries, and nothing of this ledger has been")


def test_another_ledger_is_told() -> None:
    last = a_ledger(collection=OTHER_COLLECTION).note
    assert refused(shown(), last) == f"This is a checkpoint of another ledger, {MADE.checkpoint.origin}."


def test_a_checkpoint_that_the_owner_did_not_sign_is_not_cosigned() -> None:
    stranger = SigningKey.from_seed(MADE.checkpoint.origin, OTHER_SEED)
    with pytest.raises(UnsignedError):
        cosign(Shown(note=stranger.sign(MADE.checkpoint.to_text())), OWN, None, WITNESS, TIME)
    with pytest.raises(ForgedError):
        cosign(Shown(note=MADE.note.replace("\n10\n", "\n11\n")), OWN, None, WITNESS, TIME)


def test_the_owners_own_name_cosigns_nothing() -> None:
    own = CosigningKey.from_seed(MADE.checkpoint.origin, OTHER_SEED)
    with pytest.raises(StampError, match="a second person has to"):
        cosign(shown(), OWN, None, own, TIME)


BAD = write_shown(shown(since=7))
HASH = b64encode(shown(since=7).proof[0]).decode()


@pytest.mark.parametrize(
    "text",
    [
        "",
        "old 7",
        BAD.replace("old 7", "old 07"),
        BAD.replace("old 7", "old -7"),
        BAD.replace(HASH, HASH.rstrip("=")),
        BAD.replace(HASH, "ab/d!"),
        BAD.replace("old 7\n", "old 7\n" + f"{HASH}\n" * 63),
        BAD[: len(BAD) // 2],
        BAD.replace("\n\n", "\n", 1),
    ],
)
def test_a_request_that_is_not_spelled_as_it_must_be_is_refused(text: str) -> None:
    with pytest.raises(MalformedError):
        cosign(read_shown(text.encode()), OWN, a_ledger(7).note, WITNESS, TIME)


def test_bytes_that_are_no_text_are_refused() -> None:
    with pytest.raises(MalformedError, match="it is not UTF-8"):
        read_shown(b"\xff\xfe")


def test_no_request_can_make_it_crash() -> None:
    data = BAD.encode()
    for place in range(0, len(data), 3):
        for other in (0x00, 0x0A, 0xFF):
            changed = data[:place] + bytes([other]) + data[place + 1 :]
            try:
                cosign(read_shown(changed), OWN, a_ledger(7).note, WITNESS, TIME)
            except LedgerError:
                continue
            assert read_note(read_shown(changed).note).text == read_note(MADE.note).text


def test_the_file_of_what_was_cosigned_is_read_as_it_was_written() -> None:
    seen = Seen(note=MADE.note, keys=(OWNER.verifier,))
    cosigned = Cosigned().with_one("a", Seen()).with_one(MADE.checkpoint.origin, seen)
    assert Cosigned.from_bytes(cosigned.to_bytes()) == cosigned
    assert cosigned.of(MADE.checkpoint.origin) == seen
    assert cosigned.of("nothing of this") == Seen()


@pytest.mark.parametrize(
    "data",
    [
        b"",
        b"{}",
        b'{"format":"slipsheet-cosigned/2","ledgers":{}}',
        b'{"format":"slipsheet-cosigned/1","ledgers":[]}',
        b'{"format":"slipsheet-cosigned/1","ledgers":{"a":{"keys":["b"],"note":null}}}',
        b'{"format":"slipsheet-cosigned/1","ledgers":{"a":{"keys":[]}}}',
    ],
)
def test_a_file_that_is_none_of_these_is_refused(data: bytes) -> None:
    with pytest.raises(MalformedError):
        Cosigned.from_bytes(data)


def test_a_cosignature_of_another_ledger_in_a_record_is_named() -> None:
    other = a_ledger(collection=OTHER_COLLECTION)
    line = WITNESS.line(other.checkpoint.to_text(), TIME)
    keys = [*OWN, WITNESS.verifier]
    file = MADE.proof_file(BOOK_A)
    found = verify(replace(file, checkpoint=with_lines(MADE.note, [line])).to_bytes(), keys).findings
    assert [each.code for each in found] == ["checkpoint-forged"]
    assert found[0].sentence.startswith("The signature of example.org/witness-1 (")


def test_a_cosignature_over_an_older_size_beside_a_new_one_is_named() -> None:
    line = WITNESS.line(a_ledger(7).checkpoint.to_text(), TIME)
    file = replace(MADE.proof_file(BOOK_A), checkpoint=with_lines(MADE.note, [line]))
    found = verify(file.to_bytes(), [*OWN, WITNESS.verifier]).findings
    assert [(each.code, "one of them was changed" in each.sentence) for each in found] == [("checkpoint-forged", True)]


def test_a_cosignature_by_a_key_that_nobody_knows_proves_nothing_and_hurts_nothing() -> None:
    line = WITNESS.line(MADE.checkpoint.to_text(), TIME)
    file = replace(MADE.proof_file(BOOK_A), checkpoint=with_lines(MADE.note, [line]))
    report = verify(file.to_bytes(), OWN)
    assert report.findings == []
    assert [each.timestamp for each in report.signed] == [None]
    assert report.unknown_signers == ("example.org/witness-1",)


def test_a_key_to_cosign_with_checks_as_its_own_kind_and_no_other() -> None:
    key = WITNESS.verifier
    assert parse_vkey(key.vkey) == key
    plain = SigningKey.from_seed(key.name, OTHER_SEED).verifier
    assert plain.key_id != key.key_id
    note = with_lines(MADE.note, [WITNESS.line(MADE.checkpoint.to_text(), TIME)])
    with pytest.raises(UnsignedError):
        open_note(note, [plain])


# Source: `date -u -d @253402300799` and `date -u -d @0`.
@pytest.mark.parametrize(
    ("second", "moment"), [(0, "1970-01-01T00:00:00+00:00"), (253_402_300_799, "9999-12-31T23:59:59+00:00")]
)
def test_a_cosignature_is_of_a_moment_up_to_the_end_of_the_year_9999(second: int, moment: str) -> None:
    assert moment_of(second).isoformat() == moment


@pytest.mark.parametrize("second", [-1, 253_402_300_800, 2**62, 2**64])
def test_a_time_that_no_calendar_has_is_not_cosigned(second: int) -> None:
    with pytest.raises(StampError, match="a time after the year 9999 or before 1970"):
        cosign(Shown(note=MADE.note), OWN, None, WITNESS, second)
