"""A time stamp of somebody else, read from its bytes: what it is of, when, and what its signature is over.

Nothing is believed here: whose certificate it is and whether the signature holds is for `stamped.StampCheck` to say.

Source: RFC 3161 section 2.4.2; RFC 5652 sections 3 and 5.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Final

from ledger.proof.der import INTEGER, OBJECT, OCTETS, SEQUENCE, SET, Der, read_der
from ledger.proof.report import MalformedError

__all__ = [
    "CONTENT_TYPE",
    "MESSAGE_DIGEST",
    "SHA_256",
    "TST_INFO",
    "Signer",
    "Token",
    "at_least",
    "exactly",
    "read_token",
]

SHA_256: Final = bytes.fromhex("608648016503040201")
TST_INFO: Final = bytes.fromhex("2a864886f70d0109100104")
CONTENT_TYPE: Final = bytes.fromhex("2a864886f70d010903")
MESSAGE_DIGEST: Final = bytes.fromhex("2a864886f70d010904")
_SIGNED_DATA: Final = bytes.fromhex("2a864886f70d010702")
_WITHIN: Final = 0xA0


@dataclass(frozen=True, kw_only=True)
class Signer:
    """Who is said to have signed, and over what.

    `issuer` and `serial` name a certificate. `attributes` are signed, the first value of each by its object identifier;
    `signed` is their spelling over which `signature` is made. Identifiers are the octets of their DER.
    """

    issuer: bytes
    serial: int
    digest: bytes
    algorithm: bytes
    attributes: Mapping[bytes, Der]
    signed: bytes
    signature: bytes


@dataclass(frozen=True, kw_only=True)
class Token:
    """What a token says: the algorithm and digest of what it is of, the moment, and the number its request gave it."""

    algorithm: bytes
    imprint: bytes
    time: datetime
    nonce: int | None
    content: bytes
    certificates: tuple[bytes, ...]
    signer: Signer
    data: bytes


def read_token(data: bytes) -> Token:
    """What a token says.

    Raises: MalformedError.
    """
    kind, within = exactly(read_der(data), 2)
    if kind.need(OBJECT) != _SIGNED_DATA:
        raise _refused("it is no signed data")
    _, _, wrapped, *rest = at_least(exactly(within, 1, _WITHIN)[0], 4)
    what, held = exactly(wrapped, 2)
    if what.need(OBJECT) != TST_INFO:
        raise _refused("what is signed in it is no time stamp")
    content = exactly(held, 1, _WITHIN)[0].need(OCTETS)
    # A policy, a serial number and an accuracy stand there too, and do not count here.
    _, _, of, _, time, *more = at_least(read_der(content), 5)
    how, imprint = exactly(of, 2)
    certificates = rest[0].parts(_WITHIN) if rest[0].tag == _WITHIN else []
    signers = [each for each in rest if each.tag == SET]
    if len(signers) != 1:
        raise _refused("it has not one set of signers")
    return Token(
        algorithm=at_least(how, 1)[0].need(OBJECT),
        imprint=imprint.need(OCTETS),
        time=time.time(),
        nonce=next((each.number() for each in more if each.tag == INTEGER), None),
        content=content,
        certificates=tuple(each.whole for each in certificates if each.tag == SEQUENCE),
        signer=_signer(exactly(signers[0], 1, SET)[0]),
        data=data,
    )


def _signer(said: Der) -> Signer:
    """Source: RFC 5652 section 5.3; the attributes are signed as a SET, whatever tag they stand under."""
    _, by, digest, attributes, algorithm, signature, *_ = at_least(said, 6)
    issuer, serial = exactly(by, 2)
    found: dict[bytes, Der] = {}
    for each in attributes.parts(_WITHIN):
        name, values = exactly(each, 2)
        if name.need(OBJECT) in found:
            raise _refused("something that is signed in it stands twice")
        found[name.content] = at_least(values, 1, SET)[0]
    return Signer(
        issuer=issuer.whole,
        serial=serial.number(),
        digest=at_least(digest, 1)[0].need(OBJECT),
        algorithm=at_least(algorithm, 1)[0].need(OBJECT),
        attributes=found,
        signed=bytes([SET]) + attributes.whole[1:],
        signature=signature.need(OCTETS),
    )


def exactly(value: Der, number: int, tag: int = SEQUENCE) -> list[Der]:
    """The so many values in a value.

    Raises: MalformedError.
    """
    found = value.parts(tag)
    if len(found) != number:
        raise _refused("something is missing in it, or too much")
    return found


def at_least(value: Der, number: int, tag: int = SEQUENCE) -> list[Der]:
    """The values in a value, so many or more.

    Raises: MalformedError.
    """
    found = value.parts(tag)
    if len(found) < number:
        raise _refused("something is missing in it")
    return found


def _refused(problem: str) -> MalformedError:
    return MalformedError(what="The time stamp", problem=problem, mend="Take the file again as its authority gave it.")
