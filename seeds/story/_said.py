"""Short ways to say what many books' stories say: money, dates, faults, looks, presses, outlooks."""

from typing import Any

from ledger.events._parts import Answer, Defect, Face, Light, Mark, MatchedBy, OpinionOf, Region, StatedGrade
from ledger.events._parts import Issue as Printed
from ledger.events._settings import Cooling, HeatSide, Moisture, Settings
from ledger.events._step import DefectOutcome, MaterialUsed, WorkedDefect
from ledger.events.examination import Examination, Odour, Suppleness, Tone
from ledger.events.outlook import Origin, Outlook, OutlookStage, Weight
from ledger.money import Money
from ledger.rules.defects import defect_type
from ledger.rules.grades import Grade
from ledger.sealed import Sealed
from ledger.when import When
from seeds.covers.issues import ISSUES

BREAKS = {"yes": Answer.YES, "no": Answer.NO, "not-applicable": Answer.NO}
ROOM = Moisture.ROOM


def said(words: str) -> Sealed[str]:
    """Words in a sealed field."""
    return Sealed.of(words)


def eur(amount: str) -> Sealed[Money]:
    """Euro in a sealed field."""
    return Sealed.of(Money.of(amount, "EUR"))


def usd(amount: str) -> Sealed[Money]:
    """Dollars in a sealed field."""
    return Sealed.of(Money.of(amount, "USD"))


def gbp(amount: str) -> Sealed[Money]:
    """Pounds in a sealed field."""
    return Sealed.of(Money.of(amount, "GBP"))


def plain(amount: str, code: str) -> dict[str, Any]:
    """An amount as a correction takes it."""
    money = Money.of(amount, code)
    return {"minor": money.minor, "currency": money.currency, "exponent": money.exponent}


def worked(*named: str) -> tuple[WorkedDefect, ...]:
    """Defects that were worked on, each by its id, with what was seen of it right after behind it: `d1 gone`."""
    parts = [each.partition(" ") for each in named]
    return tuple(WorkedDefect(id=name, outcome=DefectOutcome(seen) if seen else None) for name, _, seen in parts)


def used(*named: str) -> tuple[MaterialUsed, ...]:
    """Materials, each with its batch behind it where that was read off: `starch, batch 7`."""
    parts = [each.partition(", batch ") for each in named]
    return tuple(MaterialUsed(what=what, batch=batch or None) for what, _, batch in parts)


def on(text: str) -> When:
    """When it happened."""
    return When.parse(text)


def printed(key: str, **more: Any) -> Printed:  # noqa: ANN401
    """The issue of that name among the drawn covers."""
    issue = ISSUES[key]
    return Printed(
        title=issue.series,
        number=issue.number,
        start_year=issue.start_year,
        publisher=issue.publisher,
        cover_date=When.parse(issue.cover_date),
        **more,
    )


def by_service(grade: str, matched: MatchedBy = MatchedBy.HOLDER_NUMBER) -> StatedGrade:
    """The grade on a holder."""
    return StatedGrade(as_written=grade, steps=(Grade(grade),), opinion_of=OpinionOf.SERVICE, matched_by=matched)


def by_seller(words: str, *steps: str) -> StatedGrade:
    """The grade a seller writes."""
    found = tuple(Grade(step) for step in steps)
    return StatedGrade(as_written=words, steps=found, opinion_of=OpinionOf.SELLER, matched_by=MatchedBy.WORD)


def fault(  # noqa: PLR0913
    name: str,
    kind: str,
    face: str,
    amount: str | int = "",
    *,
    mm: str | None = None,
    breaks: bool | None = None,
    at: str = "",
) -> Defect:
    """One defect; `amount` is in what its type is measured by, `at` its place in mm.

    A place is x, y for a point, x, y, width, height for an area, and x, y to x, y for a line.
    """
    row = defect_type(kind)
    by = row.measured_by[0] if row.measured_by else ""
    told = BREAKS.get(row.breaks_colour, Answer.UNSURE)
    return Defect(
        id=name,
        type=kind,
        face=Face(face),
        breaks_colour=told if breaks is None else (Answer.YES if breaks else Answer.NO),
        size_mm=str(amount) if by == "size_mm" else mm,
        count=int(amount) if by == "count" else None,
        share_percent=int(amount) if by == "share_percent" else None,
        region=_region(at) if at else None,
    )


