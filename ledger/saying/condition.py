"""How the book was found at the first look and at the last, each with its map, and what changed from look to look."""

from collections.abc import Iterator, Sequence

from ledger.events._parts import Answer
from ledger.events.examination import Examination
from ledger.looks import Change, Claimed, LookSeen, Seen
from ledger.measured import Measured
from ledger.proof.sheet import Block, Facts, Section, Table, Words
from ledger.saying.maps import Placed, map_of
from ledger.saying.spelling import day, every, fault, known, measures, region, sealed
from ledger.saying.told import Told
from ledger.saying.wording import t

__all__ = ["condition"]

_SAID = ("height_mm", "width_mm", "thickness_mm", "weight_g", "pages_counted", "tone", "suppleness", "odour")
_HEAD = ("id", "type", "face", "where", "measured", "colour", "seen")
_TOLD = (
    Change.GONE,
    Change.LESSENED,
    Change.SAME,
    Change.UNMENTIONED,
    Change.WORSE,
    Change.OTHERWISE,
    Change.NEW,
    Change.CONFIRMED,
    Change.BACK,
    Change.UNSEEN,
)


def condition(of: Told) -> Iterator[Section]:
    """The first look, the last, and the looks between them as what they changed."""
    looks = of.looks
    if not looks:
        yield Section("condition", t("look.title"), (Words((t("look.never"),)),))
        return
    if len(looks) > 1:
        yield Section("first-look", t("look.first"), tuple(_look(of, looks[0])))
    yield Section("last-look", t("look.last" if len(looks) > 1 else "look.only"), tuple(_look(of, looks[-1])))
    if len(looks) > 1:
        lines = tuple(_changed(each) for each in looks[1:])
        yield Section("changes", t("changes.title"), (Words((t("changes.how"),)), Words(lines, listed=True)))


def _look(of: Told, look: LookSeen) -> Iterator[Block]:
    yield Facts(tuple(_facts(look)))
    there = [each for each in look.seen if not each.defect.gone]
    placed = (
        Placed(each.defect.id, each.defect.face, each.defect.region, each.defect.breaks_colour is Answer.YES)
        for each in there
    )
    drawn = map_of(of, placed, look.seq, t("map.colour"))
    if drawn is not None:
        yield drawn
    if there:
        yield Table(tuple(t(f"defect.{name}") for name in _HEAD), tuple(tuple(_defect(each)) for each in there))
    else:
        yield Words((t("look.no_defect"),))
    gone = [f"{each.defect.id} ({fault(each.defect.type)})" for each in look.seen if each.defect.gone]
    if gone:
        yield Words((t("look.gone", defects=every(gone)),))
    if look.claims:
        yield Words((t("look.claims"), *map(_claim, look.claims)))


def _facts(look: LookSeen) -> Iterator[tuple[str, str]]:
    event = look.event
    yield t("look.when"), t("dated", when=day(look.on), seq=look.seq)
    yield t("look.examiner"), sealed(event.examiner)
    yield t("look.how"), t("look.through" if event.through_holder else "look.in_hand")
    yield t("look.lights"), every(each.value for each in event.lights) or t("not_known")
    rest = t("not_known") if look.rest_hours is None else t.n("hours", look.rest_hours)
    rest = t("look.rest_from_dates", rest=rest) if look.rest_from_dates else rest
    yield t("look.rest"), rest
    yield t("look.complete"), t(f"look.completeness.{event.completeness.value}")
    yield t("look.presents_as"), known(event.presents_as)
    yield t("look.technical"), known(event.technical)
    yield t("look.faces"), every(each.value for each in event.faces_looked_at) or t("not_known")
    yield t("look.staples_counted"), known(event.staples_counted)
    yield t("look.staple_rust"), t(f"look.rust.{event.staple_rust.value}")
    silent = []
    for name in _SAID:
        value = getattr(event, name)
        if value is None:
            silent.append(t(f"look.{name}").lower())
        else:
            yield t(f"look.{name}"), _with_unit(name, value)
    if silent:
        yield t("not_known_of"), ", ".join(silent)


def _with_unit(name: str, value: object) -> str:
    if name.endswith("_mm"):
        return t("mm", value=value)
    return t("grams", value=value) if name.endswith("_g") else str(value)


def _defect(seen: Seen) -> Iterator[str]:
    defect = seen.defect
    yield defect.id
    yield fault(defect.type)
    yield defect.face.value
    yield region(defect.region)
    said = measures(defect.size_mm, defect.count, defect.share_percent)
    yield said if defect.note is None else f"{said}; {t('quoted', words=defect.note)}"
    yield t(f"colour.{defect.breaks_colour.value}")
    yield t("entry", seq=seen.seen_by)


def _claim(of: Claimed) -> str:
    """What somebody else says of this copy and no look here has seen."""
    by = of.defect.claimed_by
    said = t(
        "look.claim",
        id=of.defect.id,
        fault=fault(of.defect.type),
        face=of.defect.face.value,
        by=by.value if by else t("not_known"),
        seq=of.told_by,
    )
    return said if of.looked_by is None else f"{said} {t('look.passed', seq=of.looked_by)}"


def _changed(look: LookSeen) -> str:
    """One look against what was known before it."""
    head = t("changes.head", when=day(look.on), seq=look.seq)
    after = t.n("changes.after", len(look.work), entries=every(look.work)) if look.work else t("changes.no_work")
    rested = t("changes.rested" if look.rested else "changes.not_rested") if look.worked_before else ""
    found = [
        t(f"changes.{change.name.lower()}", defects=_named(look.changed(change)))
        for change in _TOLD
        if look.changed(change)
    ]
    found += [_measure(each) for each in look.measured if each.step]
    asked = [t("changes.asks")] if look.questions else []
    said = "; ".join(found)
    told = f"{said[0].upper()}{said[1:]}." if said else t("changes.nothing")
    return " ".join(filter(None, [head, after, rested, told, *asked]))


def _named(seen: Sequence[Seen]) -> str:
    return every(
        t(
            "changes.slowly" if each.in_small_steps else "changes.named",
            id=each.defect.id,
            fault=fault(each.defect.type),
        )
        for each in seen
    )


def _measure(of: Measured) -> str:
    return t("changes.measure", name=_name(of.name), before=of.before, value=of.value)


def _name(name: str) -> str:
    assert name in Examination.__dataclass_fields__
    return t(f"look.{name}" if name != "completeness" else "look.complete")
