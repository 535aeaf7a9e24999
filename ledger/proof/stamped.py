"""Time stamps of a checkpoint by somebody else: what they are asked for, what they are over, and what they prove.

A time stamp says that these bytes existed at a moment, on the word of whoever gave it. Its signature is checked behind
`StampCheck`; without that only what it is of can be told.

Source: RFC 3161 sections 2.4.1 and 2.4.2.
"""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from hashlib import sha256
from typing import Final

from ledger.proof.der import INTEGER, OBJECT, OCTETS, SEQUENCE, Der, read_der
from ledger.proof.note import Note, read_note, write_note
from ledger.proof.report import LedgerError, MalformedError
from ledger.proof.token import SHA_256, Token, at_least, exactly, read_token

__all__ = [
    "Asked",
    "StampCheck",
    "StampError",
    "StampSaid",
    "a_request",
    "answer_of",
    "need_imprint",
    "read_request",
    "stamped_bytes",
    "token_of",
]

_VERSION: Final = bytes([INTEGER, 1, 1])
_TRUE: Final = bytes([0x01, 1, 0xFF])
_NULL: Final = bytes([0x05, 0])
_LONG: Final = 0x80
_WITHIN: Final = 0xA0
_GRANTED: Final = (0, 1)
"""Granted, and granted with changes."""


@dataclass(eq=False, kw_only=True)
class StampError(LedgerError):
    """A time stamp or a cosignature that proves nothing of this checkpoint, and why."""

    sentence: str

    def __str__(self) -> str:
        return self.sentence


@dataclass(frozen=True, kw_only=True)
class StampSaid:
    """What a time stamp came to: that the checkpoint existed then, on whose word.

    `under` is true once the certificate leads to an authority that the reader chose; until then anybody can have made it.
    """

    time: datetime
    by: str
    under: bool = False

    @property
    def sentence(self) -> str:
        """All that it proves."""
        return f"This checkpoint existed at {self.time.isoformat()}, says {self.by}."


StampCheck = Callable[[bytes, bytes], StampSaid]
"""A token, and the bytes it must be of, checked whole; StampError or MalformedError where it does not hold."""


@dataclass(frozen=True, kw_only=True)
class Asked:
    """What an authority was asked for: a stamp over this SHA-256, under this number."""

    imprint: bytes
    nonce: int | None


def stamped_bytes(note: str) -> bytes:
    """What is stamped of a checkpoint: its note as the ledger signed it, without lines that others added later.

    Raises: MalformedError.
    """
    read = read_note(note)
    origin = read.text.split("\n", 1)[0]
    return write_note(Note(read.text, tuple(each for each in read.lines if each.name == origin))).encode("utf-8")


def a_request(stamped: bytes, nonce: int) -> bytes:
    """What is sent to an authority: the digest of these bytes and the number, never the bytes themselves.

    Its certificate is asked for with the answer. Source: RFC 3161 section 2.4.1.
    """
    how = _der(SEQUENCE, _der(OBJECT, SHA_256), _NULL)
    of = _der(SEQUENCE, how, _der(OCTETS, sha256(stamped).digest()))
    return _der(SEQUENCE, _VERSION, of, _number(nonce), _TRUE)


def read_request(data: bytes) -> Asked:
    """What a request asks for.

    Raises: MalformedError.
    """
    _, of, *rest = at_least(read_der(data), 2)
    how, imprint = exactly(of, 2)
    _need_sha_256(at_least(how, 1)[0].need(OBJECT))
    nonce = next((each.number() for each in rest if each.tag == INTEGER), None)
    return Asked(imprint=imprint.need(OCTETS), nonce=nonce)


def token_of(data: bytes) -> Token:
    """The token that an authority sent, by itself or in its answer.

    Raises: MalformedError; StampError where the answer is that it gives none.
    Source: RFC 3161 section 2.4.2.
    """
    first, *rest = at_least(read_der(data), 1)
    if first.tag != SEQUENCE:
        return read_token(data)
    status, *why = at_least(first, 1)
    if status.number() not in _GRANTED or len(rest) != 1:
        told = "".join(f" {_text(each)!a}" for each in why if each.tag == SEQUENCE)
        sentence = f"The authority gave no time stamp: its answer has status {_status(status)}.{told} Ask it again."
        raise StampError(sentence=sentence)
    return read_token(rest[0].whole)


def answer_of(token: bytes) -> bytes:
    """The token as an authority answers with it, for whoever reads only answers.

    Its certificates are put in the order of DER, which many authorities do not keep; no signature is over them there.
    Source: ITU-T X.690 section 11.6.
    """
    kind, within = exactly(read_der(token), 2)
    (signed,) = exactly(within, 1, _WITHIN)
    parts = [_in_order(each) if each.tag == _WITHIN else each.whole for each in signed.parts()]
    inner = _der(_WITHIN, _der(SEQUENCE, *parts))
    return _der(SEQUENCE, _der(SEQUENCE, _number(0)), _der(SEQUENCE, kind.whole, inner))


def _status(said: Der) -> str:
    """The number, where it is one of those that there are; others may be longer than any that can be written out."""
    return str(said.number()) if len(said.content) == 1 else "unknown"


def _in_order(certificates: Der) -> bytes:
    return _der(_WITHIN, *sorted(each.whole for each in certificates.parts(_WITHIN)))


def need_imprint(token: Token, stamped: bytes, what: str) -> None:
    """Refuse a stamp of something else.

    Raises: StampError, MalformedError.
    """
    _need_sha_256(token.algorithm)
    if token.imprint != sha256(stamped).digest():
        raise StampError(sentence=f"The time stamp is of something else than {what}.")


def _need_sha_256(algorithm: bytes) -> None:
    if algorithm != SHA_256:
        raise MalformedError(
            what="The time stamp",
            problem="it is over another digest than SHA-256",
            mend="Ask for one with a request of this program.",
        )


def _text(value: Der) -> str:
    return " ".join(each.content.decode("utf-8", "replace") for each in value.parts())


def _number(value: int) -> bytes:
    return _der(INTEGER, value.to_bytes(value.bit_length() // 8 + 1, "big"))


def _der(tag: int, *contents: bytes) -> bytes:
    """A value with its length in the shortest form. Source: ITU-T X.690 sections 8.1.3 and 10.1."""
    content = b"".join(contents)
    size = len(content)
    octets = size.to_bytes((size.bit_length() + 7) // 8 or 1, "big")
    return bytes([tag]) + (octets if size < _LONG else bytes([_LONG | len(octets)]) + octets) + content
