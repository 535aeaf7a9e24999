"""Stamps and cosignatures asked for and taken in: whole ways there and back, every refusal, and what goes out of the house."""

from collections.abc import Callable
from dataclasses import replace

import pytest

from ledger.actor import Actor, Permission
from ledger.errors import ConflictError, ForbiddenError, InvalidError
from ledger.handing import StampKind
from ledger.ports import Ledger
from ledger.proof.stamped import a_request, stamped_bytes
from ledger.sealed import Sealed
from ledger.usecases.record import Draft, record
from ledger.usecases.stamps import cosignature_wanted, given_note, kept_stamps, stamp_wanted, take
from ledger.usecases.verify import verify_ledger
from tests.builders import a_purchase
from tests.stamping import NAME, Authority, openssl
from tests.usecases.cosigned import WITNESS, asked, grown, note_of, refused
from tests.usecases.telling import OWNER

READER = Actor(id="reader", scopes=frozenset({Permission.READ}))


@pytest.fixture(scope="module")
def authority(tmp_path_factory: pytest.TempPathFactory) -> Authority:
    return Authority.at(tmp_path_factory.mktemp("authority") / "lantern")


@pytest.fixture
def ledger(keyed_ledger: Ledger) -> Ledger:
    return keyed_ledger


def test_a_time_stamp_goes_out_as_a_request_and_comes_back_as_a_stamp(ledger: Ledger, authority: Authority) -> None:
    wanted = stamp_wanted(ledger, OWNER)
    answer = authority.answer(wanted.data)
    assert authority.verified(answer, note_of(ledger).encode(), token=False)
    taken = take(ledger, OWNER, answer, request=wanted.data)
    (told,) = taken.stamps
    assert (told.by, told.under, told.stamp.kind, told.stamp.size) == (NAME, False, StampKind.TIME_STAMP, wanted.size)
    assert told.time is not None
    assert told.sentence == f"This checkpoint existed at {told.time.isoformat()}, says {NAME}."
    assert taken.newest == wanted.size
    assert kept_stamps(ledger, OWNER) == [told]
    assert authority.verified(told.stamp.data, stamped_bytes(note_of(ledger)), token=True)
    assert ledger.timestamps is not None
    (held,) = kept_stamps(ledger, OWNER, ledger.timestamps.under(authority.root.pem))
    assert held == replace(told, under=True)


def test_the_same_stamp_twice_is_kept_once_and_its_token_alone_is_the_same(
    ledger: Ledger, authority: Authority
) -> None:
    answer = authority.answer(stamp_wanted(ledger, OWNER).data)
    (first,) = take(ledger, OWNER, answer).stamps
    take(ledger, OWNER, answer)
    take(ledger, OWNER, first.stamp.data)
    assert [each.stamp.id for each in kept_stamps(ledger, OWNER)] == [first.stamp.id]


def test_every_request_has_a_number_of_its_own_and_the_answer_to_another_is_refused(
    ledger: Ledger, authority: Authority
) -> None:
    first, second = stamp_wanted(ledger, OWNER), stamp_wanted(ledger, OWNER)
    assert first.data != second.data
    sentence = refused(ledger, authority.answer(first.data), request=second.data)
    assert sentence == "This time stamp answers another request than the one given with it."
    assert "Take the file again" in refused(ledger, authority.answer(first.data), "request", request=b"no request")


def test_a_stamp_of_none_of_its_checkpoints_is_refused(ledger: Ledger, authority: Authority) -> None:
    sentence = refused(ledger, authority.answer(a_request(b"something else", 1)))
    assert sentence == (
        "This time stamp is of none of the checkpoints of this ledger: it was given for something else."
    )


def test_a_stamp_that_was_changed_is_refused(ledger: Ledger, authority: Authority) -> None:
    answer = authority.answer(stamp_wanted(ledger, OWNER).data)
    assert "it was changed" in refused(ledger, answer[:-1] + bytes([answer[-1] ^ 1]))


