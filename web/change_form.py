"""The forms of one change to many books: what is asked for each kind of change, and what was typed of it."""

from collections.abc import Sequence
from dataclasses import replace
from typing import Final

from ledger.errors import Problem
from ledger.events import KINDS
from ledger.events.correction import Correction
from ledger.events.note import Note
from ledger.events.placement import Placement, Spot
from ledger.events.valuation import Method, Valuation
from ledger.ports import Codec
from ledger.proof.canonical import Plain
from ledger.usecases.change_many import CORRECTED, Add, Change, Correct
from ledger.when import When
from web.form_fields import Leaf, Option, Part, Seal, Way
from web.form_layout import only
from web.form_parts import parts_of
from web.form_reading import Heard, Typed, read_parts
from web.form_values import Habits
from web.wording import t

__all__ = ["KINDS_OF_CHANGE", "change_parts", "read_change"]

KINDS_OF_CHANGE: Final = ("placement", "correction", "note", "valuation")
"""What can be changed in many books alike, in the order in which it is offered."""
REASON: Final = "reason"
_ASKED: Final = {
    "placement": ("on", "spot", "place", "room"),
    "note": ("on", "topic", "words"),
    "valuation": ("on", "purpose", "method", "amount", "valid_until"),
}
_YEAR: Final = "issue.start_year"
_YEAR_DIGITS: Final = 4


def change_parts(kind: str) -> tuple[Part, ...]:
    """What is asked, the reason last."""
    (reason,) = only(parts_of(Correction), [REASON])
    assert isinstance(reason, Leaf)
    last = replace(reason, title=t("change.reason"), needed=True, note=t("change.reason_note"), way=Way.AREA)
    if kind == Correction.kind:
        named = tuple(Option(name, t(f"change.fields.{name.rpartition('.')[2]}"), name) for name in CORRECTED)
        field = Leaf(name="field", title=t("change.field"), way=Way.PICK, options=named, default=(CORRECTED[2],))
        limits = {"max_length": 200}
        return (field, Leaf(name="value", title=t("change.value"), needed=True, limits=limits), last)
    last = replace(last, seal=Seal.CLOSED)
    return (*map(_narrowed, only(parts_of(KINDS[kind]), _ASKED[kind])), last)


def read_change(kind: str, typed: Typed, habits: Habits, codec: Codec) -> tuple[Change | None, str, Heard]:
    """The change that was typed and its reason; None where something of it cannot be read, told in `problems`."""
    heard = Heard(habits=habits)
    plain = read_parts(change_parts(kind), typed, heard)
    reason = str(plain.pop(REASON, ""))
    if not reason and not any(each.field == REASON for each in heard.problems):
        heard.problems.append(Problem(field=REASON, sentence=t("change.no_reason")))
    if kind == Correction.kind:
        return _correction(plain, reason, habits, heard)
    if heard.problems:
        return None, reason, heard
    event = codec.read(kind, plain)
    assert isinstance(event, Note | Placement | Valuation)
    return Add(event=event), reason, heard


def _correction(plain: dict[str, Plain], reason: str, habits: Habits, heard: Heard) -> tuple[Change | None, str, Heard]:
    field, value = str(plain.get("field", "")), str(plain.get("value", ""))
    year = value.isascii() and value.isdecimal() and len(value) == _YEAR_DIGITS
    if not value and not any(each.field == "value" for each in heard.problems):
        heard.problems.append(Problem(field="value", sentence=t("change.no_value")))
    elif field == _YEAR and not year:
        heard.problems.append(Problem(field="value", sentence=t("change.no_year")))
    if heard.problems:
        return None, reason, heard
    today = When.of_day(habits.today)
    return Correct(field=field, value=int(value) if field == _YEAR else value, on=today), reason, heard


def _narrowed(part: Part) -> Part:
    """Without what makes no sense of many books at once: a wall has a spot for each, sales are those of one issue."""
    if not isinstance(part, Leaf):
        return part
    match part.name:
        case "spot":
            return _without(part, [Spot.WALL.value], Spot.BOX.value)
        case "room":
            return replace(part, note=t("change.room_note"))
        case "method":
            return _without(part, [Method.COMPARABLES.value], Method.OWN_JUDGEMENT.value)
    return part


def _without(part: Leaf, left_out: Sequence[str], default: str) -> Leaf:
    kept = tuple(each for each in part.options if each.value not in left_out)
    return replace(part, options=kept, default=(default,), note="")
