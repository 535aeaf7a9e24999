"""What surrounds the books: care, rotation, climate logs with their readings."""

from collections.abc import Sequence

import sqlalchemy as sa
from alembic import op

revision: str = "0007"
down_revision: str | None = "0006"
branch_labels: Sequence[str] | None = None
depends_on: Sequence[str] | None = None


def upgrade() -> None:
    """Make them."""
    for name in ("care", "rotation", "climate", "climate_part"):
        op.create_table(
            name,
            *(sa.Column(each, sa.Text(), nullable=False) for each in ("collection_id", "id", "made", "data")),
            sa.PrimaryKeyConstraint("collection_id", "id"),
            sa.ForeignKeyConstraint(["collection_id"], ["collection.collection_id"]),
            sqlite_strict=True,
            sqlite_with_rowid=False,
        )
