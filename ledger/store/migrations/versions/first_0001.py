"""The first tables: the entries, and all that proves them."""

from collections.abc import Sequence

import sqlalchemy as sa
from alembic import op

revision: str = "0001"
down_revision: str | None = None
branch_labels: Sequence[str] | None = None
depends_on: Sequence[str] | None = None

WHOLE = sa.BigInteger().with_variant(sa.Integer(), "sqlite")


def upgrade() -> None:
    """Make them; they are spelled out here, since the tables of today will go on changing."""
    _collections()
    _entries()
    _trees()
    _beside_entries()
    _signed_and_shared()


def _table(name: str, *parts: sa.Column[object] | sa.Constraint, by_key: bool = True) -> None:
    op.create_table(name, *parts, sqlite_strict=True, sqlite_with_rowid=not by_key)


def _text(name: str, *, null: bool = False) -> sa.Column[object]:
    return sa.Column(name, sa.Text(), nullable=null)


def _whole(name: str, *, null: bool = False) -> sa.Column[object]:
    return sa.Column(name, WHOLE, nullable=null)


def _bytes(name: str, *, null: bool = False) -> sa.Column[object]:
    return sa.Column(name, sa.LargeBinary(), nullable=null)


def _of_collection() -> sa.ForeignKeyConstraint:
    return sa.ForeignKeyConstraint(["collection_id"], ["collection.collection_id"])


def _of_entry(column: str) -> sa.ForeignKeyConstraint:
    return sa.ForeignKeyConstraint(["collection_id", column], ["entry.collection_id", "entry.seq"])


def _key(*names: str) -> sa.PrimaryKeyConstraint:
    return sa.PrimaryKeyConstraint("collection_id", *names)


def _collections() -> None:
    _table("collection", _text("collection_id"), _text("created"), _text("origin"), _key())
    _table("read_model", _text("collection_id"), _text("shape"), _key(), _of_collection())


def _entries() -> None:
    _table(
        "entry",
        _text("collection_id"),
        _whole("seq"),
        _bytes("bytes"),
        _bytes("leaf"),
        _text("book_id", null=True),
        _whole("book_no", null=True),
        _whole("book_seq", null=True),
        _text("act"),
        _text("kind"),
        _text("actor"),
        _text("recorded"),
        _key("seq"),
        sa.UniqueConstraint("collection_id", "book_id", "book_seq"),
        _of_collection(),
        by_key=False,
    )
    op.create_index("entry_act", "entry", ["collection_id", "act", "seq"])
    op.create_index("entry_kind", "entry", ["collection_id", "kind", "seq"])
    _table("head", _text("collection_id"), _whole("size"), _whole("books"), _key(), _of_collection())


def _trees() -> None:
    _table(
        "node",
        _text("collection_id"),
        _text("tree"),
        _whole("place"),
        _bytes("hash"),
        _key("tree", "place"),
        _of_collection(),
    )
    _table(
        "book_head",
        _text("collection_id"),
        _text("book_id"),
        _whole("no"),
        _whole("seq"),
        _bytes("leaf"),
        _key("book_id"),
        sa.UniqueConstraint("collection_id", "no"),
        _of_collection(),
    )


def _beside_entries() -> None:
    _table(
        "sealed_value",
        _text("collection_id"),
        _whole("seq"),
        _text("name"),
        _bytes("salt", null=True),
        _text("value", null=True),
        _key("seq", "name"),
        sa.CheckConstraint("(salt IS NULL) = (value IS NULL)", name="sealed_value_whole"),
        _of_entry("seq"),
    )
    _table(
        "receipt",
        _text("collection_id"),
        _text("key"),
        _bytes("salt", null=True),
        _bytes("request", null=True),
        _whole("first"),
        _whole("count"),
        _text("warnings"),
        _key("key"),
        _of_entry("first"),
    )
    op.create_index("receipt_first", "receipt", ["collection_id", "first"])


def _signed_and_shared() -> None:
    _table(
        "checkpoint",
        _text("collection_id"),
        _whole("no"),
        _whole("size"),
        _text("note"),
        _text("signed"),
        _key("no"),
        _of_collection(),
    )
    _table(
        "token",
        _text("collection_id"),
        _text("id"),
        _text("label"),
        _bytes("hashed"),
        _text("scopes"),
        _text("person"),
        _text("created"),
        _text("expires"),
        _text("revoked", null=True),
        _key("id"),
        sa.UniqueConstraint("collection_id", "hashed"),
        _of_collection(),
    )
