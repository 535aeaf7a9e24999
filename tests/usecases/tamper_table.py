"""The table of tamperings: what is done, and what verify must say of it. In a sentence, AT is the place."""

from tests.usecases.tamper_kinds import (
    SMALL_ORDER,
    Change,
    an_old_backup,
    an_older_checkpoint_as_the_latest,
    an_older_head,
    checkpoint_line,
    flip,
    guard,
    of_another_book,
    picture,
    rewritten,
    sealed,
    signed_by_another,
    slipped_in,
    small_order_key,
    spelled,
    sql,
    swapped,
    tried,
    twice,
)
from tests.usecases.tampering import Bench, cut, remake_from

ELSE = "0" * 64
FORGED = "The checkpoint over AT entries is not one that this ledger's key signed"
ROOT = "has another root: something in entries 1 to AT was changed after it was signed."
NODE = "of the tree of entries is changed; rebuild mends it."
HEAD = "The head kept for book {AT} is not its last entry: an older one was put back, or it was changed."
LINK = "of book {AT} does not follow the entry before it as that one stands here: one of the two was changed."
GONE = "The sealed value words of entry AT is missing, and no erasure names it."
CHANGED = "The sealed value words of entry AT or its salt was changed."
ROW = "The lists show book {AT} other than its entries; rebuild mends it."
OLDER = "The checkpoint kept elsewhere, over 7 entries, is not among those kept here: an older state was put back"
GUARD = "The guard AT of the database was taken away; entries could be changed unseen."
HOLLOW = "DROP TRIGGER entry_delete; CREATE TRIGGER entry_delete BEFORE DELETE ON entry BEGIN SELECT 1; END"
UNUSABLE = (
    "Entry AT names a signing key that cannot be used: it is of small order, so that one signature fits every text."
)
BOOKS = ((1, "first"), (2, "second"))
PICTURES = ("original", "clean copy")
NOWHERE = "b" * 26
TEXT = "INSERT INTO book_search (rowid, collection_id, text)"
PICTURE = "INSERT INTO picture_row SELECT"
TWICE = "INSERT INTO receipt SELECT collection_id, 'x', salt, request, first, count, warnings FROM receipt"


def cut_behind(last: int) -> Change:
    return lambda bench: cut(bench, last)


def made_anew(seq: int, *, sign: bool) -> Change:
    def change(bench: Bench) -> None:
        remake_from(bench, seq, sign=sign)

    return change


