"""What may be asked of a list, parameter by parameter, and the link to its next page."""

from collections import Counter
from collections.abc import Callable, Mapping
from enum import StrEnum
from functools import cache
from typing import Annotated, Any, Literal, get_origin, get_type_hints
from urllib.parse import urlencode

from fastapi import Request
from pydantic import AfterValidator, BaseModel, ConfigDict, Field

from api.refusals import RequestError
from ledger.book import Status
from ledger.errors import MalformedError
from ledger.events import KINDS
from ledger.events._parts import Holding
from ledger.events.placement import Spot
from ledger.proof.canonical import GREATEST
from ledger.rules.grades import Grade, grades
from ledger.rules.headings import Heading
from ledger.usecases.prove import Opened
from ledger.views import PAGE, PAGE_MOST, BookQuery, EntryQuery

Limit = Annotated[int, Field(ge=1, le=PAGE_MOST, description=f"Rows of the page, up to {PAGE_MOST}.", examples=[20])]


def _a_kind(name: str) -> str:
    """The name of a kind this program knows."""
    if name not in KINDS:
        raise ValueError(f"there is no such kind. It is one of: {', '.join(sorted(KINDS))}")
    return name


KindName = Annotated[str, AfterValidator(_a_kind), Field(json_schema_extra={"enum": sorted(KINDS)})]


def _a_step(text: str) -> str:
    """The text of a step of the ten-point scale."""
    try:
        return Grade.parse(text).text
    except MalformedError as error:
        raise ValueError(str(error)) from error


Step = Annotated[
    str, AfterValidator(_a_step), Field(json_schema_extra={"enum": [grade.text for grade in reversed(grades())]})
]


class Asked(BaseModel):
    """Parameters of a list; one that is not described is refused, lest a misspelt filter let everything through."""

    model_config = ConfigDict(frozen=True, extra="forbid")


class BooksAsked(Asked):
    """Which books, in which order."""

    q: str | None = Field(
        None,
        max_length=200,
        pattern=r"^[^\x00-\x1f]*$",
        description="Words to look for in title, number, publisher and the like.",
        examples=["lantern"],
    )
    status: Status | None = Field(None, description="Where the book stands with the collection.", examples=["here"])
    holding: Holding | None = Field(None, description="In a sealed holder or not.", examples=["raw"])
    heading: Heading | None = Field(
        None, description="Highest heading of the work done here.", examples=["non-additive"]
    )
    spot: Spot | None = Field(None, description="The kind of spot it is in.", examples=["wall"])
    on_bench: bool | None = Field(None, description="Being worked on.", examples=[True])
    grade_from: Step | None = Field(None, description="At least this step of the ten-point scale.", examples=["6.0"])
    grade_to: Step | None = Field(None, description="At most this step of the ten-point scale.", examples=["9.4"])
    sort: Literal["title", "number", "grade", "recent"] = Field(
        "title", description="Order: by title, number, grade, or last entry.", examples=["recent"]
    )
    descending: bool = Field(default=False, description="The other way round.", examples=[True])
    after: str | None = Field(
        None,
        max_length=500,
        pattern=r"^[!-~]+$",
        description="Cursor from the Link header of the page before; not to be made up.",
    )
    limit: Limit = PAGE

    def query(self) -> BookQuery:
        """What the ledger is asked."""
        return BookQuery(
            text=self.q or None,
            status=self.status,
            holding=self.holding,
            heading=self.heading,
            spot=self.spot,
            on_bench=self.on_bench,
            grade_from=None if self.grade_from is None else Grade(self.grade_from).step,
            grade_to=None if self.grade_to is None else Grade(self.grade_to).step,
            sort=self.sort,
            descending=self.descending,
            after=self.after,
            limit=self.limit,
        )


