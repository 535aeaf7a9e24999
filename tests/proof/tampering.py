"""Ways to tamper with a record, and the record in each form as whoever tampered would hand it over.

Whoever tampers is careful: page and bag are made anew around what was changed wherever they can be.
"""

from base64 import b64encode
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from typing import Any

from ledger.proof.bag import write_bag
from ledger.proof.forms import bag_of
from ledger.proof.given import Asked, Checked, check_given
from ledger.proof.page import page_of
from ledger.proof.proof_file import EntryProof, ProofFile
from ledger.proof.record_file import RecordFile, digest_of
from ledger.proof.report import LedgerError
from ledger.proof.signature import SigningKey
from ledger.proof.zipped import read_zip, write_zip
from tests.proof.making import BOOK_A, OTHER_SEED, OWNER, Made
from tests.proof.recording import Given, a_record

Change = Callable[[Given], Given]
Form = bytes | dict[str, bytes]

GOOD = a_record()
TWICE = a_record(earlier=GOOD)
OTHER = SigningKey.from_seed(OWNER.verifier.name, OTHER_SEED)
BAG = read_zip(bag_of(GOOD.data, GOOD.beside))
LABEL = [("Bag-Software-Agent", "slipsheet")]


@dataclass(frozen=True, kw_only=True)
class Tampering:
    """What is done, and what must be said of it. `held` is an older checkpoint that the reader has."""

    number: int
    what: str
    change: Change
    code: str
    sentence: str
    held: str | None = None
    beside: bool = False
    """Only a form that has something beside the record shows it."""
    start: Given = GOOD


def as_page(given: Given) -> bytes:
    """The page, made anew where that can be done, else the good one with the other record and photographs in it."""
    try:
        return page_of(given.data, given.beside)
    except (LedgerError, KeyError):
        page = page_of(GOOD.data, GOOD.beside)
    for name, data in GOOD.beside.items():
        page = page.replace(b64encode(data), b64encode(given.beside.get(name, b"")))
    return page.replace(b64encode(GOOD.data), b64encode(given.data))


def as_files(given: Given) -> dict[str, bytes]:
    """The bag, in the same way; its lists fit what is in it."""
    try:
        return read_zip(bag_of(given.data, given.beside))
    except (LedgerError, KeyError):
        payload = {name: data for name, data in BAG.items() if name.startswith("data/")}
    payload["data/record.json"] = given.data
    for name in GOOD.beside:
        path = f"data/photographs/{name}.jpg"
        payload.pop(path)
        if name in given.beside:
            payload[path] = given.beside[name]
    for name in given.beside.keys() - GOOD.beside.keys():
        payload[f"data/earlier/{name}.json"] = given.beside[name]
    return write_bag(payload, [*LABEL, ("External-Identifier", digest_of(given.data))])


def as_zip(given: Given) -> bytes:
    """The same in a zip."""
    return write_zip(as_files(given), "record")


FORMS: dict[str, Callable[[Given], Form]] = {
    "record.json": lambda given: given.data,
    "page": as_page,
    "bag": as_zip,
    "folder": as_files,
}


def checked(form: Form, held: str | None = None, *, key: bool = True) -> Checked:
    """The verdict of somebody who has the owner's key."""
    keys = (OWNER.verifier,) if key else ()
    return check_given(form, Asked(keys=keys, held=held.encode() if held else None))


def file(**changes: Callable[[RecordFile], Any]) -> Change:
    """Parts of the record file, each made from the file as it is."""
    return lambda given: given.with_file(**{name: make(given.file) for name, make in changes.items()})


def proof(change: Callable[[ProofFile], ProofFile]) -> Change:
    """The proof file in the record."""
    return file(proof=lambda said: change(said.proof))


def place(seq: int) -> int:
    """Where an entry of the book stands among those of the record."""
    return [each.seq for each in GOOD.made.said if each.book == BOOK_A].index(seq)


def entry(seq: int, change: Callable[[EntryProof], EntryProof]) -> Change:
    """One entry of the book."""

    def changed(said: ProofFile) -> ProofFile:
        entries = list(said.entries)
        entries[place(seq)] = change(entries[place(seq)])
        return replace(said, entries=tuple(entries))

    return proof(changed)


def data(seq: int, change: Callable[[bytes], bytes]) -> Change:
    """The bytes of one entry, changed, and not the same by that."""

    def other(each: EntryProof) -> EntryProof:
        found = change(each.data)
        assert found != each.data
        return replace(each, data=found)

    return entry(seq, other)


def fields(number: int, /, **said: Any) -> Change:
    """An entry rewritten as valid bytes."""
    return data(number, lambda _: replace(GOOD.made.said[number - 1], **said).to_bytes())


def spelled(seq: int, old: bytes, new: bytes) -> Change:
    """An entry spelled otherwise."""
    return data(seq, lambda found: found.replace(old, new, 1))


def entries(change: Callable[[list[EntryProof]], list[EntryProof]]) -> Change:
    """The list of entries."""
    return proof(lambda said: replace(said, entries=tuple(change(list(said.entries)))))


def head(**said: Any) -> Change:
    """What is said of the end of the chain."""
    return proof(lambda found: replace(found, head=replace(found.head, **said)))


def note(change: Callable[[str], str]) -> Change:
    """The signed note."""

    def other(said: ProofFile) -> ProofFile:
        found = change(said.checkpoint)
        assert found != said.checkpoint
        return replace(said, checkpoint=found)

    return proof(other)


def raw(change: Callable[[bytes], bytes]) -> Change:
    """The bytes of record.json as they are."""
    return lambda given: replace(given, data=change(given.data))


def beside(change: Callable[[Mapping[str, bytes]], Mapping[str, bytes]]) -> Change:
    """What lies beside the record."""
    return lambda given: replace(given, beside=dict(change(given.beside)))


def flipped(found: bytes, at: int = -1) -> bytes:
    """Bytes with one bit changed."""
    at %= len(found)
    return found[:at] + bytes([found[at] ^ 1]) + found[at + 1 :]


def told_anew(changes: Mapping[int, Mapping[str, Any]], more: int = 0, cut: int = 0) -> Made:
    """The ledger under the record, remade from its first entry with other facts in some, and so many notes behind."""
    made = Made()
    said = GOOD.made.said
    for each in said[: len(said) - cut]:
        last = made.heads.get(each.book or "")
        body = dict(each.body)
        if each.kind == "disclosure" and last:
            body["previous_head"] = last.leaf
        own: dict[str, Any] = {"body": body, "book_prev": last.leaf if last else None}
        new = replace(each, **{**own, **changes.get(each.seq, {})})
        made.openings[each.seq] = GOOD.made.openings[each.seq]
        made.store(new)
    for _ in range(more):
        made.write("note", sealed={"text": "One more"})
    return made


def record_over(made: Made) -> Change:
    """The record over another ledger, as its owner would make it."""

    def change(given: Given) -> Given:
        first = made.said[0]
        of_collection = EntryProof(data=first.to_bytes(), proof=made.proof_of(first.seq))
        return given.with_file(proof=made.proof_file(BOOK_A, ("seller",)), collection=(of_collection,))

    return change
