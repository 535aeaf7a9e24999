"""From what was typed step by step to the one examination it becomes, and from what is wrong with that back to the step."""

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Final

from ledger.errors import InvalidError, Problem
from ledger.events._parts import Face
from ledger.events.examination import NOT_THROUGH_A_HOLDER
from ledger.ports import Ledger
from web.entry_tasks import Ready, Task
from web.form_reading import AS, TO, Typed
from web.form_values import Habits
from web.look_known import Known, found_again, known_at, problems_of
from web.look_steps import ROWS, STAPLES, WHOLE, Begun, Step, faces_of, row_numbers, steps_of
from web.wording import t

__all__ = ["Assembled", "Looking", "assembled", "flaws_of", "ready_of", "told_elsewhere"]

_ROW: Final = re.compile(r"(defects|marks)\.(\d+)(\..+)?")


@dataclass(frozen=True, kw_only=True)
class Looking:
    """One look at one book: the form of an examination, what was seen before, and how far it has come."""

    ledger: Ledger
    task: Task
    known: tuple[Known, ...]
    habits: Habits
    begun: Begun

    @property
    def steps(self) -> tuple[Step, ...]:
        """The steps there are."""
        return steps_of(self.task.looks[0].book, self.begun.typed)


@dataclass(frozen=True, kw_only=True)
class Assembled:
    """What the form of an examination would have been sent, and from which fields of the look each of its rows came."""

    typed: Typed
    rows: Mapping[str, tuple[str, ...]]
    """Of defects and of marks: the names of a known one or a new row, without a point at the end."""

    def placed(self, problems: Iterable[Problem]) -> tuple[Problem, ...]:
        """Each problem at the input of the look that it is about."""
        return tuple(dict.fromkeys(self._placed(each) for each in problems))

    def _placed(self, problem: Problem) -> Problem:
        match = _ROW.fullmatch(problem.field)
        if match is None or int(match[2]) >= len(self.rows[match[1]]):
            return problem
        row, inner = self.rows[match[1]][int(match[2])], match[3] or ""
        if row.startswith("known.") and inner in ("", ".id", ".type", ".face", ".gone"):
            inner = ".is"
        return replace(problem, field=f"{row}{inner}")


def assembled(looking: Looking, chosen: Sequence[Step]) -> Assembled:
    """The rows of these steps, with what is said of the whole book if the last step is among them."""
    found = {of: [row for step in chosen for row in _rows(looking, step, of)] for of in ROWS}
    typed: dict[str, tuple[str, ...]] = {}
    for of, rows in found.items():
        for number, (_, said) in enumerate(rows):
            typed |= {f"{of}.{number}.{name}": values for name, values in said.items()}
    typed |= _whole(looking, chosen)
    faces = tuple(face for step in chosen for face in _faces(looking.begun, looking.known, step))
    names = {of: tuple(name for name, _ in rows) for of, rows in found.items()}
    return Assembled(typed={**typed, "faces_looked_at": faces}, rows=names)


def _rows(looking: Looking, step: Step, of: str) -> Iterator[tuple[str, Typed]]:
    """Each row of a step: the name of its fieldset, and what is said in it by the names of a row."""
    typed = looking.begun.typed
    for each in known_at(looking.known, step) if of == "defects" else ():
        found = found_again(each, typed)
        if found is not None:
            yield each.at.removesuffix("."), found.typed
    for number in row_numbers(typed, step.value, of):
        at = f"{of}.{number}."
        own = {name.removeprefix(at): values for name, values in typed.items() if name.startswith(at)}
        yield at.removesuffix("."), own


def _faces(begun: Begun, known: Sequence[Known], step: Step) -> list[str]:
    """The faces of a step that were looked at; a detail only where one was found again."""
    if step is Step.WHOLE:
        return []
    details = [each for each in known_at(known, step) if each.defect.face is Face.DETAIL]
    found = any(found_again(each, begun.typed) for each in details)
    return [each.value for each in faces_of(step) if each is not Face.DETAIL or found]


def _whole(looking: Looking, steps: Sequence[Step]) -> Typed:
    """What is said of the whole book: the day and the holder always, the rest when it has been asked for."""
    begun, task = looking.begun, looking.task
    through = Step.INSIDE not in looking.steps
    asked = {"on"} | (set(WHOLE) if Step.WHOLE in steps else set()) | (set(STAPLES) if Step.STAPLES in steps else set())
    asked -= set(NOT_THROUGH_A_HOLDER) if through else set()
    own = {name: values for name, values in begun.typed.items() if name.removesuffix(AS).removesuffix(TO) in asked}
    start = {"on": task.initial["on"]} if "on" in task.initial else {}
    return {**start, **own, "through_holder": ("yes" if through else "no",)}


def flaws_of(looking: Looking, step: Step) -> tuple[Problem, ...]:
    """What is wrong with one step by itself, each problem at its input."""
    made = assembled(looking, [step])
    own = _own_problems(looking, [step])
    plain, heard = looking.task.form.heard(made.typed, looking.habits)
    try:
        event = looking.task.form.event(plain, heard, looking.ledger.codec)
        found = heard.placed(tuple(event.all_flaws()))
    except InvalidError as error:
        found = error.problems
    return (*own, *made.placed(found))


def ready_of(looking: Looking) -> tuple[Ready, Assembled]:
    """The examination of all faces that were looked at.

    Raises: InvalidError with every problem, each at its input of the look.
    """
    steps = [each for each in looking.steps if each is Step.WHOLE or each in looking.begun.looked]
    made = assembled(looking, steps)
    own = _own_problems(looking, steps)
    if own:
        raise InvalidError(problems=own)
    try:
        return looking.task.ready(looking.ledger, made.typed, looking.habits), made
    except InvalidError as error:
        raise InvalidError(problems=made.placed(error.problems)) from error


def _own_problems(looking: Looking, steps: Iterable[Step]) -> tuple[Problem, ...]:
    """Where a measure does not say what was answered."""
    typed = looking.begun.typed
    return tuple(
        problem for step in steps for each in known_at(looking.known, step) for problem in problems_of(each, typed)
    )


def told_elsewhere(problem: Problem, step: Step, looking: Looking) -> Problem:
    """A problem with a field of another step names that step, since its field is not on this page."""
    where = _step_of(problem.field, looking)
    if where is None or where is step:
        return problem
    sentence = t("look.elsewhere", step=t(f"look.steps.{where.value}"), sentence=problem.sentence)
    return replace(problem, field="", sentence=sentence)


def _step_of(field: str, looking: Looking) -> Step | None:
    head, *rest = field.split(".")
    if head == "known" and rest:
        return next((step for step in Step for each in known_at(looking.known, step) if each.id == rest[0]), None)
    if head in ROWS and rest:
        face = "".join(looking.begun.typed.get(f"{head}.{rest[0]}.face", ()))
        return next((step for step in Step if step.value == face), None)
    return Step.STAPLES if head in STAPLES else Step.WHOLE if head in WHOLE else None