class EventsAsked(Asked):
    """Which entries of the whole collection, in the order they were recorded."""

    kind: list[KindName] = Field([], max_length=50, description="Only these kinds; repeat it for more than one.")
    newest_first: bool = Field(default=False, description="The last recorded first.", examples=[True])
    after: int | None = Field(
        None, ge=0, le=GREATEST, description="Only entries past this number, in the order asked for.", examples=[40]
    )
    limit: Limit = PAGE

    def query(self) -> EntryQuery:
        """What the ledger is asked."""
        return EntryQuery(
            kinds=tuple(dict.fromkeys(self.kind)),
            after=self.after or 0,
            limit=self.limit,
            newest_first=self.newest_first,
        )


class Order(StrEnum):
    """In which order a book's entries are told."""

    HAPPENED = "happened"
    RECORDED = "recorded"


class BookEventsAsked(Asked):
    """In which order a book's entries are told."""

    order: Order = Field(Order.HAPPENED, description="As it happened, or as it was recorded.", examples=["recorded"])


class InclusionAsked(Asked):
    """Which entry is proven, in which ledger."""

    seq: int = Field(ge=1, le=GREATEST, description="Number of the entry.", examples=[1])
    size: int | None = Field(
        None, ge=1, le=GREATEST, description="Size of the ledger, in entries; left out, as it is now.", examples=[3]
    )


class ConsistencyAsked(Asked):
    """Between which two sizes."""

    first: int = Field(ge=1, le=GREATEST, description="The earlier size, in entries.", examples=[1])
    second: int | None = Field(
        None, ge=1, le=GREATEST, description="The later size, in entries; left out, as it is now.", examples=[3]
    )


class HeadAsked(Asked):
    """Which book is proven, and what is held from before."""

    book: str = Field(description="Id of the book.", examples=["b7q2m4x6n5k3j8h2g4f6d5s3a7"])
    held: int | None = Field(
        None, ge=1, le=GREATEST, description="Size of a checkpoint you hold from before, in entries.", examples=[2]
    )
    open: Opened = Field(
        Opened.SHOWN,
        description="Which sealed values the file opens: none, those that a record shows by default, or all at hand.",
        examples=["shown"],
    )


class AlignmentAsked(Asked):
    """Which photograph is laid over which."""

    before: int = Field(ge=1, le=GREATEST, description="Number of the entry of the earlier photograph.", examples=[4])
    after: int = Field(ge=1, le=GREATEST, description="Number of the entry of the later photograph.", examples=[9])


class ToldAsked(Asked):
    """By which entries a load was told."""

    entry: list[Annotated[int, Field(ge=1, le=GREATEST)]] = Field(
        [],
        max_length=60,
        description="Numbers of the entries that tell what was done, each an intervention on a book of the load; repeat it "
        "for more than one. None: it never went in.",
    )


def refuse_unasked(request: Request) -> None:
    """Every parameter is one that the route knows, and stands once, unless it may be repeated.

    The framework would take the last of several, and lists would look other than whoever asks thinks.
    Raises: RequestError.
    """
    known = _known(request.scope["endpoint"])
    for name, count in Counter(name for name, _ in request.query_params.multi_items()).items():
        if name not in known:
            raise RequestError(field=name, sentence=f"There is no parameter {name} here. Leave it out.")
        if count > 1 and not known[name]:
            raise RequestError(field=name, sentence=f"{name} is given more than once. Give it once.")


@cache
def _known(endpoint: Callable[..., Any]) -> Mapping[str, bool]:
    """The parameters of a route, each with whether it may be repeated."""
    kinds = (each for each in get_type_hints(endpoint).values() if isinstance(each, type) and issubclass(each, Asked))
    fields = {name: field for kind in kinds for name, field in kind.model_fields.items()}
    return {name: get_origin(field.annotation) is list for name, field in fields.items()}


def next_link(request: Request, after: str) -> str:
    """The link to the page that follows, with everything else asked the same.

    Source: RFC 8288 section 3.
    """
    asked = [(name, value) for name, value in request.query_params.multi_items() if name != "after"]
    return f'<{request.url.path}?{urlencode([*asked, ("after", after)])}>; rel="next"'
