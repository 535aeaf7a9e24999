"""A collection taken out comes in the same: same roots, lists, rows beside the ledger and photographs, on either store."""

import zipfile
from collections.abc import Mapping
from dataclasses import replace
from datetime import UTC, datetime
from hashlib import sha256
from pathlib import Path
from typing import Any

import bagit
import pytest
from sqlalchemy import insert, select

import ledger.archive as archive_package
from ledger.accounts import Preferences, Theme
from ledger.adapters.keys import key_path
from ledger.archive.layout import FORMAT, TOP
from ledger.bench import Step
from ledger.bootstrap import OWNER, open_ledger, open_store_to_read, open_store_to_write, open_to_read
from ledger.care import CareRow, Drawer
from ledger.errors import ConflictError, HeldError, InvalidError
from ledger.events.erasure import Erasure
from ledger.keeping.bring_in import bring_in
from ledger.keeping.take_out import take_out_to
from ledger.market import ProspectSaid
from ledger.ports import Ledger
from ledger.settings import Settings
from ledger.store.carried import CARRIED, LEFT_OUT, WITHHELD
from ledger.store.engine import DATABASE
from ledger.store.inventory import _LISTS, _TABLES
from ledger.store.tables import ENTRY
from ledger.usecases.anchored import Against, confirm_restored
from ledger.usecases.bench import keep_recipe, put_in
from ledger.usecases.checkpoint import current, sign_checkpoint
from ledger.usecases.prospects import keep_prospect
from ledger.usecases.record import Draft, Request, record
from ledger.usecases.sign_in import change_password, enter, signed_in
from ledger.usecases.verify import verify_ledger
from tests.builders import a_purchase, an_issue
from tests.check import check_ledger
from tests.keeping.archived import PASSPHRASE, archive_of, files_of
from tests.keeping.conftest import House, buy
from tests.pictures import a_picture
from tests.postgres import empty_database
from tests.usecases.test_climate import taken

BESIDE = [name for name, table in CARRIED.items() if {"id", "data"} <= set(table.columns.keys())]
"""Tables beside the ledger that hold JSON under an id."""


def told(settings: Settings) -> Mapping[str, Any]:
    """All that a collection is, whatever it lies in: roots, read models, and every row that is carried."""
    with open_to_read(settings) as ledger, ledger.log.read() as reader:
        size = reader.head().size
        told: dict[str, Any] = {
            "state": current(reader),
            "head": reader.head(),
            "entries": reader.stored(1, size),
            "sealed": reader.sealed_between(1, size),
            "lists": list(reader.listings()),
            "heads": reader.book_heads(),
            "checkpoints": reader.checkpoints(),
            "receipt": reader.receipt("k"),
            "costs": reader.costs("USD"),
            "photographs": ledger.pictures.stored(),
        }
        assert ledger.carrier is not None
        with ledger.carrier.read() as carried:
            told |= {table: list(carried.rows(table)) for table in carried.counts()}
    return told


def fill(house: House) -> None:
    """A request under a key, an erased value, a load, a recipe, a password, a choice, a row in every drawer."""
    with house.opened() as ledger:
        step = Step(values={"technique": "cold-press"})
        put_in(ledger, OWNER, [buy(ledger)], step, by=(keep_recipe(ledger, OWNER, "Flat", [step]).id, 0))
        bought = record(ledger, OWNER, [Draft(event=a_purchase(), new_book=True)], Request(key="k", body=b"x"))
        erased = Erasure(entry=bought.entries[0].seq, names=("seller",))
        record(ledger, OWNER, [Draft(event=erased, book=bought.entries[0].book)])
        _people(ledger)
        _drawers(ledger)
        sign_checkpoint(ledger, OWNER)


def fill_every_table(house: House) -> None:
    """As `fill`, and one row more in every table beside the ledger, whatever its own reader may say of it."""
    fill(house)
    with open_to_read(house.settings) as ledger:
        collection = ledger.collection
    with open_store_to_write(house.settings) as store:
        for name in BESIDE:
            store.write(collection, lambda connection, name=name: _row_in(connection, collection, name))  # type: ignore[misc]


def _people(ledger: Ledger) -> None:
    accounts = ledger.accounts
    assert accounts is not None
    who = signed_in(accounts, enter(accounts))
    assert who is not None
    chosen = replace(who.person, preferences=Preferences(theme=Theme.DARK, currency="CHF"))
    accounts.store.write(lambda writer: writer.put_person(chosen))
    change_password(accounts, replace(who, person=chosen), current="", new=PASSPHRASE, avoid=())


