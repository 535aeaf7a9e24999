"""What is done once a year for all of them: the count in the last week, the values for the insurer in January."""

from collections.abc import Iterator

from ledger.events.count import Count, Result
from ledger.events.valuation import Method, Purpose, Valuation
from ledger.rules.grades import Grade
from seeds.story._acts import Act, together
from seeds.story._said import eur, on, said

FOUND = Count()
FIRST = ("bold-sextant-33", "crimson-semaphore-1974-6", "ganymede-mail-1978-3", "harbor-lamp-14", "umbrella-for-two-3")
SECOND = (
    *("bold-sextant-33", "ganymede-mail-1978-3", "harbor-lamp-14", "raincoat-squad-1", "ganymede-mail-2"),
    *("unlit-stair-4", "linen-squadron-4", "jungle-meridian-6", "crimson-semaphore-3", "harbor-lamp-31"),
)
THIRD = (
    *("bold-sextant-4", "raincoat-squad-1", "ganymede-mail-2", "linen-squadron-4", "dumpling-and-tack-8"),
    *("jungle-meridian-15", "ganymede-mail-26", "gearbox-garrity-5", "unlit-stair-13"),
)
FOURTH = (
    *("bold-sextant-4", "raincoat-squad-1", "jungle-meridian-6", "raincoat-squad-12", "ganymede-mail-11"),
    *("dry-ford-deputy-18", "jukebox-hettie-9", "bold-sextant-57"),
)
"""Which were looked for: the boxes one year, the walls and the cabinet the next."""
VALUES = {
    "2024": {
        "raincoat-squad-1": ("8.5", "2600.00"),
        "ganymede-mail-2": ("9.2", "1750.00"),
        "unlit-stair-4": ("8.0", "1200.00"),
        "harbor-lamp-14": ("8.5", "720.00"),
    },
    "2025": {
        "raincoat-squad-1": ("8.5", "2850.00"),
        "ganymede-mail-26": ("9.4", "520.00"),
        "linen-squadron-4": ("4.5", "420.00"),
    },
    "2026": {
        "raincoat-squad-1": ("8.5", "3100.00"),
        "ganymede-mail-2": ("9.2", "1950.00"),
        "ganymede-mail-26": ("9.4", "560.00"),
        "ganymede-mail-11": ("7.5", "230.00"),
    },
}
"""For the insurer, by year: the grade each was valued at and the amount in euro."""


def acts() -> Iterator[Act]:
    """Four counts and three lists for the insurer, a checkpoint signed after each count."""
    yield together("2022-12-29 16:30", *((key, FOUND) for key in FIRST), signs=True)
    yield together("2023-12-30 15:48", *((key, FOUND) for key in SECOND), signs=True)
    yield together(
        "2024-12-29 16:12",
        *((key, FOUND) for key in THIRD),
        ("ganymede-mail-1978-3", Count(result=Result.NOT_FOUND)),
        ("umbrella-for-two-16", Count(result=Result.DAMAGED, remark=said("The sleeve is wet."))),
        signs=True,
    )
    yield together(
        "2025-12-28 15:20",
        *((key, FOUND) for key in FOURTH),
        ("umbrella-for-two-38", Count(result=Result.DAMAGED, remark=said("Something has been at the back cover."))),
        signs=True,
    )
    for year, values in VALUES.items():
        yield together(f"{year}-01-13 19:30", *((key, _insured(year, *told)) for key, told in values.items()))


def _insured(year: str, grade: str, amount: str) -> Valuation:
    """What replacing the book would cost, held good for a year."""
    return Valuation(
        purpose=Purpose.INSURANCE,
        method=Method.OWN_JUDGEMENT,
        at_grade=Grade(grade),
        valid_until=on(f"{int(year) + 1}-01"),
        amount=eur(amount),
    )
