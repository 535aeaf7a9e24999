"""What is particular to some kinds: rows of the rule tables to choose from, what folds away, what differs from book to book.

A kind that is not named here has a form all the same: every field in its order, its groups and rows folded.
"""

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import Any, Final

from ledger.events.examination import WORD
from ledger.events.ruling import NOT_EDITED
from ledger.rules._tables import table
from ledger.rules.defects import defect_types
from ledger.rules.grades import read_stated
from ledger.rules.headings import Heading
from ledger.rules.techniques import techniques

__all__ = [
    "AREAS",
    "BLANKS",
    "FILLED_IN",
    "FILLS",
    "FIRST",
    "FIRST_ROWS",
    "FOLDS",
    "OPEN_AT_FIRST",
    "PER_BOOK",
    "TABLES",
    "Fold",
    "words_of",
]

Pairs = Sequence[tuple[str, str]]

FILLED_IN: Final = frozenset({("Intervention", "table_version"), ("Correction", "of_kind"), ("Erasure", "erased")})
"""Fields that the ledger fills in by itself."""

AREAS: Final = frozenset(
    {"remark", "words", "reason", "why", "differences", "owner_words", "earlier_work_words", "service_remarks"}
)
"""Texts in which people tell something; the others are names and short words."""

BLANKS: Final[Mapping[tuple[str, str], str]] = {
    **dict.fromkeys(
        (("Intervention", name) for name in ("adds_material", "removes_original", "alters", "reversible")), "row"
    ),
    **dict.fromkeys(
        (("Intervention", "owner_heading"), ("Submission", "asks"), ("Note", "topic"), ("Custody", "to_whom")), "none"
    ),
    ("Slab", "holding"): "as_sent",
    ("Defect", "claimed_by"): "seen",
    **dict.fromkeys((("WorkedDefect", "outcome"), ("Intervention", "ended")), "not_said"),
}
"""What it means that no answer was given, where it is not that nobody knows; words in `new_entry.blank`."""

RULE_TABLES: Final = ("techniques", "defects", "ceilings", "record_levels", "worth")


def _technique_rows() -> Pairs:
    return [(each.id, each.title) for each in techniques()]


def _defect_rows() -> Pairs:
    return [(each.id, each.title) for each in defect_types() if WORD not in each.measured_by]


def _edited_tables() -> Pairs:
    return [(name, name.replace("_", " ")) for name in RULE_TABLES if name not in NOT_EDITED and table(name).rows]


TABLES: Final[Mapping[tuple[str, str], Callable[[], Pairs]]] = {
    ("Intervention", "technique"): _technique_rows,
    ("Defect", "type"): _defect_rows,
    ("Ruling", "table"): _edited_tables,
}
"""Fields that name a row of a table, with what there is to choose from."""


@dataclass(frozen=True)
class Fold:
    """What is rarely said, under one line that opens; `name` is its words in `new_entry.folds`."""

    name: str
    fields: tuple[str, ...]


_PURCHASE: Final = (
    Fold("seller", ("seller", "venue", "reason")),
    Fold("costs", ("premium", "tax", "shipping")),
    Fold("holder", ("holding", "holder_number", "expects_arrival")),
    Fold("stated", ("stated.as_written", "stated.steps", "stated_by", "stated.opinion_of", "stated.matched_by")),
    Fold("earlier", ("earlier_work", "earlier_work_words")),
    Fold("issue", ("issue.publisher", "issue.start_year", "issue.cover_date", "issue.printing", "issue.variant")),
    Fold("means", ("means", "fair_value_then")),
)

