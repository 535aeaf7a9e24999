"""The tables: entries, what proves them, and what is noted of the read models, whose tables are in `row_tables`.

Every primary and unique key begins with `collection_id`, so that no number of one collection meets another's.
"""

from typing import Any, Final

from sqlalchemy import (
    BigInteger,
    CheckConstraint,
    Column,
    ForeignKeyConstraint,
    Index,
    Integer,
    LargeBinary,
    Text,
    UniqueConstraint,
)
from sqlmodel import Field, SQLModel

__all__ = [
    "BOOK_HEAD",
    "CHECKPOINT",
    "COLLECTION",
    "ENTRY",
    "HEAD",
    "KEPT",
    "NODE",
    "READ_MODEL",
    "RECEIPT",
    "SEALED_VALUE",
    "TOKEN",
]

STRICT: Final = {"sqlite_strict": True}
KEYED: Final = {"sqlite_strict": True, "sqlite_with_rowid": False}
"""For tables looked up by their key alone."""

Whole: Final = BigInteger().with_variant(Integer(), "sqlite")
Sorted: Final = Text().with_variant(Text(collation="C"), "postgresql")
"""Text that is put in order by its code points, whatever the language of the server."""


def _key(kind: Any) -> Any:  # noqa: ANN401 - the field stands where a value of any type would
    return Field(sa_type=kind, primary_key=True)


def _text(*, default: Any = ...) -> Any:  # noqa: ANN401
    return Field(default, sa_type=Text)


def _whole(*, default: Any = ...) -> Any:  # noqa: ANN401
    return Field(default, sa_type=Whole)


def _bytes(*, default: Any = ...) -> Any:  # noqa: ANN401
    return Field(default, sa_type=LargeBinary)


def _of_entry(columns: str = "seq") -> ForeignKeyConstraint:
    return ForeignKeyConstraint(["collection_id", columns], ["entry.collection_id", "entry.seq"])


class CollectionTable(SQLModel, table=True):
    """The collections of this store."""

    __tablename__ = "collection"
    __table_args__ = KEYED

    collection_id: str = _key(Text)
    created: str = _text()
    origin: str = _text()


class EntryTable(SQLModel, table=True):
    """The entries: their bytes, and beside them what is looked for; only the bytes are hashed."""

    __tablename__ = "entry"
    __table_args__ = (
        UniqueConstraint("collection_id", "book_id", "book_seq"),
        ForeignKeyConstraint(["collection_id"], ["collection.collection_id"]),
        Index("entry_act", "collection_id", "act", "seq"),
        Index("entry_kind", "collection_id", "kind", "seq"),
        STRICT,
    )

    collection_id: str = _key(Text)
    seq: int = _key(Whole)
    data: bytes = Field(sa_column=Column("bytes", LargeBinary, nullable=False))
    leaf: bytes = _bytes()
    book_id: str | None = _text(default=None)
    book_no: int | None = _whole(default=None)
    book_seq: int | None = _whole(default=None)
    act: str = _text()
    kind: str = _text()
    actor: str = _text()
    recorded: str = _text()


class HeadTable(SQLModel, table=True):
    """The end of each collection's chain."""

    __tablename__ = "head"
    __table_args__ = (ForeignKeyConstraint(["collection_id"], ["collection.collection_id"]), KEYED)

    collection_id: str = _key(Text)
    size: int = _whole()
    books: int = _whole()


class NodeTable(SQLModel, table=True):
    """Whole subtrees of both trees; `place` is 2**48 times the level, plus the index, so that one key finds it."""

    __tablename__ = "node"
    __table_args__ = (ForeignKeyConstraint(["collection_id"], ["collection.collection_id"]), KEYED)

    collection_id: str = _key(Text)
    tree: str = _key(Text)
    place: int = _key(Whole)
    hash: bytes = _bytes()


class BookHeadTable(SQLModel, table=True):
    """The end of each book's own chain."""

    __tablename__ = "book_head"
    __table_args__ = (
        UniqueConstraint("collection_id", "no"),
        ForeignKeyConstraint(["collection_id"], ["collection.collection_id"]),
        KEYED,
    )

    collection_id: str = _key(Text)
    book_id: str = _key(Text)
    no: int = _whole()
    seq: int = _whole()
    leaf: bytes = _bytes()


class SealedValueTable(SQLModel, table=True):
    """Salt and value of each sealed field; the row stays, empty, when they were erased."""

    __tablename__ = "sealed_value"
    __table_args__ = (
        CheckConstraint("(salt IS NULL) = (value IS NULL)", name="sealed_value_whole"),
        _of_entry(),
        KEYED,
    )

    collection_id: str = _key(Text)
    seq: int = _key(Whole)
    name: str = _key(Text)
    salt: bytes | None = _bytes(default=None)
    value: str | None = _text(default=None)
    """JSON; an empty field holds `null`, an erased one nothing."""


class ReceiptTable(SQLModel, table=True):
    """What each idempotency key did."""

    __tablename__ = "receipt"
    __table_args__ = (_of_entry("first"), Index("receipt_first", "collection_id", "first"), KEYED)

    collection_id: str = _key(Text)
    key: str = _key(Text)
    salt: bytes | None = _bytes(default=None)
    request: bytes | None = _bytes(default=None)
    first: int = _whole()
    count: int = _whole()
    warnings: str = _text()


class CheckpointTable(SQLModel, table=True):
    """Every checkpoint ever signed, in the order of signing."""

    __tablename__ = "checkpoint"
    __table_args__ = (ForeignKeyConstraint(["collection_id"], ["collection.collection_id"]), KEYED)

    collection_id: str = _key(Text)
    no: int = _key(Whole)
    size: int = _whole()
    note: str = _text()
    signed: str = _text()


class TokenTable(SQLModel, table=True):
    """API tokens by their hashes."""

    __tablename__ = "token"
    __table_args__ = (
        UniqueConstraint("collection_id", "hashed"),
        ForeignKeyConstraint(["collection_id"], ["collection.collection_id"]),
        KEYED,
    )

    collection_id: str = _key(Text)
    id: str = _key(Text)
    label: str = _text()
    hashed: bytes = _bytes()
    scopes: str = _text()
    person: str = _text()
    created: str = _text()
    expires: str = _text()
    revoked: str | None = _text(default=None)


class ReadModelTable(SQLModel, table=True):
    """For which shape of the read models a collection's rows were last made."""

    __tablename__ = "read_model"
    __table_args__ = (ForeignKeyConstraint(["collection_id"], ["collection.collection_id"]), KEYED)

    collection_id: str = _key(Text)
    shape: str = _text()


_TABLES: Final = SQLModel.metadata.tables
COLLECTION: Final = _TABLES["collection"]
ENTRY: Final = _TABLES["entry"]
HEAD: Final = _TABLES["head"]
NODE: Final = _TABLES["node"]
BOOK_HEAD: Final = _TABLES["book_head"]
SEALED_VALUE: Final = _TABLES["sealed_value"]
RECEIPT: Final = _TABLES["receipt"]
CHECKPOINT: Final = _TABLES["checkpoint"]
TOKEN: Final = _TABLES["token"]
READ_MODEL: Final = _TABLES["read_model"]
KEPT: Final = (COLLECTION, ENTRY, HEAD, NODE, BOOK_HEAD, SEALED_VALUE, RECEIPT, CHECKPOINT, TOKEN, READ_MODEL)
"""What is migrated and never made anew."""
