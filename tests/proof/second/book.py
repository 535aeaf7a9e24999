"""FORMAT.md sections 2, 4, 5, 7 and 8: entries, the book's chain, sealed fields, and how they lie in a signed ledger."""

import base64
from dataclasses import dataclass, field
from datetime import datetime
from hashlib import sha256
from typing import Any

from tests.proof.second.plain import GREATEST, matching, named, read, texts, whole, write, wrong
from tests.proof.second.signed import COLLECTION, Key, Point, base64_of, both_roots, leaf, need_in, open_point

HEX = r"[0-9a-f]{64}"
VISIBLE = r"[!-~]{1,64}"
ENTRY: tuple[str, ...] = (
    *("fmt", "collection", "seq", "book", "book_no", "book_seq", "book_prev", "act"),
    *("kind", "v", "on", "recorded", "actor", "body", "sealed"),
)


@dataclass
class Entry:
    """One entry: what it says, its leaf, the names that were opened."""

    said: dict[str, Any]
    leaf: str
    opened: set[str] = field(default_factory=set)


def entry_of(data: bytes) -> dict[str, Any]:
    """Section 2."""
    said = named(read(data), *ENTRY)
    if said["fmt"] != "slipsheet/1":
        wrong("another format")
    matching(said["collection"], COLLECTION)
    for name in ("seq", "v"):
        limited(said[name])
    need_book(said)
    for name in ("act", "actor"):
        matching(said[name], VISIBLE)
    matching(said["kind"], r"[a-z][a-z0-9_-]{0,39}")
    if said["on"] is not None:
        matching(said["on"], r"[!-~]{1,100}")
    matching(said["recorded"], r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d\.\d{6}Z")
    try:
        datetime.fromisoformat(said["recorded"])
    except ValueError:
        wrong("no moment")
    if not isinstance(said["body"], dict) or not isinstance(said["sealed"], dict):
        wrong("body or sealed is no object")
    for name, digest in said["sealed"].items():
        matching(name, VISIBLE)
        matching(digest, r"[A-Za-z0-9_-]{42}[AEIMQUYcgkosw048]")
    return said


def limited(value: Any) -> None:
    """A whole number from 1 to the greatest."""
    if whole(value, 1) > GREATEST:
        wrong("number too great")


def need_book(said: dict[str, Any]) -> None:
    """All four, or none."""
    four = [said[name] for name in ("book", "book_no", "book_seq", "book_prev")]
    if four == [None] * 4:
        return
    matching(four[0], VISIBLE)
    limited(four[1])
    limited(four[2])
    if four[2] == 1:
        if four[3] is not None:
            wrong("the first entry follows another")
    else:
        matching(four[3], HEX)


def opened_of(said: dict[str, Any], disclosures: list[str]) -> set[str]:
    """Section 5: each disclosure belongs to the digest of its name."""
    if len(set(said["sealed"].values())) != len(said["sealed"]):
        wrong("two digests are alike")
    found: set[str] = set()
    for text in disclosures:
        parts = read(unpadded(text))
        if not isinstance(parts, list) or len(parts) != 3 or not isinstance(parts[0], str):
            wrong("no disclosure")
        salt, name, _ = parts
        digest = base64.urlsafe_b64encode(sha256(text.encode("ascii")).digest()).rstrip(b"=").decode()
        if len(unpadded(salt)) < 16 or not isinstance(name, str) or name in ("", "_sd", "...") or name in found:
            wrong("no disclosure")
        if said["sealed"].get(name) != digest:
            wrong("a disclosure without its digest")
        found.add(name)
    return found


def unpadded(text: str) -> bytes:
    """base64url without padding, in its one spelling."""
    matching(text, r"[A-Za-z0-9_-]+")
    try:
        data = base64.urlsafe_b64decode(text + "=" * (-len(text) % 4))
    except ValueError:
        wrong("no base64url")
    if base64.urlsafe_b64encode(data).rstrip(b"=").decode() != text:
        wrong("no base64url")
    return data


def entry_in(value: Any, point: Point) -> Entry:
    """Section 8, step 3."""
    given = named(value, "bytes", "proof", "open")
    data = base64_of(given["bytes"])
    said = entry_of(data)
    if said["collection"] != point.collection:
        wrong("of another collection")
    need_in(said["seq"] - 1, point.size, leaf(data), texts(given["proof"]), point.root)
    return Entry(said, leaf(data).hex(), opened_of(said, texts(given["open"])))


def check_book(proof: Any, keys: list[Key], held: str | None) -> tuple[Point, list[Entry]]:
    """Section 8."""
    if isinstance(proof, dict) and "consistency" not in proof:
        proof = {**proof, "consistency": None}
    file = named(proof, "format", "checkpoint", "head", "entries", "consistency")
    if file["format"] != "slipsheet-proof/1" or not isinstance(file["checkpoint"], str):
        wrong("no proof file")
    point = open_point(file["checkpoint"], keys)
    if not isinstance(file["entries"], list) or not file["entries"]:
        wrong("no entries")
    entries = [entry_in(each, point) for each in file["entries"]]
    head = named(file["head"], "book", "book_no", "book_seq", "leaf", "proof")
    need_chain(entries, head)
    need_head(head, point)
    need_growth(file["consistency"], point, keys, held)
    return point, entries


def need_chain(entries: list[Entry], head: dict[str, Any]) -> None:
    """Steps 4 and 5, the first half."""
    before, last = None, 0
    for place, entry in enumerate(entries, 1):
        said = entry.said
        if (said["book"], said["book_no"], said["book_seq"]) != (head["book"], head["book_no"], place):
            wrong("of another book, or out of order")
        if said["book_prev"] != before or said["seq"] <= last:
            wrong("it does not follow")
        before, last = entry.leaf, said["seq"]
    if (head["leaf"], head["book_seq"]) != (before, len(entries)):
        wrong("not the last entry")


def need_head(head: dict[str, Any], point: Point) -> None:
    """Section 4."""
    four = {name: head[name] for name in ("book", "book_no", "book_seq", "leaf")}
    matching(four["book"], VISIBLE)
    need_in(whole(head["book_no"], 1) - 1, point.books, leaf(write(four)), texts(head["proof"]), point.heads_root)


def need_growth(given: Any, point: Point, keys: list[Key], held: str | None) -> None:
    """Step 6; without an older checkpoint only the form is looked at."""
    first, proof = 0, []
    if given is not None:
        said = named(given, "first", "proof")
        first, proof = whole(said["first"]), [base64_of(each) for each in texts(said["proof"])]
    if held is None:
        return
    older = open_point(held, keys)
    if older.origin != point.origin or older.size > point.size:
        wrong("another ledger, or an older one")
    if older.size == point.size:
        if (older.root, older.books, older.heads_root) != (point.root, point.books, point.heads_root):
            wrong("another history")
    elif older.size:
        if first != older.size or any(len(each) != 32 for each in proof):
            wrong("nothing shows the way")
        left = list(proof)
        if both_roots(first, point.size, older.root, left) != (older.root, point.root) or left:
            wrong("another history")
