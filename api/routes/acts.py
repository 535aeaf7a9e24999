"""acts: several books written together, all or nothing, and the entries of one act."""

import re
from dataclasses import replace
from typing import Annotated, Any

from fastapi import APIRouter, Path, Request, Response
from pydantic import BaseModel, ConfigDict, Field

from api.answers import Teller, answered
from api.bodies import BOOK_KINDS, COLLECTION_KINDS, MENDING, read_body, read_event
from api.deps import ID, TO_READERS, AppendDep, LedgerDep, an_id, kinds_of, snapshot
from api.documents import EVERYWHERE, appended, failures
from api.refusals import TagMissingError, TagStaleError
from api.schemas import Act, Written
from ledger.errors import InvalidError, Problem, RuleError, StaleError
from ledger.ports import Ledger
from ledger.usecases.record import ACT_MOST, Draft, record

router = APIRouter(tags=["acts"])


class Part(BaseModel):
    """One event of an act and what it speaks of: a book, a new book, or the collection itself when neither is said."""

    model_config = ConfigDict(extra="forbid")

    book: str | None = Field(None, pattern=f"^{ID.pattern}$", description="Id of the book it happened to.")
    new: bool = Field(default=False, description="It is the purchase of a book that is not here yet.")
    tag: int | None = Field(
        None, ge=0, description="Number of entries the book had when it was read; it must have them still."
    )
    event: dict[str, Any] = Field(description="The event, as it would be sent alone.")


class ActBody(BaseModel):
    """Events that are written together."""

    model_config = ConfigDict(extra="forbid")

    events: list[Part] = Field(min_length=1, max_length=ACT_MOST, description="The events, in the order to write them.")


@router.post(
    "/acts",
    summary="Record several events together",
    status_code=201,
    response_description="The new entries.",
    responses=appended(404, 412, 428),
)
def record_act(request: Request, response: Response, ledger: LedgerDep, append: AppendDep) -> Written:
    """A lot, a batch, a press load, a change to many books: all of it is written, or nothing.

    Whoever is shown one of the books later learns that there were others, and not which.
    """
    plain = append.plain()
    parts = read_body(ActBody, plain).events
    for place, part in enumerate(parts):
        if part.tag is None and part.book is not None and part.event.get("kind") in MENDING:
            raise TagMissingError(kind=str(part.event["kind"]), field=f"events.{place}.tag")
    tags = _tags(parts)
    drafts = _drafts(ledger, parts)
    try:
        recorded = record(ledger, append.actor, drafts, append.asked("acts", plain, tags))
    except StaleError as error:
        place = next(index for index, part in enumerate(parts) if part.book == error.book)
        raise TagStaleError(given=str(error.expected), found=error.found, field=f"events.{place}.tag") from error
    except (InvalidError, RuleError) as error:
        raise type(error)(problems=tuple(_in_its_part(each, len(parts)) for each in error.problems)) from error
    return answered(request, response, recorded, f"/acts/{recorded.act}")


@router.get(
    "/acts/{act}",
    summary="Read one act",
    response_description="Its entries.",
    responses=failures(404, *EVERYWHERE),
    dependencies=TO_READERS,
)
def read_act(
    ledger: LedgerDep,
    act: Annotated[str, Path(description="Id of the act.", examples=["k3j8h2g4f6d5s3a7b7q2m4x6n5"])],
) -> Act:
    """The entries that were written together, in their order."""
    with snapshot(ledger) as reader:
        entries = reader.of_act(an_id("act", act))
        return Act(act=act, entries=Teller(ledger, reader).tell(entries))


def _tags(parts: list[Part]) -> dict[str, int]:
    """The tag of every book that was read."""
    tags: dict[str, int] = {}
    for place, part in enumerate(parts):
        if part.book is None or part.tag is None:
            continue
        if tags.setdefault(part.book, part.tag) != part.tag:
            sentence = "This book has another tag above. All of the act rests on one reading: read it again."
            raise InvalidError(problems=(Problem(field=f"events.{place}.tag", sentence=sentence),))
    return tags


def _drafts(ledger: Ledger, parts: list[Part]) -> list[Draft]:
    """Every part read, or every problem of all of them."""
    drafts, found = [], []
    for place, part in enumerate(parts):
        at = f"events.{place}"
        if part.new and part.book is not None:
            found.append(Problem(field=f"{at}.new", sentence="A new book has no id yet. Leave out book, or new."))
        default = "purchase" if part.new else None
        try:
            event = read_event(part.event, _kinds(part), at=f"{at}.event", default=default, kind_at=kinds_of(ledger))
        except InvalidError as error:
            found += error.problems
            continue
        drafts.append(Draft(event=event, book=part.book, new_book=part.new))
    if found:
        raise InvalidError(problems=tuple(found))
    return drafts


def _kinds(part: Part) -> frozenset[str]:
    if part.new:
        return frozenset({"purchase"})
    return BOOK_KINDS if part.book is not None else COLLECTION_KINDS


def _in_its_part(problem: Problem, count: int) -> Problem:
    """The problem with its field where it stands in this body; the ledger names it by the place of the event alone."""
    found = re.fullmatch(r"events\.(\d+)(?:\.(.+))?", problem.field) if count > 1 else None
    place, rest = found.groups() if found else ("0", problem.field)
    if count > 1 and not found:
        return problem
    return replace(problem, field=f"events.{place}.event.{rest or ''}".rstrip("."))
