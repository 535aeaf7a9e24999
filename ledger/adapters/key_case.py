"""A secret locked under a passphrase: scrypt makes the key, ChaCha20-Poly1305 locks, and the file says with what.

Source: RFC 7914 (scrypt); RFC 8439 section 2.8 (ChaCha20-Poly1305), with all that the file says beside the secret as
the data that are authenticated and not hidden. Cost: N 2^17, r 8, p 1, which take 128 MiB; OWASP, "Password Storage".
"""

import unicodedata
from base64 import b64decode, b64encode
from typing import Any, Final, NoReturn

from cryptography.exceptions import InvalidTag
from cryptography.hazmat.primitives.ciphers.aead import ChaCha20Poly1305
from cryptography.hazmat.primitives.kdf.scrypt import Scrypt

from ledger.errors import ConflictError, MalformedError
from ledger.proof.canonical import decode, encode

__all__ = ["CHANCE_BYTES", "FORMAT", "LockedCase"]

FORMAT: Final = "slipsheet-keys/1"
SALT_BYTES: Final = 32
NONCE_BYTES: Final = 12
CHANCE_BYTES: Final = SALT_BYTES + NONCE_BYTES

_COST: Final = {"name": "scrypt", "n": 2**17, "r": 8, "p": 1}
_CIPHER: Final = "ChaCha20-Poly1305"
_KEY_BYTES: Final = 32
_WHAT: Final = "The locked key"


class LockedCase:
    """As `archive.carrier.KeyCase`."""

    def locked(self, collection: str, secret: str, passphrase: str, chance: bytes) -> bytes:
        """The file. Requires: so many random bytes, never used before."""
        salt, nonce = chance[:SALT_BYTES], chance[SALT_BYTES:]
        assert len(nonce) == NONCE_BYTES
        said = _said(collection, salt, nonce)
        sealed = ChaCha20Poly1305(_key(passphrase, salt)).encrypt(nonce, secret.encode(), encode(said))
        return encode({**said, "sealed": _text(sealed)}, what=_WHAT) + b"\n"

    def opened(self, collection: str, data: bytes, passphrase: str) -> str:
        """The secret.

        Raises: MalformedError; ConflictError where the passphrase is not the one, or anything in the file was changed.
        """
        salt, nonce, sealed = _read(data)
        said = _said(collection, salt, nonce)
        if encode({**said, "sealed": _text(sealed)}) + b"\n" != data:
            _refuse("it was locked otherwise than this program locks, or for another collection")
        try:
            return ChaCha20Poly1305(_key(passphrase, salt)).decrypt(nonce, sealed, encode(said)).decode()
        except InvalidTag as error:
            sentence = (
                "The passphrase does not open the key in the archive, or the key was changed. Nothing was put back."
            )
            raise ConflictError(sentence=sentence) from error


def _said(collection: str, salt: bytes, nonce: bytes) -> dict[str, Any]:
    """All that stands in the file beside the secret; the cost is this program's own, so that no file can ask for more."""
    return {
        "format": FORMAT,
        "collection": collection,
        "key": {**_COST, "salt": _text(salt)},
        "cipher": {"name": _CIPHER, "nonce": _text(nonce)},
    }


def _read(data: bytes) -> tuple[bytes, bytes, bytes]:
    said: Any = decode(data.removesuffix(b"\n"), what=_WHAT)
    try:
        texts = (said["key"]["salt"], said["cipher"]["nonce"], said["sealed"])
        salt, nonce, sealed = (b64decode(each, validate=True) for each in texts)
    except (KeyError, TypeError, ValueError):
        _refuse("it is not whole")
    if (len(salt), len(nonce)) != (SALT_BYTES, NONCE_BYTES):
        _refuse("it is not whole")
    return salt, nonce, sealed


def _key(passphrase: str, salt: bytes) -> bytes:
    """Typed on another keyboard a letter may come composed otherwise; it is the same passphrase."""
    kdf = Scrypt(salt=salt, length=_KEY_BYTES, n=2**17, r=8, p=1)
    return kdf.derive(unicodedata.normalize("NFC", passphrase).encode())


def _text(data: bytes) -> str:
    return b64encode(data).decode()


def _refuse(problem: str) -> NoReturn:
    raise MalformedError(what=_WHAT, problem=problem, mend="Take another copy of the archive.")
