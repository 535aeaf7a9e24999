"""FORMAT.md sections 3 and 6: trees, keys, signed notes, checkpoints."""

import base64
import re
from dataclasses import dataclass
from hashlib import sha256

from cryptography.exceptions import InvalidSignature
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PublicKey

from tests.proof.second.plain import GREATEST, matching, wrong

SUFFIX = ".slipsheet.invalid"
COLLECTION = r"[a-z2-7]{26}"
COUNT = r"0|[1-9][0-9]{0,15}"
PRIME = 2**255 - 19
MOST_SIGNATURES = 64


def base64_of(text: object, length: int | None = None) -> bytes:
    """Standard base64 in its one spelling, never empty."""
    if not isinstance(text, str):
        wrong("no base64")
    try:
        data = base64.b64decode(text, validate=True)
    except ValueError:
        wrong("no base64")
    if not data or base64.b64encode(data).decode() != text or (length is not None and len(data) != length):
        wrong("base64 in another spelling")
    return data


def leaf(data: bytes) -> bytes:
    """The hash of what stands in a tree."""
    return sha256(b"\x00" + data).digest()


def node(left: bytes, right: bytes) -> bytes:
    """The hash of two."""
    return sha256(b"\x01" + left + right).digest()


def parted(size: int) -> int:
    """The greatest power of two below a size."""
    return 1 << (size - 1).bit_length() - 1


def climb(index: int, size: int, found: bytes, proof: list[bytes]) -> bytes:
    """Up from a leaf; the last hash of a proof is the topmost."""
    if size == 1:
        if proof:
            wrong("hashes too many")
        return found
    if not proof:
        wrong("hashes missing")
    *lower, top = proof
    middle = parted(size)
    if index < middle:
        return node(climb(index, middle, found, lower), top)
    return node(top, climb(index - middle, size - middle, found, lower))


def need_in(index: int, size: int, found: bytes, proof: list[str], root: bytes) -> None:
    """It is at that place under the root."""
    if not 0 <= index < size:
        wrong("beyond the tree")
    hashes = [base64_of(each, 32) for each in proof]
    if climb(index, size, found, hashes) != root:
        wrong("not under the root")


def both_roots(older: int, newer: int, root: bytes, proof: list[bytes], *, outer: bool = True) -> tuple[bytes, bytes]:
    """RFC 9162 section 2.1.4.1 the other way round: the roots of both sizes from a proof, which is used up."""
    if older == newer:
        if outer:
            return root, root
        if not proof:
            wrong("hashes missing")
        return (proof[0], proof.pop(0))
    middle = parted(newer)
    if older <= middle:
        old, new = both_roots(older, middle, root, proof, outer=outer)
        if not proof:
            wrong("hashes missing")
        return old, node(new, proof.pop(0))
    old, new = both_roots(older - middle, newer - middle, root, proof, outer=False)
    if not proof:
        wrong("hashes missing")
    left = proof.pop(0)
    return node(left, old), node(left, new)


@dataclass(frozen=True)
class Key:
    """A verifier key."""

    name: str
    key_id: str
    kind: int
    point: bytes


def key_of(text: str) -> Key:
    """The key of a line."""
    match = re.fullmatch(r"([^+]+)\+([0-9a-f]{8})\+([A-Za-z0-9+/]+=*)", text)
    if match is None:
        wrong("no key")
    name, key_id, typed = match[1], match[2], base64_of(match[3], 33)
    need_name(name)
    if sha256(name.encode("utf-8") + b"\n" + typed).digest()[:4].hex() != key_id or typed[0] not in (1, 4):
        wrong("the id of a key is not its own")
    need_order(typed[1:])
    return Key(name, key_id, typed[0], typed[1:])


def need_name(name: str) -> None:
    """Neither space nor plus sign nor control character."""
    if not name or any(each.isspace() or each == "+" or each < " " or 0xD800 <= ord(each) <= 0xDFFF for each in name):
        wrong("no name of a key")


