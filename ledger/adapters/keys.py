"""The signing key in a file outside the data folder, readable by its owner alone."""

import os
import secrets
from pathlib import Path

from ledger.adapters.folders import force_folder, make_folder
from ledger.errors import ConflictError
from ledger.key_paper import lines_of, seed_of
from ledger.proof.checkpoint import origin_of
from ledger.proof.report import MalformedError
from ledger.proof.signature import SigningKey, VerifierKey

FIRST_LINE = "slipsheet signing key"
SEED_BYTES = 32


class _Alone:
    """No other key is kept beside it: keys are kept and changed only while the ledger is open for writing."""

    def keep(self, seed: bytes) -> None:  # noqa: ARG002 - it has the shape of a signer
        """Raises: ConflictError, always."""
        raise ConflictError(sentence="This ledger is only read here, so no new key can be started.")

    def use(self, vkey: str) -> bool:  # noqa: ARG002 - it has the shape of a signer
        """There is none to go over to."""
        return False


class KeySigner(_Alone):
    """Signs with a key that is at hand."""

    at_hand = True

    def __init__(self, key: SigningKey, seed: bytes) -> None:
        self._key, self.seed = key, seed

    @property
    def verifier(self) -> VerifierKey:
        """What others check its signatures with."""
        return self._key.verifier

    def sign(self, text: str) -> str:
        """The text as a signed note."""
        return self._key.sign(text)

    def paper(self) -> str:
        """The secret itself, as a key file that can be printed and typed back."""
        return "\n".join([FIRST_LINE, *lines_of(self.seed)]) + "\n"


class NoKey(_Alone):
    """Stands in for the key where a ledger is only read and the key file is elsewhere: it checks and cannot sign."""

    at_hand = False

    def __init__(self, verifier: VerifierKey) -> None:
        self.verifier = verifier

    def sign(self, text: str) -> str:  # noqa: ARG002 - it has the shape of a signer
        """Raises: ConflictError, always."""
        raise ConflictError(sentence="The key file is not at hand, so nothing can be signed here.")

    def paper(self) -> str:
        """Raises: ConflictError, always."""
        raise ConflictError(sentence="The key file is not at hand, so there is nothing to print.")


def signer_of(collection: str, seed: bytes) -> KeySigner:
    """The signer of a collection whose key a seed fixes."""
    return KeySigner(SigningKey.from_seed(origin_of(collection), seed), seed)


def key_path(folder: Path, collection: str) -> Path:
    """Where the key of a collection lies."""
    return folder / f"{collection}.key"


def need_outside(folder: Path, data_folder: Path) -> None:
    """The folder of keys is no part of the data.

    Raises: ConflictError.
    """
    if folder.resolve().is_relative_to(data_folder.resolve()):
        raise ConflictError(
            sentence=f"The key folder {folder} lies inside the data folder. A copy of the data would carry the key: "
            "name another folder with --keys."
        )


def open_or_make(folder: Path, collection: str, *, data_folder: Path, seed: bytes | None) -> KeySigner:
    """The signer from the key file, which is made from `seed` when there is none and a seed is given.

    Raises: ConflictError when the key would lie inside the data folder or is missing; MalformedError.
    """
    need_outside(folder, data_folder)
    path = key_path(folder, collection)
    if not path.exists():
        if seed is None:
            raise ConflictError(
                sentence=f"The key file {path} is missing. Put it back from your copy; without it nothing can be "
                "signed. If there is no copy, serve with --lost-key and start a new key."
            )
        write_key(path, key_file(seed))
    return signer_of(collection, read_key(path))


def key_file(seed: bytes) -> bytes:
    """What a key file holds."""
    return f"{FIRST_LINE}\n{seed.hex()}\n".encode("ascii")


def write_key(path: Path, content: bytes) -> None:
    """A key file under its name, in place of any other.

    Keeps: it stands there only after its bytes were forced to the disk and read back; until then what was there does.
    """
    make_folder(path.parent, mode=0o700)
    draft = path.parent / f".{secrets.token_hex(8)}"
    try:
        handle = os.open(draft, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
        with os.fdopen(handle, "wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        if draft.read_bytes() != content:
            raise OSError(f"{draft} does not hold the key that was written to it")
        draft.replace(path)
        force_folder(path.parent)
    finally:
        draft.unlink(missing_ok=True)


def read_key(path: Path) -> bytes:
    """The seed of a key file, whether it was written here or typed from paper.

    Raises: ConflictError, MalformedError.
    """
    try:
        text = path.read_text(encoding="ascii", errors="replace")
    except OSError as error:
        raise ConflictError(sentence=f"The key file {path} cannot be read: {error.strerror}.") from error
    first, *rest = [line.strip() for line in text.splitlines() if line.strip()] or [""]
    if first.lower() == FIRST_LINE and len(rest) > 1:
        return seed_of(rest)
    try:
        seed = bytes.fromhex(rest[0]) if rest and first == FIRST_LINE else b""
    except ValueError:
        seed = b""
    if len(seed) != SEED_BYTES:
        raise MalformedError(
            what=f"The key file {path}", problem="it does not hold a key", mend="Put it back from your copy."
        )
    return seed
