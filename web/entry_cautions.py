"""Cautions for hands, eyes and lungs where a step is entered, and what the table says of the technique that was chosen."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Final

from ledger.rules.cautions import Caution, caution
from ledger.rules.headings import Heading
from ledger.rules.techniques import Technique, techniques
from web.form_kinds import words_of
from web.forms import Typed
from web.wording import t

__all__ = ["TableSays", "Warned", "table_says", "warned"]

CAUTIONS: Final[Mapping[str, tuple[str, ...]]] = {
    "intervention": ("hot-tool", "solvent", "mould", "blades", "lifting"),
    "opening": ("blades",),
    "placement": ("lifting",),
    "examination": ("mould",),
}
"""What can happen to hands at each kind of step."""

ALWAYS: Final = frozenset({"opening", "placement"})
"""Kinds at which the caution always holds; at the others it depends on what is done."""


@dataclass(frozen=True, kw_only=True)
class Warned:
    """One caution, in sight where it surely holds."""

    title: str
    text: str
    open: bool


@dataclass(frozen=True, kw_only=True)
class TableSays:
    """A technique as its row has it."""

    title: str
    heading: Heading
    facts: tuple[tuple[str, str], ...]


def warned(kind: str, typed: Typed, known: Iterable[str] = ()) -> tuple[Warned, ...]:
    """The cautions of a kind, the one that surely holds first; `known` are types of defects the book has already."""
    technique = _technique(kind, typed)
    held = technique.caution.key if technique is not None and technique.caution is not None else ""
    typed_here = any(values[:1] == ("mould",) for name, values in typed.items() if name.endswith(".type"))
    moulds = typed_here or "mould" in known
    sure = {held, "mould" if moulds else ""} | (set(CAUTIONS[kind]) if kind in ALWAYS else set())
    made = [_warned(caution(key), is_open=key in sure) for key in CAUTIONS.get(kind, ())]
    return tuple(sorted(made, key=lambda each: not each.open))


def table_says(kind: str, typed: Typed) -> TableSays | None:
    """What the table says of the technique that was chosen in the form of a step."""
    of = _technique(kind, typed)
    if of is None:
        return None
    facts = (
        (t("new_entry.technique.adds"), words_of(of.adds)),
        (t("new_entry.technique.removes"), words_of(of.removes_original)),
        (t("new_entry.technique.alters"), words_of(of.alters)),
        (t("new_entry.technique.reversible"), of.reversible),
        (t("new_entry.technique.detectable"), of.detectable_by),
        (t("new_entry.technique.side_effects"), of.side_effects),
        (t("new_entry.technique.record"), of.record),
    )
    return TableSays(title=of.title, heading=of.heading, facts=facts)


def _technique(kind: str, typed: Typed) -> Technique | None:
    name = "".join(typed.get("technique", ())[:1]) if kind == "intervention" else ""
    return next((each for each in techniques() if each.id == name), None)


def _warned(of: Caution, *, is_open: bool) -> Warned:
    return Warned(title=of.title, text=of.text, open=is_open)