def test_a_refusal_of_the_authority_is_told(ledger: Ledger, authority: Authority) -> None:
    (authority.folder / "data").write_bytes(b"x")
    sha1 = openssl("ts", "-query", "-data", authority.folder / "data", "-sha1")
    assert refused(ledger, authority.answer(sha1)).startswith(
        "The authority gave no time stamp: its answer has status 2."
    )


@pytest.mark.parametrize("data", [b"", b"<html>", b"\x30\x00", b"\xff" * 100, "a line\n\n\u2014 x\n".encode()])
def test_what_is_no_stamp_is_refused(ledger: Ledger, data: bytes) -> None:
    assert refused(ledger, data)


def test_what_is_too_large_for_a_stamp_is_not_even_read(ledger: Ledger) -> None:
    assert refused(ledger, b"\x30" * (1 << 20) + b"x") == "This is larger than any time stamp or cosignature."


def test_a_stamp_of_an_older_checkpoint_is_kept_with_that_one(ledger: Ledger, authority: Authority) -> None:
    older = stamp_wanted(ledger, OWNER)
    grown(ledger)
    taken = take(ledger, OWNER, authority.answer(older.data))
    assert [each.stamp.size for each in taken.stamps] == [older.size]
    assert taken.newest == older.size + 1


@pytest.mark.parametrize("since", [-1, 10_000])
def test_a_way_from_a_size_that_never_was_is_not_shown(ledger: Ledger, since: int) -> None:
    with pytest.raises(InvalidError) as caught:
        cosignature_wanted(ledger, OWNER, since)
    assert caught.value.problems[0].field == "since"


@pytest.mark.parametrize("ask", [stamp_wanted, lambda ledger, actor: cosignature_wanted(ledger, actor, 0)])
def test_nothing_sealed_and_nothing_of_any_entry_goes_out(
    ledger: Ledger, ask: Callable[[Ledger, Actor], object]
) -> None:
    seller = Sealed.of("canary of the harbour")
    record(ledger, OWNER, [Draft(event=a_purchase(seller=seller), new_book=True)])
    note_of(ledger)
    wanted = ask(ledger, OWNER)
    data = wanted.data  # type: ignore[attr-defined]  # both give what they want
    assert b"canary" not in data
    with ledger.log.read() as reader:
        for book in reader.book_heads():
            assert book.book.encode() not in data
        for entry in reader.stored(1, 10):
            assert entry.leaf.encode() not in data
            assert entry.act.encode() not in data


def test_who_may_only_read_can_ask_and_take_nothing_in(ledger: Ledger, authority: Authority) -> None:
    wanted = stamp_wanted(ledger, READER)
    with pytest.raises(ForbiddenError):
        take(ledger, READER, authority.answer(wanted.data))
    assert kept_stamps(ledger, READER) == []
    with pytest.raises(ForbiddenError):
        stamp_wanted(ledger, Actor(id="x", scopes=frozenset({Permission.SIGN})))


def test_where_nothing_is_kept_nothing_is_taken_in(ledger: Ledger) -> None:
    bare = replace(ledger, handing=None)
    with pytest.raises(ConflictError, match="neither kept nor checked"):
        take(bare, OWNER, b"x")
    assert kept_stamps(bare, OWNER) == []
    assert given_note(bare, note_of(ledger)) == note_of(ledger)


def test_verify_looks_at_stamps_again_and_counts_time_stamps_only_under_an_authority(
    ledger: Ledger, authority: Authority
) -> None:
    take(ledger, OWNER, authority.answer(stamp_wanted(ledger, OWNER).data))
    take(ledger, OWNER, asked(ledger).encode(), key=WITNESS.verifier.vkey)
    report = verify_ledger(ledger, OWNER, anchor=note_of(ledger))
    assert report.findings == []
    assert report.checked["stamps"] == 2
    (note,) = report.notes
    assert note.startswith("1 time stamp was not held against an authority of your choice")
    assert ledger.timestamps is not None
    under = ledger.timestamps.under(authority.root.pem)
    report = verify_ledger(ledger, OWNER, anchor=note_of(ledger), stamps=under)
    assert report.findings == []
    assert [each.split(", says ")[1] for each in report.notes] == [
        f"{NAME}.",
        f"a-neighbour ({WITNESS.verifier.key_id.hex()}).",
    ]
