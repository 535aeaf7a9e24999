"""The tables of the bench: loads that are under way, and recipes."""

from collections.abc import Sequence

import sqlalchemy as sa
from alembic import op

revision: str = "0003"
down_revision: str | None = "0002"
branch_labels: Sequence[str] | None = None
depends_on: Sequence[str] | None = None


def upgrade() -> None:
    """Make them."""
    for name, moment in (("load", "started"), ("recipe", "made")):
        op.create_table(
            name,
            _text("collection_id"),
            _text("id"),
            _text(moment),
            _text("data"),
            sa.PrimaryKeyConstraint("collection_id", "id"),
            sa.ForeignKeyConstraint(["collection_id"], ["collection.collection_id"]),
            sqlite_strict=True,
            sqlite_with_rowid=False,
        )


def _text(name: str) -> sa.Column[object]:
    return sa.Column(name, sa.Text(), nullable=False)
