"""Loads in a press that was measured, for the tests of the board and of the form that tells of a load."""

from ledger.bench import Load, Step
from ledger.ports import Ledger
from ledger.tools import Tool, ToolSaid
from ledger.usecases.bench import put_in
from ledger.usecases.tools import add_tool
from tests.builders import a_purchase
from tests.web.stories import OWNER, Shelf

__all__ = ["COLD", "HOT", "a_press", "load_in"]

HOT = {
    "technique": "hot-press-dry", "settings.set_celsius": "60", "settings.hold_minutes": "120",
    "settings.cooling_minutes": "600", "settings.total_minutes": "1440",
}  # fmt: skip
COLD = {"technique": "cold-press", "tool": "Book press", "settings.total_minutes": "720"}


def a_press(ledger: Ledger) -> Tool:
    """It takes two books, and was measured from 40 to 80 degrees."""
    said = ToolSaid(
        name="Large press", kind="hot press", capacity="2", on="2025-12-20", measured_with="a probe",
        points=(("40", "38"), ("60", "57.5"), ("80", "77")),
    )  # fmt: skip
    return add_tool(ledger, OWNER, said)


def load_in(ledger: Ledger, shelf: Shelf, press: Tool | None = None, **changes: str) -> Load:
    """One new book in a hot press, or in no tool of the list."""
    step = Step(values={**HOT, **changes})
    return put_in(ledger, OWNER, [shelf.takes(a_purchase())], step, tool=press.id if press else None)
