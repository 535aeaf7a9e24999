"""Where the fields of a form stand: the ones that most hands need in sight, the rarer ones under lines that open."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from web.form_fields import Group, Part
from web.form_kinds import FIRST, FOLDS, OPEN_AT_FIRST, Fold
from web.form_showing import Block, Shown, View, fold_of, folds, has_words, shown, unmarked
from web.wording import t

__all__ = ["laid_out", "only", "without"]


def laid_out(kind: str, parts: Sequence[Part], view: View, at: str = "") -> tuple[Shown, ...]:
    """The parts of a kind's form, each line that opens at the place of its first field.

    A kind for which no lines are named folds its rows and what may be left out as a whole.
    """
    if kind in FIRST:
        lines = (_fold(kind, fold, parts, view, at) for fold in FOLDS[kind])
        return (*shown(tuple(only(parts, FIRST[kind])), view, at), *(line for line in lines if line.parts))
    if kind not in FOLDS:
        return tuple(fold_of(part, view, at) if folds(part) else shown([part], view, at)[0] for part in parts)
    made: list[Shown] = []
    done: set[str] = set()
    for part in parts:
        fold = next((each for each in FOLDS[kind] if part.name in each.fields), None)
        if fold is None:
            made += shown([part], view, at)
        elif fold.name not in done:
            done.add(fold.name)
            made.append(_fold(kind, fold, parts, view, at))
    return tuple(made)


def without(parts: Sequence[Part], apart: Sequence[str], at: str = "") -> Iterator[Part]:
    """The parts but for those of these paths."""
    for part in parts:
        name = f"{at}{part.name}"
        if name in apart:
            continue
        if isinstance(part, Group):
            left = tuple(without(part.parts, apart, f"{name}."))
            if left:
                yield replace(part, parts=left)
        else:
            yield part


def only(parts: Sequence[Part], names: Sequence[str]) -> Iterator[Part]:
    """The parts of these paths, in this order; one out of a group keeps its whole path as its name."""
    for name in names:
        head, _, tail = name.partition(".")
        part = next((each for each in parts if each.name == head), None)
        if isinstance(part, Group) and tail:
            inside = unmarked(part.parts) if part.optional else part.parts
            yield from (replace(each, name=f"{head}.{each.name}") for each in only(inside, [tail]))
        elif part is not None and not tail:
            yield part


def _fold(kind: str, fold: Fold, parts: Sequence[Part], view: View, at: str) -> Block:
    inner = shown(tuple(only(parts, fold.fields)), view, at)
    asked = any(view.asks_for(f"{at}{name}") for name in fold.fields)
    at_first = (kind, fold.name) in OPEN_AT_FIRST and view.heard is None
    return Block(
        way="fold",
        name=f"{at}{fold.name}:fold",
        title=t(f"new_entry.folds.{kind}.{fold.name}"),
        open=asked or at_first or has_words(inner),
        parts=_headless(inner),
    )


def _headless(parts: tuple[Shown, ...]) -> tuple[Shown, ...]:
    """A single block under a line needs no head of its own."""
    if len(parts) == 1 and isinstance(parts[0], Block):
        block = parts[0]
        return block.parts if block.way == "group" else (replace(block, title=""),)
    return parts