def _drawers(ledger: Ledger) -> None:
    """Every drawer of the surroundings has a row, one of them as large as the file of a logger."""
    care = ledger.care
    assert care is not None
    at = datetime(2026, 3, 1, 9, 0, tzinfo=UTC)
    for drawer in Drawer:
        row = CareRow(id=f"{drawer.value}/ö", made=at, said={"zlib": "QUJD" * 100_000, "é\n": [1, None, "\u2028"]})
        care.write(lambda writer, drawer=drawer, row=row: writer.put(drawer, row))  # type: ignore[misc]


def _row_in(connection: Any, collection: str, name: str) -> None:
    """One more row, whatever else the table has."""
    table = CARRIED[name]
    values = {each.name: f"{each.name} of {name}" for each in table.columns if not each.nullable}
    connection.execute(insert(table), {**values, "collection_id": collection, "id": "z-more", "data": "{}"})


def test_it_comes_in_the_same_from_either_store_onto_either(house: House) -> None:
    fill(house)
    before = told(house.settings)
    path = archive_of(house.settings, house.around / "all.zip")
    with empty_database() as database:
        for place in (house.elsewhere("folder"), house.elsewhere("server", database.application)):
            done = bring_in(path, place)
            assert done.report.findings == []
            assert (done.trusted, done.standing.against) == (True, Against.COVERED)
            assert told(place) == before
            with open_ledger(place) as ledger:
                buy(ledger)
                check_ledger(ledger)


def test_a_row_of_every_table_beside_the_ledger_comes_along(plain_house: House) -> None:
    fill_every_table(plain_house)
    path = archive_of(plain_house.settings, plain_house.around / "all.zip")
    there = files_of(path)
    place = plain_house.elsewhere("back")
    bring_in(path, place)
    with open_to_read(plain_house.settings) as old, open_to_read(place) as new:
        assert old.carrier is not None
        assert new.carrier is not None
        with old.carrier.read() as before, new.carrier.read() as after:
            for name in CARRIED:
                rows = list(before.rows(name))
                assert rows, f"{name} had no row to begin with"
                assert list(after.rows(name)) == rows
                assert there[f"data/tables/{name}.jsonl"].count(b"\n") == len(rows)


def test_every_table_is_carried_or_left_out_with_its_reason() -> None:
    every = {*_TABLES, *_LISTS}
    assert every == {*CARRIED, *LEFT_OUT, ENTRY.name}
    assert not CARRIED.keys() & LEFT_OUT.keys()
    assert all(reason.endswith(".") for reason in (*LEFT_OUT.values(), *WITHHELD.values()))


def test_the_page_of_the_format_names_every_table_that_is_carried() -> None:
    page = (Path(archive_package.__file__).parent / "ARCHIVE.md").read_text("utf-8")
    assert [name for name in CARRIED if f"`{name}`" not in page] == []


def test_no_secret_of_the_house_lies_in_it(plain_house: House) -> None:
    fill(plain_house)
    files = files_of(archive_of(plain_house.settings, plain_house.around / "all.zip"))
    collection = files["data/archive.json"].decode().partition('checkpoint":"')[2].partition(".")[0]
    seed = key_path(Path(plain_house.settings.keys), collection).read_text("ascii").splitlines()[1]
    assert len(seed) == 64
    whole = b"".join(files.values())
    assert seed.encode() not in whole
    assert b"argon2" not in whole
    assert "data/keys.json" not in files
    with open_store_to_read(plain_house.settings) as (store, name), store.snapshot(name) as connection:
        kept = connection.execute(select(CARRIED["person"].c.password)).scalar_one()
    assert kept.startswith("$argon2id$")


def test_it_is_a_bag_and_a_zip_to_other_programs(plain_house: House) -> None:
    path = archive_of(plain_house.settings, plain_house.around / "all.zip")
    with zipfile.ZipFile(path) as archive:
        assert archive.testzip() is None
        archive.extractall(plain_house.around / "unpacked")
    bag = bagit.Bag(str(plain_house.around / "unpacked" / TOP))
    bag.validate()
    assert f"5 entries, {FORMAT}" in bag.info["External-Description"]


def test_entries_lie_in_it_as_they_were_hashed(plain_house: House) -> None:
    """Source: RFC 9162 section 2.1.1 for the leaf: SHA-256 over a zero byte and the entry."""
    files = files_of(archive_of(plain_house.settings, plain_house.around / "all.zip"))
    lines = files["data/entries.jsonl"].splitlines()
    with open_to_read(plain_house.settings) as ledger, ledger.log.read() as reader:
        stored = reader.stored(1, 9)
    assert [each.data for each in stored] == lines
    assert [sha256(b"\0" + line).hexdigest() for line in lines] == [each.leaf for each in stored]


def test_a_loggers_file_comes_along_with_its_readings_and_is_held_against_its_digest(plain_house: House) -> None:
    with plain_house.opened() as ledger:
        taken(ledger)
    place = plain_house.elsewhere("back")
    done = bring_in(archive_of(plain_house.settings, plain_house.around / "all.zip"), place)
    assert done.report.findings == []
    assert done.report.checked["climate files"] == 1


