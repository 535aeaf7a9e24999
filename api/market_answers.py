"""What the service says of prospects and batches, and the bodies it takes for them."""

from pydantic import BaseModel, ConfigDict, Field

from api.schemas import Answer
from ledger.batches import BOOKS_MOST
from ledger.events._parts import Defect, Holding, Issue, StatedGrade
from ledger.events.outlook import Weight
from ledger.events.slab import Outcome
from ledger.events.submission import Ask, Stage
from ledger.market import Verdict
from ledger.money import Money
from ledger.prospects import PICTURES_MOST
from ledger.rules.grades import Grade
from ledger.shares import SHARE_MOST
from ledger.when import When

_DIGEST = r"^[0-9a-f]{64}$"
_BATCH = r"^[a-z0-9-]{1,40}$"
_WEIGHTS = "Over the steps of the ten-point scale; together they make 1000 thousandths."


class Body(BaseModel):
    """What is sent; nothing in it that is not described."""

    model_config = ConfigDict(extra="forbid")


class ProspectBody(Body):
    """A prospect, whole: what a listing says and shows of a book that is not bought."""

    issue: Issue = Field(description="What was printed.")
    asking: Money | None = Field(None, description="The asking price.")
    holding: Holding = Field(Holding.NOT_STATED, description="Raw or slabbed, as the listing says.")
    stated: StatedGrade | None = Field(None, description="The grade the listing states.")
    seller: str = Field("", max_length=400, description="Who sells it.")
    venue: str = Field("", max_length=400, description="Shop, fair, auction or site.")
    listing: str = Field("", max_length=4000, description="The words of the listing, or where it stands.")
    defects: list[Defect] = Field(default_factory=list, max_length=200, description="Defects, as far as seen.")
    pictures: list[str] = Field(
        default_factory=list,
        max_length=PICTURES_MOST,
        description="SHA-256 of pictures that were sent to /photographs; each is shown as its clean copy.",
        json_schema_extra={"items": {"type": "string", "pattern": _DIGEST}},
    )
    note: str = Field("", max_length=4000, description="The collector's own words.")


class OutlookBody(Body):
    """The collector's own outlook on a prospect; it replaces the one stated before."""

    weights: list[Weight] = Field(min_length=1, max_length=25, description=_WEIGHTS)


class VerdictBody(Body):
    """What became of a prospect that was not bought."""

    verdict: Verdict = Field(description="`passed up`, or `open` to take that back; it is bought by its purchase.")
    why: str = Field("", max_length=4000, description="Why it was passed up.")


class ProspectAnswer(Answer):
    """One prospect; it lies beside the ledger and is no part of the account."""

    id: str = Field(description="Id of the prospect.")
    issue: Issue = Field(description="What was printed.")
    asking: Money | None = Field(description="The asking price; null where none is known.")
    holding: Holding = Field(description="Raw or slabbed, as the listing says.")
    stated: StatedGrade | None = Field(description="The grade the listing states; null for none.")
    seller: str = Field(description="Who sells it.")
    venue: str = Field(description="Shop, fair, auction or site.")
    listing: str = Field(description="The words of the listing, or where it stands.")
    defects: list[Defect] = Field(description="Defects, as far as seen.")
    pictures: list[str] = Field(description="SHA-256 of the clean copies of its pictures.")
    note: str = Field(description="The collector's own words.")
    weights: list[Weight] = Field(description=f"The collector's own outlook, empty for none. {_WEIGHTS}")
    weighed: str | None = Field(description="When the outlook was stated. Units: UTC.")
    verdict: Verdict = Field(description="What became of it.")
    decided: str | None = Field(description="When it was bought or passed up. Units: UTC.")
    why: str = Field(description="Why it was passed up.")
    book: str | None = Field(description="Id of the book it became; null where it was not bought.")
    made: str = Field(description="When it was kept. Units: UTC.")


class ProspectList(Answer):
    """All prospects."""

    prospects: list[ProspectAnswer] = Field(description="The prospects, the newest first.")


class SentBookBody(Body):
    """One book of a batch that goes out."""

    book: str = Field(min_length=1, max_length=64, description="Id of the book.")
    insured_for: Money | None = Field(None, description="What the carrier or the policy would pay for this book.")
    share: int | None = Field(
        None, ge=0, le=SHARE_MOST, description="Its share of fee and postage; all books have one, or none."
    )


