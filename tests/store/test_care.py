"""What surrounds the books is kept as it was written, on each engine, apart for each collection."""

from datetime import UTC, datetime

import pytest
from sqlalchemy import insert

from ledger.care import CareRow, CareStore, CareWriter, Drawer
from ledger.store.care import SqlCare
from ledger.store.care_tables import DRAWERS
from ledger.store.engine import Store
from tests.conftest import COLLECTION
from tests.fake_care import FakeCare
from tests.store.homes import OTHER

MADE = datetime(2026, 3, 1, 9, 0, tzinfo=UTC)
MARCH = CareRow(id="c_1/2026-03", made=MADE, said={"at": [0, 60], "celsius": [2010, None]})
APRIL = CareRow(id="c_1/2026-04", made=MADE, said={})
OTHERS = CareRow(id="cx1/2026-03", made=MADE, said={"at": []})


def fill(writer: CareWriter) -> None:
    for row in (MARCH, APRIL, OTHERS):
        writer.put(Drawer.CLIMATE_PART, row)


@pytest.fixture(params=["fake", "sql"])
def care(request: pytest.FixtureRequest, engine: Store) -> CareStore:
    return FakeCare() if request.param == "fake" else SqlCare(COLLECTION, engine)


def test_what_was_kept_is_read_as_it_was(care: CareStore) -> None:
    care.write(fill)
    with care.read() as reader:
        assert reader.row(Drawer.CLIMATE_PART, MARCH.id) == MARCH
        assert reader.rows(Drawer.CLIMATE_PART) == [MARCH, APRIL, OTHERS]


def test_rows_whose_id_begins_alike_are_read_alone_and_an_underline_is_no_wildcard(care: CareStore) -> None:
    care.write(fill)
    with care.read() as reader:
        assert reader.rows(Drawer.CLIMATE_PART, "c_1/") == [MARCH, APRIL]


def test_each_drawer_has_its_own_rows_and_a_row_takes_the_place_of_its_like(care: CareStore) -> None:
    care.write(fill)
    later = CareRow(id=MARCH.id, made=MADE, said={"at": [1]})
    care.write(lambda writer: writer.put(Drawer.CARE, later))
    care.write(lambda writer: writer.put(Drawer.CLIMATE_PART, later))
    with care.read() as reader:
        assert reader.rows(Drawer.CARE) == [later]
        assert reader.row(Drawer.CLIMATE_PART, MARCH.id) == later
        assert reader.rows(Drawer.ROTATION) == []


def test_what_is_taken_out_is_gone(care: CareStore) -> None:
    care.write(fill)
    care.write(lambda writer: writer.take(Drawer.CLIMATE_PART, MARCH.id))
    with care.read() as reader:
        assert reader.row(Drawer.CLIMATE_PART, MARCH.id) is None


def test_a_work_that_fails_keeps_nothing(care: CareStore) -> None:
    def fails(writer: CareWriter) -> None:
        fill(writer)
        raise ZeroDivisionError

    with pytest.raises(ZeroDivisionError):
        care.write(fails)
    with care.read() as reader:
        assert reader.rows(Drawer.CLIMATE_PART) == []


def test_each_collection_reads_its_own(engine: Store) -> None:
    SqlCare(OTHER, engine).write(fill)
    with SqlCare(COLLECTION, engine).read() as reader:
        assert reader.rows(Drawer.CLIMATE_PART) == []


def test_a_row_that_was_harmed_says_nothing(engine: Store) -> None:
    row = {"collection_id": COLLECTION, "id": "b1", "made": "2026-01-01T00:00:00.000000Z", "data": "{"}
    harmed = insert(DRAWERS[Drawer.CARE]).values(**row)
    engine.write(COLLECTION, lambda connection: connection.execute(harmed))
    with SqlCare(COLLECTION, engine).read() as reader:
        found = reader.row(Drawer.CARE, "b1")
    assert found is not None
    assert found.said == {}
