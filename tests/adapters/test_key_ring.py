"""Keys beside the key in use: each whole in a file of its own, none ever taken away, one taking over in one step."""

import os
import stat
from pathlib import Path

import pytest

from ledger.adapters.key_ring import KeyRing, kept_path
from ledger.adapters.keys import FIRST_LINE, NoKey, key_file, key_path, open_or_make, signer_of
from ledger.errors import ConflictError
from ledger.proof.signature import open_note
from tests.conftest import COLLECTION

FIRST, SECOND, THIRD = bytes(range(32)), b"\x01" * 32, b"\x02" * 32


def vkey(seed: bytes) -> str:
    return signer_of(COLLECTION, seed).verifier.vkey


def beside(keys: Path, seed: bytes) -> Path:
    return kept_path(keys, COLLECTION, signer_of(COLLECTION, seed).verifier)


def opened(keys: Path) -> KeyRing:
    """As the program opens it, the key made if there is none."""
    signer = open_or_make(keys, COLLECTION, data_folder=keys / "elsewhere", seed=FIRST)
    return KeyRing(COLLECTION, signer, keys)


@pytest.fixture
def keys(tmp_path: Path) -> Path:
    return tmp_path / "keys"


def test_a_kept_key_signs_nothing_until_it_is_used_and_then_signs_alone(keys: Path) -> None:
    ring = opened(keys)
    ring.keep(SECOND)
    assert ring.verifier.vkey == vkey(FIRST)
    assert beside(keys, SECOND).read_bytes() == key_file(SECOND)
    assert ring.use(vkey(SECOND))
    assert (ring.verifier.vkey, ring.at_hand) == (vkey(SECOND), True)
    assert open_note(ring.sign("a text\n"), [signer_of(COLLECTION, SECOND).verifier]).text == "a text\n"
    assert ring.paper() == signer_of(COLLECTION, SECOND).paper()


def test_the_next_start_finds_the_key_that_took_over_and_the_earlier_one_beside_it(keys: Path) -> None:
    ring = opened(keys)
    ring.keep(SECOND)
    ring.use(vkey(SECOND))
    assert opened(keys).verifier.vkey == vkey(SECOND)
    assert key_path(keys, COLLECTION).read_bytes() == key_file(SECOND)
    assert beside(keys, FIRST).read_bytes() == key_file(FIRST)
    again = opened(keys)
    assert again.use(vkey(FIRST))
    assert opened(keys).verifier.vkey == vkey(FIRST)


def test_a_key_typed_from_paper_lies_beside_as_it_was_typed(keys: Path) -> None:
    keys.mkdir()
    typed = signer_of(COLLECTION, FIRST).paper().upper()
    key_path(keys, COLLECTION).write_text(typed)
    ring = opened(keys)
    ring.keep(SECOND)
    ring.use(vkey(SECOND))
    assert beside(keys, FIRST).read_text() == typed


def test_what_cannot_be_read_as_a_key_is_laid_beside_and_not_lost(keys: Path) -> None:
    keys.mkdir()
    typed = f"{FIRST_LINE}\n1  0001 0203 0405 060x  check 00\n".encode()
    key_path(keys, COLLECTION).write_bytes(typed)
    ring = KeyRing(COLLECTION, NoKey(signer_of(COLLECTION, FIRST).verifier), keys)
    ring.keep(SECOND)
    assert ring.use(vkey(SECOND))
    assert opened(keys).verifier.vkey == vkey(SECOND)
    (unread,) = keys.glob(f"{COLLECTION}.unread-*.key")
    assert unread.read_bytes() == typed


def test_without_the_key_a_new_one_can_be_kept_and_used_and_nothing_signed_before(keys: Path) -> None:
    ring = KeyRing(COLLECTION, NoKey(signer_of(COLLECTION, FIRST).verifier), keys)
    assert (ring.verifier.vkey, ring.at_hand) == (vkey(FIRST), False)
    with pytest.raises(ConflictError):
        ring.sign("a text\n")
    with pytest.raises(ConflictError):
        ring.paper()
    ring.keep(SECOND)
    assert (ring.use(vkey(SECOND)), ring.verifier.vkey, ring.at_hand) == (True, vkey(SECOND), True)
    assert sorted(path.name for path in keys.iterdir()) == sorted(
        [key_path(keys, COLLECTION).name, beside(keys, SECOND).name]
    )


@pytest.mark.parametrize("damage", ["never kept", "cut short", "another key's", "gone"])
def test_a_key_that_is_not_kept_whole_takes_over_nothing(keys: Path, damage: str) -> None:
    ring = opened(keys)
    if damage != "never kept":
        ring.keep(SECOND)
        kept = beside(keys, SECOND)
        match damage:
            case "cut short":
                kept.write_bytes(key_file(SECOND)[:-3])
            case "another key's":
                kept.write_bytes(key_file(THIRD))
            case _:
                kept.unlink()
    assert ring.use(vkey(SECOND)) is False
    assert ring.verifier.vkey == vkey(FIRST)
    assert key_path(keys, COLLECTION).read_bytes() == key_file(FIRST)


@pytest.mark.skipif(os.name == "nt", reason="Windows has no such bits; the user's folder is closed to others there")
def test_nobody_but_its_owner_may_read_any_of_them(keys: Path) -> None:
    before = os.umask(0)
    try:
        ring = opened(keys)
        ring.keep(SECOND)
        ring.use(vkey(SECOND))
    finally:
        os.umask(before)
    assert {stat.S_IMODE(path.stat().st_mode) for path in keys.iterdir()} == {0o600}
    assert len(list(keys.iterdir())) == 3


def test_a_key_that_does_not_reach_the_disk_is_not_kept_and_leaves_nothing(
    keys: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    ring = opened(keys)

    def failing(_: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", failing)
    with pytest.raises(ConflictError) as caught:
        ring.keep(SECOND)
    assert caught.value.sentence == (
        f"The new key could not be written into {keys}: No space left on device. Nothing changed."
    )
    assert [path.name for path in keys.iterdir()] == [key_path(keys, COLLECTION).name]
    monkeypatch.undo()
    assert ring.use(vkey(SECOND)) is False


def test_a_disk_that_gives_back_other_bytes_is_not_believed(keys: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    ring = opened(keys)
    monkeypatch.setattr(Path, "read_bytes", lambda _: key_file(THIRD))
    with pytest.raises(ConflictError) as caught:
        ring.keep(SECOND)
    assert "does not hold the key that was written to it" in caught.value.sentence
    monkeypatch.undo()
    assert not beside(keys, SECOND).exists()


def test_without_a_folder_a_key_takes_over_and_no_file_is_made(keys: Path) -> None:
    ring = KeyRing(COLLECTION, signer_of(COLLECTION, FIRST))
    ring.keep(SECOND)
    assert ring.use(vkey(THIRD)) is False
    assert ring.use(vkey(SECOND))
    assert ring.use(vkey(FIRST)), "the earlier one stays at hand as long as the program runs"
    assert not keys.exists()


def test_a_ledger_that_is_only_read_keeps_and_changes_no_key() -> None:
    alone = signer_of(COLLECTION, FIRST)
    for signer in (alone, NoKey(alone.verifier)):
        with pytest.raises(ConflictError) as caught:
            signer.keep(SECOND)
        assert caught.value.sentence == "This ledger is only read here, so no new key can be started."
        assert signer.use(vkey(SECOND)) is False
