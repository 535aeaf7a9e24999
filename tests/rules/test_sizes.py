"""How large a book is drawn."""

from decimal import Decimal

import pytest

from ledger.rules.sizes import Size, holder_reach, size_of


@pytest.mark.parametrize(
    ("year", "width_in", "height_in"),
    # Common practice, no source: the sizes dealers give, in inches.
    [
        (1938, "7.75", "10.5"),
        (1955, "7.75", "10.5"),
        (1956, "7.125", "10.5"),
        (1970, "7.125", "10.5"),
        (1971, "6.875", "10.25"),
        (1985, "6.875", "10.25"),
        (1986, "6.625", "10.25"),
        (2150, "6.625", "10.25"),
        (None, "7.125", "10.5"),
    ],
)
def test_a_book_that_nobody_measured_is_as_large_as_those_of_its_year(
    year: int | None, width_in: str, height_in: str
) -> None:
    found = size_of(None, None, year)
    # An inch is 25.4 mm. Source: ISO 80000-3:2019, item 3-1.1, remarks.
    assert abs(found.width_mm - Decimal(width_in) * Decimal("25.4")) <= Decimal("0.5")
    assert abs(found.height_mm - Decimal(height_in) * Decimal("25.4")) <= Decimal("0.5")
    assert not found.measured


def test_what_was_measured_counts_and_a_side_that_was_not_is_common() -> None:
    assert size_of("183.5", "261", 1948) == Size(Decimal("183.5"), Decimal(261), measured=True)
    assert size_of(None, "261", 1948) == Size(Decimal(197), Decimal(261), measured=False)
    assert size_of("183.5", None, None) == Size(Decimal("183.5"), Decimal(267), measured=False)


def test_a_holder_reaches_beyond_the_book_on_every_side() -> None:
    # Our assumption: two centimetres at the sides, five in height over all.
    side, end = holder_reach()
    assert (2 * side, 2 * end) == (40, 50)
