"""A table on its way in lies beside the ledger with rows that no archive and no backup has: put back, it is put away."""

from dataclasses import replace

from ledger.bootstrap import OWNER, open_ledger
from ledger.importing.tables import TableAsked
from ledger.keeping.backup import back_up
from ledger.keeping.bring_in import bring_in
from ledger.keeping.restore import restore
from ledger.ports import Ledger
from ledger.settings import Settings
from ledger.usecases.imports import begin_import, imports_of
from tests.keeping.archived import archive_of
from tests.keeping.conftest import House
from tests.postgres import empty_database


def one_waits(house: House) -> None:
    with house.opened() as ledger:
        begin_import(ledger, OWNER, "boxes.csv", b"Title,No\nTin Tower,4\n", TableAsked())


def waiting(ledger: Ledger) -> list[str]:
    return [each.name for each in imports_of(ledger, OWNER)]


def waiting_in(place: Settings) -> list[str]:
    with open_ledger(place) as ledger:
        return waiting(ledger)


def test_an_archive_that_was_brought_in_has_no_table_without_its_rows(house: House) -> None:
    one_waits(house)
    path = archive_of(house.settings, house.around / "all.zip")
    with empty_database() as database:
        for place in (house.elsewhere("back"), house.elsewhere("far", database.application)):
            bring_in(path, place)
            assert waiting_in(place) == []
    assert waiting_in(house.settings) == ["boxes.csv"]


def test_a_backup_that_was_put_back_has_none_either(house: House) -> None:
    one_waits(house)
    back_up(house.settings, house.backups)
    with empty_database() as database:
        for place in (house.elsewhere("back"), house.elsewhere("far", database.application)):
            restore(house.backups, place)
            assert waiting_in(place) == []


def test_on_a_server_a_table_waits_in_the_folder_of_the_program_that_took_it(house: House) -> None:
    one_waits(house)
    other = replace(house.settings, folder=str(house.around / "other"))
    if house.settings.database:
        assert waiting_in(other) == ["boxes.csv"]
    assert waiting_in(house.settings) == ["boxes.csv"]
