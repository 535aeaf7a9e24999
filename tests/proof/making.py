"""A small invented ledger with fixed ids, salts and times, so that everything made from it is always the same."""

from base64 import b64encode
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime, timedelta
from hashlib import sha256
from typing import Any

from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

from ledger.proof import merkle
from ledger.proof.canonical import Plain
from ledger.proof.chain import FMT, Envelope, Walk
from ledger.proof.checkpoint import Checkpoint, origin_of
from ledger.proof.heads import Head
from ledger.proof.merkle import Node
from ledger.proof.proof_file import Consistency, EntryProof, HeadProof, ProofFile
from ledger.proof.report import Report
from ledger.proof.sealing import digest, disclosure
from ledger.proof.signature import COSIGNATURE, SigningKey, VerifierKey

COLLECTION = "examplecollectionforproofs"
OTHER_COLLECTION = "anothercollectionelsewhere"
BOOK_A = "bookawithapaperlanternaaaa"
BOOK_B = "bookbwithapaperlanternbbbb"
BOOK_C = "bookcwithapaperlanterncccc"

# Source: RFC 8032 section 7.1, TEST 1 and TEST 2: keys that everybody knows, good for nothing but examples.
OWNER_SEED = bytes.fromhex("9d61b19deffd5a60ba844af492ec2cc44449c5697b326919703bac031cae7f60")
OTHER_SEED = bytes.fromhex("4ccd089b28ff96da9db6c346ec114e0f5b8a319f35aba624da8cf6ed4fb8a6fb")

FIRST = datetime(2026, 2, 28, 10, tzinfo=UTC)
OWNER = SigningKey.from_seed(origin_of(COLLECTION), OWNER_SEED)


@dataclass
class Kept:
    """Nodes kept as the store keeps them; it counts what is read."""

    nodes: dict[Node, bytes] = field(default_factory=dict)
    size: int = 0
    calls: int = 0
    asked: int = 0

    def read(self, nodes: Sequence[Node]) -> list[bytes]:
        """The nodes asked for, counted."""
        self.calls += 1
        self.asked += len(nodes)
        return [self.nodes[node] for node in nodes]

    def append(self, leaf: bytes) -> None:
        """Keep a leaf at the end and what it finishes."""
        self._put(merkle.appended(self.size, leaf, self.read))
        self.size += 1

    def replace(self, index: int, leaf: bytes) -> None:
        """Keep another leaf in the place of one."""
        self._put(merkle.replaced(self.size, index, leaf, self.read))

    def _put(self, made: list[tuple[int, int, bytes]]) -> None:
        self.nodes.update({(level, index): found for level, index, found in made})

    @property
    def root(self) -> bytes:
        """The root over what is kept."""
        return merkle.root(self.size, self.read)


def a_salt(seq: int, name: str) -> bytes:
    return sha256(f"salt of {name} in entry {seq}".encode()).digest()[:16]


@dataclass
class Made:
    """A ledger under the pen: its stored bytes, both trees, and what opens the sealed fields."""

    entries: list[bytes] = field(default_factory=list)
    said: list[Envelope] = field(default_factory=list)
    tree: Kept = field(default_factory=Kept)
    heads_tree: Kept = field(default_factory=Kept)
    heads: dict[str, Head] = field(default_factory=dict)
    openings: dict[int, dict[str, str]] = field(default_factory=dict)
    collection: str = COLLECTION

    def write(self, kind: str, book: str | None = None, **said: Any) -> Envelope:
        """Append an entry as the ledger would."""
        entry = self.next_entry(kind, book, **said)
        self.store(entry)
        return entry

    def next_entry(
        self,
        kind: str,
        book: str | None = None,
        *,
        on: str | None = None,
        act: str = "",
        body: dict[str, Plain] | None = None,
        sealed: dict[str, Plain] | None = None,
    ) -> Envelope:
        """The entry that would come next, right as the ledger would write it."""
        seq = len(self.entries) + 1
        head = self.heads.get(book) if book else None
        self.openings[seq] = {n: disclosure(a_salt(seq, n), n, value) for n, value in (sealed or {}).items()}
        return Envelope(
            fmt=FMT,
            collection=self.collection,
            seq=seq,
            book=book,
            book_no=(head.book_no if head else len(self.heads) + 1) if book else None,
            book_seq=(head.book_seq + 1 if head else 1) if book else None,
            book_prev=head.leaf if head else None,
            act=act or f"act{seq:023}",
            kind=kind,
            v=1,
            on=on,
            recorded=(FIRST + seq * timedelta(days=1, microseconds=1)).strftime("%Y-%m-%dT%H:%M:%S.%fZ"),
            actor="theownerofthisledger",
            body=body or {},
            sealed={name: digest(text) for name, text in self.openings[seq].items()},
        )

    def store(self, entry: Envelope) -> None:
        """Keep an entry, right or wrong, as the store would."""
        data = entry.to_bytes()
        leaf = merkle.leaf_hash(data)
        self.entries.append(data)
        self.said.append(entry)
        self.tree.append(leaf)
        if entry.book is None or entry.book_no is None or entry.book_seq is None:
            return
        head = Head(entry.book, entry.book_no, entry.book_seq, leaf.hex())
        head_leaf = merkle.leaf_hash(head.to_bytes())
        if entry.book in self.heads:
            self.heads_tree.replace(entry.book_no - 1, head_leaf)
        else:
            self.heads_tree.append(head_leaf)
        self.heads[entry.book] = head

    @property
    def checkpoint(self) -> Checkpoint:
        """What stands for the ledger now."""
        origin = origin_of(self.collection)
        return Checkpoint(origin, self.tree.size, self.tree.root, self.heads_tree.size, self.heads_tree.root)

    @property
    def note(self) -> str:
        """The checkpoint, signed by the owner."""
        return OWNER.sign(self.checkpoint.to_text())

    def proof_of(self, seq: int) -> tuple[bytes, ...]:
        """How an entry is in the ledger as it is now."""
        return tuple(merkle.inclusion_proof(seq - 1, self.tree.size, self.tree.read))

    def proof_file(self, book: str, shown: Sequence[str] = (), first: int | None = None) -> ProofFile:
        """The record of a book, with the sealed names in `shown` opened."""
        size, head = self.tree.size, self.heads[book]
        entries = [
            EntryProof(
                data=entry.to_bytes(),
                proof=tuple(merkle.inclusion_proof(entry.seq - 1, size, self.tree.read)),
                opened=tuple(text for name, text in self.openings[entry.seq].items() if name in shown),
            )
            for entry in self.said
            if entry.book == book
        ]
        head_proof = merkle.inclusion_proof(head.book_no - 1, self.heads_tree.size, self.heads_tree.read)
        grown = first and Consistency(first=first, proof=tuple(merkle.consistency_proof(first, size, self.tree.read)))
        return ProofFile(
            checkpoint=self.note,
            head=HeadProof(
                book=book, book_no=head.book_no, book_seq=head.book_seq, leaf=head.leaf, proof=tuple(head_proof)
            ),
            entries=tuple(entries),
            consistency=grown or None,
        )


