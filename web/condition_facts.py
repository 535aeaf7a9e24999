"""What a look says of the whole book, in words, each beside what was said of it the last time."""

from ledger.looks import LookSeen
from ledger.measured import Measured
from web.wording import t

__all__ = ["facts_of"]

_ALWAYS = frozenset({"presents_as", "height_mm", "width_mm", "completeness", "tone", "suppleness"})
"""Named although nobody ever said them."""


def facts_of(look: LookSeen) -> tuple[tuple[str, str | None], ...]:
    """Each fact as name and value; None is not known."""
    event = look.event
    said = [each for each in look.measured if each.name in _ALWAYS or each.value or each.before]
    rest = None if event.rest_hours is None else t.n("condition.rest_hours", event.rest_hours)
    return (
        *((t(f"condition.facts.{each.name}"), _words(each)) for each in said),
        (t("condition.facts.rest"), rest),
        (t("condition.facts.lights"), ", ".join(each.value for each in event.lights) or None),
    )


def _words(said: Measured) -> str | None:
    """What this look says, and what was said before where that is something else."""
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
