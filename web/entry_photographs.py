"""The form for photographs: files with what each shows, kept byte for byte before the entry that names them."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any, Final

from ledger.actor import Actor
from ledger.errors import InvalidError, MalformedError, NotFoundError, Problem, RuleError
from ledger.events.photograph import Photograph
from ledger.ports import Ledger
from ledger.sealed import Sealed
from ledger.usecases.photograph import Shot, photograph
from ledger.usecases.record import Recorded, Request
from web.arrivals import KEPT, kept_files
from web.entry_starts import known_of
from web.entry_tasks import Task
from web.form_fields import Group, Leaf, Part, Rows, Way, with_options
from web.form_kinds import words_of
from web.form_layout import only
from web.form_parts import parts_of
from web.form_reading import numbers, read_parts
from web.form_values import Habits
from web.forms import Form, Heard, Typed, strangers
from web.posted import Posted, Upload
from web.wording import t

__all__ = ["SHOTS", "photograph_task", "take"]

SHOTS: Final = "shots"
NO_DIGEST: Final = "0" * 64
"""Stands for the digests until the files are kept."""
ROW: Final = ("caption", "face", "light", "of_defect")
FACES: Final = ("front", "back", "spine", "detail")
"""What hands photograph one after the other."""


@dataclass(frozen=True)
class _Row:
    """One row of the form: its number, what is said in it, and its files."""

    number: int
    said: Mapping[str, Any]
    files: tuple[Upload, ...]


def photograph_task(task: Task) -> Task:
    """The form of a photograph, with files in place of digests."""
    file = Leaf(name="file", title=t("new_entry.files"), way=Way.FILE)
    row = (file, *_in_a_row(has_defects=bool(task.looks and task.looks[0].book.defects)))
    group = Group(name="", title=words_of("Photograph"), parts=row, optional=True, of="Shot")
    shots = Rows(name=SHOTS, title=t("new_entry.photographs"), row=group)
    parts: tuple[Part, ...] = (
        *only(parts_of(Photograph), ["on"]),
        shots,
        *only(parts_of(Photograph), ["scale_px_per_mm"]),
    )
    book = task.looks[0].book if task.looks else None
    form = replace(task.form, parts=with_options(parts, known_of(book, {})))
    initial = dict(task.initial)
    for number, face in enumerate(FACES):
        initial[f"{SHOTS}.{number}.face"] = (face,)
    return replace(task, form=form, initial=initial)


def _in_a_row(*, has_defects: bool) -> Iterator[Part]:
    """What is said of one picture, on two lines; a defect only where one was ever seen."""
    for part in only(parts_of(Photograph), ROW):
        if isinstance(part, Leaf) and (part.name != "of_defect" or has_defects):
            size = "" if part.name == "caption" else "short"
            yield replace(part, note="", way=Way.PICK if part.way is Way.CHOOSE else part.way, size=size)


def take(  # noqa: PLR0913 - who sends what to whom, and how it is asked
    task: Task, ledger: Ledger, actor: Actor, typed: Typed, posted: Posted, habits: Habits, request: Request
) -> Recorded:
    """The photographs of one book, written as one act.

    Raises: InvalidError with every problem, each at its input; what `record` raises.
    """
    heard = Heard(habits=habits)
    common, shots = _parts(task.form)
    plain = read_parts(common, typed, heard)
    rows: list[_Row] = []
    for number in range(numbers(SHOTS, typed)):
        at = f"{SHOTS}.{number}."
        said = read_parts(shots.row.parts, typed, heard, at)
        files = _files(ledger, posted, at, heard)
        if files and not heard.problems:
            event = ledger.codec.read("photograph", {**plain, **said, "original": NO_DIGEST, "clean": NO_DIGEST})
            said_of_it = {name: getattr(event, name) for name in ("on", "scale_px_per_mm", *ROW)}
            rows.append(_Row(number, said_of_it, files))
    heard.problems += strangers(typed, heard.names)
    if not rows and not heard.problems:
        heard.problems.append(Problem(field=f"{SHOTS}.0.file", sentence=t("new_entry.no_file")))
    if heard.problems:
        raise InvalidError(problems=tuple(heard.problems))
    return _written(ledger, actor, task.looks[0].row.book, rows, request)


def _files(ledger: Ledger, posted: Posted, at: str, heard: Heard) -> tuple[Upload, ...]:
    """The files of one row: those that came before the form, and those that came with it."""
    name = f"{at}{KEPT}"
    heard.names.add(name)
    try:
        return (*kept_files(ledger, posted, name), *posted.files(f"{at}file"))
    except NotFoundError:
        heard.problems.append(Problem(field=f"{at}file", sentence=t("new_entry.arrive.not_here")))
        return ()


def _parts(form: Form) -> tuple[list[Part], Rows]:
    (shots,) = (part for part in form.parts if isinstance(part, Rows))
    return [part for part in form.parts if part is not shots], shots


def _written(ledger: Ledger, actor: Actor, book: str, rows: list[_Row], request: Request) -> Recorded:
    taken = [
        Shot(data=file.data, said={**row.said, "file_name": Sealed.of(file.name or None)})
        for row in rows
        for file in row.files
    ]
    try:
        return photograph(ledger, actor, book, taken, request)
    except MalformedError as error:
        raise InvalidError(problems=(_unfit(ledger, rows, error),)) from error
    except (InvalidError, RuleError) as error:
        numbers_of = [row.number for row in rows for _ in row.files]
        raise type(error)(problems=tuple(_placed(each, numbers_of) for each in error.problems)) from error


def _placed(problem: Problem, rows: list[int]) -> Problem:
    """A problem with one of the pictures, at the row its file came in."""
    head, _, path = problem.field.partition(".")
    number, _, name = path.partition(".") if head == "events" else ("0", "", problem.field)
    row = rows[int(number)] if number.isdecimal() else 0
    name = name if name in ROW else "file"
    return replace(problem, field=f"{SHOTS}.{row}.{name}")


def _unfit(ledger: Ledger, rows: list[_Row], error: MalformedError) -> Problem:
    """The file that is no picture, found by keeping each; what was kept already costs nothing to keep again."""
    for row in rows:
        for file in row.files:
            try:
                ledger.pictures.keep(file.data)
            except MalformedError as found:
                sentence = t("new_entry.unfit_file", name=file.name, problem=found.problem, mend=found.mend)
                return Problem(field=f"{SHOTS}.{row.number}.file", sentence=sentence)
    return Problem(field=f"{SHOTS}.0.file", sentence=str(error))
