"""The tables of accounts: people, sessions, forms that wait."""

from collections.abc import Sequence

import sqlalchemy as sa
from alembic import op

revision: str = "0002"
down_revision: str | None = "0001"
branch_labels: Sequence[str] | None = None
depends_on: Sequence[str] | None = None


def upgrade() -> None:
    """Make them."""
    _table(
        "person",
        _text("id"),
        _text("created"),
        _text("password", null=True),
        _text("preferences"),
        sa.PrimaryKeyConstraint("collection_id", "id"),
        sa.ForeignKeyConstraint(["collection_id"], ["collection.collection_id"]),
    )
    _table(
        "session",
        sa.Column("hashed", sa.LargeBinary(), nullable=False),
        _text("person"),
        _text("started"),
        _text("used"),
        _text("confirmed", null=True),
        sa.PrimaryKeyConstraint("collection_id", "hashed"),
        _of_person(),
    )
    _table(
        "waiting_form",
        _text("id"),
        _text("person"),
        _text("back"),
        _text("action"),
        _text("fields"),
        _text("held"),
        sa.PrimaryKeyConstraint("collection_id", "id"),
        _of_person(),
    )
    op.create_index("waiting_form_held", "waiting_form", ["collection_id", "person", "held"])


def _table(name: str, *parts: sa.Column[object] | sa.Constraint) -> None:
    op.create_table(name, _text("collection_id"), *parts, sqlite_strict=True, sqlite_with_rowid=False)


def _text(name: str, *, null: bool = False) -> sa.Column[object]:
    return sa.Column(name, sa.Text(), nullable=null)


def _of_person() -> sa.ForeignKeyConstraint:
    return sa.ForeignKeyConstraint(["collection_id", "person"], ["person.collection_id", "person.id"])
