"""A copy bought to be worked on and graded: what was seen of it, what was done, what was forecast, what came of it.

The same few acts for every such copy, so that a lot of them is told as a table.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import timedelta

from ledger.bootstrap import OWNER
from ledger.events._parts import Defect, Face, StatedGrade
from ledger.events._settings import Moisture, Settings
from ledger.events.examination import Examination
from ledger.events.intervention import Intervention
from ledger.events.outlook import Origin, Outlook, OutlookStage
from ledger.money import Money
from ledger.outlooks import weights_of
from ledger.rules.grades import Grade
from ledger.sealed import Sealed
from ledger.usecases.outlook import outlook_of
from ledger.when import When
from seeds.story._acts import Act, Late, Told, act, moment, together
from seeds.story._said import by_seller, faces, fault, gone, heat, look, outlook, said, used, worked

WHOLE_COPY = "front, back, spine, edges"
_BREAKS = {"broken": True, "whole": False}


@dataclass(frozen=True, kw_only=True)
class Work:
    """One step of work on one copy."""

    technique: str
    on: str
    """When it was written down: a press on the day after it was closed, anything else on its own day."""
    at: str
    """The defects that were worked on, by their ids, and what was seen right after: "d1, d2 gone"."""
    words: str = ""


@dataclass(frozen=True, kw_only=True)
class Copy:
    """One copy of a lot.

    Keeps: `came` and `left` are defects as `faults` and `left_of` read them.
    """

    name: str
    """What it is called in the story; its issue is the first word of it."""
    share: int
    """Its part of what the lot cost, as a weight."""
    stated: tuple[str, ...]
    """What the seller wrote, and the steps that this means."""
    came: str
    like: str
    left: str
    like_after: str
    work: tuple[Work, ...] = ()
    picture: str = ""
    """Empty is the picture of its issue as it is now."""
    paper: str = "ivory, supple"
    reason: str = ""
    first_words: str = ""
    after_words: str = ""
    forecasts: Mapping[str, str] = field(default_factory=dict)
    """The collector's weights by stage, as they were stated one after another."""
    ceiling: str = ""
    """What the defects that were left allowed, as the collector read it off."""
    insured: int = 0
    """Euro, for the way to the service."""

    @property
    def issue(self) -> str:
        """The key of its issue among the drawn covers."""
        return self.name.partition(" ")[0]


def faults(text: str) -> tuple[Defect, ...]:
    """Defects such as "d1 bend front 40 at 30, 120; d2 spine-tick spine 3 broken"; lengths in mm, else as they are measured.

    What may break the colour or not says which, with "broken" or "whole".
    """
    return tuple(_fault(each) for each in text.split("; ") if each)


def _fault(text: str) -> Defect:
    measured, _, at = text.partition(" at ")
    name, kind, face, amount, *more = measured.split()
    return fault(name, kind, face, amount, breaks=_BREAKS.get(" ".join(more)), at=at)


def left_of(came: str, left: str) -> tuple[Defect, ...]:
    """What is found at a later look: defects as `faults` reads them, and "d1 gone" for one that was there before."""
    before = {each.id: each for each in faults(came)}
    return tuple(_later(each, before) for each in left.split("; ") if each)


def _later(text: str, before: Mapping[str, Defect]) -> Defect:
    name, _, rest = text.partition(" ")
    return gone(name, before[name].type, before[name].face.value) if rest == "gone" else _fault(text)


def first_look(copy: Copy) -> Examination:
    """The look at a copy that has just come."""
    return look(
        *faults(copy.came),
        light="normal, raking",
        paper=copy.paper,
        like=copy.like,
        odour="none",
        whole=True,
        remark=copy.first_words,
        faces_looked_at=faces(f"{WHOLE_COPY}, inside"),
    )


def last_look(copy: Copy, rest: int) -> Examination:
    """The look after the work, when it had rested for so many hours."""
    return look(
        *left_of(copy.came, copy.left),
        light="normal, raking",
        rest=rest,
        like=copy.like_after,
        remark=copy.after_words,
        faces_looked_at=faces(WHOLE_COPY),
    )


