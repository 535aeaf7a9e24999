"""What the service takes for books bought together."""

from pydantic import Field

from api.market_answers import Body
from ledger.events._parts import Holding, Issue, StatedGrade
from ledger.events.purchase import Means
from ledger.money import Money
from ledger.shares import SHARE_MOST
from ledger.usecases.lots import LOT_LEAST, LOT_MOST
from ledger.when import When

__all__ = ["LotBody", "LotBookBody"]


class LotBookBody(Body):
    """One book of a lot."""

    issue: Issue = Field(description="What was printed.")
    holding: Holding = Field(Holding.NOT_STATED, description="Raw or slabbed.")
    holder_number: str | None = Field(None, min_length=1, max_length=40, description="As it stands on the holder.")
    stated: StatedGrade | None = Field(None, description="The opinion it came with.")
    share: int | None = Field(
        None,
        ge=0,
        le=SHARE_MOST,
        description="Its share of what was paid; all books have one, or none for equal parts.",
    )


class LotBody(Body):
    """Books that came together; what was paid for the whole is split to the smallest unit."""

    on: When | None = Field(None, description="When they were bought. EDTF; null is not known.")
    means: Means = Field(
        Means.BOUGHT,
        description="How they came; not `came back` and not `received with a record`, which come one by one.",
    )
    expects_arrival: bool = Field(default=False, description="They are not in hand yet; an arrival follows for each.")
    price: Money | None = Field(
        None, description="What was paid for the whole lot, or in a trade the agreed worth of what was given for it."
    )
    premium: Money | None = Field(None, description="What the venue took on top, for the whole lot.")
    tax: Money | None = Field(None, description="Tax on the whole lot.")
    shipping: Money | None = Field(None, description="Shipping of the whole lot.")
    seller: str | None = Field(None, min_length=1, max_length=4000, description="Who sold it.")
    venue: str | None = Field(None, min_length=1, max_length=4000, description="Shop, fair, auction or site.")
    books: list[LotBookBody] = Field(min_length=LOT_LEAST, max_length=LOT_MOST, description="The books.")
