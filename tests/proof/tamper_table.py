"""The table of tamperings with a record: what is done, and what must be said of it, in every form that shows it.

Numbered as `tests/usecases/tamper_table.py` numbers them, as far as they can touch a record: of lists made anew (24) and
guards of a database (26) a record has nothing. From 32 on are those that only a record knows.
"""

from base64 import b64encode
from collections.abc import Iterator
from dataclasses import replace

from ledger.proof.canonical import encode
from ledger.proof.proof_file import EntryProof
from ledger.proof.record_file import PictureNamed, digest_of
from ledger.proof.sealing import disclosure
from ledger.proof.sheet import Section, Words
from tests.proof.making import BOOK_B, BOOK_C, OTHER_COLLECTION, a_cosignature, a_ledger, a_price, a_salt
from tests.proof.recording import BACK, FRONT, a_record
from tests.proof.tampering import (
    GOOD,
    OTHER,
    TWICE,
    Change,
    Tampering,
    beside,
    data,
    entries,
    entry,
    fields,
    file,
    flipped,
    head,
    note,
    place,
    proof,
    raw,
    record_over,
    spelled,
    told_anew,
)
from tests.proof.test_keys import vkey_of

MADE = GOOD.made
ELSE = "0" * 64
IN = "is not in the ledger that was signed: it or its proof was changed."
LATER = "is not in the ledger that was signed: it or its proof was changed, or a later entry was left out."
WORDS = "The words of this record are not those that the ledger has the digest of: they were changed."
FORGED = "does not belong to this text: one of them was changed."
REWOUND = "Entries were cut off, or an old copy was handed to you."
THEIRS = a_ledger(collection=OTHER_COLLECTION)
B_ENTRY = MADE.proof_file(BOOK_B).entries[0]
GROWN = told_anew({}, more=2)


def tried(number: int, code: str, sentence: str, *ways: tuple[str, Change], held: str | None = None,
          only_beside: bool = False) -> Iterator[Tampering]:  # fmt: skip
    """One row for each way."""
    for what, change in ways:
        yield Tampering(
            number=number, what=what, change=change, code=code, sentence=sentence, held=held, beside=only_beside
        )


def other_entry(code_of: EntryProof) -> Change:
    """An entry of somewhere else in place of the second one."""
    return entry(4, lambda _: code_of)


def swapped(one: int, other: int) -> Change:
    def change(found: list[EntryProof]) -> list[EntryProof]:
        found[place(one)], found[place(other)] = found[place(other)], found[place(one)]
        return found

    return entries(change)


def cut_back(number: int) -> Change:
    """The last entries taken out, and the head set back to the one before them, as if that had been all."""
    last = [each for each in MADE.said if each.book == GOOD.file.proof.head.book][-number - 1]
    back = head(book_seq=last.book_seq, leaf=last.leaf.hex())
    return lambda given: back(entries(lambda found: found[:-number])(given))


def cosigned_elsewhere(text: str) -> str:
    """The note with a line that a second person made under the note of another log."""
    other, _ = a_cosignature(THEIRS.note, "example.org/witness", 1767225600)
    return text + other.rpartition("\n\n")[2].split("\n", 1)[1]


def two_heads(text: str) -> str:
    """A note with an old heads line beside the new one."""
    old = a_ledger().checkpoint.to_text().split("\n")[3]
    return text.replace("\n\n", f"\n{old}\n\n", 1)


