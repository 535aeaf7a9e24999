"""After a change of keys: old records with the chain of keys, a theft that limits what a key can claim, and verify beside."""

from dataclasses import replace
from datetime import timedelta
from functools import partial

import pytest

from ledger.bootstrap import OWNER
from ledger.errors import ConflictError
from ledger.events.key import Action, Key
from ledger.handing import HandingWriter, Stamp
from ledger.ports import Ledger
from ledger.proof.cosigning import line_text
from ledger.proof.handed import HandedReport, check_record
from ledger.proof.key_chain import KeysFile
from ledger.proof.record_file import RecordFile
from ledger.proof.signature import CosigningKey, VerifierKey
from ledger.sealed import Sealed
from ledger.usecases.choose import Wish
from ledger.usecases.disclose import issue
from ledger.usecases.hand_on import Form, given, made_record
from ledger.usecases.keys_given import keys_file
from ledger.usecases.record import Draft, record
from ledger.usecases.rotate import Started, Why, start_new_key
from ledger.usecases.stamps import stamp_wanted, take
from ledger.when import When
from tests.stamping import NAME, Authority
from tests.usecases.houses import House
from tests.usecases.tampering import OTHER_SEED, Bench, vkey_of
from tests.usecases.test_signed import broken

WITNESS = CosigningKey.from_seed("a-neighbour", b"\x0b" * 32)


def rotated(ledger: Ledger, action: Action = Action.ROTATE, since: When | None = None) -> Started:
    why = Why(action=action, stolen_since=since, remark=Sealed.of("canary of the bank"))
    return start_new_key(ledger, OWNER, why)


def checked(data: bytes, keys: list[VerifierKey], *chains: bytes) -> HandedReport:
    return check_record(data, {}, keys, chains=chains, pictures=False)


def given_now(house: House, sha256: str) -> bytes:
    return given(house.ledger, made_record(house.ledger, OWNER, sha256), Form.FILE)


def test_a_record_from_before_a_rotation_holds_with_the_new_key_and_the_chain(house: House) -> None:
    old = house.key
    data = issue(house.ledger, OWNER, house.worked_book(), Wish()).data
    rotated(house.ledger)
    assert house.key != old
    assert checked(data, [old]).trusted
    assert not checked(data, [house.key]).trusted
    report = checked(data, [house.key], keys_file(house.ledger, OWNER))
    assert report.findings == []
    assert report.trusted
    assert [each[:52] for each in report.notes] == ["It is signed with an earlier key of this collection,"]


def test_a_record_made_after_a_rotation_has_the_chain_in_itself(house: House) -> None:
    book = house.worked_book()
    first = issue(house.ledger, OWNER, book, Wish()).data
    rotated(house.ledger)
    second = issue(house.ledger, OWNER, book, Wish()).data
    assert checked(second, [house.key]).trusted
    assert checked(first, [house.key], second).trusted


def test_the_file_of_keys_shows_keys_and_nothing_else(house: House) -> None:
    house.worked_book()
    rotated(house.ledger)
    data = keys_file(house.ledger, OWNER)
    assert b"canary" not in data
    assert len(KeysFile.from_bytes(data).entries) == 2
    assert all(b'"kind":"key"' in each.data and not each.opened for each in KeysFile.from_bytes(data).entries)


def test_the_chain_is_given_only_once_the_new_key_has_signed_it(bench: Bench) -> None:
    with bench.opened() as ledger:
        record(ledger, OWNER, [Draft(event=Key(action=Action.LOST, vkey=vkey_of(OTHER_SEED)))])
        with pytest.raises(ConflictError, match="No checkpoint covers the newest key yet"):
            keys_file(ledger, OWNER)
    bench.signed_anew(OTHER_SEED)
    with bench.opened(OTHER_SEED) as ledger:
        assert len(KeysFile.from_bytes(keys_file(ledger, OWNER)).entries) == 2


