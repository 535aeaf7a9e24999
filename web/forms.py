"""Forms: event class -> fields -> what was typed -> event, with every problem back beside its field.

An input is named by the path of its field (`issue.title`, `defects.0.size_mm`), so a problem finds its own way back.
"""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Final, cast

from ledger.accounts import Preferences
from ledger.errors import InvalidError, Problem
from ledger.events import KINDS, Event
from ledger.ports import Clock, Codec
from ledger.proof.canonical import Plain
from web.form_fields import Part, with_options
from web.form_inputs import inputs_of
from web.form_kinds import FILLS
from web.form_layout import laid_out
from web.form_parts import parts_of
from web.form_reading import Heard, Typed, read_parts
from web.form_showing import Shown, View
from web.form_values import Habits
from web.posted import Posted
from web.wording import t

__all__ = ["CONTROLS", "Form", "Heard", "Typed", "form_of", "habits_of", "strangers", "typed_in"]

CONTROLS: Final = frozenset({"do", "key", "remember", "waiting"})
"""Names in a form that are no field of an event."""


@dataclass(frozen=True, kw_only=True)
class Form:
    """The form of one kind; `at` stands before every name where the form lies within another."""

    kind: str
    parts: tuple[Part, ...]
    at: str = ""
    taken: Mapping[str, frozenset[str]] = field(default_factory=dict)
    """Ids that are in use already, by the class that has them."""
    seen: Mapping[str, Mapping[str, Mapping[str, str]]] = field(default_factory=dict)
    """What is known of these ids, as it would be typed."""

    def heard(self, typed: Typed, habits: Habits) -> tuple[dict[str, Plain], Heard]:
        """The values that were typed, and what came of reading them."""
        heard = Heard(habits=habits, taken=self.taken, seen=self.seen)
        plain = read_parts(self.parts, typed, heard, self.at)
        FILLS.get(KINDS[self.kind].__name__, _as_it_is)(cast("dict[str, object]", plain), set())
        return plain, heard

    def event(self, plain: Mapping[str, Plain], heard: Heard, codec: Codec) -> Event:
        """The event that was typed in.

        Raises: InvalidError with every problem, each at its input.
        """
        if heard.problems:
            raise InvalidError(problems=tuple(heard.problems))
        try:
            return codec.read(self.kind, plain)
        except InvalidError as error:
            raise InvalidError(problems=heard.placed(error.problems)) from error

    def shown(self, view: View) -> tuple[Shown, ...]:
        """The fields as a template reads them."""
        return laid_out(self.kind, self.parts, view, self.at)

    def inputs(self, plain: Mapping[str, Plain], habits: Habits) -> dict[str, tuple[str, ...]]:
        """What would have to be typed for these values."""
        return inputs_of(self.parts, plain, habits, self.at)


def form_of(
    kind: str,
    *,
    at: str = "",
    known: Mapping[str, Sequence[tuple[str, str]]] | None = None,
    taken: Mapping[str, frozenset[str]] | None = None,
) -> Form:
    """The form of a kind; `known` is what there is to choose from for this book, by the path of the field."""
    return Form(kind=kind, parts=with_options(parts_of(KINDS[kind]), known or {}), at=at, taken=taken or {})


def typed_in(posted: Posted) -> Typed:
    """What was typed, exactly so."""
    typed: dict[str, tuple[str, ...]] = {}
    for name, value in posted.fields:
        typed[name] = (*typed.get(name, ()), value)
    return typed


def _as_it_is(said: dict[str, object], taken: set[str]) -> None:
    """Nothing follows from the rest."""


def strangers(typed: Typed, known: Collection[str]) -> list[Problem]:
    """Fields that this form does not have; they were not sent by it."""
    return [
        Problem(field="", sentence=t("new_entry.stranger", name=name))
        for name in typed
        if name not in known and name not in CONTROLS
    ]


def habits_of(preferences: Preferences, clock: Clock) -> Habits:
    """By what this person's amounts and dates are read today, where the program runs."""
    return Habits(
        today=clock.today(),
        currency=preferences.currency,
        marks=preferences.marks,
        date_order=preferences.date_order,
    )