def test_the_key_comes_along_only_on_wish_and_under_a_passphrase(plain_house: House) -> None:
    path = archive_of(plain_house.settings, plain_house.around / "all.zip", PASSPHRASE)
    place = replace(plain_house.elsewhere("back"), keys=str(plain_house.around / "other keys"))
    done = bring_in(path, place, passphrase=PASSPHRASE)
    (key,) = Path(plain_house.settings.keys).glob("*.key")
    assert (Path(place.keys) / key.name).read_bytes() == key.read_bytes()
    assert (done.key, done.trusted, done.standing.against) == (True, False, Against.PUT_BACK)
    with open_ledger(place) as ledger:
        with pytest.raises(HeldError, match="no checkpoint kept outside it is at hand"):
            buy(ledger)
        confirm_restored(ledger, OWNER)
        buy(ledger)
        assert verify_ledger(ledger, OWNER).ok


def test_without_the_key_it_can_still_be_read(plain_house: House) -> None:
    path = archive_of(plain_house.settings, plain_house.around / "all.zip", PASSPHRASE)
    place = replace(plain_house.elsewhere("back"), keys=str(plain_house.around / "other keys"))
    done = bring_in(path, place)
    assert (done.key, done.report.findings) == (False, [])
    assert not Path(place.keys).exists()
    with open_to_read(place) as ledger, ledger.log.read() as reader:
        assert reader.head().size == 5


def test_a_passphrase_that_is_too_short_is_refused_and_no_file_is_made(plain_house: House) -> None:
    path = plain_house.around / "all.zip"
    with pytest.raises(InvalidError, match="12 to 1000 characters"):
        take_out_to(plain_house.settings, path, passphrase="short")
    assert not path.exists()
    assert not list(plain_house.around.glob(".draft-*"))


def test_an_archive_behind_its_anchor_is_only_read_until_the_owner_confirms_it(plain_house: House) -> None:
    path = archive_of(plain_house.settings, plain_house.around / "all.zip")
    with plain_house.opened() as ledger:
        buy(ledger)
        sign_checkpoint(ledger, OWNER)
    place = plain_house.elsewhere("back")
    assert bring_in(path, place).standing.against is Against.BEHIND
    with open_ledger(place) as ledger, pytest.raises(HeldError, match="One is missing"):
        buy(ledger)


def test_it_is_taken_out_beside_a_server_that_holds_the_folder(plain_house: House) -> None:
    with plain_house.opened() as ledger:
        buy(ledger)
        made = take_out_to(plain_house.settings, plain_house.around / "all.zip")
    assert made.head.state.size == 6
    assert made.missing == ()


def test_it_takes_the_place_of_no_file_and_goes_into_no_place_that_has_something(house: House) -> None:
    path = archive_of(house.settings, house.around / "all.zip")
    with pytest.raises(ConflictError, match="There is a file"):
        take_out_to(house.settings, path)
    there = house.settings if not house.settings.database else house.elsewhere("new", house.settings.database)
    with pytest.raises(ConflictError, match=r"something in|has a collection already"):
        bring_in(path, there)


def test_a_photograph_whose_file_was_changed_is_named_and_left_out(plain_house: House) -> None:
    with open_to_read(plain_house.settings) as ledger:
        gone = ledger.pictures.stored()[0]
    file = Path(plain_house.settings.folder) / "pictures" / gone[:2] / gone
    file.write_bytes(b"something else")
    made = take_out_to(plain_house.settings, plain_house.around / "all.zip")
    assert made.missing == (gone,)
    done = bring_in(plain_house.around / "all.zip", plain_house.elsewhere("back"))
    assert "picture-missing" in {each.code for each in done.report.findings}


def test_a_photograph_whose_file_is_gone_is_named_too(plain_house: House) -> None:
    with plain_house.opened() as ledger:
        named = ledger.pictures.stored()[0]
        (seen,) = keep_prospect(ledger, OWNER, ProspectSaid(issue=an_issue()), [a_picture("green")]).pictures
    for gone in (named, seen):
        (Path(plain_house.settings.folder) / "pictures" / gone[:2] / gone).unlink()
    made = take_out_to(plain_house.settings, plain_house.around / "all.zip")
    assert made.missing == tuple(sorted((named, seen)))


def test_nothing_is_left_in_the_folder_but_the_ledger_itself(plain_house: House) -> None:
    place = plain_house.elsewhere("back")
    bring_in(archive_of(plain_house.settings, plain_house.around / "all.zip"), place)
    names = {each.name for each in Path(place.folder).iterdir()}
    assert names <= {DATABASE, "pictures", "upkeep.json", f"{DATABASE}-wal", f"{DATABASE}-shm"}