@pytest.mark.parametrize(("before", "trusted"), [(True, True), (False, False)])
def test_a_stolen_key_counts_for_a_record_that_was_cosigned_before_the_theft(
    house: House, *, before: bool, trusted: bool
) -> None:
    kept = issue(house.ledger, OWNER, house.worked_book(), Wish())
    now = house.ledger.clock.now()
    seen = now - timedelta(days=9) if before else now + timedelta(days=9)
    text = RecordFile.from_bytes(kept.data).proof.checkpoint.split("\n\n", 1)[0] + "\n"
    line = line_text(WITNESS.line(text, int(seen.timestamp())))
    take(house.ledger, OWNER, line.encode(), key=WITNESS.verifier.vkey)
    rotated(house.ledger, Action.STOLEN, When.of_day(now.date() - timedelta(days=3)))
    chain, keys = keys_file(house.ledger, OWNER), [house.key, WITNESS.verifier]
    report = checked(given_now(house, kept.sha256), keys, chain)
    assert report.trusted is trusted
    assert [each.code for each in report.findings] == ([] if trusted else ["key-stolen"])
    assert [each.code for each in checked(kept.data, keys, chain).findings] == ["key-stolen"], "not cosigned yet"


def test_a_record_is_given_away_with_the_stamps_that_came_later(
    house: House, tmp_path_factory: pytest.TempPathFactory
) -> None:
    authority = Authority.at(tmp_path_factory.mktemp("authority") / "lantern")
    kept = issue(house.ledger, OWNER, house.worked_book(), Wish())
    assert given_now(house, kept.sha256) == kept.data
    take(house.ledger, OWNER, authority.answer(stamp_wanted(house.ledger, OWNER).data))
    data = given_now(house, kept.sha256)
    assert data != kept.data
    assert house.ledger.timestamps is not None
    under = house.ledger.timestamps.under(authority.root.pem)
    report = check_record(data, {}, [house.key], stamps=under, pictures=False)
    assert report.trusted
    assert [(each.by, each.under) for each in report.stamps] == [(NAME, True)]
    assert given_now(house, kept.sha256) == data


def notes_of(bench: Bench) -> list[str]:
    notes = bench.verified(bench.anchor, seed=OTHER_SEED).notes
    return [each for each in notes if "stolen" in each]


def cosigned(bench: Bench, seconds: int) -> None:
    """The newest checkpoint of then, cosigned at that moment."""
    text = bench.anchor.split("\n\n", 1)[0] + "\n"
    with bench.opened() as ledger:
        take(ledger, OWNER, line_text(WITNESS.line(text, seconds)).encode(), key=WITNESS.verifier.vkey)


def test_verify_says_what_checkpoints_of_a_stolen_key_are_worth(bench: Bench) -> None:
    broken(bench, Action.STOLEN)
    assert [each.split(" was signed")[0] for each in notes_of(bench)] == [
        "The checkpoint over 4 entries",
        "The checkpoint over 7 entries",
        "The checkpoint kept elsewhere",
    ]
    assert notes_of(bench)[0] == (
        "The checkpoint over 4 entries was signed by a key that was stolen, since 2025: whoever had the key can have "
        "signed it, unless it was kept elsewhere since before that."
    )


def test_verify_counts_what_was_cosigned_before_the_theft_and_all_that_came_before_it(bench: Bench) -> None:
    cosigned(bench, 1700000000)  # 14 November 2023, 22:13:20 UTC
    broken(bench, Action.STOLEN)
    assert [each.split("since 2025. ")[1] for each in notes_of(bench)] == [
        "Somebody else saw it before that, on 2023-11-14T22:13:20+00:00, so it still counts."
    ] * 3


def test_verify_does_not_count_what_was_cosigned_after_the_theft(bench: Bench) -> None:
    cosigned(bench, 1767225600)  # 1 January 2026
    broken(bench, Action.STOLEN)
    assert "was first seen by somebody else on 2026-01-01T00:00:00+00:00: whoever had the key" in notes_of(bench)[0]


def kept_as(writer: HandingWriter, stamp: Stamp) -> None:
    writer.put_stamp(stamp)


def test_verify_names_a_stamp_that_is_not_of_its_checkpoint(bench: Bench) -> None:
    cosigned(bench, 1700000000)
    with bench.opened() as ledger:
        assert ledger.handing is not None
        with ledger.handing.read() as reader:
            (good,) = reader.stamps()
        for size in (4, 99):
            ledger.handing.write(partial(kept_as, stamp=replace(good, id=f"odd{size}", size=size)))
    report = bench.verified(bench.anchor)
    assert [each.code for each in report.findings] == ["stamp-differs", "stamp-differs"]
    assert report.findings[0].sentence.startswith(f"What {WITNESS.verifier.vkey} said of a checkpoint does not hold.")
    assert report.findings[1].sentence.endswith("It is kept with a checkpoint over 99 entries, and there is none.")
