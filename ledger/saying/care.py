"""Heat and light as far as they are known, and where and in what the book was kept."""

from collections.abc import Iterator

from ledger.dose import heat_of
from ledger.events.placement import Placement, Spot
from ledger.proof.sheet import Block, Facts, Section, Table, Words
from ledger.saying.ageing import ageing, logs
from ledger.saying.light import light, light_days
from ledger.saying.spelling import day, every, sealed
from ledger.saying.steps import band
from ledger.saying.told import Told
from ledger.saying.wording import t

__all__ = ["care"]

_HEAD = ("since", "spot", "around", "place")


def care(of: Told) -> Section:
    """How much it aged by heat and in the air, its light as far as it is known, and every placement."""
    facts = ((t("care.heat"), _heat(of)), *ageing(of.ageing), (t("care.light"), _light(of)), *light(of.light))
    blocks: list[Block] = [Facts(facts)]
    blocks += [each for each in (light_days(of.light), logs(of.ageing)) if each is not None]
    rows = tuple(tuple(_row(seq, event)) for seq, event in _placements(of))
    if rows:
        blocks.append(Table(tuple(t(f"care.{name}") for name in _HEAD), rows))
    else:
        blocks.append(Words((t("care.nowhere"),)))
    return Section("care", t("care.title"), tuple(blocks))


def _placements(of: Told) -> Iterator[tuple[int, Placement]]:
    for moment, event in of.of(Placement):
        yield moment.entry.seq, event


def _heat(of: Told) -> str:
    """The dose of all sessions here; what is not known of it is not zero."""
    heat = heat_of(of.moments)
    if not heat.sessions:
        return f"{t('care.no_heat')} {t('care.before')}"
    told = heat.sessions - heat.untold
    said = [t.n("care.dose", told, band=band(heat.band))] if told else []
    said += [t.n("care.untold", heat.untold)] if heat.untold else []
    said += [t.n("care.without_cooling", heat.without_cooling)] if heat.without_cooling else []
    return " ".join((*said, t("care.index"), t("care.before")))


def _light(of: Told) -> str:
    """That it hung, and what nobody can know; how much light that was is said by `light`."""
    on_wall = [str(seq) for seq, event in _placements(of) if event.spot is Spot.WALL]
    said = t.n("care.on_wall", len(on_wall), entries=", ".join(on_wall)) if on_wall else t("care.not_on_wall")
    counted = of.light is not None and of.light.since is not None
    return f"{t('care.light_before' if counted else 'care.light_unknown')} {said}"


def _row(seq: int, event: Placement) -> Iterator[str]:
    yield t("dated", when=day(event.on), seq=seq)
    yield event.spot.value
    yield every(f"{each.around.value} ({each.material.value})" for each in event.housings) or t("none")
    yield sealed(event.place)
