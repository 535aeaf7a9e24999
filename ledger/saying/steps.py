"""One step of work in sentences: facts, hands, heat, outcome, the owner's disagreement; and how the trade sees it."""

from collections.abc import Iterator

from ledger.dose import Dose, dose_of
from ledger.events._settings import Settings
from ledger.events._step import Ended, MaterialUsed
from ledger.events.intervention import Intervention
from ledger.proof.sheet import Block, Facts, Section, Words
from ledger.rules.ageing import Band
from ledger.rules.techniques import Technique
from ledger.saying.spelling import day, every, region, rounded, sealed
from ledger.saying.told import Told
from ledger.saying.wording import t

__all__ = ["band", "step", "views"]

LEAST = 0.01
"""Less is said as that. Units: days; a hundredth is a quarter of an hour."""


def step(seq: int, event: Intervention, *, later: bool) -> tuple[str, str]:
    """All that is entered about one step: what it was and came to, and how it was done; `later` is after hand-over."""
    return " ".join(_what(seq, event, later=later)), " ".join(_how(seq, event))


def _what(seq: int, event: Intervention, *, later: bool) -> Iterator[str]:
    row = event.row
    yield t("step.head", title=row.title if row else event.technique, when=day(event.on), seq=seq)
    if later:
        yield t("entries.later")
    if row is not None and event.facts == (row.adds, row.removes_original, row.alters):
        yield row.sentence
    adds, removes, alters = (t(f"fact.{each.value}") for each in event.facts)
    yield t("step.facts", adds=adds, removes=removes, alters=alters)
    yield t("step.by_others" if event.by_other_hands else "step.by_owner", who=sealed(event.who))
    changed = {True: "yes", False: "no", None: "not-known"}[event.changed]
    yield t(f"step.changed.{changed}")
    if outcomes := [f"{each.id} {each.outcome.value}" for each in event.worked_defects if each.outcome]:
        yield t("step.right_after", outcomes=every(outcomes))
    if event.ended is not None and event.ended is not Ended.AS_PLANNED:
        yield t(f"step.ended.{event.ended.name.lower()}")
    if event.owner_heading is not None:
        yield t(
            "step.disagrees",
            facts=event.heading.label,
            owner=event.owner_heading.label,
            words=sealed(event.owner_words),
        )


def _how(seq: int, event: Intervention) -> Iterator[str]:
    row = event.row
    undone = event.reversible.value if event.reversible else row.reversible if row else "not-known"
    yield t("step.more", seq=seq)
    yield t(f"step.reversible.{undone}")
    if event.detectable_by is not None:
        yield t("step.detectable", how=event.detectable_by)
    yield from _where(event)
    yield from _heat(event)
    if event.remark.value is not None:
        yield t("step.remark", words=sealed(event.remark))


def _where(event: Intervention) -> Iterator[str]:
    """Where it was worked, with what and in what way."""
    places = [
        *event.worked_ids,
        *(each.value for each in event.worked_faces),
        *(f"{each.face.value} {region(each.region)}" for each in event.regions),
    ]
    if places:
        yield t("step.where", places=every(places))
    used = [*map(_material, event.materials), *([event.tool] if event.tool else [])]
    if used:
        yield t("step.used", used=every(used))
    if event.duration_minutes is not None:
        yield t("step.hands", value=event.duration_minutes)
    settings = every(_settings(event.settings)) if event.settings else ""
    if settings:
        yield t("step.settings", settings=settings)


def _material(of: MaterialUsed) -> str:
    return of.what if of.batch is None else t("step.batch", what=of.what, batch=of.batch)


def _settings(of: Settings) -> Iterator[str]:
    yield from (t(f"settings.{name}", value=value) for name, value in of.told())


def _heat(event: Intervention) -> Iterator[str]:
    dose: Dose | None = dose_of(event)
    if dose is None:
        return
    if dose.band is None:
        yield t("step.heat_unknown")
        return
    yield t("step.heat", band=band(dose.band))
    if dose.from_the_dial:
        yield t("step.from_the_dial")
    if dose.cooling_left_out:
        yield t("step.cooling_left_out")


def band(of: Band) -> str:
    """The middle, and in brackets the least and the most. Units: equivalent days."""
    return t("band", middle=_days(of.middle), low=_days(of.low), high=_days(of.high))


def _days(value: float) -> str:
    """A number of days to two figures."""
    if 0 < value < LEAST:
        return t("least", least=LEAST)
    return rounded(value)


def views(of: Told) -> Section | None:
    """How each technique that was used is seen: by aim, by the trade, and where views differ; None where none was."""
    rows = {event.technique: event.row for _, event in of.of(Intervention)}
    blocks: list[Block] = [Facts(tuple(_view(row))) for row in rows.values() if row is not None]
    if not rows:
        return None
    unknown = [name for name, row in rows.items() if row is None]
    if unknown:
        blocks.append(Words((t("views.unknown", names=every(unknown)),)))
    return Section("views", t("views.title"), (Words((t("views.apart"),)), *blocks))


def _view(row: Technique) -> Iterator[tuple[str, str]]:
    yield t("views.technique"), row.title
    yield t("views.aim"), row.aim
    yield t("views.trade"), row.trade_view
    yield t("views.differ"), row.where_views_differ
    yield t("views.side_effects"), row.side_effects
    yield t("views.found_by"), row.detectable_by
    yield t("views.source"), "; ".join(row.sources)
