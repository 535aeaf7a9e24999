"""The page of a form for an entry, and the page on which its kind is chosen."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Final

from ledger.errors import Problem
from ledger.ports import Ledger
from ledger.usecases.look import BookLook
from web.entering import Fault, faults_listed, faults_of
from web.entry_cautions import TableSays, Warned, table_says, warned
from web.entry_mending import Correcting, shown_to
from web.entry_offers import Offers
from web.entry_tasks import Task, of_name
from web.form_fields import Group
from web.form_layout import laid_out, only
from web.form_showing import Field, Shown, View, labels_of, shown
from web.forms import Heard, Typed
from web.frame import Frame
from web.render import Page, page
from web.wording import t

__all__ = ["BookName", "ChoosePage", "NewEntryPage", "Sent", "draft_of", "entry_page", "names_of"]

TITLES: Final = frozenset({"correction", "withdrawal", "erasure"})


@dataclass(frozen=True, kw_only=True)
class BookName:
    """A book by its title and number, with the way to its page."""

    title: str
    number: str
    href: str


@dataclass(frozen=True, kw_only=True)
class OneBook:
    """What one of several books has for itself."""

    name: BookName
    fields: tuple[Field, ...]


@dataclass(frozen=True, kw_only=True)
class Target:
    """The entry that is mended: its number and what it says, with the entries of records that showed it."""

    seq: int
    summary: str
    shown_in: tuple[int, ...]


@page("choose_kind.html")
@dataclass(frozen=True, kw_only=True)
class ChoosePage(Page):
    """The kinds there are to choose from."""

    books: tuple[BookName, ...]
    offers: Offers
    needs_book: str
    """Title of a kind that was asked for without its book; empty for none."""


@page("new_entry.html")
@dataclass(frozen=True, kw_only=True)
class NewEntryPage(Page):
    """One form."""

    kind: str
    title: str
    sentence: str
    books: tuple[BookName, ...]
    target: Target | None
    parts: tuple[Shown, ...]
    each: tuple[OneBook, ...]
    cautions: tuple[Warned, ...]
    technique: TableSays | None
    problems: tuple[Fault, ...]
    action: str
    key: str
    waiting: str
    seen: str
    draft: str
    with_files: bool
    files_lost: bool
    next_entry: int


@dataclass(frozen=True, kw_only=True)
class Sent:
    """A form as it is to be shown: what was typed, how it was read, and what is wrong with it."""

    typed: Typed
    heard: tuple[Heard, ...] = ()
    problems: tuple[Problem, ...] = ()
    more: str = ""
    key: str
    waiting: str = ""
    """Id under which it waited."""


def entry_page(frame: Frame, ledger: Ledger, task: Task, sent: Sent, action: str) -> NewEntryPage:
    """The page of one form."""
    kind = task.asked.kind
    faults = faults_of(sent.problems)
    notes = task.notes(sent.typed) if isinstance(task, Correcting) and sent.heard else {}
    heard = sent.heard[0] if sent.heard else None
    view = View(typed=sent.typed, heard=heard, faults=faults, more=sent.more, notes=notes)
    parts = _parts(task, view)
    each = tuple(_one(task, number, look, sent, faults) for number, look in _several(task))
    own = {part.name: f"{one.name.title} {one.name.number}, {part.label}" for one in each for part in one.fields}
    with_files = kind == "photograph"
    return NewEntryPage(
        frame=frame,
        kind=kind,
        title=_title(task),
        sentence=t(f"new_entry.sentences.{kind}") if kind in TITLES else "",
        books=names_of(task.looks),
        target=_target(ledger, task),
        parts=parts,
        each=each,
        cautions=warned(kind, sent.typed),
        technique=table_says(kind, sent.typed),
        problems=faults_listed(sent.problems, {**labels_of(parts), **own}),
        action=action,
        key=sent.key,
        waiting=sent.waiting,
        seen=task.seen if isinstance(task, Correcting) else "",
        draft=draft_of(task),
        with_files=with_files,
        files_lost=with_files and bool(sent.waiting or sent.problems),
        next_entry=(frame.entries or 0) + 1,
    )


def names_of(looks: Sequence[BookLook]) -> tuple[BookName, ...]:
    """The books by their names."""
    return tuple(
        BookName(title=look.row.title or t("frame.not_known"), number=look.row.number, href=f"/books/{look.row.book}")
        for look in looks
    )


def draft_of(task: Task) -> str:
    """The name under which the browser keeps what is typed."""
    of = [look.row.book for look in task.looks]
    place = str(task.asked.entry or "") if task.target is not None else of[0] if len(of) == 1 else ""
    return f"{task.asked.kind}:{place or ('several' if of else 'collection')}"


def _title(task: Task) -> str:
    if task.target is not None:
        return t(f"new_entry.titles.{task.asked.kind}", seq=task.target.seq)
    return task.kind.title


def _target(ledger: Ledger, task: Task) -> Target | None:
    entry = task.target
    if entry is None:
        return None
    told = tuple(shown_to(ledger, entry)) if task.asked.kind == "erasure" else ()
    return Target(seq=entry.seq, summary=entry.event.summary(), shown_in=told)


def _parts(task: Task, view: View) -> tuple[Shown, ...]:
    if isinstance(task, Correcting):
        changes, *own = task.form.parts
        assert isinstance(changes, Group)
        corrected = task.moment.event.kind
        return (*laid_out(corrected, changes.parts, view, f"{changes.name}."), *shown(own, view))
    return task.common.shown(view)


def _several(task: Task) -> Sequence[tuple[int, BookLook]]:
    return list(enumerate(task.looks)) if task.per_book else []


def _one(task: Task, number: int, look: BookLook, sent: Sent, faults: Mapping[str, str]) -> OneBook:
    """The fields one book has for itself, as they were typed for it."""
    at = of_name(number, "")
    view = View(
        typed={name.removeprefix(at): values for name, values in sent.typed.items() if name.startswith(at)},
        heard=sent.heard[number] if sent.heard else None,
        faults={name.removeprefix(at): said for name, said in faults.items() if name.startswith(at)},
    )
    made = shown(tuple(only(task.form.parts, task.per_book)), view)
    named = tuple(replace(each, name=f"{at}{each.name}", note="") for each in made if isinstance(each, Field))
    return OneBook(name=names_of([look])[0], fields=named)
