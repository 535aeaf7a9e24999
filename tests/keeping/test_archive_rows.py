"""Rows of an archive that no ledger could have written are refused in clear words, on either store, and nothing is kept."""

from collections.abc import Callable
from pathlib import Path

import pytest

from ledger.bootstrap import open_store_to_write
from ledger.errors import MalformedError
from ledger.keeping.bring_in import bring_in
from ledger.settings import Settings
from ledger.store.log import collections
from ledger.usecases.sign_in import enter
from tests.keeping.archived import archive_of, files_of, listed_anew, written
from tests.keeping.conftest import House
from tests.postgres import empty_database

Harm = Callable[[bytes], bytes]


def twice(rows: bytes) -> bytes:
    first, _, *rest = rows.splitlines(keepends=True)
    return b"".join([first, first, *rest])


def of_no_entry(rows: bytes) -> bytes:
    return rows.replace(b'"seq":1,', b'"seq":700,')


def beyond(rows: bytes) -> bytes:
    return rows.replace(b'"seq":1,', b'"seq":9007199254740991,')


def with_password(rows: bytes) -> bytes:
    return rows.replace(b'"password":null', b'"password":"known to somebody else"')


HARM: dict[str, tuple[str, Harm, str]] = {
    "a row twice": ("sealed_value", twice, "the table sealed_value has a row that is there twice"),
    "a row of no entry": ("sealed_value", of_no_entry, "belongs to no entry"),
    "a number beyond all": ("sealed_value", beyond, "belongs to no entry, or has a value that no row has"),
    "a password": ("person", with_password, "the table person has a row with a password, which no archive carries"),
}


def harmed(house: House, table: str, harm: Harm) -> Path:
    """An archive whose lists fit, which nobody signed."""
    with house.opened() as ledger:
        assert ledger.accounts is not None
        enter(ledger.accounts)
    files = files_of(archive_of(house.settings, house.around / "all.zip"))
    name = f"data/tables/{table}.jsonl"
    made = {each: data for each, data in files.items() if each != "signed.txt"} | {name: harm(files[name])}
    assert made[name] != files[name]
    path = house.around / "sent.zip"
    path.write_bytes(written(listed_anew(made)))
    return path


def refused(path: Path, place: Settings, says: str) -> None:
    with pytest.raises(MalformedError, match=says):
        bring_in(path, place)
    assert not Path(place.folder).exists()


@pytest.mark.parametrize("name", HARM)
def test_such_a_row_is_refused_and_nothing_is_written(plain_house: House, name: str) -> None:
    table, harm, says = HARM[name]
    path = harmed(plain_house, table, harm)
    refused(path, plain_house.elsewhere("back"), says)
    with empty_database() as database:
        refused(path, far := plain_house.elsewhere("far", database.application), says)
        with open_store_to_write(far) as store:
            assert list(collections(store)) == []
