"""Signed notes: a text and the lines of those who signed it, checked with keys that came from elsewhere.

Ed25519 for the ledger's own key (type 0x01), and a second person's dated cosignature (type 0x04).

Source: C2SP signed-note v1.0.0, tlog-cosignature v1.0.1; RFC 8032 section 5.1.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Final

from cryptography.exceptions import InvalidSignature
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey, Ed25519PublicKey

from ledger.proof.keys import COSIGNATURE, ED25519, VerifierKey, need_name, parse_vkey
from ledger.proof.note import Line, Note, need_text, read_note, write_note
from ledger.proof.report import LedgerError, MalformedError

__all__ = [
    "COSIGNATURE",
    "ED25519",
    "CosigningKey",
    "ForgedError",
    "OpenedNote",
    "Signed",
    "SigningKey",
    "UnsignedError",
    "VerifierKey",
    "add_signature",
    "open_note",
    "parse_vkey",
]

_TIME_BYTES: Final = 8
_SIGNATURE_BYTES: Final = 64
_SEED_BYTES: Final = 32


@dataclass(eq=False, kw_only=True)
class ForgedError(LedgerError):
    """A known key is named beside a signature that it did not make."""

    name: str
    key_id: bytes

    def __str__(self) -> str:
        return (
            f"The signature of {self.name} ({self.key_id.hex()}) does not belong to this text: "
            "one of them was changed. Do not rely on it; ask for a fresh copy."
        )


@dataclass(eq=False, kw_only=True)
class UnsignedError(LedgerError):
    """No key at hand signed the text; `signers` are the names on it, each with its key id."""

    signers: tuple[str, ...]

    def __str__(self) -> str:
        return (
            f"None of the keys at hand signed this; it is signed by {', '.join(self.signers)}. "
            "Get the verifier key from the owner by another way than the record itself."
        )


@dataclass(frozen=True, kw_only=True)
class Signed:
    """A signature that holds: whose, and for a cosignature when it was given.

    Units: `timestamp` in whole seconds since 1970-01-01 UTC; None for a signature without a date.
    """

    key: VerifierKey
    timestamp: int | None = None


@dataclass(frozen=True, kw_only=True)
class OpenedNote:
    """A text that at least one known key signed, and the signers nothing is known of.

    `unknown` are names with key ids; they prove nothing.
    """

    text: str
    verified: tuple[Signed, ...]
    unknown: tuple[tuple[str, bytes], ...] = ()


@dataclass(frozen=True)
class SigningKey:
    """The owner's key: it signs checkpoints under one name. Its secret never shows in a trace."""

    verifier: VerifierKey
    _private: Ed25519PrivateKey = field(repr=False)

    @classmethod
    def from_seed(cls, name: str, seed: bytes) -> "SigningKey":
        """The key that a seed of 32 bytes fixes.

        Raises: MalformedError.
        Source: RFC 8032 section 5.1.5.
        """
        private = _private_key(name, seed)
        return cls(VerifierKey.of(name, private.public_key().public_bytes_raw()), private)

    def sign(self, text: str) -> str:
        """The text as a note with this key's signature.

        Requires: a text of whole lines
        Raises: MalformedError.
        """
        return write_note(Note(text, (self.line(text),)))

    def line(self, text: str) -> Line:
        """The signature of a text by this key, not yet part of a note.

        Raises: MalformedError.
        """
        need_text(text)
        return Line(self.verifier.name, self.verifier.key_id, self._private.sign(text.encode("utf-8")))


