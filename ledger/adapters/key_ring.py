"""The key in use and those kept beside it, each in a file of its own; a new one takes over in one step."""

from hashlib import sha256
from pathlib import Path

from ledger.adapters.keys import KeySigner, NoKey, key_file, key_path, read_key, signer_of, write_key
from ledger.errors import ConflictError, MalformedError
from ledger.proof.keys import parse_vkey
from ledger.proof.signature import VerifierKey

__all__ = ["KeyRing", "kept_path"]


class KeyRing:
    """Signs with the key in use, and goes over to another one that was kept before.

    Without a folder nothing lies in a file and a kept key is gone with the program: so the demo has it.
    Keeps: a key file is never taken away. Under the collection's own name lies at every moment one whole key, and it is
    another's only once that one, and what lay there before, lie beside it.
    """

    def __init__(self, collection: str, signer: KeySigner | NoKey, folder: Path | None = None) -> None:
        self._collection, self._folder = collection, folder
        self._signer = signer
        self._in_memory: dict[str, bytes] = {}

    @property
    def verifier(self) -> VerifierKey:
        """What others check its signatures with."""
        return self._signer.verifier

    @property
    def at_hand(self) -> bool:
        """The key itself is here, so that it can sign."""
        return self._signer.at_hand

    def sign(self, text: str) -> str:
        """The text as a signed note.

        Raises: ConflictError where the key is not at hand.
        """
        return self._signer.sign(text)

    def paper(self) -> str:
        """The secret itself, as a key file that can be printed and typed back.

        Raises: ConflictError where the key is not at hand.
        """
        return self._signer.paper()

    def keep(self, seed: bytes) -> None:
        """One more key beside the one in use, durable on return; it signs nothing yet.

        Raises: ConflictError where the folder of keys cannot be written to.
        """
        key = signer_of(self._collection, seed).verifier
        if self._folder is None:
            self._in_memory[key.vkey] = seed
            return
        try:
            write_key(kept_path(self._folder, self._collection, key), key_file(seed))
        except OSError as error:
            sentence = (
                f"The new key could not be written into {self._folder}: {error.strerror or error}. Nothing changed."
            )
            raise ConflictError(sentence=sentence) from error

    def use(self, vkey: str) -> bool:
        """From now on the kept key of that verifier key signs, durably; False, and nothing changed, where none is kept."""
        seed = self._in_memory.get(vkey) if self._folder is None else self._kept(self._folder, vkey)
        if seed is None:
            return False
        if self._folder is not None:
            path = key_path(self._folder, self._collection)
            _lay_beside(path, self._folder, self._collection)
            write_key(path, key_file(seed))
        elif isinstance(self._signer, KeySigner):
            self._in_memory[self.verifier.vkey] = self._signer.seed
        self._signer = signer_of(self._collection, seed)
        return True

    def _kept(self, folder: Path, vkey: str) -> bytes | None:
        """The seed of a kept key; one whose file was damaged is not kept."""
        try:
            seed = read_key(kept_path(folder, self._collection, parse_vkey(vkey)))
        except (ConflictError, MalformedError):
            return None
        return seed if signer_of(self._collection, seed).verifier.vkey == vkey else None


def kept_path(folder: Path, collection: str, key: VerifierKey) -> Path:
    """Where a key lies beside the one in use."""
    return folder / f"{collection}.{key.key_id.hex()}.key"


def _lay_beside(path: Path, folder: Path, collection: str) -> None:
    """What lies under the collection's own name, byte for byte beside it, even if it can no longer be read as a key."""
    if not path.exists():
        return
    content = path.read_bytes()
    try:
        beside = kept_path(folder, collection, signer_of(collection, read_key(path)).verifier)
    except (ConflictError, MalformedError):
        beside = folder / f"{collection}.unread-{sha256(content).hexdigest()[:8]}.key"
    if not beside.exists():
        write_key(beside, content)