FOLDS: Final[Mapping[str, tuple[Fold, ...]]] = {
    "purchase": _PURCHASE,
    "arrival": (Fold("refund", ("refund",)),),
    "examination": (
        Fold("measures", ("height_mm", "width_mm", "thickness_mm", "weight_g", "pages_counted")),
        Fold("staples", ("staples_counted", "staple_rust")),
        Fold("defects", ("defects",)),
        Fold("paper", ("tone", "suppleness", "odour")),
        Fold("marks", ("marks",)),
    ),
    "intervention": (
        Fold("materials", ("materials",)),
        Fold("settings", ("settings",)),
        Fold("regions", ("regions",)),
        Fold(
            "facts",
            (
                "adds_material",
                "removes_original",
                "alters",
                "reversible",
                "detectable_by",
                "owner_heading",
                "owner_words",
            ),
        ),
        Fold("hands", ("by_other_hands", "who", "cost")),
    ),
    "outlook": (Fold("values", ("values_used",)), Fold("batch", ("for_batch",))),
    "submission": (Fold("speed", ("speed", "insured_for", "fee", "postage")),),
    "slab": (
        Fold("service", ("service", "service_remarks", "page_tone")),
        Fold("invoice", ("fee", "invoice", "compensation")),
        Fold("unknown", ("submission_known", "holding")),
    ),
    "valuation": (Fold("comparables", ("comparables_used",)), Fold("appraiser", ("appraiser", "valid_until"))),
    "custody": (Fold("insured", ("insured_for", "cost")),),
    "placement": (Fold("position", ("room", "wall", "x_cm", "y_cm")), Fold("housing", ("housings",))),
    "sale": (Fold("record", ("record",)), Fold("amounts", ("fees", "compensation"))),
    "photograph": (Fold("scale", ("scale_px_per_mm",)),),
    "opening": (Fold("photographs", ("seal_photographs",)),),
    "room": (
        Fold("walls", ("walls",)),
        Fold("windows", ("windows",)),
        Fold("lamps", ("lamps",)),
        Fold("readings", ("readings",)),
    ),
}
"""Under which line the rarer fields of a kind lie; all others stand in sight."""

FIRST: Final[Mapping[str, tuple[str, ...]]] = {"purchase": ("issue.title", "issue.number", "on", "price")}
"""The fields that alone are enough, and so come before all others, whatever their order."""

OPEN_AT_FIRST: Final = frozenset({("examination", "defects"), ("room", "walls"), ("intervention", "settings")})
"""Folds that most hands want open."""

PER_BOOK: Final[Mapping[str, tuple[str, ...]]] = {
    "intervention": ("worked_defects", "changed_anything"),
    "slab": ("outcome", "stated.as_written", "stated.steps", "holder_number", "page_tone"),
    "submission": ("insured_for", "fee", "postage"),
    "placement": ("x_cm", "y_cm", "place"),
    "count": ("result",),
    "valuation": ("amount",),
    "photograph": tuple(f"region.{name}" for name in ("x_percent", "y_percent", "width_percent", "height_percent")),
}
"""What differs from book to book when one entry is written for several at once."""

SIZES: Final[Mapping[tuple[str, str], str]] = {("MaterialUsed", "what"): "long", ("MaterialUsed", "batch"): "short"}
"""How wide a field stands, where that is not as wide as its way has it."""

FIRST_ROWS: Final[Mapping[str, int]] = {"Weight": 3, "LotBook": 3, "Comparable": 2, "Wall": 2, "MaterialUsed": 2}
"""Blank rows of a form that nobody has typed into yet; one where nothing is said."""


def _fill_steps(said: dict[str, Any], taken: set[str]) -> None:  # noqa: ARG001 - all are called alike
    """The steps that a stated grade means, where its own words tell."""
    if "steps" not in said and isinstance(said.get("as_written"), str):
        said["steps"] = [grade.text for grade in read_stated(said["as_written"])]


def _fill_id(letter: str) -> Callable[[dict[str, Any], set[str]], None]:
    """The next id nobody has, for a row that has none."""

    def fill(said: dict[str, Any], taken: set[str]) -> None:
        if "id" not in said:
            said["id"] = next(f"{letter}{n}" for n in range(1, len(taken) + 2) if f"{letter}{n}" not in taken)

    return fill


def _fill_end(said: dict[str, Any], taken: set[str]) -> None:  # noqa: ARG001 - as above
    """A signed note ends with the end of its last line, which nobody types."""
    if isinstance(said.get("handover"), str):
        said["handover"] += "\n"


FILLS: Final[Mapping[str, Callable[[dict[str, Any], set[str]], None]]] = {
    "Key": _fill_end,
    "StatedGrade": _fill_steps,
    "Defect": _fill_id("d"),
    "Mark": _fill_id("m"),
}
"""What follows from the rest of a group, by the class it is of; `taken` are the ids that are in use."""


def words_of(name: str) -> str:
    """An answer of the trade, or the name of a class, as plain words."""
    if isinstance(name, Heading):
        return name.label
    if isinstance(name, StrEnum):
        return "not known" if name == "not-known" else str(name)
    return " ".join(re.findall(r"[A-Z][a-z]*", name)).capitalize()
