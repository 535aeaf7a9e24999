"""What the page of one step of a look reads: the known defects with their answers, the rows of new ones, and the rest."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Final

from ledger.errors import Problem
from ledger.events._parts import Face
from ledger.looks import MARKS_ASKED
from ledger.rules.defects import defect_types
from web.compared import all_shots
from web.condition_lines import marks_known
from web.entering import faults_of
from web.entry_tasks import Task
from web.form_fields import Group, Leaf, Option, Part, Rows, Way
from web.form_layout import only
from web.form_showing import Shown, View, labels_of, shown
from web.form_values import Habits
from web.forms import Heard
from web.look_entry import Looking, assembled
from web.look_known import Known, answers_for, known_at, typed_of
from web.look_steps import ROWS, STAPLES, Step, faces_of, row_numbers, whole_of
from web.numbers import number
from web.wording import t

__all__ = [
    "KnownLine",
    "MarksHere",
    "NewRow",
    "StepLine",
    "heard_whole",
    "known_lines",
    "marks_at",
    "named_at",
    "new_rows",
    "parts_at",
    "step_lines",
    "summed_up",
]

MEASURES: Final = ("size_mm", "count", "share_percent")


@dataclass(frozen=True, kw_only=True)
class StepLine:
    """One step in the row of all of them."""

    step: Step
    words: str
    state: str
    """now, looked, skipped, or empty for one that is still to come."""


@dataclass(frozen=True, kw_only=True)
class More:
    """What lies under one line: where it is in mm, a note, a photograph."""

    place: str
    """The place in a few figures, for while it is closed."""
    open: bool
    parts: tuple[Shown, ...]


@dataclass(frozen=True, kw_only=True)
class KnownLine:
    """One defect that was seen before: what it was, what can be answered, and its fields as they were."""

    id: str
    name: str
    """Of the fieldset and of its answer."""
    face: str
    words: str
    seen_by: int
    options: tuple[tuple[str, str], ...]
    answer: str
    fault: str
    parts: tuple[Shown, ...]
    more: More
    gone: bool


@dataclass(frozen=True, kw_only=True)
class NewRow:
    """One new defect: the name of its fieldset, what it is called, and its fields."""

    name: str
    title: str
    parts: tuple[Shown, ...]
    more: More


def step_lines(looking: Looking) -> tuple[StepLine, ...]:
    """Every step, with what was done at it."""
    begun = looking.begun
    return tuple(
        StepLine(
            step=each,
            words=t(f"look.steps.{each.value}"),
            state="now" if each is begun.step else _done(looking, each),
        )
        for each in looking.steps
    )


def _done(looking: Looking, step: Step) -> str:
    return "looked" if step in looking.begun.looked else "skipped" if step in looking.begun.skipped else ""


def row_of(task: Task, of: str = "defects") -> Group:
    """The parts of one defect or mark in the form of an examination, with the photographs of this book to choose from."""
    rows = next(part for part in task.form.parts if isinstance(part, Rows) and part.name == of)
    shots = [each for look in task.looks for each in all_shots(look.moments)]
    pictures = tuple(
        Option(each.clean, t("compare.pick.option", words=each.words, when=each.when, seq=each.seq), each.clean)
        for each in shots
    )
    parts = (replace(part, size="") if isinstance(part, Leaf) else part for part in rows.row.parts)
    return replace(rows.row, parts=tuple(_with_pictures(part, pictures) for part in parts))


def _with_pictures(part: Part, pictures: Sequence[Option]) -> Part:
    if not isinstance(part, Leaf) or part.name != "photograph":
        return part
    return replace(part, way=Way.PICK, note="", options=(Option("", t("look.no_photograph")), *pictures), suggest=())


def known_lines(looking: Looking, problems: Sequence[Problem]) -> tuple[KnownLine, ...]:
    """The defects of the step that were seen before."""
    row, faults = row_of(looking.task), faults_of(problems)
    return tuple(_known_line(each, looking, row, faults) for each in known_at(looking.known, looking.begun.step))


def _known_line(known: Known, looking: Looking, row: Group, faults: Mapping[str, str]) -> KnownLine:
    typed = {**typed_of(known, row, looking.habits), **looking.begun.typed}
    view = View(typed=typed, faults=faults)
    asks_colour = known.kind is None or known.kind.breaks_colour in ("yes", "either")
    names = (*known.measured_by, *(("breaks_colour",) if asks_colour else ()))
    answer = "".join(looking.begun.typed.get(f"{known.at}is", ())[:1])
    return KnownLine(
        id=known.id,
        name=known.at.removesuffix("."),
        face=t(f"condition.faces.{known.defect.face.value}") if known.defect.face is Face.DETAIL else "",
        words=known.words,
        seen_by=known.seen_by,
        options=(("", t("look.known.answers.none")), *_answers(known)),
        answer=answer if answer in answers_for(known) else "",
        fault=faults.get(f"{known.at}is", ""),
        parts=_fields(row, names, view, known.at),
        more=_more(row, view, known.at),
        gone=known.defect.gone,
    )


def _answers(known: Known) -> Iterator[tuple[str, str]]:
    for each in answers_for(known):
        if known.defect.gone:
            yield each, t(f"look.known.after_gone.{each}")
        elif known.defect.claimed_by is not None:
            yield each, t("look.known.claimed_seen")
        else:
            yield each, t(f"look.known.answers.{each}")


def new_rows(looking: Looking, problems: Sequence[Problem], of: str = "defects") -> tuple[NewRow, ...]:
    """The new defects of the step, or the new marks, and one row more that is still blank."""
    step, typed = looking.begun.step, looking.begun.typed
    row, view = row_of(looking.task, of), View(typed=typed, faults=faults_of(problems))
    row = replace(row, parts=tuple(_of_face(part, step) for part in row.parts))
    taken = {int(name.split(".")[1]) for name in typed if name.startswith(f"{of}.")}
    blank = next(each for each in range(len(taken) + 1) if each not in taken)
    numbers = [*row_numbers(typed, step.value, of), blank]
    names = ("type", *MEASURES, "breaks_colour") if of == "defects" else ("what",)
    return tuple(
        NewRow(
            name=f"{of}.{number}",
            title=t("look.new.row" if of == "defects" else "look.marks.row", number=place),
            parts=_fields(row, names, view, f"{of}.{number}."),
            more=_more(row, view, f"{of}.{number}."),
        )
        for place, number in enumerate(numbers, start=1)
    )


@dataclass(frozen=True, kw_only=True)
class MarksHere:
    """The marks of this copy at one step: how many are known in all, those of the face, and rows for new ones."""

    now: str
    known: tuple[str, ...]
    rows: tuple[NewRow, ...]
    open: bool


def marks_at(looking: Looking, problems: Sequence[Problem]) -> MarksHere | None:
    """None at the end, where there is no face."""
    step, book = looking.begun.step, looking.task.looks[0].book
    if step is Step.WHOLE:
        return None
    own = [each for each in book.marks.values() if each.face in faces_of(step)]
    rows = new_rows(looking, problems, "marks")
    asked = any(each.field.startswith("marks.") for each in problems)
    count = len(book.marks)
    told = marks_known(count)
    return MarksHere(
        now=told if count >= MARKS_ASKED else t("look.marks.asked", known=told, least=number(MARKS_ASKED)),
        known=tuple(t("marks.anchor", id=each.id, what=each.what) for each in own),
        rows=rows,
        open=asked or len(rows) > 1,
    )


def _of_face(part: Part, step: Step) -> Part:
    """The types that are found on a face come first; those that are looked for elsewhere are left in the list."""
    if not isinstance(part, Leaf) or part.name != "type":
        return part
    here = {each.id for each in defect_types() if step.value in each.faces}
    blank, *others = part.options
    return replace(part, options=(blank, *sorted(others, key=lambda each: each.value not in here)))


def _fields(row: Group, names: Sequence[str], view: View, at: str) -> tuple[Shown, ...]:
    """What stands in sight: type, measures, colour."""
    return shown(tuple(_called(part) for part in only(row.parts, names)), view, at)


def _called(part: Part) -> Part:
    """A field in the few words that a narrow row has room for."""
    if not isinstance(part, Leaf):
        return part
    title = t("look.together") if part.name == "count" else part.title
    return replace(part, title=title, note="", needed=False, size=_SIZES.get(part.name, "short"))


_SIZES: Final = {"type": "long", "what": "whole", "photograph": "long", "note": "whole"}


def _more(row: Group, view: View, at: str) -> More:
    made = shown(tuple(_called(part) for part in only(row.parts, (*_PLACE, "note", "photograph"))), view, at)
    x, y = ("".join(view.typed.get(f"{at}region.{each}", ())).strip() for each in ("x_mm", "y_mm"))
    asked = any(view.asks_for(f"{at}{each}") for each in ("region", "note", "photograph"))
    return More(place=t("look.placed", x=x, y=y) if x and y else "", open=asked, parts=made)


_PLACE: Final = tuple(f"region.{each}" for each in ("x_mm", "y_mm", "width_mm", "height_mm", "to_x_mm", "to_y_mm"))


def parts_at(looking: Looking, problems: Sequence[Problem], heard: Heard | None = None) -> tuple[Shown, ...]:
    """The fields of the examination itself that are asked for at the step."""
    step, faults = looking.begun.step, faults_of(problems)
    names = whole_of(looking.steps) if step is Step.WHOLE else STAPLES if step is Step.STAPLES else ()
    if step is Step.FRONT and looking.task.looks[0].book.holding not in ("raw", "slabbed"):
        names = ("through_holder",)
    typed = {**looking.task.initial, **looking.begun.typed}
    return shown(tuple(only(looking.task.form.parts, names)), View(typed=typed, heard=heard, faults=faults))


def named_at(known: Sequence[KnownLine], rows: Sequence[NewRow], parts: Sequence[Shown]) -> dict[str, str]:
    """What each field of the step is called, by its name, with the defect it belongs to."""
    named: dict[str, str] = {}
    for line in known:
        named[f"{line.name}.is"] = line.id
        named |= {
            name: t("look.of", what=line.id, label=label)
            for name, label in labels_of((*line.parts, *line.more.parts)).items()
        }
    for row in rows:
        named[row.name] = row.title
        named |= {
            name: t("look.of", what=row.title, label=label)
            for name, label in labels_of((*row.parts, *row.more.parts)).items()
        }
    return {**named, **labels_of(parts)}


def heard_whole(looking: Looking, habits: Habits) -> Heard:
    """How the fields of the last step were read."""
    return looking.task.form.heard(assembled(looking, [Step.WHOLE]).typed, habits)[1]


def summed_up(looking: Looking) -> tuple[str, ...]:
    """What will be written, before it is: the faces that were looked at, those that were not, and the defects."""
    looked = [each for each in looking.steps if each in looking.begun.looked]
    left = [each for each in looking.steps if each is not Step.WHOLE and each not in looked]
    typed = assembled(looking, looked).typed
    rows = {name.split(".")[1] for name in typed if name.startswith("defects.")}
    gone = sum(typed.get(f"defects.{each}.gone") == ("yes",) for each in rows)
    new = sum(f"defects.{each}.id" not in typed for each in rows)
    marks = {name.split(".")[1] for name in typed if name.startswith("marks.")}
    words = [t("look.sum.looked", faces=_named(looked)) if looked else t("look.sum.none")]
    words += [t("look.sum.left", faces=_named(left))] if left else []
    words.append(t("look.sum.defects", new=new, again=len(rows) - new - gone, gone=gone))
    words += [t.n("look.sum.marks", len(marks))] if marks else []
    typed_there = [each for each in left if any(row_numbers(looking.begun.typed, each.value, of) for of in ROWS)]
    words += [t("look.sum.not_written", faces=_named(typed_there))] if typed_there else []
    return tuple(words)


def _named(steps: Sequence[Step]) -> str:
    return ", ".join(t(f"look.steps.{each.value}").lower() for each in steps)
