"""A step between the bench and the forms: what is planned from what was posted, and what an entry begins with at its end."""

from collections.abc import Mapping
from typing import Final

from ledger.bench import FIELDS, NOTE, Load, Step
from ledger.events._settings import Cooling, HeatSide, Moisture
from ledger.usecases.bench import Bench
from web.posted import Posted
from web.tool_lines import room_words
from web.wording import t

__all__ = ["CHOICES", "OVERDUE_MINUTES", "finished", "planned_by", "presses_to_choose"]

OVERDUE_MINUTES: Final = 30
"""So long after its planned end a load was left running; how long it was under way is then asked. Our assumption."""

_NONE: Final = ("", t("bench.start.not_said"))
CHOICES: Final[Mapping[str, tuple[tuple[str, str], ...]]] = {
    "settings.cooling": (_NONE, *((each.value, each.value) for each in Cooling)),
    "settings.moisture": (_NONE, *((each.value, each.value) for each in Moisture)),
    "settings.heat_side": (_NONE, *((each.value, each.value) for each in HeatSide)),
}
"""By field: what there is to choose from."""


def planned_by(bench: Bench, posted: Posted) -> tuple[Step, tuple[str, int] | None, str | None]:
    """The step that begins, the recipe and place it comes from, and the id of the tool it goes into.

    What was typed stands above the recipe. A tool that was chosen gives the step its name, unless another was typed;
    where none was chosen, it is the one that the step names.
    """
    typed = {name: value for name in FIELDS if (value := posted.get(name))}
    step, by = _of_recipe(bench, posted.get("recipe"), typed)
    chosen = posted.get("press")
    if chosen and "tool" not in typed:
        step = Step(values={name: value for name, value in step.values.items() if name != "tool"})
    named = bench.tool_for(step)
    return step, by, chosen or (named.id if named is not None else None)


def presses_to_choose(bench: Bench) -> tuple[tuple[str, str], ...]:
    """The tools in use with the room left in each; nothing where there is none."""
    found = [
        (each.id, t("board.press_option", name=each.name, room=room_words(each, bench.room_in(each))))
        for each in bench.tools
        if not each.retired
    ]
    return (("", t("board.by_name")), *found) if found else ()


def _of_recipe(bench: Bench, asked: str, typed: Mapping[str, str]) -> tuple[Step, tuple[str, int] | None]:
    name, _, place = asked.partition(".")
    recipe = next((each for each in bench.recipes if each.id == name), None)
    number = int(place) if place.isascii() and place.isdecimal() else 0
    if recipe is None or number >= len(recipe.steps):
        return Step(values=typed), None
    return Step(values={**recipe.steps[number].values, **typed}), (recipe.id, number)


def finished(load: Load) -> dict[str, str]:
    """Fields of the entry that tells of it: what was set, and how long it was under way as far as that can be known.

    Keeps: nothing is guessed. A load that was left running long beyond its end gives no time in all, and one that was
    stopped early no times that it cannot have had. The note of the step is what its remark begins with.
    """
    values = {name: value for name, value in load.step.values.items() if name != "settings.total_minutes"}
    if note := values.pop(NOTE, ""):
        values["remark"] = note
    spent = load.minutes_until(load.stopped or load.started)
    planned = load.step.minutes
    if planned is None or spent <= planned + OVERDUE_MINUTES:
        values["settings.total_minutes"] = str(spent)
        parts = [values.get(f"settings.{name}_minutes", "") for name in ("hold", "cooling")]
        if sum(int(each) for each in parts if each.isdecimal()) > spent:
            for name in ("hold", "cooling"):
                values.pop(f"settings.{name}_minutes", None)
    return values
