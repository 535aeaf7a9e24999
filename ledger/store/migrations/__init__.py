"""Migrations: what is kept is brought to the tables of today, one numbered step after another.

Read models take no part: they are made anew. Guards are made anew after every migration, since some steps drop them.
"""

from collections.abc import Sequence
from pathlib import Path
from typing import Final

from sqlalchemy import Connection

__all__ = ["VERSION", "migrate"]

VERSION: Final = 7
"""Number of the last step in `versions`, which a file of this program carries."""

_FOLDER: Final = Path(__file__).parent


def migrate(connection: Connection, *, beyond: Sequence[Path] = (), to: str = "head") -> None:
    """Take every step that this database has not taken, within the transaction at hand.

    `beyond` are folders with further steps.
    Requires: a connection that may create, alter and drop tables.
    """
    # Most starts take no step, and these two are an eighth of all that a start loads.
    from alembic import command  # noqa: PLC0415
    from alembic.config import Config  # noqa: PLC0415

    config = Config()
    config.set_main_option("script_location", str(_FOLDER).replace("%", "%%"))
    config.set_main_option("path_separator", "newline")
    folders = [_FOLDER / "versions", *beyond]
    config.set_main_option("version_locations", "\n".join(str(folder) for folder in folders).replace("%", "%%"))
    config.attributes["connection"] = connection
    command.upgrade(config, to)
