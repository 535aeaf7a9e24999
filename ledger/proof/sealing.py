"""Sealed fields: the ledger holds a salted digest, and the owner opens a field by handing over salt and value.

While salt and value exist, whoever has them can prove the value; once they are deleted, the digest tells nothing.

Source: RFC 9901 sections 4.2.1, 4.2.3 and 7.1.
"""

import re
from base64 import urlsafe_b64decode
from binascii import b2a_base64
from collections.abc import Iterable, Mapping
from hashlib import sha256
from typing import Final

from ledger.proof.canonical import Plain, decode, encode
from ledger.proof.report import MalformedError

__all__ = ["SALT_BYTES", "check", "digest", "disclosure", "is_digest", "open_disclosure"]

SALT_BYTES: Final = 16
"""A salt has at least this many bytes of chance, fresh for every value. Source: RFC 9901 section 9.3."""

_RESERVED: Final = frozenset({"_sd", "..."})
_DIGEST: Final = re.compile(r"[A-Za-z0-9_-]{42}[AEIMQUYcgkosw048]")
_URL_LETTERS: Final = bytes.maketrans(b"+/", b"-_")
"""Source: RFC 4648 section 5."""
_WHAT: Final = "The disclosure"


def disclosure(salt: bytes, name: str, value: Plain) -> str:
    """What opens a sealed field: its salt, name and value in one string.

    Requires: a salt of 16 bytes or more, made by chance for this value alone
    Raises: MalformedError.
    Source: RFC 9901 section 4.2.1; the JSON is spelled as RFC 8785 says, so that a value has one spelling.
    """
    _need_salt(salt)
    _need_name(name)
    return _base64url(encode([_base64url(salt), name, value], what=_WHAT))


def digest(disclosure: str) -> str:
    """What the ledger holds in place of the value: a hash over the string as it is spelled.

    Raises: MalformedError when it is not ASCII.
    Source: RFC 9901 section 4.2.3.
    """
    if not disclosure.isascii():
        raise MalformedError(what=_WHAT, problem="it is not ASCII", mend="Take it again from the record.")
    return _base64url(sha256(disclosure.encode("ascii")).digest())


def is_digest(value: object) -> bool:
    """Whether a value has the form of a digest: 32 bytes in base64url without padding, in their one spelling."""
    return isinstance(value, str) and _DIGEST.fullmatch(value) is not None


def open_disclosure(text: str) -> tuple[bytes, str, Plain]:
    """Salt, name and value from the string that opens a field.

    Raises: MalformedError.
    Source: RFC 9901 section 7.1.
    """
    parts = decode(_from_base64url(text, "it"), what=_WHAT)
    if not isinstance(parts, list) or len(parts) != len(("salt", "name", "value")):
        raise MalformedError(
            what=_WHAT, problem="it is no list of three", mend="It is salt, name and value, in that order."
        )
    salt_text, name, value = parts
    if not isinstance(salt_text, str) or not isinstance(name, str):
        raise MalformedError(what=_WHAT, problem="salt or name is no text", mend="Both are strings.")
    salt = _from_base64url(salt_text, "its salt")
    _need_salt(salt)
    _need_name(name)
    return salt, name, value


def check(sealed: Mapping[str, str], disclosures: Iterable[str]) -> dict[str, Plain]:
    """The values that disclosures open, each held against the digest of its name; fields nobody opened stay out.

    Raises: MalformedError with `where` the name of the field.
    Source: RFC 9901 section 7.1.
    """
    _need_unlike(sealed)
    opened: dict[str, Plain] = {}
    for text in disclosures:
        _, name, value = open_disclosure(text)
        if name in opened:
            raise MalformedError(what=_WHAT, where=name, problem="it opens a field twice", mend="Keep one of them.")
        if sealed.get(name) != digest(text):
            raise MalformedError(
                what=_WHAT,
                where=name,
                problem="no digest of the entry belongs to it",
                mend="The value or its salt is not the one that was sealed; do not rely on it.",
            )
        opened[name] = value
    return opened


def _need_unlike(sealed: Mapping[str, str]) -> None:
    """Refuse one digest under two names: every field has a salt of its own, so no two are alike."""
    names: dict[str, str] = {}
    for name, each in sealed.items():
        other = names.setdefault(each, name)
        if other != name:
            raise MalformedError(
                what="The sealed fields",
                where=name,
                problem=f"its digest stands at {other} too",
                mend="Every field has a salt of its own, so no two digests are alike.",
            )


def _base64url(data: bytes) -> str:
    return b2a_base64(data, newline=False).translate(_URL_LETTERS, b"=").decode("ascii")


def _from_base64url(text: str, which: str) -> bytes:
    try:
        data = urlsafe_b64decode(text + "=" * (-len(text) % 4))
    except ValueError:
        data = b""
    # The decoder skips what it does not know; writing it again shows that nothing was skipped.
    if not data or _base64url(data) != text:
        raise MalformedError(
            what=_WHAT, problem=f"{which} is not base64url without padding", mend="Take it again from the record."
        )
    return data


def _need_salt(salt: bytes) -> None:
    if len(salt) < SALT_BYTES:
        raise MalformedError(
            what=_WHAT,
            where="salt",
            problem=f"it has {len(salt)} bytes of salt",
            mend=f"{SALT_BYTES} bytes are the least: with fewer the value could be guessed.",
        )


def _need_name(name: str) -> None:
    if not name or name in _RESERVED:
        raise MalformedError(
            what=_WHAT, where="name", problem=f"{name!a} is no name for a field", mend="Choose another name."
        )