def a_ledger(size: int = 10, collection: str = COLLECTION) -> Made:
    """Ten entries on three books and on the collection itself; the first `size` of them."""
    made = Made(collection=collection)
    lot: dict[str, Any] = {"on": "1987", "act": "alotofthreepaperlanterns", "body": {"means": "bought"}}
    steps: list[tuple[str, str | None, dict[str, Any]]] = [
        ("key", None, {"body": {"starts": OWNER.verifier.vkey}}),
        ("purchase", BOOK_A, lot | {"sealed": {"price": a_price(1250), "seller": "A stall by the harbour"}}),
        ("purchase", BOOK_B, lot | {"sealed": {"price": a_price(900), "seller": "A stall by the harbour"}}),
        ("arrival", BOOK_A, {"on": "2026-03-02", "sealed": {"remark": None}}),
        ("room", None, {"body": {"lux": 50}}),
        ("purchase", BOOK_C, lot | {"sealed": {"price": a_price(400), "seller": None}}),
        ("examination", BOOK_A, {"on": "2026-03-05T09:30:00+01:00", "body": {"light": "raking", "pages": 36}}),
        ("arrival", BOOK_B, {"sealed": {"remark": "Wrapped twice"}}),
        ("intervention", BOOK_A, {"on": "2026-03-07/2026-03-08", "sealed": {"remark": "Drückt sich glatt"}}),
        ("note", BOOK_C, {"sealed": {"text": "Ask about the staples"}}),
    ]
    for kind, book, said in steps[:size]:
        made.write(kind, book, **said)
    return made


def a_price(minor: int) -> dict[str, Plain]:
    return {"minor": minor, "currency": "EUR", "exponent": 2}


def a_cosignature(note: str, name: str, seconds: int) -> tuple[str, VerifierKey]:
    """The note with a second person's dated signature, and the key to check it. Source: C2SP tlog-cosignature."""
    private = Ed25519PrivateKey.from_private_bytes(OTHER_SEED)
    key = VerifierKey.of(name, private.public_key().public_bytes_raw(), COSIGNATURE)
    text, _, lines = note.rpartition("\n\n")
    signed = private.sign(f"cosignature/v1\ntime {seconds}\n{text}\n".encode())
    encoded = b64encode(key.key_id + seconds.to_bytes(8, "big") + signed).decode()
    return f"{text}\n\n{lines}\u2014 {name} {encoded}\n", key


def walked(entries: Sequence[tuple[int, bytes]], collection: str = COLLECTION) -> Report:
    """What a walk over stored rows finds."""
    walk = Walk(collection)
    for seq, data in entries:
        walk.step(seq, data)
    return walk.finish()


def numbered(entries: Sequence[bytes]) -> list[tuple[int, bytes]]:
    """Entries in the places in which they stand."""
    return list(enumerate(entries, 1))


def with_bytes(made: Made, seq: int, data: bytes) -> list[tuple[int, bytes]]:
    """A ledger's rows with other bytes in one of them."""
    return [(number, data if number == seq else stored) for number, stored in numbered(made.entries)]


def told(report: Report) -> list[tuple[str, int | None, str]]:
    """What a report found, without the rest."""
    return [(finding.code, finding.seq, finding.sentence) for finding in report.findings]


def changed(made: Made, number: int, /, **fields: Any) -> bytes:
    """The bytes of an entry rewritten, valid by themselves."""
    return replace(made.said[number - 1], **fields).to_bytes()
