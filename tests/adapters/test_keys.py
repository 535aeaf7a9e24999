"""The key file: its owner's alone, outside the data folder, never made anew for a ledger that had one."""

import os
import stat
from pathlib import Path

import pytest

from ledger.adapters.keys import FIRST_LINE, NoKey, key_path, open_or_make, signer_of
from ledger.errors import ConflictError, MalformedError
from ledger.proof.signature import open_note
from tests.conftest import COLLECTION

SEED = bytes(range(32))


@pytest.fixture
def keys(tmp_path: Path) -> Path:
    return tmp_path / "keys"


@pytest.fixture
def data(tmp_path: Path) -> Path:
    return tmp_path / "data"


def damaged(keys: Path, data: Path, content: bytes) -> MalformedError:
    keys.mkdir(exist_ok=True)
    key_path(keys, COLLECTION).write_bytes(content)
    with pytest.raises(MalformedError) as caught:
        open_or_make(keys, COLLECTION, data_folder=data, seed=SEED)
    assert key_path(keys, COLLECTION).read_bytes() == content
    return caught.value


def test_a_key_is_made_from_the_seed_and_read_again(keys: Path, data: Path) -> None:
    made = open_or_make(keys, COLLECTION, data_folder=data, seed=SEED)
    again = open_or_make(keys, COLLECTION, data_folder=data, seed=b"\x01" * 32)
    without = open_or_make(keys, COLLECTION, data_folder=data, seed=None)
    assert made.verifier == again.verifier == without.verifier == signer_of(COLLECTION, SEED).verifier
    assert key_path(keys, COLLECTION).read_text() == f"{FIRST_LINE}\n{SEED.hex()}\n"
    note = again.sign("a text\n")
    assert open_note(note, [made.verifier]).text == "a text\n"


@pytest.mark.skipif(os.name == "nt", reason="Windows has no such bits; the user's folder is closed to others there")
def test_nobody_but_its_owner_may_read_it(keys: Path, data: Path) -> None:
    before = os.umask(0)
    try:
        open_or_make(keys, COLLECTION, data_folder=data, seed=SEED)
    finally:
        os.umask(before)
    assert stat.S_IMODE(key_path(keys, COLLECTION).stat().st_mode) == 0o600
    assert stat.S_IMODE(keys.stat().st_mode) == 0o700


@pytest.mark.parametrize("inside", ["", "keys", "a/b/keys", "../data/keys"])
def test_a_key_folder_inside_the_data_folder_is_refused(data: Path, inside: str) -> None:
    folder = data / inside
    with pytest.raises(ConflictError) as caught:
        open_or_make(folder, COLLECTION, data_folder=data, seed=SEED)
    assert "lies inside the data folder" in caught.value.sentence
    assert not data.exists()


@pytest.mark.skipif(os.name == "nt", reason="making links needs a permission there")
def test_a_link_into_the_data_folder_is_seen_through(keys: Path, data: Path) -> None:
    data.mkdir()
    keys.symlink_to(data)
    with pytest.raises(ConflictError) as caught:
        open_or_make(keys, COLLECTION, data_folder=data, seed=SEED)
    assert "lies inside the data folder" in caught.value.sentence


def test_a_folder_that_only_begins_like_the_data_folder_is_another(data: Path) -> None:
    assert open_or_make(Path(f"{data}-keys"), COLLECTION, data_folder=data, seed=SEED)


def test_a_missing_key_is_never_made_anew_without_being_told(keys: Path, data: Path) -> None:
    with pytest.raises(ConflictError) as caught:
        open_or_make(keys, COLLECTION, data_folder=data, seed=None)
    assert caught.value.sentence == (
        f"The key file {key_path(keys, COLLECTION)} is missing. Put it back from your copy; "
        "without it nothing can be signed. If there is no copy, serve with --lost-key and start a new key."
    )
    assert not keys.exists()


@pytest.mark.parametrize(
    "content",
    [
        b"",
        b"\n",
        b"slipsheet signing key\n",
        b"slipsheet signing key\n" + SEED.hex().encode()[:-2] + b"\n",
        b"slipsheet signing key\n" + SEED.hex().encode() + b"00\n",
        b"slipsheet signing key\n" + b"z" * 64 + b"\n",
        b"another file\n" + SEED.hex().encode() + b"\n",
        SEED.hex().encode(),
        b"\xff\xfe\x00",
        "slipsheet signing key\n\u00e9\n".encode(),
    ],
)
def test_a_damaged_key_file_is_refused_and_left_as_it_is(keys: Path, data: Path, content: bytes) -> None:
    error = damaged(keys, data, content)
    assert error.what == f"The key file {key_path(keys, COLLECTION)}"
    assert (error.problem, error.mend) == ("it does not hold a key", "Put it back from your copy.")


def test_a_key_file_that_cannot_be_read_is_a_refusal(keys: Path, data: Path) -> None:
    key_path(keys, COLLECTION).mkdir(parents=True)
    with pytest.raises(ConflictError) as caught:
        open_or_make(keys, COLLECTION, data_folder=data, seed=None)
    assert caught.value.sentence.startswith(f"The key file {key_path(keys, COLLECTION)} cannot be read: ")


def test_the_sheet_that_is_printed_is_a_key_file_itself(keys: Path, data: Path) -> None:
    made = open_or_make(keys, COLLECTION, data_folder=data, seed=SEED)
    sheet = made.paper()
    typed = "\r\n".join(line.upper() for line in sheet.splitlines())
    key_path(keys, COLLECTION).write_text(typed)
    assert open_or_make(keys, COLLECTION, data_folder=data, seed=None).verifier == made.verifier
    mistyped = damaged(keys, data, sheet.replace(SEED.hex()[:4], "0002", 1).encode())
    assert (mistyped.what, mistyped.where) == ("The paper copy of the key", "line 1")


def test_a_failed_flush_of_the_key_is_told(keys: Path, data: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def failing(_: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", failing)
    with pytest.raises(OSError, match="No space left on device"):
        open_or_make(keys, COLLECTION, data_folder=data, seed=SEED)


def test_without_the_key_there_is_checking_and_no_signing() -> None:
    verifier = signer_of(COLLECTION, SEED).verifier
    stand_in = NoKey(verifier)
    assert stand_in.verifier == verifier
    with pytest.raises(ConflictError) as signing:
        stand_in.sign("a text\n")
    with pytest.raises(ConflictError) as printing:
        stand_in.paper()
    for caught in (signing, printing):
        assert caught.value.sentence.startswith("The key file is not at hand")


def test_two_collections_with_one_seed_have_two_keys() -> None:
    assert signer_of(COLLECTION, SEED).verifier != signer_of("a" * 26, SEED).verifier
