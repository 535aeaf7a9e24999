"""Records that were made or received, links to them, and stamps of checkpoints by others."""

from collections.abc import Sequence

import sqlalchemy as sa
from alembic import op

revision: str = "0005"
down_revision: str | None = "0004"
branch_labels: Sequence[str] | None = None
depends_on: Sequence[str] | None = None


def upgrade() -> None:
    """Make them."""
    for name in ("record", "link", "stamp"):
        op.create_table(
            name,
            *(sa.Column(each, sa.Text(), nullable=False) for each in ("collection_id", "id", "made", "data")),
            sa.PrimaryKeyConstraint("collection_id", "id"),
            sa.ForeignKeyConstraint(["collection_id"], ["collection.collection_id"]),
            sqlite_strict=True,
            sqlite_with_rowid=False,
        )
