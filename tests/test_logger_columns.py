"""How a logger's columns are known by their titles, with the sign of the unit and without."""

from ledger.events.climate import DateOrder, Unit
from ledger.logger_columns import Pair, shape_of
from ledger.logger_lines import chunks_of
from tests.test_logger_file import read


def test_a_unit_without_its_sign_is_known_by_where_it_stands() -> None:
    titles = "Date,Attic C Average,Attic %RH Min,Attic %RH Max,Attic %RH Average,Cellar C Average,Cellar %RH Average"
    found = read(f"{titles}\n13/01/2026 00:00,20,45,55,50,-,\n13/01/2026 01:00,20,45,55,50,11,62\n")
    assert found.shape.pairs == (Pair("Attic", 1, 4), Pair("Cellar", 5, 6))
    assert (found.shape.unit, found.shape.dates) == (Unit.CELSIUS, DateOrder.DAY_FIRST)
    assert [row[1:] for row in found.rows()] == [(2000, 5000), (2000, 5000)]
    short = shape_of(chunks_of(b"Time,Attic F,Attic RH\n2026-01-01 00:00,68,50\n"))
    assert (short.pairs, short.unit) == ((Pair("Attic", 1, 2),), Unit.FAHRENHEIT)


def test_a_letter_that_is_a_name_is_no_unit() -> None:
    found = shape_of(chunks_of(b"Sensor C,Time,Temp C,RH\nloft,2026-01-01 00:00,20,50\n"))
    assert (found.pairs[0].celsius, found.names) == (2, (0,))
