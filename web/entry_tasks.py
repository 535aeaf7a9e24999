"""What a form at /entry/new is for: one kind, for one book, for several at once, or for the collection itself."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Final

from ledger.actor import Actor
from ledger.entry import Entry
from ledger.errors import InvalidError, NotFoundError, Problem
from ledger.events import KINDS, Event, Scope
from ledger.history import fold_collection, history
from ledger.ports import Ledger
from ledger.proof.canonical import Plain
from ledger.tools import Tool
from ledger.usecases.look import BookLook, look_at
from ledger.usecases.record import Draft
from web.entry_duplicate import the_same_copy
from web.entry_starts import known_of, seen_before, start_of, taken_by
from web.form_fields import leaves, with_options
from web.form_kinds import PER_BOOK
from web.form_layout import without
from web.form_values import Habits
from web.forms import Form, Heard, Typed, form_of, strangers

__all__ = ["WRITTEN_ELSEWHERE", "Asked", "Ready", "Task", "book_task", "of_name"]

WRITTEN_ELSEWHERE: Final = {"key": "/settings/key", "disclosure": "", "restored": "", "climate": "/climate/new"}
"""Kinds that are written by doing the thing itself, and the page where that is done."""


@dataclass(frozen=True, kw_only=True)
class Asked:
    """What the address of the form asks for."""

    kind: str
    books: tuple[str, ...] = ()
    entry: int | None = None
    given: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, kw_only=True)
class Ready:
    """What was typed, as drafts; `heard` holds how each was read."""

    drafts: tuple[Draft, ...]
    heard: tuple[Heard, ...]
    per_book: tuple[str, ...] = ()
    """Names of what differs from book to book."""

    def placed(self, problems: tuple[Problem, ...]) -> tuple[Problem, ...]:
        """Problems of the act, each at the input it is about."""
        if len(self.drafts) == 1:
            return self.heard[0].placed(problems)
        return tuple(dict.fromkeys(self._placed(each) for each in problems))

    def _placed(self, problem: Problem) -> Problem:
        _, number, path = (*problem.field.split(".", 2), "", "")[:3]
        if not number.isdecimal():
            return problem
        return _moved(replace(problem, field=self.heard[int(number)].place_of(path)), int(number), self.per_book)


@dataclass(frozen=True, kw_only=True)
class Task:
    """One form with what it is for."""

    asked: Asked
    form: Form
    looks: tuple[BookLook, ...] = ()
    target: Entry | None = None
    """The entry that is mended."""
    initial: Typed = field(default_factory=dict)
    fixed: Mapping[str, Plain] = field(default_factory=dict)
    """Values that nobody types."""
    tool: Tool | None = None
    """The press or tool of the load that this tells of."""

    @property
    def kind(self) -> type[Event]:
        """The kind that is written."""
        return KINDS[self.asked.kind]

    @property
    def per_book(self) -> tuple[str, ...]:
        """What differs from book to book; nothing where there is but one."""
        return PER_BOOK.get(self.asked.kind, ()) if len(self.looks) > 1 else ()

    @property
    def common(self) -> Form:
        """The form without what differs from book to book."""
        return replace(self.form, parts=tuple(without(self.form.parts, self.per_book)))

    def own_form(self, number: int) -> Form:
        """The form of one of several books, with what is known of it."""
        book = self.looks[number].book
        parts = with_options(self.form.parts, known_of(book, {}))
        return replace(self.form, parts=parts, taken=taken_by(book), seen=seen_before(book))

    def ready(self, ledger: Ledger, typed: Typed, habits: Habits) -> Ready:
        """The drafts that were typed in.

        Raises: InvalidError with every problem, each at its input.
        """
        if not self.per_book:
            return self._alike(ledger, typed, habits)
        heard: list[Heard] = []
        drafts: list[Draft] = []
        problems: list[Problem] = []
        for number, look in enumerate(self.looks):
            form = self.own_form(number)
            plain, one = form.heard(_of_book(typed, number, self.per_book), habits)
            heard.append(one)
            try:
                drafts.append(Draft(event=form.event({**plain, **self.fixed}, one, ledger.codec), book=look.row.book))
            except InvalidError as error:
                problems += (_moved(each, number, self.per_book) for each in error.problems)
        own = {of_name(at, name) for at, one in enumerate(heard) for name in one.names if _own(name, self.per_book)}
        problems += strangers(typed, heard[0].names | own)
        if problems:
            raise InvalidError(problems=tuple(dict.fromkeys(problems)))
        return Ready(drafts=tuple(drafts), heard=tuple(heard), per_book=self.per_book)

    def _alike(self, ledger: Ledger, typed: Typed, habits: Habits) -> Ready:
        plain, heard = self.form.heard(typed, habits)
        heard.problems += strangers(typed, heard.names)
        event = self.form.event({**plain, **self.fixed}, heard, ledger.codec)
        drafts = [Draft(event=event, book=look.row.book) for look in self.looks]
        target = self.target.book if self.target else None
        drafts = drafts or [Draft(event=event, book=target)]
        return Ready(drafts=tuple(drafts), heard=(heard,) * len(drafts))

    def heard(self, typed: Typed, habits: Habits) -> tuple[Heard, ...]:
        """How each field was read, for showing the form again."""
        if not self.per_book:
            return (self.form.heard(typed, habits)[1],)
        numbers = range(len(self.looks))
        return tuple(self.own_form(each).heard(_of_book(typed, each, self.per_book), habits)[1] for each in numbers)


def of_name(number: int, name: str) -> str:
    """The name of an input that one of several books has for itself."""
    return f"of.{number}.{name}"


def book_task(ledger: Ledger, actor: Actor, asked: Asked, habits: Habits) -> Task:
    """The form of a kind for these books, or for the collection where none is named.

    Raises: NotFoundError for a kind or a book that there is not.
    """
    kind = KINDS.get(asked.kind)
    if kind is None or asked.kind in WRITTEN_ELSEWHERE or (not asked.books and kind.scope is Scope.BOOK):
        raise NotFoundError(what="form for the kind", name=asked.kind)
    if asked.books and kind.scope is Scope.COLLECTION:
        raise NotFoundError(what="form about a book for the kind", name=asked.kind)
    looks = tuple(look_at(ledger, actor, book) for book in dict.fromkeys(asked.books))
    book = looks[0].book if len(looks) == 1 else None
    known = known_of(book, _rooms(ledger), looks[0].moments if book else ())
    form = replace(form_of(asked.kind, known=known, taken=taken_by(book)), seen=seen_before(book))
    form = the_same_copy(ledger, form, looks[0].row) if asked.kind == "withdrawal" and looks else form
    start = start_of(asked.kind, [look.book for look in looks], _given(asked, form), habits) | _stated(ledger, asked)
    typed = form.inputs(start, habits)
    initial = {name: values for name, values in typed.items() if name.partition(".")[0] in start}
    initial |= {name: (asked.given[name],) for name, _ in leaves(form.parts) if "." in name and name in asked.given}
    return Task(asked=asked, form=form, looks=looks, initial=initial)


def _given(asked: Asked, form: Form) -> dict[str, str]:
    """What the address gives for fields of this form."""
    names = {name for name, _ in leaves(form.parts) if "." not in name}
    return {name: value for name, value in asked.given.items() if name in names}


def _rooms(ledger: Ledger) -> Mapping[str, int]:
    with ledger.log.read() as reader:
        return fold_collection(ledger.collection, history(reader.of_collection(), ledger.codec)).rooms


def _stated(ledger: Ledger, asked: Asked) -> dict[str, Plain]:
    """A room as it was stated last, for it is always stated whole."""
    seq = _rooms(ledger).get(asked.given.get("room", "")) if asked.kind == "room" else None
    if seq is None:
        return {}
    with ledger.log.read() as reader:
        moments = history(reader.of_collection(), ledger.codec)
    event = next(each.event for each in moments if each.entry.seq == seq)
    body, values = ledger.codec.split(event)
    return {**body, **values}


def _of_book(typed: Typed, number: int, per_book: tuple[str, ...]) -> Typed:
    """What was typed for all the books and for one of them; a group of which nothing was typed for it is left out."""
    at = of_name(number, "")
    own = {name.removeprefix(at): values for name, values in typed.items() if name.startswith(at)}
    shared = {name: values for name, values in typed.items() if not name.startswith("of.")}
    for head in {name.partition(".")[0] for name in per_book if "." in name}:
        if not any(value.strip() for name, values in own.items() if name.startswith(f"{head}.") for value in values):
            shared = {name: values for name, values in shared.items() if not name.startswith(f"{head}.")}
    return {**shared, **own}


def _moved(problem: Problem, number: int, per_book: tuple[str, ...]) -> Problem:
    """A problem at the input this book has for itself; one with a whole group, at the first input of it."""
    if _own(problem.field, per_book):
        return replace(problem, field=of_name(number, problem.field))
    own = next((each for each in per_book if problem.field and each.startswith(f"{problem.field}.")), None)
    return problem if own is None else replace(problem, field=of_name(number, own))


def _own(name: str, per_book: tuple[str, ...]) -> bool:
    """An input that each of several books has for itself, or one within it."""
    return any(f"{name.partition(':')[0]}.".startswith(f"{each}.") for each in per_book)
