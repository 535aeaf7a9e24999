"""Cosignatures there and back: where they stand afterwards, and every line that is not of this ledger or this neighbour."""

from dataclasses import replace

import pytest

from ledger.handing import Stamp, StampKind
from ledger.ports import Ledger
from ledger.proof.canonical import encode
from ledger.proof.checkpoint import origin_of
from ledger.proof.cosigning import line_text, with_lines
from ledger.proof.record import verify
from ledger.proof.signature import SigningKey
from ledger.settings import Settings
from ledger.usecases.prove import book_proof
from ledger.usecases.stamps import given_note, kept_stamps, stamp_wanted, take
from ledger.usecases.verify import verify_ledger
from tests.proof.making import OTHER_COLLECTION, a_ledger
from tests.usecases.cosigned import SAME_NAME, TIME, WITNESS, asked, grown, line_over, note_of, refused, text_of
from tests.usecases.keyed import a_ledger as keyed
from tests.usecases.telling import OWNER


@pytest.fixture
def ledger(keyed_ledger: Ledger) -> Ledger:
    return keyed_ledger


def test_a_cosignature_goes_there_and_back_and_stands_wherever_the_checkpoint_is_given_away(ledger: Ledger) -> None:
    first = note_of(ledger)
    (told,) = take(ledger, OWNER, asked(ledger).encode(), key=f" {WITNESS.verifier.vkey}\n").stamps
    assert (told.stamp.kind, told.stamp.by, told.under) == (StampKind.COSIGNATURE, WITNESS.verifier.vkey, True)
    expected = (
        f"This checkpoint existed at 2026-01-01T00:00:00+00:00, says a-neighbour ({WITNESS.verifier.key_id.hex()})."
    )
    assert told.sentence == expected
    assert given_note(ledger, first) == with_lines(first, [WITNESS.line(text_of(first), TIME)])
    with ledger.log.read() as reader:
        book = reader.book_heads()[0].book
    report = verify(encode(book_proof(ledger, OWNER, book)), [ledger.signer.verifier, WITNESS.verifier])
    assert [each.timestamp for each in report.signed] == [None, TIME]


def test_the_next_cosignature_needs_the_key_no_more_and_shows_how_the_ledger_grew(ledger: Ledger) -> None:
    size = take(ledger, OWNER, asked(ledger).encode(), key=WITNESS.verifier.vkey).stamps[0].stamp.size
    newer = grown(ledger)
    assert given_note(ledger, newer) == newer
    take(ledger, OWNER, asked(ledger, size).encode())
    assert [each.stamp.size for each in kept_stamps(ledger, OWNER)] == [size, size + 1]
    assert given_note(ledger, newer) != newer


def test_a_whole_note_with_a_cosignature_under_it_is_taken_too(ledger: Ledger) -> None:
    note = note_of(ledger)
    cosigned = with_lines(note, [WITNESS.line(text_of(note), TIME)])
    taken = take(ledger, OWNER, cosigned.replace("\n", "\r\n").encode(), key=WITNESS.verifier.vkey)
    assert [each.stamp.data.decode() for each in taken.stamps] == [line_over(note)]


def test_a_cosignature_of_another_ledger_is_named(ledger: Ledger) -> None:
    other = a_ledger(collection=OTHER_COLLECTION)
    under = with_lines(other.note, [WITNESS.line(other.checkpoint.to_text(), TIME)])
    sentence = refused(ledger, under, key=WITNESS.verifier.vkey)
    assert sentence == f"This is a cosignature of another ledger, {other.checkpoint.origin}."
    alone = refused(ledger, line_over(other.note), key=WITNESS.verifier.vkey)
    assert alone == (
        "The cosignature of a-neighbour belongs to no checkpoint of this ledger: it is of another one, or was changed."
    )


def test_a_cosignature_over_an_older_size_beside_a_new_one_is_named(ledger: Ledger) -> None:
    older, size = note_of(ledger), stamp_wanted(ledger, OWNER).size
    newer = grown(ledger)
    beside = with_lines(newer, [WITNESS.line(text_of(older), TIME)])
    assert refused(ledger, beside, key=WITNESS.verifier.vkey) == (
        f"The cosignature of a-neighbour is of the checkpoint over {size} entries and stands under the one over "
        f"{size + 1}, of which it says nothing."
    )
    taken = take(ledger, OWNER, line_over(older).encode(), key=WITNESS.verifier.vkey)
    assert (taken.stamps[0].stamp.size, taken.newest) == (size, size + 1)