class SendBody(Body):
    """Books that go out together; what the whole costs is split to the smallest unit."""

    batch: str = Field(pattern=_BATCH, description="Your own id of the batch: lower-case letters, digits, hyphens.")
    on: When | None = Field(None, description="When they were sent. EDTF; null is not known.")
    asks: Ask = Field(Ask.GRADE, description="What the service is asked for.")
    speed: str | None = Field(None, min_length=1, max_length=40, description="As the service calls it, or in days.")
    service: str | None = Field(None, min_length=1, max_length=400, description="Who grades.")
    fee: Money | None = Field(None, description="Expected for the whole batch.")
    postage: Money | None = Field(None, description="Carriage and its insurance for the whole batch.")
    books: list[SentBookBody] = Field(min_length=1, max_length=BOOKS_MOST, description="The books.")


class NewsBody(Body):
    """How far a batch is: received there, or shipped back."""

    stage: Stage = Field(description="`received there` or `shipped back`; books that are so far already stay.")
    on: When | None = Field(None, description="When it happened. EDTF; null is not known.")


class ResultBody(Body):
    """What came of one book."""

    book: str = Field(min_length=1, max_length=64, description="Id of the book.")
    outcome: Outcome = Field(Outcome.GRADE_GIVEN, description="What came of it.")
    as_written: str | None = Field(None, min_length=1, max_length=60, description="The grade as on the holder.")
    step: Grade | None = Field(None, description="The one step of the scale that it means.")
    holder_number: str | None = Field(None, min_length=1, max_length=40, description="As it stands on the holder.")
    page_tone: str | None = Field(None, min_length=1, max_length=60, description="In the service's own words.")
    remarks: str | None = Field(None, min_length=1, max_length=4000, description="Remarks of the service.")
    fee: Money | None = Field(None, description="What was charged for grading this book.")
    share: int | None = Field(None, ge=0, le=SHARE_MOST, description="Its share of the invoice; all have one, or none.")


class ResultsBody(Body):
    """What came of a batch, or of those of its books that are back."""

    on: When | None = Field(None, description="When they were graded. EDTF; null is not known.")
    came_back: When | None = Field(None, description="When they were in hand. EDTF; null is not known.")
    service: str | None = Field(None, min_length=1, max_length=400, description="Left out, it is the batch's own.")
    invoice: Money | None = Field(None, description="The invoice for these books, the fee in it; it is split.")
    results: list[ResultBody] = Field(min_length=1, max_length=BOOKS_MOST, description="One for each book.")


MARKET_BODIES = (ProspectBody, OutlookBody, VerdictBody, SendBody, NewsBody, ResultsBody)
"""The bodies here, for the document."""


class InBatchAnswer(Answer):
    """One book on one way out and back."""

    book: str = Field(description="Id of the book.")
    title: str = Field(description="Series title.")
    number: str = Field(description="Number, as printed.")
    sent: int = Field(description="Number of the entry that says it was sent.")
    stage: Stage = Field(description="How far it came.")
    under_way: bool = Field(description="Nothing came of it yet.")
    outcome: Outcome | None = Field(description="What came of it; null while it is under way.")
    outcome_entry: int | None = Field(description="Number of the entry that says so.")
    grade: Grade | None = Field(description="The step it was given; null for none.")
    forecast_entry: int | None = Field(
        description="Number of the entry of the last outlook that stood before it was sent; null for none."
    )
    forecast_middle: Grade | None = Field(description="The step at which half of that outlook's weight is reached.")
    surprise_steps: int | None = Field(
        description="Steps from that middle to the grade; above 0 is better than forecast. Units: steps."
    )


class BatchAnswer(Answer):
    """Books that went out together."""

    batch: str = Field(description="Id of the batch.")
    is_open: bool = Field(description="Some of its books are under way.")
    stage: Stage | None = Field(description="How far the slowest is; null when all came to an end.")
    sent_on: str | None = Field(description="When the first was sent. EDTF; null is not known.")
    service: str | None = Field(description="Who grades, where it is at hand.")
    asks: Ask | None = Field(description="What was asked for.")
    books: list[InBatchAnswer] = Field(description="The books, in the order in which they were written down.")


class BatchList(Answer):
    """All batches."""

    batches: list[BatchAnswer] = Field(description="The batches, the one with the newest entry first.")
