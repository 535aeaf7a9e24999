"""The grades that others stated over all holders, each as written, and until when it held."""

from collections.abc import Iterator

from ledger.book import GradeStep
from ledger.events.opening import Opening
from ledger.events.purchase import Purchase
from ledger.events.slab import Slab
from ledger.proof.sheet import Block, Section, Table, Words
from ledger.saying.spelling import day, every, sealed
from ledger.saying.told import Told
from ledger.saying.wording import t

__all__ = ["grades"]

_HEAD = ("when", "written", "steps", "opinion", "by", "matched", "holder", "holds")


def grades(of: Told) -> Section:
    """Every opinion, and what a service said beside it; this record grades nothing."""
    rows = tuple(tuple(_row(of, each)) for each in of.book.grades)
    blocks: list[Block] = [Words((t("grades.apart" if rows else "grades.none"),))]
    if rows:
        blocks.append(Table(tuple(t(f"grades.{name}") for name in _HEAD), rows))
    said = (*_said_by_services(of), *_openings(of))
    if said:
        blocks.append(Words(said, listed=True))
    return Section("grades", t("grades.title"), tuple(blocks))


def _row(of: Told, step: GradeStep) -> Iterator[str]:
    stated = step.stated
    yield t("dated", when=day(step.on), seq=step.seq)
    yield t("quoted", words=stated.as_written)
    yield every(stated.steps) or t("not_known")
    yield stated.opinion_of.value
    event = of.by_seq[step.seq].event
    match event:
        case Purchase():
            yield sealed(event.stated_by)
        case Slab():
            yield sealed(event.service)
        case _:
            yield t("not_known")
    yield stated.matched_by.value
    yield step.holder_number or t("none")
    yield _holds(of, step.ended_by)


def _holds(of: Told, ended_by: int | None) -> str:
    if ended_by is None:
        return t("grades.in_force")
    by = of.by_seq[ended_by].event
    return t("grades.until_opened" if isinstance(by, Opening) else "grades.until", when=day(by.on), seq=ended_by)


def _said_by_services(of: Told) -> Iterator[str]:
    for moment, event in of.of(Slab):
        yield t("grades.outcome", when=day(event.on), seq=moment.entry.seq, outcome=event.outcome.value)
        if event.page_tone is not None:
            yield t("grades.page_tone", seq=moment.entry.seq, words=event.page_tone)
        if event.service_remarks.value is not None:
            yield t("grades.remarks", seq=moment.entry.seq, words=sealed(event.service_remarks))


def _openings(of: Told) -> Iterator[str]:
    for moment, event in of.of(Opening):
        who = t("grades.opened_by_others" if event.by_other_hands else "grades.opened_by_owner")
        yield t("grades.opened", when=day(event.on), seq=moment.entry.seq, who=who, condition=event.condition.value)
