"""The form for a group picture: one file that shows several books, and for each the part of it in which it is seen."""

from collections.abc import Iterator
from dataclasses import replace
from typing import Final

from ledger.actor import Actor
from ledger.errors import InvalidError, MalformedError, Problem, RuleError
from ledger.events.photograph import Crop, Photograph
from ledger.ports import Ledger
from ledger.sealed import Sealed
from ledger.usecases.photograph import NO_PART, Shown, photograph_group
from ledger.usecases.record import Draft, Recorded, Request
from web.entry_photographs import NO_DIGEST
from web.entry_tasks import Ready, Task, of_name
from web.form_fields import Group, Leaf, Part, Way
from web.form_layout import only
from web.form_parts import parts_of
from web.form_values import Habits
from web.forms import Typed
from web.posted import Posted, Upload
from web.wording import t

__all__ = ["group_task", "take_group"]

FILE: Final = "file"
COMMON: Final = ("on", "face", "light", "caption", "scale_px_per_mm")
"""What is said of the picture, and so of every book in it."""
REGION: Final = "region"


def group_task(task: Task) -> Task:
    """The form of a photograph of several books, with one file in place of digests, and a part for each book."""
    file = Leaf(name=FILE, title=t("new_entry.group.file"), way=Way.ONE_FILE, size="long")
    on, *common = only(parts_of(Photograph), COMMON)
    (region,) = only(parts_of(Photograph), [REGION])
    assert isinstance(region, Group)
    parts: tuple[Part, ...] = (file, _sized(on), *(_sized(each) for each in common), region)
    return replace(
        task,
        form=replace(task.form, parts=parts),
        fixed={**task.fixed, "original": NO_DIGEST, "clean": NO_DIGEST},
    )


def _sized(part: Part) -> Part:
    """Face and light beside each other, below the file with its date."""
    if not isinstance(part, Leaf):
        return part
    size = {"on": "short", "caption": "whole"}.get(part.name, part.size)
    return replace(part, size=size, way=Way.PICK if part.way is Way.CHOOSE else part.way)


def take_group(  # noqa: PLR0913 - who sends what to whom, and how it is asked
    task: Task, ledger: Ledger, actor: Actor, typed: Typed, posted: Posted, habits: Habits, request: Request
) -> Recorded:
    """The picture with an entry for each of its books, written as one act.

    Raises: InvalidError with every problem, each at its input; what `record` raises.
    """
    files = posted.files(FILE)
    problems = [] if len(files) == 1 else [Problem(field=FILE, sentence=t("new_entry.group.one_file"))]
    try:
        ready = task.ready(ledger, typed, habits)
    except InvalidError as error:
        raise InvalidError(problems=(*problems, *error.problems)) from error
    problems += _without_a_part(ready)
    if problems:
        raise InvalidError(problems=tuple(problems))
    return _written(ledger, actor, ready, files[0], request)


def _without_a_part(ready: Ready) -> Iterator[Problem]:
    """A part that was left blank; the whole picture would show the others too."""
    for number, draft in enumerate(ready.drafts):
        if _said(draft)[REGION] is None:
            yield Problem(field=of_name(number, f"{REGION}.x_percent"), sentence=NO_PART)


def _said(draft: Draft) -> dict[str, Crop | object]:
    return {name: getattr(draft.event, name) for name in (*COMMON, REGION)}


def _written(ledger: Ledger, actor: Actor, ready: Ready, file: Upload, request: Request) -> Recorded:
    name = Sealed.of(file.name or None)
    shown = [Shown(book=each.book or "", said={**_said(each), "file_name": name}) for each in ready.drafts]
    try:
        return photograph_group(ledger, actor, file.data, shown, request)
    except MalformedError as error:
        sentence = t("new_entry.unfit_file", name=file.name, problem=error.problem, mend=error.mend)
        raise InvalidError(problems=(Problem(field=FILE, sentence=sentence),)) from error
    except (InvalidError, RuleError) as error:
        raise type(error)(problems=ready.placed(error.problems)) from error