KINDS = [
    *tried(1, "entry-not-in-ledger", f"Entry 7 {IN}", ("a letter of an entry", spelled(7, b'"raking"', b'"rakinf"'))),
    *tried(1, "not-canonical", "The record's entry 3 cannot be read", ("a bit of an entry", data(7, flipped))),
    *tried(2, "entry-not-in-ledger", f"Entry 9 {IN}", ("an entry as other valid bytes", fields(9, on="1999"))),
    *tried(3, "book-entry-missing", "Entry 7 is number 3 of book bookawithapaperlanternaaaa, where number 2 belongs.",
           ("an entry taken out", entries(lambda found: found[:1] + found[2:]))),
    *tried(4, "book-entry-missing", "The book had 7 entries when the checkpoint was signed; the record ends at 6.",
           ("the last entry taken out", entries(lambda found: found[:-1]))),
    *tried(4, "head-not-in-ledger", LATER, ("the last entry taken out, the head set back", cut_back(1))),
    *tried(5, "head-not-in-ledger", LATER, ("the last three taken out, the head set back", cut_back(3))),
    *tried(5, "checkpoint-rewound", REWOUND, ("a ledger cut behind the record, signed with the real key", record_over(MADE)),
           held=GROWN.note),
    *tried(6, "number-used-twice", "A second entry has the number 4.",
           ("an entry slipped in", entries(lambda found: [*found[:2], replace(found[1], data=MADE.said[3].to_bytes().replace(
               b'"kind":"arrival"', b'"kind":"note"')), *found[2:]]))),
    *tried(7, "order-broken", "Entry 4 stands behind entry 7.", ("two entries swapped", swapped(4, 7))),
    *tried(8, "entry-twice", "Entry 4 stands in this record a second time.",
           ("an entry twice", entries(lambda found: [*found[:2], found[1], *found[2:]]))),
    *tried(9, "other-collection", f"Entry 4 is of another collection, {OTHER_COLLECTION}.",
           ("an entry of another collection", fields(4, collection=OTHER_COLLECTION))),
    *tried(10, "other-book", f"Entry 3 is of book {BOOK_B}", ("an entry of another book", other_entry(B_ENTRY))),
    *tried(10, "other-book", "Entry 2 stands among those of the collection", ("a book's entry among the collection's",
           file(collection=lambda said: said.proof.entries[:1]))),
    *tried(10, "head-not-in-ledger", LATER, ("the head of another book", head(book=BOOK_C, book_no=3))),
    *tried(11, "entry-not-in-ledger", f"Entry 2 {IN}", ("all made anew, the old checkpoint over it",
           lambda given: note(lambda _: MADE.note)(record_over(told_anew({2: {"on": "1999"}}))(given)))),
    *tried(11, "history-differs", "The first 13 entries are not those of the checkpoint you hold.",
           ("all made anew and signed with the real key", record_over(told_anew({2: {"on": "1999"}}))), held=MADE.note),
    *tried(12, "number-used-twice", "A second entry has the number 4.", ("two entries with one number", fields(7, seq=4))),
    *tried(13, "book-link-broken", "Entry 7 does not follow the entry before it in this record",
           ("the link of an entry", fields(7, book_prev=ELSE))),
    *tried(14, "book-number-changed", "Entry 7 gives book bookawithapaperlanternaaaa the number 2; here it has 1.",
           ("the number of the book", fields(7, book_no=2))),
    *tried(15, "entry-not-in-ledger", f"Entry 7 {IN}", ("a hash of a proof", entry(7, lambda found: replace(
        found, proof=(flipped(found.proof[0]), *found.proof[1:]))))),
    *tried(15, "proof-malformed", "The proof of entry 7 is none", ("a proof cut", entry(7, lambda found: replace(
        found, proof=found.proof[:-1]))), ("a hash too short", entry(7, lambda found: replace(
            found, proof=(found.proof[0][:-1], *found.proof[1:]))))),
    *tried(16, "head-not-in-ledger", LATER, ("a hash of the head's proof", proof(lambda said: replace(
        said, head=replace(said.head, proof=(flipped(said.head.proof[0]), *said.head.proof[1:])))))),
    *tried(16, "head-differs", "The record ends with another entry than the book's last one, number 7.",
           ("the leaf of the head", head(leaf=ELSE))),
    *tried(16, "head-not-in-ledger", LATER, ("an older head put back", head(**{
        name: getattr(a_ledger().heads[GOOD.file.proof.head.book], name) for name in ("book_seq", "leaf")}))),
    *tried(17, "checkpoint-forged", FORGED, ("the size of the checkpoint", note(lambda said: said.replace("\n13\n", "\n14\n"))),
           ("its root", note(lambda said: said.replace("\n13\n", f"\n13\n{b64encode(bytes(32)).decode()}\n").replace(
               said.split("\n")[2] + "\n", "", 1))),
           ("its heads line", note(lambda said: said.replace("heads 3", "heads 4")))),
    *tried(18, "checkpoint-other-key", "None of the keys at hand signed this",
           ("another key under the same name", note(lambda _: OTHER.sign(MADE.checkpoint.to_text()))),
           ("the same, named in the record", lambda given: file(keys=lambda _: (OTHER.verifier.vkey,))(
               note(lambda _: OTHER.sign(MADE.checkpoint.to_text()))(given)))),
    *tried(19, "entry-after-checkpoint", "Entry 13 came after the checkpoint, which speaks of 10 entries.",
           ("an older checkpoint over the entries of today", note(lambda _: a_ledger().note))),
    *tried(19, "checkpoint-rewound", REWOUND, ("an old record as the newest", lambda given: given), held=GROWN.note),
    *tried(20, "key-unreadable", "it is of small order, so that one signature fits every text",
           ("a small-order key", file(keys=lambda said: (*said.keys, vkey_of("example.org/any", 1, b"\1" + bytes(31)))))),
    *tried(21, "unknown-format", "this program reads slipsheet/1 and not 'slipsheet/0'",
           ("a lowered format of an entry", spelled(7, b'"slipsheet/1"', b'"slipsheet/0"'))),
    *tried(21, "file-unreadable", "this program reads slipsheet-record/1",
           ("another format of the file", raw(lambda said: said.replace(b"slipsheet-record/1", b"slipsheet-record/2")))),
    *tried(21, "file-unreadable", "this program reads slipsheet-sheet/1",
           ("another format of the sheet", raw(lambda said: said.replace(b"slipsheet-sheet/1", b"slipsheet-sheet/0")))),
    *tried(22, "not-canonical", "cannot be read", ("a name twice in an entry", spelled(7, b'"kind":', b'"kind":"x","kind":')),
           ("an entry spaced otherwise", spelled(7, b'"kind":', b'"kind": ')),
           ("a Unicode twin in an entry", spelled(7, b'"raking"', '"\u212b"'.encode()))),
    *tried(22, "file-unreadable", 'the name "sheet" stands twice',
           ("a name twice in the file", raw(lambda said: said[:-1] + b',"sheet":{}}'))),
    *tried(22, "file-unreadable", "it is not in its one byte form",
           ("the file spaced otherwise", raw(lambda said: said.replace(b'"earlier":', b'"earlier": '))),
           ("a line feed at its end", raw(lambda said: said + b"\n")),
           ("an escape that is not needed", raw(lambda said: said.replace(b"Lantern", b"\\u004cantern", 1)))),
    *tried(22, "file-unreadable", "has a twin that looks the same",
           ("a Unicode twin in the file", raw(lambda said: said.replace(b"Lantern", "Lanter\u212b".encode(), 1)))),
    *tried(23, "sealed-value-differs", "Entry 2, sealed field seller: no digest of the entry belongs to it.",
           ("another value", entry(2, lambda found: replace(found, opened=(disclosure(a_salt(2, "seller"), "seller", "An uncle"),)))),
           ("another salt", entry(2, lambda found: replace(found, opened=(disclosure(bytes(16), "seller", "A stall by the harbour"),)))),
           ("a value opened under the name of another", entry(2, lambda found: replace(
               found, opened=(MADE.openings[3]["seller"],))))),
    *tried(23, "opened-missing", "The owner opened the seller of entry 2, and it is not here.",
           ("a value left out", entry(2, lambda found: replace(found, opened=())))),
    *tried(25, "picture-changed", f"Photograph {digest_of(FRONT)[:8]} was changed, or is another one.",
           ("a photograph changed", beside(lambda found: {**found, digest_of(FRONT): FRONT + b"."})),
           ("two photographs swapped", beside(lambda found: {digest_of(FRONT): BACK, digest_of(BACK): FRONT})), only_beside=True),
    *tried(25, "picture-missing", f"Photograph {digest_of(BACK)[:8]} is missing.",
           ("a photograph gone", beside(lambda found: {digest_of(FRONT): FRONT})), only_beside=True),
    *tried(25, "picture-stranger", f"No entry speaks of photograph {digest_of(b'x')[:8]}: it is not of this record.",
           ("a photograph put in", lambda given: beside(lambda found: {**found, digest_of(b"x"): b"x"})(file(
               pictures=lambda said: (*said.pictures, PictureNamed(sha256=digest_of(b"x"), media="image/png", size=1)))(given))),
           ("the digest of a photograph", file(pictures=lambda said: (replace(said.pictures[0], sha256=digest_of(b"x")),
                                                                    *said.pictures[1:])))),
    *tried(25, "picture-changed", "is not of the kind it is said to be, image/png.",
           ("the kind of a photograph", file(pictures=lambda said: (replace(said.pictures[0], media="image/png"),
                                                                  *said.pictures[1:]))), only_beside=True),
    *tried(25, "picture-missing", f"Photograph {digest_of(BACK)[:8]}, which the words speak of, is missing.",
           ("a photograph left out of the list", file(pictures=lambda said: said.pictures[:1]))),
    *tried(27, "checkpoint-rewound", REWOUND, ("a record over an old backup", record_over(MADE)), held=told_anew({}, more=1).note),
    *tried(32, "checkpoint-other-key", "None of the keys at hand signed this",
           ("all re-made in another name and signed by another key", lambda given: given.with_file(
               **{name: getattr(a_record(collection=OTHER_COLLECTION).file, name) for name in ("proof", "sheet", "collection")}))),
    *tried(33, "checkpoint-forged", FORGED, ("an old head beside the new", note(two_heads))),
    *tried(34, "opened-more", "Entry 2 shows its price, which the owner did not choose to open.",
           ("a field that was not chosen", proof(lambda said: MADE.proof_file(said.head.book, ("seller", "price"))))),
    *tried(34, "sealed-value-differs", "no digest of the entry belongs to it", ("an opened price that does not match",
           entry(2, lambda found: replace(found, opened=(*found.opened, disclosure(a_salt(2, "price"), "price", a_price(1))))))),
    *tried(35, "sheet-differs", WORDS,
           ("a word of the sheet", file(sheet=lambda said: replace(said.sheet, lead="Nothing was ever done."))),
           ("its title", file(sheet=lambda said: replace(said.sheet, title="</script><script>alert(1)</script>"))),
           ("a section put in", file(sheet=lambda said: replace(said.sheet, sections=(
               *said.sheet.sections, Section("more", "More", (Words(("Untouched.",)),)))))),
           ("a section left out", file(sheet=lambda said: replace(said.sheet, sections=said.sheet.sections[1:])))),
    *tried(36, "previous-head-differs", "The record was made over another entry than the one before its last",
           ("made over another entry", record_over(told_anew({13: {"body": {**MADE.said[12].body, "previous_head": ELSE}}})))),
    *tried(37, "not-disclosed", "The last entry is not the one by which a record is made",
           ("a record that nobody made", record_over(told_anew({13: {"kind": "note"}})))),
    *tried(38, "key-other", "The record names another key as its own than the one that signed it.",
           ("another key named", file(keys=lambda _: (OTHER.verifier.vkey,)))),
    *tried(38, "key-unreadable", "A key that the record names cannot be read.", ("no key named", file(keys=lambda _: ("nonsense",)))),
    *tried(39, "earlier-stranger", f"No entry speaks of the earlier record {digest_of(GOOD.data)[:8]}",
           ("an earlier record put in", lambda given: beside(lambda found: {**found, digest_of(GOOD.data): GOOD.data})(file(
               earlier=lambda _: (digest_of(GOOD.data),))(given)))),
    *tried(40, "file-unreadable", "The record", ("cut in the middle", raw(lambda said: said[: len(said) // 2])),
           ("nothing but a space", raw(lambda _: b" ")), ("its last byte gone", raw(lambda said: said[:-1])),
           ("another file", raw(lambda _: encode({"format": "slipsheet-record/1"}))), ("a list", raw(lambda _: b"[]")),
           ("half a letter", raw(lambda said: said.replace(b"\xe2\x80\xa8", b"\xe2\x80", 1)))),
    *tried(41, "file-unreadable", "lists and objects stand more than 64 deep",
           ("ten thousand lists in one another", raw(lambda _: b"[" * 10_000 + b"]" * 10_000))),
    *tried(41, "file-unreadable", "whole numbers reach from", ("a size beyond all numbers", raw(lambda said: said.replace(
        b'"size":', b'"size":' + b"9" * 5000)))),
]  # fmt: skip

EARLIER = [
    Tampering(
        number=42,
        what="an earlier record gone",
        change=beside(lambda found: {name: each for name, each in found.items() if name in GOOD.beside}),
        code="earlier-missing",
        sentence=f"The earlier record {digest_of(GOOD.data)[:8]} is missing or was changed.",
        beside=True,
        start=TWICE,
    ),
    Tampering(
        number=42,
        what="an earlier record changed",
        change=beside(lambda found: {**found, digest_of(GOOD.data): GOOD.data.replace(b"1987", b"1988")}),
        code="earlier-missing",
        sentence=f"The earlier record {digest_of(GOOD.data)[:8]} is missing or was changed.",
        beside=True,
        start=TWICE,
    ),
]
"""Of an earlier owner's record; both begin at one that has one."""

__all__ = ["EARLIER", "KINDS", "cosigned_elsewhere"]
