"""What the market told: comparables, prospects, rates of exchange."""

from collections.abc import Sequence

import sqlalchemy as sa
from alembic import op

revision: str = "0006"
down_revision: str | None = "0005"
branch_labels: Sequence[str] | None = None
depends_on: Sequence[str] | None = None


def upgrade() -> None:
    """Make them."""
    _make("comparable", "issue")
    op.create_index("comparable_issue", "comparable", ["collection_id", "issue"])
    _make("prospect")
    _make("rate")


def _make(name: str, *more: str) -> None:
    op.create_table(
        name,
        *(sa.Column(each, sa.Text(), nullable=False) for each in ("collection_id", "id", *more, "made", "data")),
        sa.PrimaryKeyConstraint("collection_id", "id"),
        sa.ForeignKeyConstraint(["collection_id"], ["collection.collection_id"]),
        sqlite_strict=True,
        sqlite_with_rowid=False,
    )
