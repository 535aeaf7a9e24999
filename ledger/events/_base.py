"""What every event kind has: its words, the rules it must keep, what it changes, and one line that tells it."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, fields, is_dataclass, replace
from datetime import datetime
from enum import StrEnum
from typing import TYPE_CHECKING, Any, ClassVar, Self

from ledger.errors import InvalidError, Problem
from ledger.money import Money
from ledger.proof.canonical import Plain
from ledger.sealed import Sealed
from ledger.when import When

if TYPE_CHECKING:
    from ledger.book import Book
    from ledger.collection import Collection
    from ledger.entry import Entry

type_of_upcasters = Mapping[int, Callable[[dict[str, Plain]], dict[str, Plain]]]


FIRST_VISIBLE = 0x20
DELETE = 0x7F


class Lane(StrEnum):
    """The lane of a book's page in which a kind is told."""

    CUSTODY = "custody"
    CONDITION = "condition"
    WORK = "work"
    CARE = "care"
    PAPERS = "papers"


class Scope(StrEnum):
    """What a kind speaks of: one book, the collection itself, or either."""

    BOOK = "book"
    COLLECTION = "collection"
    EITHER = "either"


@dataclass(frozen=True, kw_only=True)
class At:
    """Where an event stands: its entry's number, when it was recorded and the first digits of its leaf."""

    seq: int
    recorded: datetime
    leaf: str = ""


def fact(title: str, description: str = "", *, default: Any = ..., **more: Any) -> Any:  # noqa: ANN401
    """A plain field of an event: its title, what it means with units, and limits a schema reader understands."""
    return field(**_default(default), metadata=_metadata(title, description, more))


def sealed(title: str, description: str = "", *, shown: bool = False, **more: Any) -> Any:  # noqa: ANN401
    """A sealed field of an event, closed in a disclosure record unless it is `shown` there by default."""
    more["json_schema_extra"] = {**more.get("json_schema_extra", {}), "sealed": True, "shown": shown}
    return field(default_factory=Sealed, metadata=_metadata(title, description, more))


def measure(title: str, unit: str, description: str = "", *, default: Any = None, **more: Any) -> Any:  # noqa: ANN401
    """A measured decimal, kept as the text that was read off: up to six digits, up to three after the point."""
    more["json_schema_extra"] = {**more.get("json_schema_extra", {}), "unit": unit}
    words = f"{description} Units: {unit}, a decimal as text.".strip()
    return fact(title, words, default=default, pattern=r"^(0|[1-9]\d{0,5})(\.\d{1,3})?$", **more)


def text(title: str, description: str = "", *, most: int = 200, **more: Any) -> Any:  # noqa: ANN401
    """A short open text that is not blank; nothing that names a person, a place or a sum belongs in one."""
    return fact(title, description, min_length=1, max_length=most, pattern=r"\S", **more)


def _default(default: Any) -> dict[str, Any]:  # noqa: ANN401
    return {} if default is ... else {"default": default}


def _metadata(title: str, description: str, more: dict[str, Any]) -> dict[str, Any]:
    return {"title": title, **({"description": description} if description else {}), **more}


@dataclass(frozen=True, kw_only=True)
class Event:
    """One thing that happened to a book or to the collection; its entry in the ledger says when it was written down.

    Keeps: `flaws`, `check`, `doubts`, `apply` and `summary` never change what they are given. `check`, `doubts`, `apply`
    and `summary` never need a sealed value. `apply` never refuses: whether an event may stand is for `check`.
    """

    __pydantic_config__: ClassVar[dict[str, Any]] = {"extra": "forbid"}

    kind: ClassVar[str]
    v: ClassVar[int] = 1
    title: ClassVar[str]
    lane: ClassVar[Lane]
    scope: ClassVar[Scope] = Scope.BOOK
    needs_held: ClassVar[bool] = False
    """The book must be in the collection, so it cannot come before the purchase."""
    after_sale: ClassVar[bool] = False
    """May be written for a book that has left the collection."""
    as_recorded: ClassVar[bool] = False
    """It counts from the place where it was written down, whatever date it gives."""
    upcasters: ClassVar[type_of_upcasters] = {}

    on: When | None = fact(
        "Happened",
        "When it happened: EDTF year, month, day, decade, interval, or date-time with offset; null is not known.",
        default=None,
    )

    @property
    def on_as_written(self) -> str | None:
        """When it happened, in the text that its entry has for it."""
        return None if self.on is None else str(self.on)

    def flaws(self) -> Iterator[Problem]:
        """What is wrong with the event by itself, whatever the book; sealed values are at hand here."""
        for name, held in self._held():
            if isinstance(held, Money) and held.minor < 0:
                title = next(each.metadata.get("title", name) for each in fields(self) if each.name == name)
                yield Problem(field=name, sentence=f"{title} is below zero. Write what was paid, as zero or more.")

    def all_flaws(self) -> list[Problem]:
        """What `flaws` says and, of fields it says nothing of, texts that are blank or cannot be kept."""
        found = list(self.flaws())
        told = {problem.field for problem in found}
        texts = (problem for name, held in self._held() for problem in _text_flaws(name, held))
        return found + [problem for problem in texts if problem.field not in told]

    def _held(self) -> Iterator[tuple[str, object]]:
        """What its fields hold, sealed ones too, those that hold nothing left out."""
        for name in _parts(type(self)):
            if (held := _at_hand(getattr(self, name))) is not None:
                yield name, held

    def check(self, book: "Book") -> Iterator[Problem]:
        """The numbered rules this event breaks on that book."""
        yield from ()

    def doubts(self, book: "Book") -> Iterator[Problem]:
        """What is odd about it on that book, though it may stand; whoever writes it is warned."""
        yield from ()

    def apply(self, book: "Book", at: At) -> "Book":
        """The book after this event."""
        return book

    def check_collection(self, collection: "Collection") -> Iterator[Problem]:
        """The numbered rules this event breaks on the collection itself."""
        yield from ()

    def apply_collection(self, collection: "Collection", at: At) -> "Collection":
        """The collection after this event."""
        return collection

    def complete(self, entries: "Sequence[Entry]") -> Self:
        """The event with what the book's own entries tell filled in."""
        return self

    def summary(self) -> str:
        """One line that tells it without any sealed value."""
        return self.title

    def sealed_fields(self) -> dict[str, Sealed[Any]]:
        """Every sealed field by name, empty ones too."""
        return {name: getattr(self, name) for name in sealed_names(type(self))}

    def shown_fields(self) -> frozenset[str]:
        """Names of the sealed fields that a record shows unless its maker says otherwise."""
        return shown_names(type(self))

    def with_sealed(self, values: Mapping[str, Sealed[Any]]) -> Self:
        """The event with these sealed fields in place.

        Raises: InvalidError for a name that is none of them.
        """
        changed: dict[str, Any] = dict(values)
        if others := sorted(changed.keys() - set(sealed_names(type(self)))):
            raise InvalidError(
                problems=tuple(Problem(field=n, sentence=f"{self.kind} has no sealed field {n}.") for n in others)
            )
        return replace(self, **changed)

    def open_form(self) -> Self:
        """The event as its open body says it."""
        return self

    def rule(self, number: int, sentence: str, field: str = "", entries: Sequence[int] = ()) -> Problem:
        """A broken rule of this kind, by its number."""
        return Problem(field=field, sentence=sentence, rule=f"{self.kind}.{number}", entries=tuple(entries))


