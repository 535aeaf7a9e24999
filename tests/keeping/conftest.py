"""A small ledger with photographs, in a folder or on a server, to back up, put back and move."""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace
from pathlib import Path

import pytest

from ledger.bootstrap import OWNER, open_ledger
from ledger.events._parts import Face
from ledger.ports import Ledger
from ledger.settings import Settings
from ledger.usecases.checkpoint import sign_checkpoint
from ledger.usecases.photograph import Shot, photograph
from ledger.usecases.record import Draft, record
from tests.builders import a_purchase
from tests.pictures import a_picture
from tests.postgres import empty_database

KINDS = ("sqlite", "postgresql")


@dataclass(frozen=True)
class House:
    """Where a ledger lies, and a folder for everything else."""

    settings: Settings
    around: Path

    @contextmanager
    def opened(self) -> Iterator[Ledger]:
        """As the program opens it."""
        with open_ledger(self.settings) as ledger:
            yield ledger

    def elsewhere(self, name: str, database: str = "") -> Settings:
        """Another data folder beside it, with the same key folder."""
        return replace(self.settings, folder=str(self.around / name), database=database, collection="")

    @property
    def backups(self) -> Path:
        """Where its backups go."""
        return self.around / "backups"


def buy(ledger: Ledger) -> str:
    """The id of one more book."""
    return str(record(ledger, OWNER, [Draft(event=a_purchase(), new_book=True)]).entries[0].book)


def picture(ledger: Ledger, book: str, colour: str) -> None:
    """One more photograph of it."""
    photograph(ledger, OWNER, book, [Shot(data=a_picture(colour), said={"face": Face.FRONT})])


@contextmanager
def a_house(kind: str, around: Path) -> Iterator[House]:
    """Five entries, the key's among them: two books, two photographs of one of them; a checkpoint over all."""
    plain = Settings(folder=str(around / "data"), keys=str(around / "keys"))
    if kind == "sqlite":
        yield _filled(House(plain, around))
        return
    with empty_database() as database:
        yield _filled(House(replace(plain, database=database.application), around))


def _filled(house: House) -> House:
    with house.opened() as ledger:
        book = buy(ledger)
        picture(ledger, book, "blue")
        picture(ledger, book, "red")
        buy(ledger)
        sign_checkpoint(ledger, OWNER)
    return house


@pytest.fixture(params=KINDS)
def house(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[House]:
    with a_house(request.param, tmp_path) as made:
        yield made


@pytest.fixture
def plain_house(tmp_path: Path) -> Iterator[House]:
    """One on SQLite, for what does not hang on the kind of store."""
    with a_house("sqlite", tmp_path) as made:
        yield made