@dataclass(frozen=True)
class CosigningKey:
    """A second person's key: it says that a text was seen at a moment, and signs nothing else."""

    verifier: VerifierKey
    _private: Ed25519PrivateKey = field(repr=False)

    @classmethod
    def from_seed(cls, name: str, seed: bytes) -> "CosigningKey":
        """The key that a seed of 32 bytes fixes.

        Raises: MalformedError.
        """
        private = _private_key(name, seed)
        return cls(VerifierKey.of(name, private.public_key().public_bytes_raw(), COSIGNATURE), private)

    def line(self, text: str, timestamp: int) -> Line:
        """The cosignature of a text, dated.

        Units: `timestamp` in whole seconds since 1970-01-01 UTC
        Raises: MalformedError.
        Source: C2SP tlog-cosignature v1.0.1.
        """
        need_text(text)
        signature = self._private.sign(_cosigned(text, timestamp))
        dated = timestamp.to_bytes(_TIME_BYTES, "big") + signature
        return Line(self.verifier.name, self.verifier.key_id, dated)


def open_note(note: bytes | str, keys: Sequence[VerifierKey]) -> OpenedNote:
    """The text of a note, once a key at hand is found to have signed it.

    Signers without a key at hand are passed over; one with a key whose signature fails refuses the whole note.
    Raises: MalformedError, ForgedError, UnsignedError.
    Source: C2SP signed-note, "Signatures".
    """
    read = read_note(note)
    known = _by_name_and_id(keys)
    verified: list[Signed] = []
    unknown: list[tuple[str, bytes]] = []
    for line in read.lines:
        key = known.get((line.name, line.key_id))
        if key is None:
            unknown.append((line.name, line.key_id))
            continue
        signed = _checked(key, line.signature, read.text)
        if signed not in verified:
            verified.append(signed)
    if not verified:
        raise UnsignedError(signers=tuple(f"{name} ({key_id.hex()})" for name, key_id in unknown))
    return OpenedNote(text=read.text, verified=tuple(verified), unknown=tuple(unknown))


def add_signature(note: str, key: SigningKey) -> str:
    """The note with one more signature under the others, as when a new key takes over from an old one.

    Raises: MalformedError, also when this key signed it before.
    """
    read = read_note(note)
    added = key.line(read.text)
    if any((line.name, line.key_id) == (added.name, added.key_id) for line in read.lines):
        raise MalformedError(
            what="The note", problem=f"{added.name} has signed it already", mend="One signature of a key is enough."
        )
    return write_note(Note(read.text, (*read.lines, added)))


def _by_name_and_id(keys: Sequence[VerifierKey]) -> dict[tuple[str, bytes], VerifierKey]:
    known: dict[tuple[str, bytes], VerifierKey] = {}
    for key in keys:
        if known.setdefault((key.name, key.key_id), key) != key:
            raise MalformedError(
                what="The keys",
                where=key.name,
                problem="two keys go by one name and id",
                mend="Keep the one you had from the owner.",
            )
    return known


def _checked(key: VerifierKey, signature: bytes, text: str) -> Signed:
    """The signature as one that holds.

    Raises: ForgedError.
    """
    message, timestamp = text.encode("utf-8"), None
    expected = _SIGNATURE_BYTES
    if key.algorithm == COSIGNATURE:
        expected += _TIME_BYTES
        timestamp = int.from_bytes(signature[:_TIME_BYTES], "big")
        message = _cosigned(text, timestamp)
    if len(signature) != expected or not _verifies(key.public, signature[-_SIGNATURE_BYTES:], message):
        raise ForgedError(name=key.name, key_id=key.key_id)
    return Signed(key=key, timestamp=timestamp)


def _cosigned(text: str, timestamp: int) -> bytes:
    return f"cosignature/v1\ntime {timestamp}\n{text}".encode()


def _private_key(name: str, seed: bytes) -> Ed25519PrivateKey:
    need_name(name)
    if len(seed) != _SEED_BYTES:
        raise MalformedError(
            what="The signing key", problem=f"its seed has {len(seed)} bytes", mend=f"It has {_SEED_BYTES}."
        )
    return Ed25519PrivateKey.from_private_bytes(seed)


def _verifies(public: bytes, signature: bytes, message: bytes) -> bool:
    try:
        Ed25519PublicKey.from_public_bytes(public).verify(signature, message)
    except InvalidSignature:
        return False
    return True
