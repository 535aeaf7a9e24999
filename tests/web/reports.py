"""A book of which much is known, for the tests of its condition report."""

from typing import Final

from ledger.events._parts import Answer, Face, Light, Mark, OpinionOf, Region
from ledger.events._settings import Cooling, HeatSide, Moisture, Settings
from ledger.events._step import MaterialUsed, WorkedRegion
from ledger.events.choice import Choice, Next
from ledger.events.count import Count, Result
from ledger.events.earlier import Earlier, Verdict
from ledger.events.examination import Examination, Odour, Suppleness, Tone
from ledger.events.photograph import Photograph
from ledger.events.placement import Placement, Spot
from ledger.events.purchase import EarlierWork
from ledger.ports import Ledger
from ledger.rules.grades import Grade
from ledger.sealed import Sealed
from ledger.usecases.photograph import Shot, photograph
from tests.builders import a_defect, a_slab, an_examination, an_intervention, an_issue, an_opening, on, worked_on
from tests.pictures import a_picture
from tests.web.stories import OWNER, Shelf

__all__ = ["HOSTILE", "a_known_book", "a_look"]

HOSTILE: Final = (
    '#pagebreak() $x^2$ *b* _i_ <tag> @ref `raw` \\ // [#read("data.json")] ]{{ 7*7 }}<script>alert(1)</script>'
)
"""Text that is markup to typst, to a template or to a browser, if ever it is read as such."""


def a_look(when: str = "2024-03-20", **changes: object) -> Examination:
    """A look that has a value in every field."""
    place = Region(x_mm="10", y_mm="20.5", width_mm="30", height_mm="4")
    line = Region(x_mm="5", y_mm="6", to_x_mm="9", to_y_mm="9")
    seen: dict[str, object] = {
        "lights": (Light.NORMAL, Light.RAKING),
        "faces_looked_at": (Face.FRONT, Face.SPINE, Face.BACK),
        "rest_hours": 72,
        "height_mm": "259.5",
        "width_mm": "171",
        "thickness_mm": "2.2",
        "weight_g": "71.4",
        "pages_counted": 32,
        "completeness": Answer.YES,
        "staples_counted": 2,
        "staple_rust": Answer.NO,
        "defects": (
            a_defect(region=place),
            a_defect("d2", "tear", face=Face.BACK, size_mm="6", region=line, note="Runs into the price box"),
            a_defect("d3", "cover-loose", size_mm=None, note="At the lower staple", claimed_by=OpinionOf.SELLER),
        ),
        "marks": (Mark(id="m1", what="Blue fibre", face=Face.BACK, region=place),),
        "tone": Tone.IVORY,
        "suppleness": Suppleness.CRACKS,
        "odour": Odour.MUSTY,
        "presents_as": Grade.parse("7.5"),
        "technical": Grade.parse("7.0"),
        "examiner": Sealed.of("Q. Looker"),
        "remark": Sealed.of("Seen twice."),
    }
    return an_examination(when, **{**seen, **changes})


def a_known_book(shelf: Shelf, ledger: Ledger, *, words: str = "The press was cooler than planned.") -> str:
    """A book that was bought in a holder, opened, looked at, worked on, photographed and looked at again."""
    issue = an_issue(title=words[:60], publisher="Brindle & Oake", cover_date=on("1962-05"), printing=1, variant="B")
    book = shelf.takes(
        a_slab(issue=issue, earlier_work=EarlierWork.STATED, earlier_work_words=Sealed.of("Cleaned, I was told.")),
        Earlier(on=on("2024-02-02"), record="cd" * 32, verdict=Verdict.UNSIGNED),
        an_opening("2024-03-01", remark=Sealed.of("Seams only.")),
        a_look("2024-03-02", height_mm="260", presents_as=Grade.parse("7.0"), examiner=Sealed.of("A. Earlier")),
        Choice(on=on("2024-03-03"), next=Next.GO_ON, why=Sealed.of("It waves.")),
    )
    shown = {"on": on("2024-03-03"), "light": Light.RAKING, "of_defect": "d1", "caption": Sealed.of(words)}
    (shot,) = photograph(ledger, OWNER, book, [Shot(data=a_picture(size=(300, 420)), said=shown)]).entries
    assert isinstance(shot.event, Photograph)
    known_by = Mark(id="m1", what="Blue fibre", face=Face.BACK, photograph=shot.event.clean)
    settings = Settings(
        set_celsius="60", measured_celsius="57.5", hold_minutes=10, cooling_minutes=600, total_minutes=615,
        cooling=Cooling.IN_THE_PRESS, moisture=Moisture.ROOM, rh_percent=48, heat_side=HeatSide.BACK, stack="plate, board",
    )  # fmt: skip
    where = (WorkedRegion(face=Face.FRONT, region=Region(x_mm="1", y_mm="2")),)
    step = an_intervention(
        "hot-press-dry", "2024-03-10", settings=settings, tool="Mounting press",
        materials=(MaterialUsed(what="release paper", batch="77-B"),),
        worked_defects=worked_on("d1"), worked_faces=(Face.FRONT,), regions=where, who=Sealed.of("H. Ands"),
        remark=Sealed.of(words), changed_anything=True,
    )  # fmt: skip
    shelf.then(book, step)
    photograph(ledger, OWNER, book, [Shot(data=a_picture("navy"), said={"on": on("2024-03-19"), "face": Face.BACK})])
    shelf.then(
        book,
        a_look(defects=(a_defect(gone=True, size_mm=None),), marks=(known_by,), weight_g=None),
        Placement(on=on("2024-03-21"), spot=Spot.SAFE, place=Sealed.of("Box 4")),
        Count(on=on("2024-04-01"), result=Result.DAMAGED, remark=Sealed.of("A new dent.")),
    )
    return book