def looks(copies: Sequence[Copy], moments: Iterator[str], rest: int | None = None) -> Iterator[Act]:
    """One look at each, one after another; with `rest` the one after the work."""
    for each in copies:
        yield act(each.name, next(moments), first_look(each) if rest is None else last_look(each, rest))


def evening(day: str, start: str = "18:05", step: int = 9) -> Iterator[str]:
    """Moments of one day, so many minutes apart."""
    hour, minute = (int(each) for each in start.split(":"))
    for number in range((24 * 60 - hour * 60 - minute) // step):
        now = hour * 60 + minute + number * step
        yield f"{day} {now // 60:02}:{now % 60:02}"


def worked_on(copies: Sequence[Copy]) -> Iterator[Act]:
    """Their steps of work; those with one technique at one minute were one load, and are one act."""
    loads: dict[tuple[str, str], list[tuple[str, Intervention]]] = {}
    for copy in copies:
        for step in copy.work:
            loads.setdefault((step.on, step.technique), []).append((copy.name, _step(step)))
    for (written, _), parts in loads.items():
        yield together(written, *parts)


def _step(step: Work) -> Intervention:
    pressed = step.technique.endswith("press") or step.technique.startswith("hot-press")
    return replace(
        _STEPS[step.technique],
        on=When.of_day(moment(step.on).date() - timedelta(days=1)) if pressed else None,
        worked_defects=worked(*step.at.split(", ")),
        remark=said(step.words) if step.words else Sealed(),
    )


_PRESS = "Mounting press, 40 x 50 cm"
_STEPS = {
    "dry-cleaning": Intervention(
        technique="dry-cleaning", worked_faces=(Face.FRONT, Face.BACK), materials=used("vulcanised rubber sponge")
    ),
    "cold-press": Intervention(
        technique="cold-press", tool="Nipping press", settings=Settings(moisture=Moisture.ROOM, total_minutes=1440)
    ),
    "hot-press-dry": Intervention(
        technique="hot-press-dry",
        materials=used("silicone release paper", "grey board, 2 mm"),
        tool=_PRESS,
        settings=heat("60", "57", 10, 710, rh=48),
    ),
    "hot-press-humidified": Intervention(
        technique="hot-press-humidified",
        materials=used("woven humidity membrane", "silicone release paper"),
        tool=_PRESS,
        settings=heat("60", "57", 10, 710, moisture=Moisture.CHAMBER, rh=70),
    ),
    "humidification": Intervention(
        technique="humidification",
        materials=used("woven humidity membrane"),
        tool="Lidded tray",
        settings=Settings(moisture=Moisture.CHAMBER, rh_percent=68, total_minutes=80),
    ),
    "local-heat": Intervention(
        technique="local-heat",
        materials=used("silicone release paper"),
        tool="Tacking iron, small tip",
        settings=Settings(set_celsius="75", stack="release paper over the place, board below"),
    ),
    "erase-pencil": Intervention(technique="erase-pencil", materials=used("white vinyl eraser", "soft brush")),
}
"""What every step with that technique had in common."""


def stated_by_seller(copy: Copy) -> StatedGrade | None:
    """What its seller wrote of its grade."""
    return by_seller(*copy.stated) if copy.stated else None


def own(copy: Copy, stage: str, batch: str | None = None) -> Outlook:
    """The collector's weights at that stage; with the ceiling once the work is over."""
    is_last = stage == "before sending"
    return outlook(copy.forecasts[stage], ceiling=copy.ceiling if is_last else None, stage=stage, batch=batch)


def computed(name: str, batch: str, service: str) -> Late:
    """What the rules and the results so far say of a copy that is about to be sent, worked out at that moment."""

    def at_that_moment(told: Told) -> Outlook:
        assert told.ledger is not None
        view = outlook_of(told.ledger, OWNER, told.ids[name], service=service)
        assert view.computed is not None
        return Outlook(
            weights=weights_of(view.computed.grades_now),
            origin=Origin.COMPUTED,
            ceiling=view.computed.held.grade or Grade("10.0"),
            stage=OutlookStage.BEFORE_SENDING,
            for_batch=batch,
        )

    return at_that_moment


def shares(amount: str, code: str, weights: Sequence[int]) -> list[Sealed[Money]]:
    """An amount split over several copies, to the last cent."""
    return [Sealed.of(part) for part in Money.of(amount, code).split(weights)]