def test_a_checkpoint_that_this_ledger_never_signed_is_named(ledger: Ledger) -> None:
    stranger = SigningKey.from_seed(origin_of(ledger.collection), b"\x0d" * 32)
    made_up = a_ledger(collection=ledger.collection).checkpoint.to_text()
    under = with_lines(stranger.sign(made_up), [WITNESS.line(made_up, TIME)])
    sentence = refused(ledger, under, key=WITNESS.verifier.vkey)
    assert sentence == "The checkpoint above the cosignature is none that this ledger signed."


def test_a_cosignature_by_another_key_of_that_name_is_named(ledger: Ledger) -> None:
    note = note_of(ledger)
    theirs, ours = (f"a-neighbour ({each.verifier.key_id.hex()})" for each in (SAME_NAME, WITNESS))
    assert refused(ledger, line_over(note, SAME_NAME), key=WITNESS.verifier.vkey) == (
        f"It is cosigned by {theirs}, and the key at hand is another, {ours}. Ask which one is right."
    )
    take(ledger, OWNER, line_over(note).encode(), key=WITNESS.verifier.vkey)
    assert f"the key at hand is another, {ours}" in refused(ledger, line_over(note, SAME_NAME))


def test_a_cosignature_whose_key_nobody_gave_says_to_give_it(ledger: Ledger) -> None:
    assert refused(ledger, line_over(note_of(ledger))) == (
        f"It is cosigned by a-neighbour ({WITNESS.verifier.key_id.hex()}), whose verifier key is not known here. Give it "
        "once with the cosignature."
    )


def test_a_key_of_another_kind_and_one_that_is_none_are_named(ledger: Ledger) -> None:
    line = line_over(note_of(ledger))
    plain = SigningKey.from_seed("a-neighbour", b"\x0b" * 32).verifier
    assert "This key signs a ledger" in refused(ledger, line, key=plain.vkey)
    assert "it is not name+id+key" in refused(ledger, line, "key", key="a-neighbour")


def test_the_ledgers_own_signature_is_no_cosignature(ledger: Ledger) -> None:
    assert refused(ledger, note_of(ledger), key=WITNESS.verifier.vkey) == (
        "Nobody but this ledger itself signed that: there is no cosignature in it."
    )


def test_a_changed_cosignature_is_named(ledger: Ledger) -> None:
    note = note_of(ledger)
    line = WITNESS.line(text_of(note), TIME)
    later = replace(line, signature=(TIME + 1).to_bytes(8, "big") + line.signature[8:])
    assert "or was changed" in refused(ledger, line_text(later), key=WITNESS.verifier.vkey)


TOO_LATE = 253_402_300_800
"""`date -u -d 9999-12-31T23:59:59Z +%s`, and one more."""


@pytest.mark.parametrize("time", [TOO_LATE, 2**62, 2**64 - 1])
def test_a_cosignature_with_a_time_that_no_calendar_has_is_refused(ledger: Ledger, time: int) -> None:
    line = line_text(WITNESS.line(text_of(note_of(ledger)), time))
    assert refused(ledger, line, key=WITNESS.verifier.vkey).startswith(
        "The cosignature gives a time after the year 9999"
    )


def test_the_last_second_of_the_last_year_is_taken_in(ledger: Ledger) -> None:
    line = line_text(WITNESS.line(text_of(note_of(ledger)), TOO_LATE - 1))
    (told,) = take(ledger, OWNER, line.encode(), key=WITNESS.verifier.vkey).stamps
    assert told.sentence.startswith("This checkpoint existed at 9999-12-31T23:59:59+00:00, says ")


def test_one_that_was_kept_before_is_told_as_a_fault_and_not_given_away(settings: Settings) -> None:
    with keyed(settings) as ledger:
        _keep_one_without_a_moment(ledger)
        (told,) = kept_stamps(ledger, OWNER)
        assert (told.time, told.fault[:50]) == (None, "The cosignature gives a time after the year 9999 o")
        assert given_note(ledger, note_of(ledger)) == note_of(ledger)
        assert [each.code for each in verify_ledger(ledger, OWNER).findings] == ["stamp-differs"]


def _keep_one_without_a_moment(ledger: Ledger) -> None:
    note = note_of(ledger)
    line = line_text(WITNESS.line(text_of(note), 2**62)).encode()
    by, size = WITNESS.verifier.vkey, stamp_wanted(ledger, OWNER).size
    kept = Stamp(id="s", kind=StampKind.COSIGNATURE, size=size, made=ledger.clock.now(), by=by, data=line)
    assert ledger.handing is not None
    ledger.handing.write(lambda writer: writer.put_stamp(kept))
