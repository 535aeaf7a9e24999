"""Books that the demo's collector looked at and has not bought: two that are open, and one that was passed up."""

from io import BytesIO

from ledger.actor import Actor
from ledger.events._parts import Answer, Defect, Face, Holding, Issue, OpinionOf, StatedGrade
from ledger.events.outlook import Weight
from ledger.money import Money
from ledger.ports import Ledger
from ledger.prospects import ProspectSaid
from ledger.rules.grades import Grade
from ledger.usecases.prospects import keep_prospect, pass_up, state_outlook
from seeds.draw import draw

__all__ = ["lay_prospects"]

PRESSABLE = ProspectSaid(
    issue=Issue(title="The Unlit Stair", number="4", start_year=1958),
    asking=Money.of("185.00", "EUR"),
    holding=Holding.RAW,
    stated=StatedGrade(as_written="VF-", steps=(Grade("7.5"),), opinion_of=OpinionOf.SELLER),
    seller="A widow in the old harbour",
    venue="Autumn fair",
    listing="Bright copy. One bend across the lower corner, no writing, staples tight.",
    defects=(
        Defect(id="d1", type="bend", face=Face.FRONT, breaks_colour=Answer.NO, size_mm="38"),
        Defect(id="d2", type="spine-tick", face=Face.SPINE, breaks_colour=Answer.YES, count=2, size_mm="2"),
    ),
    note="The bend should go. The two ticks stay.",
)
UNSEEN = ProspectSaid(
    issue=Issue(title="Gearbox Garrity", number="7"),
    asking=Money.of("60.00", "GBP"),
    listing="Reader copy from a box lot; the back is not shown.",
)
TOO_DEAR = ProspectSaid(
    issue=Issue(title="Ganymede Mail", number="19"),
    asking=Money.of("420.00", "EUR"),
    holding=Holding.SLABBED,
    stated=StatedGrade(as_written="9.0", steps=(Grade("9.0"),)),
    venue="Evening auction",
    listing="In a holder, front only.",
)


def lay_prospects(ledger: Ledger, actor: Actor) -> None:
    """The three, as of this moment."""
    first = keep_prospect(ledger, actor, PRESSABLE, [_picture("unlit-stair-4")])
    state_outlook(ledger, actor, first.id, _weights("7.5 150, 8.0 450, 8.5 300, 9.0 100"))
    keep_prospect(ledger, actor, UNSEEN)
    dear = keep_prospect(ledger, actor, TOO_DEAR)
    state_outlook(ledger, actor, dear.id, _weights("8.5 200, 9.0 700, 9.2 100"))
    pass_up(ledger, actor, dear.id, "Nothing to gain: the holder stands, and it costs what a 9.2 would bring.")


def _weights(text: str) -> list[Weight]:
    pairs = (each.split() for each in text.split(", "))
    return [Weight(grade=Grade(grade), per_mille=int(per_mille)) for grade, per_mille in pairs]


def _picture(name: str) -> bytes:
    data = BytesIO()
    draw(name).save(data, "PNG")
    return data.getvalue()