KINDS = [
    *tried(1, "entry-changed", "Entry AT was changed after it was written.",
           *((f"a bit of entry {n}", flip(n), n) for n in (1, 4, 7))),
    *tried(2, "root-differs", f"The checkpoint over AT entries {ROOT}", ("entry 3 as other valid bytes", rewritten(3, on="1999"), 4),
           ("entry 7 as other valid bytes", rewritten(7, on="1999"), 7), of_entry=False),
    *tried(2, "node-changed", f"Node AT on level 0 {NODE}",
           *((f"entry {n + 1} as other valid bytes in the tree", rewritten(n + 1, on="1999"), n) for n in (2, 6)), of_entry=False),
    *tried(3, "entry-missing", "Entry AT is missing.",
           *((f"entry {n} taken out", sql(f"DELETE FROM entry WHERE seq = {n}"), n) for n in (3, 6))),
    *tried(4, "head-differs", "The head says 7 entries and AT are here.",
           ("the last entry taken out", sql("DELETE FROM entry WHERE seq = 7"), 6),
           ("the last two entries taken out", sql("DELETE FROM entry WHERE seq > 5"), 5), of_entry=False),
    *tried(4, "sealed-without-entry", "Sealed values are kept for entry AT, which is not here: it was taken out.",
           ("the last entry taken out, its values left", sql("DELETE FROM entry WHERE seq = 7"), 7)),
    *tried(4, "entries-cut", "A checkpoint was signed over 7 entries and 6 are here: the last one is missing.",
           ("the last entry cut", cut_behind(6), 7), anchored=True),
    *(each for n in (2, 4, 5) for each in tried(
        5, "entries-cut", f"A checkpoint was signed over 7 entries and {n} are here: the last {7 - n} are missing.",
        (f"all behind entry {n} cut", cut_behind(n), n + 1), anchored=True)),
    *(each for n in (3, 6) for each in tried(6, "number-used-twice", f"A second entry has the number {n + 1}, in place AT.",
                                             (f"an entry slipped in behind {n}", slipped_in(n), n + 2))),
    *tried(7, "order-broken", "stands in place AT.", ("entries 3 and 6 swapped", swapped(3, 6), 3),
           ("entries 6 and 7 swapped", swapped(6, 7), 6)),
    *(each for n in (3, 7) for each in tried(
        8, "entry-twice", f"Entry {n} stands a second time, in place AT.", (f"entry {n} twice", twice(n), 8))),
    *tried(9, "other-collection", f"Place AT holds entry AT of another collection, {'a' * 26}.",
           *((f"entry {n} of another collection", rewritten(n, collection="a" * 26), n) for n in (2, 6))),
    *tried(10, "other-book", "Entry AT says it is of book", *((f"entry {n} of another book", of_another_book(n), n) for n in (4, 6))),
    *tried(11, "root-differs", ROOT, ("all made anew from entry 3", made_anew(3, sign=False), 4),
           ("all made anew from entry 6", made_anew(6, sign=False), 7), of_entry=False),
    *tried(11, "root-differs", ROOT.replace("AT", "7"),
           *((f"all made anew from entry {n} and signed with the real key", made_anew(n, sign=True), n) for n in (3, 6)),
           of_entry=False, anchored=True),
    *(each for n in (4, 7) for each in tried(12, "number-used-twice", f"A second entry has the number {n}, in place AT.",
                                             (f"two entries with the number {n}", twice(n, on="2001"), 8))),
    *tried(13, "book-link-broken", f"Entry 4 {LINK}".replace("AT", "first"), ("the link of 4", rewritten(4, book_prev=ELSE), 4)),
    *tried(13, "book-link-broken", f"Entry 6 {LINK}".replace("AT", "second"), ("the link of 6", rewritten(6, book_prev=ELSE), 6)),
    *tried(14, "book-number-changed", "Entry AT gives book", *((f"the book number of {n}", rewritten(n, book_no=9), n) for n in (4, 6))),
    *tried(14, "book-number-used-twice", "Entry AT gives book {second} the number 1 of book {first}.",
           *((f"the first book's number in entry {n}", rewritten(n, book_no=1), n) for n in (3, 6))),
    *tried(15, "node-changed", f"Node 0 on level AT {NODE}",
           *((f"a node on level {n}", sql(f"UPDATE node SET hash = zeroblob(32) WHERE tree = 'entries' AND place = {n << 48}"), n)
             for n in (0, 1, 2)), of_entry=False),
    *tried(15, "node-changed", "Node AT on level 0 of the tree of heads is missing; rebuild mends it.",
           *((f"head node {n} taken out", sql(f"DELETE FROM node WHERE tree = 'heads' AND place = {n}"), n) for n in (0, 1)),
           of_entry=False),
    *tried(15, "node-changed", "The tree of AT has nodes that no entry accounts for; rebuild mends it.",
           *((f"a node more of {tree}", sql(f"INSERT INTO node SELECT collection_id, '{tree}', 99, leaf FROM entry LIMIT 1"), tree)
             for tree in ("entries", "heads"))),
    *tried(16, "head-leaf-differs", HEAD, *((f"an older head of the {at} book", an_older_head(n), at) for n, at in BOOKS)),
    *tried(16, "head-leaf-differs", HEAD,
           *((f"the leaf of the {at} head", sql(f"UPDATE book_head SET leaf = zeroblob(32) WHERE no = {n}"), at) for n, at in BOOKS)),
    *tried(17, "checkpoint-forged", FORGED, *((f"the size in {n}", checkpoint_line(n, f"\n{n}\n", "\n5\n"), n) for n in (4, 7)),
           *((f"the root in {n}", checkpoint_line(n, f"\n{n}\n", f"\n{n}\nAAAA"), n) for n in (4, 7)),
           *((f"the heads line in {n}", checkpoint_line(n, "heads 2", "heads 1"), n) for n in (4, 7)), of_entry=False),
    *tried(18, "checkpoint-forged", FORGED, *((f"{n} signed by another key", signed_by_another(n), n) for n in (4, 7)), of_entry=False),
    *tried(19, "checkpoint-missing", OLDER, ("the newest taken out", sql("DELETE FROM checkpoint WHERE size = 7"), ""),
           ("an older one in its place", an_older_checkpoint_as_the_latest, ""), anchored=True),
    *tried(20, "key-unusable", UNUSABLE, *((f"small order {point[:2]}", small_order_key(point), 1) for point in SMALL_ORDER)),
    *(each for n, fmt in ((4, 0), (6, 2)) for each in tried(
        21, "unknown-format", f"Entry AT cannot be read at fmt: this program reads slipsheet/1 and not 'slipsheet/{fmt}'.",
        (f"format {fmt}", spelled(n, b'"slipsheet/1"', f'"slipsheet/{fmt}"'.encode()), n))),
    *tried(22, "not-canonical", "Entry AT cannot be read",
           *((f"a name twice in {n}", spelled(n, b'"kind":', b'"kind":"x","kind":'), n) for n in (4, 6)),
           *((f"{n} spaced otherwise", spelled(n, b'"kind":', b'"kind": '), n) for n in (4, 6)),
           *((f"a Unicode twin in {n}", spelled(n, b'"owner"', '"\u212bowner"'.encode()), n) for n in (4, 6))),
    *tried(23, "sealed-changed", CHANGED, *((f"a value of {n}", sealed(n, "value = '\"else\"'"), n) for n in (6, 7)),
           *((f"a value of {n} that is no JSON", sealed(n, "value = '{'"), n) for n in (6, 7)),
           *((f"a salt of {n}", sealed(n, "salt = zeroblob(16)"), n) for n in (6, 7))),
    *tried(23, "sealed-missing", GONE, *((f"a value of {n} emptied", sealed(n, "salt = NULL, value = NULL"), n) for n in (6, 7)),
           *((f"a value of {n} taken out", sql(f"DELETE FROM sealed_value WHERE seq = {n} AND name = 'words'"), n) for n in (6, 7))),
    *tried(24, "read-model-differs", ROW,
           *((f"the {at} row", sql(f"UPDATE book_row SET state = '' WHERE no = {n}"), at) for n, at in BOOKS),
           *((f"a text to search, {at}", sql("UPDATE book_search SET text = 'else'"), at) for _, at in BOOKS)),
    *tried(24, "read-model-missing", "Book {AT} is missing from the lists; rebuild mends it.",
           *((f"the {at} row taken out", sql(f"DELETE FROM book_row WHERE no = {n}"), at) for n, at in BOOKS)),
    *tried(24, "read-model-differs", "The lists show book nobody, which has no entries; rebuild mends it.",
           ("a row of no book", sql("UPDATE book_row SET book = 'nobody' WHERE no = 2"), "")),
    *tried(25, "picture-missing", "The AT of the photograph in entry 5 is missing.",
           *((f"{which} missing", picture(which, "missing"), which) for which in PICTURES)),
    *tried(25, "picture-changed", "The AT of the photograph in entry 5 was changed.",
           *((f"{which} {how}", picture(which, how), which) for which in PICTURES for how in ("changed", "swapped"))),
    *tried(26, "guard-missing", GUARD, *((f"guard {at}", guard(f"DROP TRIGGER {at}"), at) for at in ("entry_update", "checkpoint_delete")),
           ("a guard that guards nothing", guard(HOLLOW), "entry_delete")),
    *tried(27, "entries-cut", "A checkpoint was signed over 8 entries and 7 are here: the last one is missing.",
           ("a backup one entry old", an_old_backup("third look"), 8), anchored=True),
    *tried(27, "entries-cut", "A checkpoint was signed over 9 entries and 7 are here: the last 2 are missing.",
           ("a backup two entries old", an_old_backup("third look", "fourth look"), 8), anchored=True),
    *tried(28, "read-model-stray", "The lists hold AT, which belongs to no book in them; rebuild takes it out.",
           ("a text more", sql(f"{TEXT} SELECT 7, collection_id, text FROM book_search LIMIT 1"),
            "text 7 of the search"),
           ("a text of a collection that is not there", sql(f"{TEXT} VALUES (9, '{NOWHERE}', 'x')"),
            "text 9 of the search"),
           ("words of no book", sql("INSERT INTO word_row SELECT collection_id, 'nobody', 'x' FROM collection"),
            "words of book nobody"),
           ("a photograph of no book", sql(f"{PICTURE} collection_id, '{ELSE}', 'nobody' FROM collection"),
            f"photograph {ELSE} of book nobody"),
           ("a photograph of a collection that is not there",
            sql(f"{PICTURE} '{NOWHERE}', '{ELSE}', book FROM book_row WHERE no = 1"),
            f"photograph {ELSE} of book {{first}}")),
    *tried(28, "read-model-differs", ROW,
           *((f"a photograph more, {at}", sql(f"{PICTURE} collection_id, '{ELSE}', book FROM book_row WHERE no = {n}"), at)
             for n, at in BOOKS)),
    *tried(29, "stranger-there", "In the database is the AT, which this program never made; see who put it there, and take it out.",
           ("a table more", guard("CREATE TABLE spare (words TEXT)"), "table spare"),
           ("a view", guard("CREATE VIEW lists AS SELECT * FROM book_row"), "view lists"),
           ("an index", guard("CREATE INDEX spare ON entry (actor)"), "index spare"),
           ("a search more", guard("CREATE VIRTUAL TABLE spare USING fts5(words)"), "table spare_content")),
    *tried(29, "stranger-there", "In the database is the trigger AT, which this program never made; rebuild takes it out.",
           ("a trigger", guard("CREATE TRIGGER spare AFTER INSERT ON entry BEGIN DELETE FROM book_row; END"), "spare")),
    *tried(30, "receipt-changed", "The receipt of AT speaks of entries that are no act of this ledger.",
           ("a receipt of an entry that is not there", sql("UPDATE receipt SET first = 99"), "one entry from 99 on"),
           ("a receipt of an entry before all", sql("UPDATE receipt SET first = -3"), "one entry from -3 on"),
           ("a receipt of the middle of an act", sql("UPDATE receipt SET first = 3"), "one entry from 3 on"),
           *((f"a receipt of {n} entries", sql(f"UPDATE receipt SET count = {n}"), f"{n} entries from 1 on") for n in (0, 2, 2**62))),
    *tried(30, "receipt-changed", "The receipt of one entry from 1 on holds no salt and hash of its request as they are written.",
           *((f"a receipt with {what}", sql(f"UPDATE receipt SET {what}"), "")
             for what in ("salt = x'00'", "request = zeroblob(31)", "salt = NULL", "request = NULL"))),
    *tried(30, "receipt-changed", "The receipt of one entry from 1 on has forgotten its request, and no erasure asked for that.",
           ("a receipt without its request", sql("UPDATE receipt SET salt = NULL, request = NULL"), "")),
    *tried(30, "receipt-changed", "The receipt of one entry from 1 on is the second one over entry 1.",
           ("a receipt twice", sql(TWICE), "")),
    *tried(31, "table-missing", "The table AT of the database is missing; put back a backup that is whole.",
           *((f"the table {at} dropped", guard(f"PRAGMA foreign_keys = OFF; DROP TABLE {at}"), at)
             for at in ("entry", "head", "sealed_value", "receipt", "checkpoint", "token", "person", "alembic_version"))),
    *tried(31, "table-missing", "The table AT of the database is missing; rebuild makes it anew.",
           *((f"the table {at} dropped", guard(f"PRAGMA foreign_keys = OFF; DROP TABLE {at}"), at)
             for at in ("node", "book_head", "read_model", "book_row", "picture_row", "cost_row", "word_row", "book_search")),
           ("the table book_search_content dropped", guard("PRAGMA foreign_keys = OFF; DROP TABLE book_search_content"),
            "book_search_content")),
]  # fmt: skip
"""Numbered as people who attack a ledger would list them; the tests ask for every number from 1 to 31."""
