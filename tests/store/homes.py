"""Homes of a store: a folder with a file of SQLite, or a database on a server, each opened by its address."""

from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, contextmanager
from pathlib import Path

from ledger.store.engine import Store, open_store
from ledger.store.postgres import open_postgres
from tests.postgres import empty_database

__all__ = ["HOMES", "OTHER", "open_home"]

OTHER = "othersothersothersothersot"
"""A second collection in the same home."""
_SERVER = "postgresql:"


def open_home(address: str) -> Store:
    """The store at an address: a folder's path, or a database's URL."""
    return open_postgres(address) if address.startswith(_SERVER) else open_store(Path(address))


@contextmanager
def _a_folder(folder: Path) -> Iterator[str]:
    yield str(folder)


@contextmanager
def _a_database(folder: Path) -> Iterator[str]:
    with empty_database() as database:
        yield database.application


HOMES: dict[str, Callable[[Path], AbstractContextManager[str]]] = {"sqlite": _a_folder, "postgresql": _a_database}
"""Every kind of home: gives its address, made for a test and gone afterwards."""
