"""The page of a form for an entry, and the page on which its kind is chosen."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Final

from ledger.errors import Problem
from ledger.events._parts import Defect
from ledger.ports import Ledger
from ledger.rules.defects import defect_types
from ledger.rules.steps import Starter, starters
from ledger.usecases.look import BookLook
from web.arrivals import Arriving, arrive_words
from web.entering import Fault, faults_listed, faults_of
from web.entry_calibration import MEASURED, Offer, offered
from web.entry_cautions import TableSays, Warned, table_says, warned
from web.entry_mending import Correcting, shown_to
from web.entry_offers import Offers
from web.entry_tasks import Task, of_name
from web.form_fields import Group
from web.form_layout import laid_out, only
from web.form_showing import Field, Shown, View, labels_of, shown
from web.forms import Heard, Typed
from web.frame import Frame
from web.placing import Ground, ground_of
from web.render import Page, page
from web.starters import asked_for
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
    fields: tuple[Shown, ...]


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
    twin: str
    """Where one book is withdrawn as the same copy as another; empty where it cannot be."""


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
    starters: tuple[Starter, ...]
    """Steps of common practice to fill the form with; none for another kind."""
    starter: Starter | None
    """The one that was tapped."""
    seen_so_far: tuple[tuple[str, str], ...]
    """Id and words of each defect that was seen before, for somebody who looks again."""
    problems: tuple[Fault, ...]
    action: str
    key: str
    waiting: str
    seen: str
    draft: str
    with_files: bool
    files_lost: bool
    arriving: Arriving | None
    """How files come before the form does; None where none do."""
    in_parts: bool
    """The picture shows several books, each in a part of its own."""
    next_entry: int
    calibration: Offer | None
    """What the tool of a load is known to measure."""
    ground: Ground | None
    """The book opened flat, for placing what is found on it."""


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
    calibration = offered(task.tool, sent.typed)
    notes = _notes(task, sent, calibration)
    heard = sent.heard[0] if sent.heard else None
    view = View(typed=sent.typed, heard=heard, faults=faults, more=sent.more, notes=notes)
    parts = _parts(task, view)
    each = tuple(_one(task, number, look, sent, faults) for number, look in _several(task))
    own = _labels_of_each(each)
    with_files = kind == "photograph"
    return NewEntryPage(
        frame=frame,
        kind=kind,
        title=_title(task),
        sentence=_sentence(task),
        books=names_of(task.looks),
        target=_target(ledger, task),
        parts=parts,
        each=each,
        cautions=warned(kind, sent.typed),
        technique=table_says(kind, sent.typed),
        starters=() if kind != "intervention" or task.asked.given.get("load") else starters(),
        starter=asked_for("".join(sent.typed.get("do", ())[:1])) if kind == "intervention" else None,
        seen_so_far=_seen(task),
        problems=faults_listed(sent.problems, {**labels_of(parts), **own}),
        action=action,
        key=sent.key,
        waiting=sent.waiting,
        seen=task.seen if isinstance(task, Correcting) else "",
        draft=draft_of(task),
        with_files=with_files,
        files_lost=with_files and bool(sent.waiting or sent.problems),
        arriving=Arriving(words=arrive_words()) if with_files and len(task.looks) == 1 else None,
        in_parts=with_files and len(task.looks) > 1,
        next_entry=(frame.entries or 0) + 1,
        calibration=calibration,
        ground=ground_of(task.looks) if kind == "examination" else None,
    )


def _notes(task: Task, sent: Sent, calibration: Offer | None) -> Mapping[str, str]:
    """What stands below a field in the place of its usual words."""
    notes = task.notes(sent.typed) if isinstance(task, Correcting) and sent.heard else {}
    return {**notes, MEASURED: t("calibration.note")} if calibration is not None and calibration.taken else notes


def _labels_of_each(each: Sequence[OneBook]) -> dict[str, str]:
    """The fields of each book by their names, with the book before them."""
    return {
        name: f"{one.name.title} {one.name.number}, {label}"
        for one in each
        for name, label in labels_of(one.fields).items()
    }


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
    if task.asked.kind == "photograph" and len(task.looks) > 1:
        return t("new_entry.group.title")
    return t("new_entry.same_as.title") if task.asked.kind == "withdrawal" else task.kind.title


def _sentence(task: Task) -> str:
    kind = task.asked.kind
    if kind == "withdrawal" and task.target is None:
        return t("new_entry.same_as.sentence")
    if kind == "photograph" and len(task.looks) > 1:
        return t("new_entry.group.sentence")
    return t(f"new_entry.sentences.{kind}") if kind in TITLES else ""


def _seen(task: Task) -> tuple[tuple[str, str], ...]:
    """The defects of the one book that is looked at."""
    if task.asked.kind != "examination" or len(task.looks) != 1:
        return ()
    titles = {row.id: row.title for row in defect_types()}
    return tuple((each.id, _defect(each, titles)) for each in task.looks[0].book.defects.values())


def _defect(defect: Defect, titles: Mapping[str, str]) -> str:
    named = {"type": titles.get(defect.type, defect.type), "face": defect.face.value}
    sized = {name: getattr(defect, name) for name in ("size_mm", "count", "share_percent")}
    told = [t(f"new_entry.seen.{name}", value=value) for name, value in sized.items() if value is not None]
    measures = ", ".join(told)
    words = (
        t("new_entry.seen.measured", **named, measures=measures) if measures else t("new_entry.seen.defect", **named)
    )
    if defect.claimed_by is not None:
        return t("new_entry.seen.claimed", what=words, who=defect.claimed_by.value)
    return t("new_entry.seen.gone", what=words) if defect.gone else words


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
    made = shown(tuple(only(task.own_form(number).parts, task.per_book)), view)
    return OneBook(name=names_of([look])[0], fields=tuple(_placed(each, at) for each in made))


def _placed(part: Shown, at: str) -> Shown:
    """A field, or every field of a block, under the name it has for one of several books."""
    if isinstance(part, Field):
        return replace(part, name=f"{at}{part.name}", note="")
    return replace(part, name=f"{at}{part.name}", note="", parts=tuple(_placed(each, at) for each in part.parts))
