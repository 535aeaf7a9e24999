"""The forms of runs and wants: what is asked for, and what was typed."""

from collections.abc import Mapping
from typing import Final

from ledger.errors import InvalidError
from ledger.money import Money
from ledger.proof.canonical import Plain
from ledger.rules.grades import Grade, grades
from ledger.runs import Run, read_printed, spelled
from ledger.usecases.runs import TITLE_MOST, RunSaid
from ledger.usecases.wants import NOTE_MOST, NUMBER_MOST, Want, WantSaid
from web.form_fields import Leaf, Option, Part, Way
from web.form_inputs import inputs_of
from web.form_reading import Heard, Typed, read_parts
from web.form_values import Habits
from web.wording import t

__all__ = ["read_run", "read_want", "run_parts", "run_typed", "want_parts", "want_typed"]

_YEARS: Final = {"ge": 0, "le": 9999}


def run_parts(*, whole: bool = True) -> tuple[Part, ...]:
    """What is asked of a run; of one that is there already, only which numbers there are."""
    series = (
        Leaf(name="title", title=t("runs.title_field"), needed=True, limits={"max_length": TITLE_MOST}),
        Leaf(name="start_year", title=t("runs.year"), way=Way.WHOLE, size="short", limits=_YEARS),
    )
    numbers = (
        Leaf(name="first", title=t("runs.first"), size="short"),
        Leaf(name="last", title=t("runs.last"), size="short"),
        Leaf(name="never", title=t("runs.never"), note=t("runs.never_note"), size="long"),
        Leaf(name="also", title=t("runs.also"), note=t("runs.also_note"), size="long"),
    )
    return (*series, *numbers) if whole else numbers


def run_typed(run: Run) -> Typed:
    """A run as its form has it."""
    printed = run.printed
    if printed is None:
        return {}
    ends = {"first": printed.first, "last": printed.last}
    said = {name: "" if value is None else str(value) for name, value in ends.items()}
    said |= {"never": spelled(printed.never), "also": spelled(printed.also)}
    return {name: (value,) for name, value in said.items() if value}


def read_run(typed: Typed, habits: Habits, run: Run | None = None) -> tuple[RunSaid | None, Heard]:
    """What was typed of a run; None where something of it cannot be read, told in `problems`."""
    heard = Heard(habits=habits)
    plain = read_parts(run_parts(whole=run is None), typed, heard)
    texts = [str(plain.get(name, "")) for name in ("first", "last", "never", "also")]
    try:
        printed = read_printed(*texts)
    except InvalidError as error:
        heard.problems += error.problems
        return None, heard
    if heard.problems:
        return None, heard
    if run is not None:
        return RunSaid(title=run.title, start_year=run.start_year, printed=printed), heard
    return RunSaid(title=str(plain["title"]), start_year=_whole(plain.get("start_year")), printed=printed), heard


def want_parts() -> tuple[Part, ...]:
    """What is asked of a wanted copy."""
    steps = tuple(Option(each.text, f"{each.text} {each.words}", each.text) for each in reversed(grades()))
    return (
        Leaf(name="title", title=t("runs.title_field"), needed=True, limits={"max_length": TITLE_MOST}),
        Leaf(name="number", title=t("wants.number"), needed=True, size="short", limits={"max_length": NUMBER_MOST}),
        Leaf(name="start_year", title=t("runs.year"), way=Way.WHOLE, size="short", limits=_YEARS),
        Leaf(name="least", title=t("wants.least"), way=Way.PICK, options=(Option("", t("wants.any"), None), *steps)),
        Leaf(name="most", title=t("wants.most"), way=Way.MONEY),
        Leaf(name="note", title=t("wants.note"), size="long", limits={"max_length": NOTE_MOST}),
    )


def want_typed(want: Want, habits: Habits) -> Typed:
    """A want as its form has it."""
    said, most = want.said, want.said.most
    plain: dict[str, Plain] = {"title": said.title, "number": said.number, "start_year": said.start_year}
    plain |= {"least": None if said.least is None else said.least.text, "note": said.note or None}
    if most is not None:
        plain["most"] = {"minor": most.minor, "currency": most.currency, "exponent": most.exponent}
    return inputs_of(want_parts(), {name: value for name, value in plain.items() if value is not None}, habits, "")


def read_want(typed: Typed, habits: Habits) -> tuple[WantSaid | None, Heard]:
    """What was typed of a want."""
    heard = Heard(habits=habits)
    plain = read_parts(want_parts(), typed, heard)
    if heard.problems:
        return None, heard
    least = plain.get("least")
    said = WantSaid(
        title=str(plain["title"]),
        number=str(plain["number"]),
        start_year=_whole(plain.get("start_year")),
        least=Grade(str(least)) if least else None,
        most=_money(plain.get("most")),
        note=str(plain.get("note", "")),
    )
    return said, heard


def _whole(plain: Plain) -> int | None:
    return plain if isinstance(plain, int) else None


def _money(plain: Plain) -> Money | None:
    if not isinstance(plain, Mapping):
        return None
    minor, currency, exponent = plain["minor"], plain["currency"], plain["exponent"]
    assert isinstance(minor, int)
    assert isinstance(exponent, int)
    return Money(minor=minor, currency=str(currency), exponent=exponent)
