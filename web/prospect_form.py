"""The form of a prospect: the fields of a purchase that a listing can fill, the defects seen, and its words."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Final

from ledger.errors import InvalidError, Problem
from ledger.events._parts import usual_opinion
from ledger.events.examination import Examination
from ledger.events.purchase import Purchase
from ledger.market import Prospect
from ledger.ports import Codec
from ledger.proof.canonical import Plain
from ledger.prospects import ProspectSaid
from ledger.sealed import Sealed
from web.form_fields import Group, Leaf, Part, Rows, Seal, Way
from web.form_inputs import inputs_of
from web.form_layout import only
from web.form_parts import parts_of
from web.form_reading import Heard, Typed, read_parts
from web.form_showing import Block, Field, Shown, View, has_words, shown
from web.form_values import Habits
from web.wording import t

__all__ = ["FIRST", "LINES", "OWN", "plain_of", "read_prospect", "shown_prospect", "typed_of"]

FIRST: Final = ("issue.title", "issue.number", "price", "listing")
LINES: Final[Mapping[str, tuple[str, ...]]] = {
    "stated": ("holding", "stated.as_written", "stated.steps"),
    "seller": ("seller", "venue"),
    "defects": ("defects",),
    "issue": ("issue.publisher", "issue.start_year", "issue.cover_date", "issue.printing", "issue.variant"),
    "note": ("note",),
}
"""What lies under each line that opens."""
OWN: Final = ("listing", "note")
"""Words of a prospect that no entry has."""
_BOUGHT: Final = ("issue", "price", "holding", "stated", "seller", "venue")
_SIZES: Final = {"issue.title": "long", "issue.number": "short", "price": "", "listing": "whole"}


def read_prospect(typed: Typed, habits: Habits, codec: Codec) -> tuple[ProspectSaid | None, Heard]:
    """What was typed, and what came of reading it; None where something of it cannot be, told in `problems`."""
    heard = Heard(habits=habits)
    plain = read_parts(_parts(), typed, heard)
    if heard.problems:
        return None, heard
    try:
        said = _said(plain, codec)
    except InvalidError as error:
        heard.problems += heard.placed(error.problems)
        return None, heard
    return said, heard


def typed_of(prospect: Prospect, habits: Habits, codec: Codec) -> dict[str, tuple[str, ...]]:
    """What would have to be typed for a prospect."""
    return inputs_of(_parts(), plain_of(prospect, codec), habits)


def plain_of(prospect: Prospect, codec: Codec) -> dict[str, Plain]:
    """The values of a prospect by the names of its fields."""
    body, sealed = codec.split(
        Purchase(
            issue=prospect.issue,
            holding=prospect.holding,
            stated=prospect.stated,
            price=Sealed.of(prospect.asking),
            seller=Sealed.of(prospect.seller or None),
            venue=Sealed.of(prospect.venue or None),
        )
    )
    looked, _ = codec.split(Examination(defects=prospect.defects))
    own = {name: getattr(prospect, name) for name in OWN}
    return {**body, **sealed, "defects": looked.get("defects"), **own}


def shown_prospect(view: View) -> tuple[tuple[Field, ...], tuple[Block, ...]]:
    """The first fields, and the lines that open."""
    parts = _parts()
    first = [each for each in shown(tuple(only(parts, FIRST)), view) if isinstance(each, Field)]
    lines = tuple(_line(name, names, parts, view) for name, names in LINES.items())
    return tuple(replace(each, size=_SIZES[each.name]) for each in first), lines


def _line(name: str, names: Sequence[str], parts: Sequence[Part], view: View) -> Block:
    inner: tuple[Shown, ...] = shown(tuple(only(parts, names)), view)
    asked = any(view.asks_for(each) for each in names) or has_words(inner)
    title = t(f"prospects.lines.{name}")
    return Block(way="fold", name=f"{name}:fold", title=title, open=asked, parts=inner)


def _parts() -> tuple[Part, ...]:
    """Every field, none of it marked as sealed: a prospect is no entry."""
    bought = only(parts_of(Purchase), _BOUGHT)
    defects = only(parts_of(Examination), ("defects",))
    named = {"price": t("prospects.asking"), "listing": t("prospects.listing"), "note": t("prospects.note")}
    own = (Leaf(name=name, title=named[name], way=Way.AREA, limits={"max_length": 4000}) for name in OWN)
    return tuple(_bare(each, named) for each in (*bought, *defects, *own))


def _bare(part: Part, named: Mapping[str, str]) -> Part:
    match part:
        case Leaf():
            note = t("prospects.listing_note") if part.name == "listing" else "" if part.name in named else part.note
            return replace(part, seal=Seal.NONE, title=named.get(part.name, part.title), note=note)
        case Group():
            return replace(part, parts=tuple(_bare(each, {}) for each in part.parts))
        case Rows():
            return replace(part, seal=Seal.NONE)


def _said(plain: Mapping[str, Plain], codec: Codec) -> ProspectSaid:
    """The prospect of these values.

    Raises: InvalidError.
    """
    bought = codec.read("purchase", {name: plain[name] for name in _BOUGHT if name in plain})
    looked = codec.read("examination", {"defects": plain["defects"]} if "defects" in plain else {})
    assert isinstance(bought, Purchase)
    assert isinstance(looked, Examination)
    if flaws := list(_flaws(bought)):
        raise InvalidError(problems=tuple(flaws))
    return ProspectSaid(
        issue=bought.issue,
        asking=bought.price.value,
        holding=bought.holding,
        stated=replace(bought.stated, opinion_of=usual_opinion(bought.holding)) if bought.stated else None,
        seller=bought.seller.value or "",
        venue=bought.venue.value or "",
        listing=str(plain.get("listing") or ""),
        defects=looked.defects,
        note=str(plain.get("note") or ""),
    )


def _flaws(bought: Purchase) -> Iterator[Problem]:
    """What is wrong with a stated grade; the rest of a purchase's rules are not a listing's."""
    yield from (each for each in bought.all_flaws() if not each.field.startswith("holder_number"))
