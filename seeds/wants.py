"""What the demo's collector looks for: which numbers of two series there are, invented as they are, and a few copies."""

from typing import Final

from ledger.actor import Actor
from ledger.money import Money
from ledger.ports import Ledger
from ledger.rules.grades import Grade
from ledger.runs import read_printed
from ledger.usecases.runs import RunSaid, look_at_runs, state_run
from ledger.usecases.wants import WantSaid, keep_want

__all__ = ["lay_wants"]

_SAID: Final = {
    "Harbor Lamp": ("1", "36", "9", "1/2, Annual 1-2"),
    "The Unlit Stair": ("1", "18", "", "Annual 1"),
}
_WANTED: Final = (
    ("Harbor Lamp", "14", "8.5", "260.00", "The one on the wall is to be bettered."),
    ("Harbor Lamp", "Annual 1", "6.0", "45.00", ""),
    ("Dumpling & Tack", "1", None, "120.00", "Any copy that is whole."),
    ("Gearbox Garrity", "5", None, None, ""),
)


def lay_wants(ledger: Ledger, actor: Actor) -> None:
    """Which numbers there are of series of the shelf, by what the shelf says of their years, and what is looked for."""
    years = {run.title: run.start_year for run in look_at_runs(ledger, actor)}
    for title, numbers in _SAID.items():
        state_run(ledger, actor, RunSaid(title=title, start_year=years[title], printed=read_printed(*numbers)))
    for title, number, least, most, note in _WANTED:
        said = WantSaid(
            title=title,
            number=number,
            start_year=years[title],
            least=Grade(least) if least else None,
            most=Money.of(most, "EUR") if most else None,
            note=note,
        )
        keep_want(ledger, actor, said)