def _at_hand(value: object) -> object:
    return value.value if isinstance(value, Sealed) else value


def _text_flaws(path: str, value: object) -> Iterator[Problem]:
    """Texts that are blank, or hold a character nobody can see and some stores cannot keep."""
    if isinstance(value, str):
        # Most are short words in order; whether one is blank or not to be kept is asked of the others.
        if not value.isalnum():
            yield from _of_text(path, value)
    elif isinstance(value, tuple | list):
        for place, each in enumerate(value):
            yield from _text_flaws(f"{path}.{place}", each)
    elif names := _parts(type(value)):
        for name in names:
            if (part := getattr(value, name)) is not None:
                yield from _text_flaws(f"{path}.{name}", part)
    elif isinstance(value, Mapping):
        for name, each in value.items():
            yield from _text_flaws(f"{path}.{name}", _at_hand(each))


def _of_text(path: str, text: str) -> Iterator[Problem]:
    if not text.strip():
        yield Problem(field=path, sentence=f"{path} is blank. Write something, or leave it out.")
    elif not text.isprintable() and any(map(_is_control, text)):
        yield Problem(field=path, sentence=f"{path} holds a control character. Type it again without.")


_PARTS: dict[type, tuple[str, ...]] = {}


def _parts(kind: type) -> tuple[str, ...]:
    """The names of what a dataclass is made of, of any other type none; looked up once."""
    found = _PARTS.get(kind)
    if found is None:
        found = _PARTS[kind] = tuple(each.name for each in fields(kind)) if is_dataclass(kind) else ()
    return found


def _is_control(sign: str) -> bool:
    return (ord(sign) < FIRST_VISIBLE and sign not in "\n\t") or ord(sign) == DELETE


def with_article(kind: str) -> str:
    """The name of a kind as a sentence takes it up."""
    return f"{'an' if kind[0] in 'aeiou' else 'a'} {kind}"


def is_sealed(each: Any) -> bool:  # noqa: ANN401
    """Whether a dataclass field is a sealed one."""
    return bool(each.metadata.get("json_schema_extra", {}).get("sealed"))


_SEALED: dict[type[Event], tuple[str, ...]] = {}


def sealed_names(kind: type[Event]) -> tuple[str, ...]:
    """The sealed fields of a kind, in their order; looked up once."""
    found = _SEALED.get(kind)
    if found is None:
        found = _SEALED[kind] = tuple(each.name for each in fields(kind) if is_sealed(each))
    return found


def shown_names(kind: type[Event]) -> frozenset[str]:
    """The sealed fields of a kind that a record shows by default."""
    shown = (each for each in fields(kind) if is_sealed(each) and each.metadata["json_schema_extra"]["shown"])
    return frozenset(each.name for each in shown)


@dataclass(frozen=True, kw_only=True)
class NotUnderstood(Event):
    """An entry of a kind or version this program does not know; it still verifies and is shown as such."""

    kind: ClassVar[str] = "not-understood"
    title: ClassVar[str] = "Not understood"
    lane: ClassVar[Lane] = Lane.PAPERS
    scope: ClassVar[Scope] = Scope.EITHER
    after_sale: ClassVar[bool] = True

    wire_kind: str = fact("Kind")
    version: int = fact("Version")
    body: Mapping[str, Any] = field(default_factory=dict)
    sealed: Mapping[str, Sealed[Any]] = field(default_factory=dict)
    date: str | None = None
    """When it happened as its entry says it, which may be more than this program can read as a date."""

    @property
    def on_as_written(self) -> str | None:
        """When it happened, in the text that its entry has for it."""
        return self.date

    def sealed_fields(self) -> dict[str, Sealed[Any]]:
        """Every sealed field that came with it."""
        return dict(self.sealed)

    def with_sealed(self, values: Mapping[str, Sealed[Any]]) -> Self:
        """The same entry with what is open of it."""
        return replace(self, sealed=dict(values))

    def summary(self) -> str:
        """That a newer program wrote it."""
        return f"Not understood: {self.wire_kind}, version {self.version}; a newer program wrote it"
