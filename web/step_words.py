"""A step of work in words: what touched the book, how long hands were at it, and what was said of it right after."""

from collections.abc import Iterator

from ledger.events import Event
from ledger.events._step import MaterialUsed, WorkedDefect
from ledger.events.intervention import Intervention
from web.wording import t

__all__ = ["claim", "claimed", "material", "step_lines"]


def step_lines(event: Event) -> tuple[str, ...]:
    """What a line that tells a step has no room for; nothing for any other event."""
    return tuple(_lines(event)) if isinstance(event, Intervention) else ()


def claimed(event: Event) -> str:
    """What was said of defects right after a step, and what decides; empty where nothing was said."""
    worked = event.worked_defects if isinstance(event, Intervention) else ()
    said = ", ".join(claim(each) for each in worked if each.outcome is not None)
    return t("entry.step.claimed", outcomes=said) if said else ""


def claim(worked: WorkedDefect) -> str:
    """A defect and what was said of it right after; a claim, and told as one."""
    seen = worked.outcome.value if worked.outcome else "not_said"
    return t(f"entry.step.seen.{seen}", id=worked.id)


def material(of: MaterialUsed) -> str:
    """A material with its batch, where that is known."""
    return of.what if of.batch is None else t("entry.step.batch", what=of.what, batch=of.batch)


def _lines(event: Intervention) -> Iterator[str]:
    if event.materials:
        yield t("entry.step.with", materials="; ".join(material(each) for each in event.materials))
    if event.duration_minutes is not None:
        total = event.settings.total_minutes if event.settings else None
        if total is None:
            yield t("entry.step.hands", minutes=event.duration_minutes)
        else:
            yield t("entry.step.hands_beside", minutes=event.duration_minutes, total=total)
