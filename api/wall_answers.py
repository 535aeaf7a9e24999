"""What the service says of a room's air at the surface of a wall."""

from pydantic import Field

from api.queries import Asked
from api.schemas import Answer
from ledger.wall_air import AtSurface, WallAir

__all__ = ["WallAirAnswer", "WallAsk", "wall_air_told"]

DECIMALS = 2
_FIGURE = r"^-?[0-9]{1,3}([.,][0-9]{1,4})?$"


class WallAsk(Asked):
    """The air of the room, and what is known of the wall."""

    celsius: str = Field(pattern=_FIGURE, description="Temperature of the room. Units: °C.", examples=["21"])
    rh: str = Field(pattern=_FIGURE, description="Relative humidity of the room. Units: per cent.", examples=["55"])
    outside: str | None = Field(
        None, pattern=_FIGURE, description="Temperature outdoors, for an estimate. Units: °C.", examples=["0"]
    )
    kind: str | None = Field(
        None,
        max_length=60,
        description="A wall of the table `damp_walls`; left out, any of them.",
        examples=["solid-brick"],
    )
    surface: str | None = Field(
        None, pattern=_FIGURE, description="Temperature of the surface as it was measured. Units: °C.", examples=["14"]
    )


class SeenAnswer(Answer):
    """A step of a published curve for 20 to 25 °C, from memory."""

    rh: float = Field(description="From this humidity on. Units: per cent.")
    least_days: int | None = Field(
        description="Mould is seen after so many days at the least; null is years. Units: days."
    )
    most_days: int | None = Field(description="At the most; null is a year or more. Units: days.")


class WoodAnswer(Answer):
    """Weeks on sawn pine, which is slower than starchy, dirty paper."""

    growth: float = Field(description="To first growth. Units: weeks.")
    seen: float = Field(description="Until it is seen. Units: weeks.")


class SurfaceAnswer(Answer):
    """The air as it is at a surface; labels, and no finding of mould."""

    celsius: float = Field(description="Temperature of the surface. Units: °C.")
    rh: float = Field(description="Relative humidity there; 100 is wet. Units: per cent.")
    wet: bool = Field(description="Water settles.")
    mould_begins: bool = Field(description="Mould can begin above such a humidity.")
    mould_grows: bool = Field(description="Above such a humidity it grows by a millimetre a day.")
    seen: SeenAnswer | None = Field(description="Null is drier than the curve goes.")
    wood_weeks: WoodAnswer | None = Field(description="Null where it cannot begin on wood.")


class EstimateAnswer(Answer):
    """From behind a picture at the worst wall it can be, to bare at the best; corners are colder."""

    coldest: SurfaceAnswer = Field(description="The coldest it may be.")
    warmest: SurfaceAnswer = Field(description="The warmest it may be.")


class WallAirAnswer(Answer):
    """A room's air at a wall, while both sides stay as they are."""

    dew_point: float | None = Field(description="Dew point of the room; null for air without water. Units: °C.")
    estimate: EstimateAnswer | None = Field(description="Null where the temperature outdoors was not given.")
    measured: SurfaceAnswer | None = Field(
        description="At the surface as it was measured; null where it was not given."
    )


def wall_air_told(found: WallAir) -> WallAirAnswer:
    """All of it."""
    ends = found.estimate
    return WallAirAnswer(
        dew_point=None if found.dew_point is None else round(found.dew_point, DECIMALS),
        estimate=None if ends is None else EstimateAnswer(coldest=_surface(ends[0]), warmest=_surface(ends[1])),
        measured=None if found.measured is None else _surface(found.measured),
    )


def _surface(of: AtSurface) -> SurfaceAnswer:
    weeks = of.wood_weeks
    return SurfaceAnswer(
        celsius=round(of.celsius, DECIMALS),
        rh=round(of.rh, DECIMALS),
        wet=of.wet,
        mould_begins=of.mould_begins,
        mould_grows=of.mould_grows,
        seen=None if of.seen is None else SeenAnswer(rh=of.seen[0], least_days=of.seen[1], most_days=of.seen[2]),
        wood_weeks=None
        if weeks is None
        else WoodAnswer(growth=round(weeks[0], DECIMALS), seen=round(weeks[1], DECIMALS)),
    )
