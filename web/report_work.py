"""The work on a book as its report tells it: every step with settings, materials and hands, as claims and not as findings."""

from collections.abc import Iterator

from ledger.events._settings import Settings
from ledger.events._step import MaterialUsed
from ledger.events.intervention import Intervention
from ledger.report import Of, Report
from web.filters import moment, when
from web.report_parts import Block, Facts, Section, Words, dated, every, known, region, sealed, table
from web.step_words import claim, material
from web.wording import t

__all__ = ["work_section"]


def work_section(of: Report) -> Section:
    """What was decided, every opening of a holder, and every step in the order of happening."""
    return Section("work", t("report.work.title"), tuple(_blocks(of)))


def _blocks(of: Report) -> Iterator[Block]:
    yield Words((t("report.work.claims"), t("report.work.by_aim")))
    yield table(
        t("report.work.plan"),
        (t("report.work.decided"), t("report.work.why"), t("report.when")),
        ((each.event.next.value, sealed(each.event.why), dated(each)) for each in of.choices),
        t("report.work.no_plan"),
    )
    yield table(
        t("report.work.openings"),
        (t("report.when"), t("report.work.holder_before"), t("report.remark")),
        ((dated(each), each.event.condition.value, sealed(each.event.remark)) for each in of.openings),
        t("report.work.no_openings"),
    )
    if not of.work:
        yield Words((t("report.work.none"),), t("report.work.steps"))
    for number, step in enumerate(of.work, 1):
        yield Facts(
            (*_done(step), *_material(step), *_shown(of, step)),
            t("report.work.step", number=number, what=_title(step.event)),
        )


def _title(event: Intervention) -> str:
    return event.row.title if event.row else event.technique


def _done(step: Of[Intervention]) -> Iterator[tuple[str, str]]:
    """When, who, where, with what."""
    event, row = step.event, step.event.row
    yield t("report.when"), dated(step)
    yield t("report.work.recorded"), moment(step.recorded)
    hands = t("report.work.others") if event.by_other_hands else t("report.work.own")
    yield t("report.work.who"), t("report.beside", value=sealed(event.who), beside=hands)
    yield t("report.work.heading"), event.heading.label
    yield t("report.work.faces"), every(each.value for each in event.worked_faces)
    yield t("report.work.places"), every(f"{each.face.value}: {region(each.region)}" for each in event.regions)
    yield t("report.work.defects"), every(map(claim, event.worked_defects))
    yield t("report.work.materials"), "; ".join(map(_batched, event.materials)) or t("report.none")
    yield t("report.work.tool"), known(event.tool)
    yield t("report.work.settings"), _settings(event)
    yield t("report.work.hands"), _minutes(event.duration_minutes)
    yield t("report.work.ended"), known(event.ended.value if event.ended else None)
    yield t("report.work.departures"), sealed(event.remark)
    yield t("report.work.risks"), known(row.side_effects if row else None)


def _material(step: Of[Intervention]) -> Iterator[tuple[str, str]]:
    """What it did to the material, as it is claimed."""
    event, row = step.event, step.event.row
    adds, removes, alters = event.facts
    yield t("report.work.adds"), t(f"report.fact.{adds.value}")
    yield t("report.work.removes"), t(f"report.fact.{removes.value}")
    yield t("report.work.alters"), t(f"report.fact.{alters.value}")
    undone = event.reversible.value if event.reversible else row.reversible if row else "not-known"
    yield t("report.work.reversible"), t(f"report.fact.{undone}")
    yield t("report.work.detectable"), known(event.detectable_by or (row.detectable_by if row else None))
    changed = {True: "yes", False: "no", None: "not-known"}[event.changed]
    yield t("report.work.outcome"), t(f"report.fact.{changed}")
    if event.owner_heading is not None:
        words = t("report.beside", value=event.owner_heading.label, beside=sealed(event.owner_words))
        yield t("report.work.owner_heading"), words


def _batched(of: MaterialUsed) -> str:
    """A material with its batch, or that its batch is not known."""
    return material(of) if of.batch else t("report.work.no_batch", what=of.what)


def _minutes(of: int | None) -> str:
    return known(None) if of is None else t("report.work.minutes", minutes=of)


def _settings(event: Intervention) -> str:
    """Every setting that was written down, with its unit."""
    said = [t(f"report.settings.{name}", value=value) for name, value in (event.settings or Settings()).told()]
    return "; ".join(said) or t("frame.not_known")


def _shown(of: Report, step: Of[Intervention]) -> Iterator[tuple[str, str]]:
    """Photographs and looks before and after it, as far as the next step, and the record such a step should have."""
    places = [each.place for each in of.work]
    at = places.index(step.place)
    start, stop = places[at - 1] if at else -1, places[at + 1] if at + 1 < len(places) else None
    for name, first, last in (("before", start, step.place), ("after", step.place, stop)):
        shot = [each for each in of.photographs if first < each.place and (last is None or each.place < last)]
        said = (t("report.work.shot", seq=each.seq, face=each.event.face, light=each.event.light) for each in shot)
        yield t(f"report.work.shots.{name}"), every(said)
    after = [each for each in of.looks if each.place > step.place]
    found = (
        t("report.work.looked", when=when(after[-1].on), seq=after[-1].seq) if after else t("report.work.not_looked")
    )
    yield t("report.work.next_look"), found
    row = step.event.row
    if row is not None:
        yield t("report.work.record"), row.record