def need_order(point: bytes) -> None:
    """No key of small order, and none that is spelled otherwise: eight times such a point is the neutral one."""
    y = int.from_bytes(point, "little") & (1 << 255) - 1
    if y >= PRIME:
        wrong("a key is not spelled in its one way")
    d = -121665 * pow(121666, -1, PRIME) % PRIME
    for _ in range(3):
        # y of twice the point (x, y) on -x² + y² = 1 + dx²y², with x² = (y² - 1) / (dy² + 1).
        square = (y * y - 1) * pow(d * y * y + 1, -1, PRIME) % PRIME
        y = (y * y + square) * pow(2 - (y * y - square), -1, PRIME) % PRIME if (2 - (y * y - square)) % PRIME else 0
    if y == 1:
        wrong("a key of small order")


@dataclass(frozen=True)
class Point:
    """What a checkpoint says, and which of the keys at hand signed it."""

    origin: str
    size: int
    root: bytes
    books: int
    heads_root: bytes
    signers: tuple[Key, ...] = ()

    @property
    def collection(self) -> str:
        """Whose it is."""
        return self.origin.removesuffix(SUFFIX)


def open_point(note: str, keys: list[Key]) -> Point:
    """The checkpoint of a note that the origin's own key signed."""
    if re.search(r"[\x00-\x09\x0b-\x1f\ud800-\udfff]", note):
        wrong("a control character in a note")
    text, gap, under = note.rpartition("\n\n")
    text += "\n"
    if not gap or not under.endswith("\n"):
        wrong("no signed note")
    lines = under.removesuffix("\n").split("\n")
    if len(lines) > MOST_SIGNATURES:
        wrong("too many signatures")
    signers = [key for line in lines for key in signer_of(line, text, keys)]
    point = point_of(text, tuple(signers))
    if not any((key.name, key.kind) == (point.origin, 1) for key in signers):
        wrong("the origin did not sign it")
    return point


def signer_of(line: str, text: str, keys: list[Key]) -> list[Key]:
    """The key at hand that made a line; none where it is not at hand."""
    match = re.fullmatch("\u2014 ([^ ]+) ([^ ]+)", line)
    if match is None:
        wrong("no signature line")
    need_name(match[1])
    data = base64_of(match[2])
    if len(data) < 5:
        wrong("no signature")
    found = [key for key in keys if (key.name, key.key_id) == (match[1], data[:4].hex())]
    for key in found[:1]:
        need_signature(key, data[4:], text.encode("utf-8"))
    return found[:1]


def need_signature(key: Key, signature: bytes, message: bytes) -> None:
    """It is this key's over this message; a cosignature has a time of its own."""
    if key.kind == 4:
        message = f"cosignature/v1\ntime {int.from_bytes(signature[:8], 'big')}\n".encode() + message
        signature = signature[8:]
    if len(signature) != 64:
        wrong("a signature of another length")
    try:
        Ed25519PublicKey.from_public_bytes(key.point).verify(signature, message)
    except InvalidSignature:
        wrong("a signature does not hold")


def point_of(text: str, signers: tuple[Key, ...]) -> Point:
    """The four lines."""
    lines = text.split("\n")
    if len(lines) != 5 or lines[4]:
        wrong("not four lines")
    origin, size, root, heads = lines[:4]
    words = heads.split(" ")
    if len(words) != 3 or words[0] != "heads":
        wrong("no heads line")
    matching(origin, COLLECTION + re.escape(SUFFIX))
    counts = [int(matching(each, COUNT)) for each in (size, words[1])]
    roots = [base64_of(each, 32) for each in (root, words[2])]
    for count, each in zip(counts, roots, strict=True):
        if count > GREATEST or (count == 0) != (each == sha256().digest()):
            wrong("number and root do not go together")
    if counts[1] > counts[0]:
        wrong("more books than entries")
    return Point(origin, counts[0], roots[0], counts[1], roots[1], signers)
