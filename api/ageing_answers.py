"""What the service says of what aged a book, side by side."""

from pydantic import Field

from api.climate_answers import DECIMALS, BandAnswer, band_told
from api.schemas import Answer
from ledger.ageing_of_book import Ageing, Air
from ledger.climate_log import DAY

__all__ = ["AgeingAnswer", "ageing_told"]


class AirAnswer(Answer):
    """All stays of one kind."""

    stays: int = Field(description="How many.")
    lasted_days: float = Field(description="How long together. Units: days.")
    known_days: float = Field(description="For how long of that a log is there. Units: days.")
    equivalent_days: BandAnswer | None = Field(
        description="Days at 20 °C and 50 % that age as much as the known time; null where nothing is known. Units: days."
    )


class HeatAnswer(Answer):
    """All presses."""

    sessions: int = Field(description="Sessions of heat.")
    untold: int = Field(description="Sessions that cannot be told; they are in no figure.")
    equivalent_days: BandAnswer | None = Field(
        description="Days at 20 °C and 50 % that age as much; null where none can be told. Units: days."
    )


class AgeingAnswer(Answer):
    """What aged one book here, side by side; what aged it before it came is not known."""

    book: str = Field(description="Id of the book.")
    presses: HeatAnswer = Field(description="What heat added.")
    wall: AirAnswer = Field(description="On walls.")
    storage: AirAnswer = Field(description="In boxes and safes.")
    no_place_days: float = Field(description="Time here for which no place is known. Units: days.")


def ageing_told(found: Ageing) -> AgeingAnswer:
    """What aged one book."""
    heat = found.heat
    told = heat.sessions > heat.untold
    return AgeingAnswer(
        book=found.book,
        presses=HeatAnswer(
            sessions=heat.sessions, untold=heat.untold, equivalent_days=band_told(heat.band) if told else None
        ),
        wall=_air(found.wall),
        storage=_air(found.storage),
        no_place_days=round(found.elsewhere / DAY, DECIMALS),
    )


def _air(air: Air) -> AirAnswer:
    return AirAnswer(
        stays=len(air.stays),
        lasted_days=round(air.lasted / DAY, DECIMALS),
        known_days=round(air.known / DAY, DECIMALS),
        equivalent_days=band_told(air.equivalent) if air.known else None,
    )
