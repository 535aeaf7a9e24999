"""The light of a plan of rotation as it is answered: days a year its spots allow, and its turns in another light."""

from pydantic import BaseModel, ConfigDict, Field

from api.light_answers import BoundsAnswer, bounds_answer
from api.rotation_answers import RotationAnswer
from api.schemas import Answer
from ledger.events._parts import Answer as YesNo
from ledger.events._spelling import SHORT_ID
from ledger.rotations import Rotation
from ledger.usecases.rotation_known import KnownLight, year_there
from ledger.usecases.rotation_what_if import RotationWhatIf

__all__ = ["RotationDays", "RotationTried", "RotationTryBody", "told_days"]

_DECIMAL = r"^(0|[1-9][0-9]{0,5})(\.[0-9]{1,3})?$"


class RotationTryBody(BaseModel):
    """Another light at one spot of the plan, or at all of them; what is left out stays as it is."""

    model_config = ConfigDict(extra="forbid")

    spot: str | None = Field(None, max_length=40, description="Id of a spot of the plan; null is every one.")
    room: str | None = Field(None, pattern=SHORT_ID, description="Id of the room it would be in; with it its wall.")
    wall: str | None = Field(None, pattern=SHORT_ID, description="Id of the wall it would be on.")
    x_cm: str | None = Field(None, pattern=_DECIMAL, description="From the left end. Units: cm, a decimal as text.")
    y_cm: str | None = Field(None, pattern=_DECIMAL, description="From the floor. Units: cm, a decimal as text.")
    dim_to_percent: int | None = Field(None, ge=0, le=100, description="So much of the light. Units: per cent.")
    uv_filter: YesNo | None = Field(None, description="Whether ultraviolet is filtered out.")

    def asked(self) -> RotationWhatIf:
        """As the ledger hears it."""
        said = self.model_dump(exclude={"room", "wall"})
        return RotationWhatIf(**said, wall=(self.room, self.wall) if self.room and self.wall else None)


class RotationTried(Answer):
    """A plan as it is, and the same turns in another light; nothing of it is kept."""

    now: RotationAnswer = Field(description="The plan.")
    then: RotationAnswer = Field(description="The same turns in that light.")


class SpotDaysAnswer(Answer):
    """One book at one spot of the plan, in the light of that spot now."""

    spot: str = Field(description="Id of the spot within the plan.")
    book: str = Field(description="Id of the book.")
    days: BoundsAnswer | None = Field(
        description="Days a year that the yearly limit of its class allows there; null in a member is all year, null "
        "is not known. Units: d."
    )
    copies: int | None = Field(description="Books that would fill the spot for a year by turns; null is not known.")


class RotationDays(Answer):
    """Every book of a plan at every spot of it."""

    days: list[SpotDaysAnswer] = Field(description="Spot after spot, the books in the order of the plan.")


def told_days(plan: Rotation, known: KnownLight) -> RotationDays:
    """Every book at every spot."""
    found = []
    for spot in plan.spots:
        for book in plan.books:
            there = year_there(known, spot.where, book.book)
            days = bounds_answer(there.days)
            found.append(SpotDaysAnswer(spot=spot.id, book=book.book, days=days, copies=there.copies))
    return RotationDays(days=found)
