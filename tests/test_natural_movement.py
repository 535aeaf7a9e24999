"""A length that moves with the weather is no finding: what paper is said to move lies within what counts as unchanged."""

import pytest

from ledger.measured import NATURAL_MM, slid

# A public encyclopedia of printing: a gain of five per cent of moisture expands paper by 0.05 per cent along the grain and
# by 0.23 across. Worked out by hand for the widths and heights of books.
ALONG, ACROSS = 0.05, 0.23


@pytest.mark.parametrize(
    ("mm", "per_cent", "moved"), [(171, ACROSS, 0.39), (184, ACROSS, 0.42), (260, ALONG, 0.13), (260, ACROSS, 0.60)]
)
def test_paper_that_took_up_moisture_has_not_changed(mm: int, per_cent: float, moved: float) -> None:
    assert mm * per_cent / 100 == pytest.approx(moved, abs=0.006)
    assert slid(f"{mm}", f"{mm + moved:.2f}") == 0
    assert slid(f"{mm}", f"{mm - moved:.2f}") == 0


def test_what_is_longer_or_shorter_by_a_millimetre_has() -> None:
    assert slid("260", f"{260 + NATURAL_MM}") == 1
    assert slid("260", f"{260 - NATURAL_MM}") == -1
