"""The outlook of a book where the owner holds otherwise than a table: rulings count, and what cannot be read does not."""

from fractions import Fraction

import pytest

from ledger.rules.grades import Grade
from tests.usecases.forecasting import CREASE, graded, looked, rules, view
from tests.usecases.telling import Teller


def test_rulings_of_the_collection_count(teller: Teller) -> None:
    book = looked(teller, CREASE)
    classes = '[{"allows":"7.0","up_to":null}]'
    seqs = [
        rules(teller, "ceilings", "crease", classes=classes),
        rules(teller, "chances", "crease", gone="100", lessened="0", same="900"),
        rules(teller, "graders", "any-service", met="650", below_1="70"),
    ]
    found = view(teller, book)
    assert found.computed is not None
    assert found.rules.ruled == tuple(seqs)
    assert found.computed.held.grade == Grade("7.0")
    assert found.chances["d1"].shares[0] == Fraction(1, 10)
    assert found.computed.ceilings_after.chance_of(Grade("10.0")) == Fraction(1, 10)
    assert found.computed.grades_now.chance_of(Grade("7.0")) == Fraction(65, 100)


def test_a_ruling_on_ceilings_changes_how_earlier_results_are_counted(teller: Teller) -> None:
    graded(teller, "7.5")
    book = looked(teller, CREASE)
    assert view(teller, book).services["third bench"].results == (-1,)
    rules(teller, "ceilings", "crease", classes='[{"allows":"7.5","up_to":null}]')
    assert view(teller, book).services["third bench"].results == (0,)


@pytest.mark.parametrize(
    ("name", "row", "values"),
    [
        ("ceilings", "crease", {"classes": '[{"allows":"8.7","up_to":null}]'}),
        ("ceilings", "crease", {"classes": '[{"allows":"8.0","up_to":"wide"},{"allows":"7.0","up_to":null}]'}),
        ("ceilings", "crease", {"classes": '[{"allows":"8.0","up_to":"1E+999999999"},{"allows":"7.0","up_to":null}]'}),
        ("ceilings", "crease", {"type": "no-such-type"}),
        ("chances", "crease", {"type": "bend"}),
        ("chances", "crease", {"breaks_colour": "no"}),
        ("chances", "crease", {"gone": "0", "lessened": "0", "same": "0"}),
        ("graders", "any-service", {"met": "0"}),
    ],
)
def test_a_ruling_that_cannot_be_read_is_passed_over_and_named(
    teller: Teller, name: str, row: str, values: dict[str, str]
) -> None:
    book = looked(teller, CREASE)
    before = view(teller, book)
    seq = rules(teller, name, row, **values)
    after = view(teller, book)
    assert (after.rules.passed_over, after.rules.ruled) == ((seq,), ())
    assert after.computed == before.computed
