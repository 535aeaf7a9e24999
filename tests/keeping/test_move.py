"""A ledger moves from a folder to a server and back: the same root, lists, sealed values, photographs and people."""

from dataclasses import replace
from pathlib import Path

import pytest

from ledger.bench import Step
from ledger.bootstrap import OWNER, open_ledger, open_store_to_read, open_to_read
from ledger.errors import BusyError, ConflictError
from ledger.events.erasure import Erasure
from ledger.keeping.move import move
from ledger.manifest import DATABASE_FILE
from ledger.ports import Ledger
from ledger.settings import Settings
from ledger.store.bench import SqlBench
from ledger.store.engine import MOVED
from ledger.usecases.bench import keep_recipe, put_in
from ledger.usecases.checkpoint import sign_checkpoint
from ledger.usecases.record import Draft, Request, record
from ledger.usecases.sign_in import change_password, enter, sign_in, signed_in
from ledger.usecases.verify import verify_ledger
from tests.builders import a_purchase
from tests.check import check_ledger
from tests.keeping.conftest import House, buy
from tests.postgres import empty_database

PASSWORD = "thirteen walnut shelves"


def bench_of(settings: Settings) -> list[object]:
    """What lies on the bench, whatever it lies in."""
    with open_store_to_read(settings) as (store, name), SqlBench(name, store).read() as reader:
        return [reader.loads(), reader.recipes()]


def told(settings: Settings) -> list[object]:
    """All that a ledger is to its reader."""
    with open_to_read(settings) as ledger, ledger.log.read() as reader:
        size = reader.head().size
        return [
            reader.head(),
            reader.stored(1, size),
            reader.sealed_between(1, size),
            list(reader.listings()),
            reader.book_heads(),
            reader.checkpoints(),
            reader.tokens(),
            reader.receipt("k"),
            *bench_of(settings),
            [reader.entry(seq) for seq in range(1, size + 1)],
            ledger.pictures.stored(),
        ]


def some_more(ledger: Ledger) -> None:
    """A request under a key, an erased value, a password, a load on the bench, a recipe."""
    step = Step(values={"technique": "cold-press"})
    put_in(ledger, OWNER, [buy(ledger)], step, by=(keep_recipe(ledger, OWNER, "Flat", [step]).id, 0))
    bought = record(ledger, OWNER, [Draft(event=a_purchase(), new_book=True)], Request(key="k", body=b"x")).entries[0]
    record(ledger, OWNER, [Draft(event=Erasure(entry=bought.seq, names=("seller",)), book=bought.book)])
    sign_checkpoint(ledger, OWNER)


def test_it_is_the_same_on_the_server_and_when_it_is_back(plain_house: House) -> None:
    here = plain_house.settings
    with plain_house.opened() as ledger:
        some_more(ledger)
        accounts = ledger.accounts
        assert accounts is not None
        who = signed_in(accounts, enter(accounts))
        assert who is not None
        change_password(accounts, who, current="", new=PASSWORD, avoid=())
    before = told(here)
    with empty_database() as database:
        there = replace(here, database=database.application)
        moved = move(here, there)
        assert (moved.size, moved.report.findings) == (8, [])
        assert told(there) == before
        with open_ledger(there) as ledger:
            assert check_ledger(ledger) == 8
            assert ledger.accounts is not None
            assert sign_in(ledger.accounts, PASSWORD) is not None
            buy(ledger)
            sign_checkpoint(ledger, OWNER)
        after = told(there)
        assert move(there, here).report.findings == []
        assert told(here) == after
    with plain_house.opened() as ledger:
        buy(ledger)
        assert ledger.anchor is not None
        assert verify_ledger(ledger, OWNER, anchor=ledger.anchor.read()).ok


def test_the_file_it_left_is_put_aside_so_that_nobody_goes_on_writing_to_it(plain_house: House) -> None:
    folder = Path(plain_house.settings.folder)
    with empty_database() as database:
        move(plain_house.settings, replace(plain_house.settings, database=database.application))
        assert (folder / MOVED).exists()
        assert not (folder / DATABASE_FILE).exists()
        with pytest.raises(ConflictError, match="There is no ledger in"), open_to_read(plain_house.settings):
            pass
        with pytest.raises(ConflictError, match="was moved away"), plain_house.opened():
            pass


def test_photographs_come_along_into_another_folder(plain_house: House) -> None:
    with empty_database() as database:
        there = replace(plain_house.settings, database=database.application)
        move(plain_house.settings, there)
        other = plain_house.elsewhere("other")
        assert move(there, other).report.findings == []
    with open_ledger(other) as ledger:
        buy(ledger)


def test_it_does_not_move_while_it_is_served(plain_house: House) -> None:
    with empty_database() as database, plain_house.opened(), pytest.raises(BusyError):
        move(plain_house.settings, replace(plain_house.settings, database=database.application))


def test_it_does_not_move_where_it_is_already(plain_house: House) -> None:
    with empty_database() as database:
        there = replace(plain_house.settings, database=database.application)
        move(plain_house.settings, there)
        (Path(plain_house.settings.folder) / MOVED).rename(Path(plain_house.settings.folder) / DATABASE_FILE)
        with pytest.raises(ConflictError, match="already"):
            move(plain_house.settings, there)


def test_it_moves_between_kinds_of_places_only(plain_house: House) -> None:
    with pytest.raises(ConflictError, match="the other kind of place"):
        move(plain_house.settings, plain_house.elsewhere("other"))


def test_of_several_collections_in_one_database_one_is_named(plain_house: House, tmp_path: Path) -> None:
    other = House(Settings(folder=str(tmp_path / "second"), keys=str(tmp_path / "second keys")), tmp_path)
    with other.opened() as ledger:
        buy(ledger)
        second = ledger.collection
    with empty_database() as database:
        for each in (plain_house.settings, other.settings):
            move(each, replace(each, database=database.application))
        both = replace(plain_house.settings, database=database.application)
        with pytest.raises(ConflictError, match="There are 2 collections") as unclear, open_to_read(both):
            pass
        assert second in str(unclear.value)
        assert database.application not in str(unclear.value)
        with open_ledger(replace(other.settings, database=database.application, collection=second)) as ledger:
            assert check_ledger(ledger) == 2
        nowhere = replace(both, collection="nowhere")
        with pytest.raises(ConflictError, match="no collection nowhere"), open_to_read(nowhere):
            pass
