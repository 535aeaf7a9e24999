"""What a look says of the whole book, in words, each beside what was said of it the last time."""

from ledger.looks import LookSeen
from ledger.measured import Measured
from web.wording import t

__all__ = ["facts_of"]

_ALWAYS = frozenset({"presents_as", "technical", "height_mm", "width_mm", "completeness", "tone", "suppleness"})
"""Named although nobody ever said them."""


def facts_of(look: LookSeen) -> tuple[tuple[str, str | None], ...]:
    """Each fact as name and value; None is not known."""
    event = look.event
    said = [each for each in look.measured if each.name in _ALWAYS or each.value or each.before]
    faces = ", ".join(t(f"condition.faces.{each.value}") for each in event.faces_looked_at)
    return (
        *((t(f"condition.facts.{each.name}"), _words(each)) for each in said),
        (t("condition.facts.rest"), _rest(look)),
        (t("condition.facts.looked_at"), faces or t("condition.faces_not_said")),
        (t("condition.facts.lights"), ", ".join(each.value for each in event.lights) or None),
    )


def _rest(look: LookSeen) -> str | None:
    """As the look says it, or as the dates do, which is said."""
    if look.rest_hours is None:
        return None
    hours = t.n("condition.rest_hours", look.rest_hours)
    return t("condition.from_dates", rest=hours) if look.rest_from_dates else hours


def _words(said: Measured) -> str | None:
    """What this look says, and what was said before, or the first time, where that is something else."""
    words = _since_before(said)
    if said.slide and not said.step and said.first is not None and said.first_seq != said.before_seq:
        first = _with_unit(said.name, said.first)
        return t("condition.first_time", words=words, first=first, seq=said.first_seq)
    return words


def _since_before(said: Measured) -> str | None:
    now, before = (_with_unit(said.name, each) for each in (said.value, said.before))
    if before is None:
        return now
    if now is None:
        return t("condition.older", before=before, seq=said.before_seq)
    if now == before:
        return t("condition.as_was", value=now, seq=said.before_seq)
    return t("condition.was", value=now, before=before, seq=said.before_seq)


def _with_unit(name: str, value: str | None) -> str | None:
    if value is None:
        return None
    if name.endswith("_mm"):
        return t("condition.mm", size=value)
    return t("condition.g", weight=value) if name.endswith("_g") else value
