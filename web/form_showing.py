"""What a template reads of a form: every field with what was typed, how it was read, and what is wrong with it."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Final

from web.arrivals import KEPT, Kept, kept_of
from web.form_fields import Group, Leaf, Option, Part, Rows, Way
from web.form_kinds import FIRST_ROWS
from web.form_reading import AS, TO, Heard, Typed, numbers
from web.form_values import GRADE
from web.wording import t

__all__ = ["Block", "Field", "Shown", "View", "fold_of", "folds", "has_words", "labels_of", "shown", "unmarked"]

SHORT: Final = frozenset({Way.WHOLE, Way.DECIMAL})
WHOLE: Final = frozenset({Way.AREA, Way.LIST})
LIVE: Final[Mapping[Way, str]] = {Way.MONEY: "money", Way.DATE: "date"}
HABITS: Final[Mapping[Way, str]] = {Way.MONEY: "marks", Way.DATE: "date_order"}


@dataclass(frozen=True, kw_only=True)
class Field:
    """One input with its label and its lines."""

    way: str
    name: str
    label: str
    unit: str = ""
    seal: str = ""
    needed: bool = False
    value: str = ""
    values: tuple[str, ...] = ()
    upper: str = ""
    """Upper end of a span."""
    options: tuple[Option, ...] = ()
    note: str = ""
    reading: str = ""
    reads: str = ""
    """What kind of reading is asked for while typing, empty for none."""
    reads_with: str = ""
    fault: str = ""
    choices: tuple[tuple[str, str], ...] = ()
    chosen: str = ""
    habit: str = ""
    """Which habit the choice could become."""
    size: str = ""
    suggest: tuple[tuple[str, str], ...] = ()
    kept: tuple[Kept, ...] = ()
    """Files that came before the form did."""
    focus: bool = False
    longest: int | None = None
    is_said: bool = False
    """Something stands in it that did not stand there at first."""
    block: bool = False

    @property
    def pairs(self) -> list[tuple[str, str]]:
        """What there is to choose from: as it is sent, and in words."""
        return [(each.value, each.words) for each in self.options]


@dataclass(frozen=True, kw_only=True)
class Block:
    """Fields under one head: a group, a row, rows of a kind, or what lies under one line that opens."""

    way: str
    """group, rows, row or fold; each for a row of every known thing, one for such a row"""
    name: str
    title: str
    note: str = ""
    seal: str = ""
    now: str = ""
    """What is said of it while it is closed."""
    fault: str = ""
    open: bool = False
    parts: "tuple[Shown, ...]" = ()
    block: bool = True


Shown = Field | Block


@dataclass(frozen=True, kw_only=True)
class View:
    """By what a form is shown: what was typed, what came of reading it, and the faults by input or block."""

    typed: Typed
    heard: Heard | None = None
    faults: Mapping[str, str] = field(default_factory=dict)
    more: str = ""
    """Rows that get one more."""
    notes: Mapping[str, str] = field(default_factory=dict)
    """What is said below a field instead of its own note."""
    labels: Mapping[str, str] = field(default_factory=dict)
    """What a field is called here instead of its own title."""
    readings: Mapping[str, str] = field(default_factory=dict)
    """What the collection says of what was typed."""
    live: Mapping[str, tuple[str, str]] = field(default_factory=dict)
    """Readings that are asked for while typing, beside those of amounts, dates and grades; and with which other field."""
    focus: str = ""
    """The input in which typing begins."""

    def value(self, name: str, leaf: Leaf) -> tuple[str, ...]:
        """What stands in an input: as typed, or as it stood there at first; boxes not ticked are not sent at all."""
        if name in self.typed:
            return self.typed[name]
        return () if self.heard is not None and name in self.heard.names else leaf.default

    def asks_for(self, name: str) -> bool:
        """Something at this place, or inside it, needs to be seen."""
        return self.more == name or any(each == name or each.startswith(f"{name}.") for each in self.faults)


def shown(parts: Sequence[Part], view: View, at: str = "") -> tuple[Shown, ...]:
    """The parts in their order, groups and rows as blocks."""
    return tuple(_shown(part, view, at) for part in parts)


def folds(part: Part) -> bool:
    """It lies under a line that opens, where nothing else is said."""
    return isinstance(part, Rows) or (isinstance(part, Group) and part.optional)


def fold_of(part: Part, view: View, at: str) -> Block:
    """A group or rows under a line of their own name."""
    block = _shown(part, view, at)
    assert isinstance(block, Block)
    inner = block.parts if block.way == "group" else (replace(block, title="", note="", fault=block.fault),)
    is_open = view.asks_for(block.name) or has_words(block.parts)
    return Block(way="fold", name=f"{block.name}:fold", title=block.title, now=block.note, open=is_open, parts=inner)


def unmarked(parts: Sequence[Part]) -> tuple[Part, ...]:
    """The fields of what may be left out as a whole: none of them is marked as needed."""
    return tuple(
        replace(each, needed=False)
        if isinstance(each, Leaf)
        else replace(each, parts=unmarked(each.parts))
        if isinstance(each, Group)
        else each
        for each in parts
    )


def has_words(parts: Sequence[Shown]) -> bool:
    """Something was typed in there."""
    return any(has_words(part.parts) if isinstance(part, Block) else part.is_said for part in parts)


def labels_of(parts: Sequence[Shown]) -> dict[str, str]:
    """What every field and block is called, by its name."""
    named: dict[str, str] = {}
    for part in parts:
        if isinstance(part, Field):
            named[part.name] = part.label
        else:
            named |= {part.name: part.title, **labels_of(part.parts)} if part.way != "fold" else labels_of(part.parts)
    return named


def _shown(part: Part, view: View, at: str) -> Shown:
    name = f"{at}{part.name}"
    if isinstance(part, Leaf):
        return _field(part, name, view)
    if isinstance(part, Group):
        inside = part.parts if not part.optional else unmarked(part.parts)
        inner, fault = shown(inside, view, f"{name}."), view.faults.get(name, "")
        return Block(way="group", name=name, title=part.title, note=part.note, fault=fault, parts=inner)
    return _rows(part, name, view) if part.each is None else _each(part, part.each, name, view)


def _each(rows: Rows, each: Sequence[Option], name: str, view: View) -> Block:
    """A row for each thing that is known; what was typed stays under the number it was sent with."""
    sent = numbers(name, view.typed)
    at = {"".join(view.typed.get(f"{name}.{number}.id", ())[:1]).strip(): number for number in range(sent)}
    fresh = iter(range(sent, sent + len(each)))
    known = [(one.value, one.words) for one in each]
    others = [(one, one) for one in at if one and one not in dict(known)]
    return Block(
        way="each",
        name=name,
        title=rows.title,
        note=rows.note,
        fault=view.faults.get(name, ""),
        parts=tuple(
            _one_of(rows, f"{name}.{at[value] if value in at else next(fresh)}", value, words, view)
            for value, words in [*known, *others]
        ),
    )


def _one_of(rows: Rows, name: str, value: str, words: str, view: View) -> Block:
    given, asked = rows.row.parts
    assert isinstance(given, Leaf)
    assert isinstance(asked, Leaf)
    hidden = replace(_field(given, f"{name}.{given.name}", view), value=value, is_said=False)
    fault = view.faults.get(name, "") or hidden.fault
    choice = replace(_field(asked, f"{name}.{asked.name}", view), label=words)
    choice = replace(choice, fault=" ".join(filter(None, (fault, choice.fault))))
    return Block(way="one", name=name, title=words, parts=(hidden, choice))


def _rows(rows: Rows, name: str, view: View) -> Block:
    count = (numbers(name, view.typed) or FIRST_ROWS.get(rows.row.of, 1)) + (view.more == name)
    return Block(
        way="rows",
        name=name,
        title=rows.title,
        note=rows.note,
        seal=rows.seal.value,
        fault=view.faults.get(name, ""),
        parts=tuple(_row(rows, name, number, view) for number in range(count)),
    )


def _row(rows: Rows, name: str, number: int, view: View) -> Block:
    at = f"{name}.{number}"
    inside = rows.row.parts if rows.needed and number == 0 else unmarked(rows.row.parts)
    parts = (fold_of(part, view, f"{at}.") if folds(part) else _shown(part, view, f"{at}.") for part in inside)
    title = t("new_entry.row", title=rows.row.title, number=number + 1)
    return Block(way="row", name=at, title=title, fault=view.faults.get(at, ""), parts=tuple(parts))


def _field(leaf: Leaf, name: str, view: View) -> Field:
    values = tuple(view.value(name, leaf))
    upper = "".join(view.typed.get(f"{name}{TO}", ())[:1])
    answer = view.heard.answers.get(name) if view.heard else None
    choices = answer.choices if answer else ()
    reads, reads_with = view.live.get(name, ("grade" if leaf.name.endswith(GRADE) else LIVE.get(leaf.way, ""), ""))
    came = kept_of(view.typed, f"{name.removesuffix(leaf.name)}{KEPT}") if leaf.way is Way.FILE else ()
    return Field(
        kept=came,
        way=leaf.way.value,
        name=name,
        label=view.labels.get(name, leaf.title),
        unit=leaf.unit,
        seal=leaf.seal.value,
        needed=leaf.needed,
        value=values[0] if values else "",
        values=values,
        upper=upper,
        options=leaf.options,
        note=view.notes.get(name, leaf.note),
        reading=view.readings.get(name, answer.said if answer else ""),
        reads=reads,
        reads_with=reads_with,
        fault=view.faults.get(name, ""),
        choices=choices,
        chosen=_chosen(name, choices, view),
        habit=HABITS.get(leaf.way, ""),
        size=leaf.size or ("short" if leaf.way in SHORT else "whole" if leaf.way in WHOLE else ""),
        suggest=leaf.suggest,
        focus=name == view.focus,
        longest=leaf.limits.get("max_length"),
        is_said=tuple(filter(None, (*values, upper))) != tuple(filter(None, leaf.default)),
    )


def _chosen(name: str, choices: Sequence[tuple[str, str]], view: View) -> str:
    """The choice that was made; the only one there is stands ready."""
    picked = "".join(view.typed.get(f"{name}{AS}", ())[:1])
    known = [value for value, _ in choices]
    return picked if picked in known else known[0] if len(known) == 1 else ""
