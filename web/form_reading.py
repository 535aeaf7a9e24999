"""A whole form, read: plain data for an event out of what was typed, every problem at its field, nothing typed lost."""

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Final, cast

from ledger.errors import Problem
from ledger.proof.canonical import Plain
from web.form_fields import Group, Leaf, Part, Rows, Way, leaves
from web.form_kinds import FILLS
from web.form_values import ABSENT, Answer, Habits, understood
from web.wording import t

__all__ = ["AS", "TO", "Heard", "Typed", "input_names", "numbers", "read_parts"]

AS: Final = ":as"
"""Behind the name of a field: in which of several ways it is to be read."""
TO: Final = ":to"
"""Behind the name of a span: its upper end."""

Typed = Mapping[str, tuple[str, ...]]
"""What was typed, exactly so, by the name of the input; names of boxes that were ticked have several values."""


@dataclass(kw_only=True)
class Heard:
    """What came of reading a form.

    `answers` holds how each input was read, `blocks` the names of groups and rows, `places` where a path of the
    event differs from the name of its input, because rows that stayed blank were left out.
    """

    habits: Habits
    taken: Mapping[str, frozenset[str]] = field(default_factory=dict)
    """Ids in use before this form, by the class that has them."""
    seen: Mapping[str, Mapping[str, Mapping[str, str]]] = field(default_factory=dict)
    """What is known of each of these ids, as it would be typed: class -> id -> field -> words."""
    answers: dict[str, Answer] = field(default_factory=dict)
    blocks: dict[str, str] = field(default_factory=dict)
    """Name of a group or rows -> the first input in it."""
    places: dict[str, str] = field(default_factory=dict)
    names: set[str] = field(default_factory=set)
    """Every input this form has."""
    problems: list[Problem] = field(default_factory=list)

    def place_of(self, path: str) -> str:
        """The input, or the block, where a problem with that path of the event is told; empty for the whole form."""
        for cut in range(len(path.split(".")), 0, -1):
            head, tail = path.split(".")[:cut], path.split(".")[cut:]
            moved = self.places.get(".".join(head))
            if moved is not None:
                path = ".".join([moved, *tail])
                break
        while path and path not in self.answers and path not in self.blocks:
            path = path.rpartition(".")[0]
        return path

    def placed(self, problems: Sequence[Problem]) -> tuple[Problem, ...]:
        """Problems with the event, each at the input it is about."""
        return tuple(replace(each, field=self.place_of(each.field)) for each in problems)

    @property
    def habits_chosen(self) -> dict[str, str]:
        """Ways of reading that were chosen in this form: marks, date_order."""
        return dict(answer.habit for answer in self.answers.values() if answer.habit[0])


def read_parts(parts: Sequence[Part], typed: Typed, heard: Heard, at: str = "") -> dict[str, Plain]:
    """The values of the parts, by their names; what was left blank is not among them."""
    said: dict[str, Plain] = {}
    for part in parts:
        name = f"{at}{part.name}"
        match part:
            case Leaf():
                found = _leaf(part, name, typed, heard)
                if found is not ABSENT:
                    said[part.name] = cast("Plain", found)
            case Group():
                group = _group(part, name, typed, heard)
                if group is not None:
                    said[part.name] = group
            case Rows():
                rows = _rows(part, name, typed, heard)
                if rows:
                    said[part.name] = cast("Plain", rows)
    return said


def numbers(name: str, typed: Typed) -> int:
    """How many rows were sent."""
    found = re.compile(rf"{re.escape(name)}\.(0|[1-9][0-9]{{0,3}})\.")
    sent = {int(match[1]) for each in typed if (match := found.match(each))}
    return len(sent)


def input_names(parts: Sequence[Part], typed: Typed, at: str = "") -> Iterator[tuple[str, Leaf]]:
    """Every input of a form, those of the rows that were sent among them."""
    for part in parts:
        name = f"{at}{part.name}"
        if isinstance(part, Leaf):
            yield name, part
        elif isinstance(part, Group):
            yield from input_names(part.parts, typed, f"{name}.")
        else:
            for number in range(numbers(name, typed)):
                yield from input_names(part.row.parts, typed, f"{name}.{number}.")


