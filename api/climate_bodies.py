"""What is sent to take in a climate file."""

from pydantic import BaseModel, ConfigDict, Field

from ledger.events._spelling import SHORT_ID
from ledger.events.climate import DateOrder, Unit

__all__ = ["TakeBody"]


class WhereBody(BaseModel):
    """Where one channel of the file was read."""

    model_config = ConfigDict(extra="forbid")

    channel: int = Field(ge=1, le=64, description="Number of the channel in the file.")
    room: str = Field(pattern=SHORT_ID, description="Id of the room, as its own entry has it.")
    wall: str | None = Field(
        None, pattern=SHORT_ID, description="Id of the wall at whose surface it was read; null is in the room."
    )
    place: str | None = Field(None, max_length=1000, description="Where in the room, in your own words; sealed.")


class TakeBody(BaseModel):
    """What is taken in of a file that was looked at."""

    model_config = ConfigDict(extra="forbid")

    channels: list[WhereBody] = Field(min_length=1, max_length=64, description="The channels, each once.")
    dates: DateOrder | None = Field(
        None, description="The order of dates; needed where all dates of the file can be read in two ways."
    )
    temperature_unit: Unit | None = Field(
        None, description="In what temperatures are given; needed where the file does not say it."
    )
    file_name: str | None = Field(None, max_length=200, description="Name of the file; sealed.")
    remark: str | None = Field(None, max_length=4000, description="Whatever is to be known of it; sealed.")