def gone(name: str, kind: str, face: str) -> Defect:
    """A defect that was looked for and is no longer there."""
    return Defect(id=name, type=kind, face=Face(face), breaks_colour=Answer.NO, gone=True)


def claimed(name: str, kind: str, face: str, note: str, by: OpinionOf = OpinionOf.SERVICE) -> Defect:
    """A defect that somebody else tells of."""
    return Defect(id=name, type=kind, face=Face(face), note=note, claimed_by=by)


def faces(text: str) -> tuple[Face, ...]:
    """Faces that a look goes over, by commas."""
    return tuple(Face(each) for each in text.split(", "))


def mark(name: str, what: str, face: str, at: str = "", photograph: str | None = None) -> Mark:
    """A feature by which the copy is known again, and the digest of its picture."""
    return Mark(id=name, what=what, face=Face(face), region=_region(at) if at else None, photograph=photograph)


def _region(text: str) -> Region:
    start, _, end = text.partition(" to ")
    x, y, *size = start.split(", ")
    width, height = size or (None, None)
    to_x, to_y = end.split(", ") if end else (None, None)
    return Region(x_mm=x, y_mm=y, width_mm=width, height_mm=height, to_x_mm=to_x, to_y_mm=to_y)


def look(  # noqa: PLR0913
    *found: Defect,
    remark: str = "",
    light: str = "normal",
    marks: tuple[Mark, ...] = (),
    rest: int | None = None,
    size: str = "",
    grams: str | None = None,
    pages: int | None = None,
    paper: str = "",
    odour: str | None = None,
    like: str | None = None,
    whole: bool | None = None,
    **more: Any,  # noqa: ANN401
) -> Examination:
    """An examination; `light` and `paper` are lists by commas, `size` is width x height, `like` what it presents as."""
    tone, supple = (*paper.split(", "), "")[:2]
    width, height = size.split(" x ") if size else (None, None)
    return Examination(
        lights=tuple(Light(each) for each in light.split(", ")),
        rest_hours=rest,
        width_mm=width,
        height_mm=height,
        weight_g=grams,
        pages_counted=pages,
        completeness=Answer.UNSURE if whole is None else (Answer.YES if whole else Answer.NO),
        defects=found,
        marks=marks,
        tone=Tone(tone) if tone else None,
        suppleness=Suppleness(supple) if supple else None,
        odour=Odour(odour) if odour else None,
        presents_as=Grade(like) if like else None,
        remark=Sealed.of(remark or None),
        **more,
    )


def through_holder(*found: Defect, remark: str, like: str, paper: str = "") -> Examination:
    """A look with the holder closed."""
    return look(*found, remark=remark, like=like, paper=paper, through_holder=True)


def heat(  # noqa: PLR0913
    dial: str,
    paper: str | None,
    hold: int,
    cooling: int,
    *,
    side: str = "back",
    moisture: Moisture = ROOM,
    rh: int | None = None,
    stack: str = "plate, release paper, 2 mm board, book, 2 mm board, release paper, plate",
) -> Settings:
    """A hot press: °C at the dial and at the paper, minutes held, minutes of cooling in the press."""
    return Settings(
        set_celsius=dial,
        measured_celsius=paper,
        hold_minutes=hold,
        cooling_minutes=cooling,
        total_minutes=hold + cooling,
        cooling=Cooling.IN_THE_PRESS,
        moisture=moisture,
        rh_percent=rh,
        heat_side=HeatSide(side),
        stack=stack,
    )


def outlook(
    weights: str, *, ceiling: str | None = None, stage: str = "after work", batch: str | None = None, own: bool = True
) -> Outlook:
    """A forecast; weights such as "8.0 300, 8.5 700"."""
    pairs = [each.split() for each in weights.split(", ")]
    return Outlook(
        weights=tuple(Weight(grade=Grade(grade), per_mille=int(weight)) for grade, weight in pairs),
        origin=Origin.OWN if own else Origin.COMPUTED,
        ceiling=Grade(ceiling) if ceiling else None,
        stage=OutlookStage(stage),
        for_batch=batch,
    )