def _leaf(leaf: Leaf, name: str, typed: Typed, heard: Heard) -> object:
    heard.names |= {name, f"{name}{AS}", f"{name}{TO}"}
    values = typed.get(name, ())
    if leaf.way is Way.SPAN:
        values = (*values[:1], *typed.get(f"{name}{TO}", ())[:1])
    answer = understood(leaf, values, "".join(typed.get(f"{name}{AS}", ())[:1]), heard.habits)
    heard.answers[name] = answer
    if answer.fault:
        heard.problems.append(Problem(field=name, sentence=answer.fault))
    return answer.plain


def _group(group: Group, name: str, typed: Typed, heard: Heard) -> dict[str, Plain] | None:
    """The values of a group; None where it may be left out and nothing was typed into it."""
    heard.blocks[name] = next((f"{name}.{each}" for each, _ in leaves(group.parts)), name)
    before = len(heard.problems)
    said = read_parts(group.parts, typed, heard, f"{name}.")
    if group.optional and _is_blank(group.parts, typed, f"{name}."):
        del heard.problems[before:]
        for each in [each for each in heard.answers if each.startswith(f"{name}.")]:
            heard.answers[each] = Answer()
        return None
    if group.of in FILLS:
        FILLS[group.of](cast("dict[str, object]", said), set())
    return said


def _rows(rows: Rows, name: str, typed: Typed, heard: Heard) -> list[dict[str, Plain]]:
    heard.blocks[name] = name
    made: list[dict[str, Plain]] = []
    taken = set(heard.taken.get(rows.row.of, ()))
    typed = _as_seen_before(rows, name, typed, heard)
    for number in range(numbers(name, typed)):
        at = f"{name}.{number}"
        taken |= {each.strip() for each in typed.get(f"{at}.id", ())}
        row = replace(rows.row, name=str(number))
        said = _group(_unfilled(row), at, typed, heard)
        if said is None:
            continue
        heard.places[f"{name}.{len(made)}"] = at
        made.append(said)
    for said in made:
        if rows.row.of in FILLS:
            FILLS[rows.row.of](cast("dict[str, object]", said), taken)
            taken.add(str(said.get("id")))
    if rows.needed and not made and not any(each.field.startswith(name) for each in heard.problems):
        heard.problems.append(Problem(field=name, sentence=t("new_entry.needed_row")))
    return made


def _as_seen_before(rows: Rows, name: str, typed: Typed, heard: Heard) -> Typed:
    """What was typed, and where a row names an id that is known, what nobody types anew about it.

    An answer that stood there before anything was typed is none.
    """
    known = heard.seen.get(rows.row.of, {})
    stood = {leaf.name: "".join(leaf.default) for leaf in rows.row.parts if isinstance(leaf, Leaf)}
    more: dict[str, tuple[str, ...]] = {}
    for number in range(numbers(name, typed) if known else 0):
        at = f"{name}.{number}"
        of = known.get("".join(typed.get(f"{at}.id", ())).strip(), {})
        more |= {
            f"{at}.{field}": (words,)
            for field, words in of.items()
            if "".join(typed.get(f"{at}.{field}", ())) in ("", stood.get(field, ""))
        }
    return {**typed, **more}


def _unfilled(row: Group) -> Group:
    """A row is filled in only once all rows are known."""
    return replace(row, of="")


def _is_blank(parts: Sequence[Part], typed: Typed, at: str) -> bool:
    """Nothing was typed, and every answer is the one that stood there."""
    for name, leaf in input_names(parts, typed, at):
        if leaf.way is Way.GIVEN:
            continue
        values = tuple(each.strip() for each in (*typed.get(name, ()), *typed.get(f"{name}{TO}", ())) if each.strip())
        if values and values != tuple(each for each in leaf.default if each):
            return False
    return True
