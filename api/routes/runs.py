"""runs and wants: every series with what is owned and missing, and copies that are looked for; kept beside the ledger."""

from typing import Annotated, Final

from fastapi import APIRouter, Path
from pydantic import BaseModel, ConfigDict, Field

from api.bodies import read_body, read_json
from api.deps import LedgerDep, OwningBodyDep, OwningDep, ReadingDep
from api.documents import EVERYWHERE, failures
from api.schemas import Answer
from ledger.money import Money
from ledger.rules.grades import Grade
from ledger.runs import NUMBERS_MOST, NumberLine, Run, read_printed, spelled
from ledger.usecases import runs as work
from ledger.usecases import wants

__all__ = ["RunBody", "WantBody", "router"]

router = APIRouter(tags=["runs"])

_LIST: Final = 4_000
_YEAR: Final = "Year in which the series began; null where that is not known."
_TITLE: Final = "Title of the series."
RunId = Annotated[str, Path(description="Name of the run.", examples=["the-copper-lantern-1962-1c52b1a6"])]
WantId = Annotated[str, Path(description="Id of the want.", examples=["k3j8h2g4f6d5s3a7b7q2m4x6n5"])]


class RunBody(BaseModel):
    """Which numbers of a series there are."""

    model_config = ConfigDict(extra="forbid")

    title: str = Field(min_length=1, max_length=work.TITLE_MOST, description=_TITLE)
    start_year: int | None = Field(None, ge=work.YEARS[0], le=work.YEARS[1], description=_YEAR)
    first: int | None = Field(None, ge=0, le=999_999, description="The first number; with it goes the last.")
    last: int | None = Field(None, ge=0, le=999_999, description="The last number.")
    never: str = Field("", max_length=_LIST, description="Numbers between them that were never printed: 13, 27-29.")
    also: str = Field("", max_length=_LIST, description="Numbers printed besides, as text: 1/2, Annual 1-3.")


class CopyAnswer(Answer):
    """One copy that is owned."""

    book: str = Field(description="Id of the book.")
    grade: str | None = Field(description="Its grade in force as it was written; null where none is.")


class NumberAnswer(Answer):
    """One number of which there is a book."""

    number: str = Field(description="As printed.")
    copies: list[CopyAnswer] = Field(min_length=1, description="The best first: the highest grade in force.")
    exists: bool = Field(description="False where it is not among the numbers that there are by the collector's word.")


class RunAnswer(Answer):
    """One series."""

    run: str = Field(description="Name of the run, made of its title and year.")
    title: str = Field(description=_TITLE)
    start_year: int | None = Field(description=_YEAR)
    said: bool = Field(description="The collector has said which numbers there are.")
    first: int | None = Field(description="The first number; null where none was said.")
    last: int | None = Field(description="The last number; null where none was said.")
    never: str = Field(description="Never printed, as it is sent.")
    also: str = Field(description="Printed besides, as it is sent.")
    owned: list[NumberAnswer] = Field(description="In the order of numbers: figures by value, then words.")
    missing: list[str] = Field(max_length=2 * NUMBERS_MOST, description="Numbers that exist and are not owned.")
    double: list[str] = Field(description="Numbers of which there are two copies or more.")


class RunList(Answer):
    """Runs."""

    runs: list[RunAnswer] = Field(description="In the order of titles.")


class WantBody(BaseModel):
    """A copy that is looked for."""

    model_config = ConfigDict(extra="forbid")

    title: str = Field(min_length=1, max_length=work.TITLE_MOST, description=_TITLE)
    number: str = Field(min_length=1, max_length=wants.NUMBER_MOST, description="As printed.")
    start_year: int | None = Field(None, ge=work.YEARS[0], le=work.YEARS[1], description=_YEAR)
    least: Grade | None = Field(None, description="The lowest grade that will do; null for any.")
    most: Money | None = Field(None, description="The most to pay; null for no limit.")
    note: str = Field("", max_length=wants.NOTE_MOST, description="Words of one's own.")


class WantAnswer(Answer):
    """A copy that is looked for, and what is owned of it."""

    id: str = Field(description="Id of the want.")
    title: str = Field(description=_TITLE)
    number: str = Field(description="As printed.")
    start_year: int | None = Field(description=_YEAR)
    least: Grade | None = Field(description="The lowest grade that will do; null for any.")
    most: Money | None = Field(description="The most to pay; null for no limit.")
    note: str = Field(description="Words of one's own; empty for none.")
    best: CopyAnswer | None = Field(description="The best copy that is owned; null for none.")
    met: bool = Field(description="A copy is owned that is good enough.")


class WantList(Answer):
    """Wants."""

    wants: list[WantAnswer] = Field(description="In the order of titles and numbers, those that are met among them.")


@router.get("/runs", summary="List runs", response_description="The runs.", responses=failures(*EVERYWHERE))
def list_runs(ledger: LedgerDep, actor: ReadingDep) -> RunList:
    """Every series of which there is a book or of which it is said which numbers there are."""
    return RunList(runs=[_run(each) for each in work.look_at_runs(ledger, actor)])


@router.post(
    "/runs",
    summary="Say which numbers a run has",
    response_description="The run.",
    responses=failures(409, 413, 415, 422, *EVERYWHERE),
)
def state_run(ledger: LedgerDep, actor: OwningDep, data: OwningBodyDep) -> RunAnswer:
    """What was said of it before is replaced. It is kept beside the ledger, and nothing is looked up."""
    asked = read_body(RunBody, read_json(data))
    first, last = ("" if each is None else str(each) for each in (asked.first, asked.last))
    printed = read_printed(first, last, asked.never, asked.also)
    said = work.RunSaid(title=asked.title, start_year=asked.start_year, printed=printed)
    return _run(work.state_run(ledger, actor, said))


@router.get("/runs/{run}", summary="Read a run", response_description="The run.", responses=failures(404, *EVERYWHERE))
def read_run(ledger: LedgerDep, actor: ReadingDep, run: RunId) -> RunAnswer:
    """What is owned, missing and double, and the best copy of each number."""
    return _run(work.look_at_run(ledger, actor, run))


@router.delete(
    "/runs/{run}",
    summary="Say nothing of a run's numbers",
    status_code=204,
    response_description="Nothing is said of them any more.",
    responses=failures(404, 409, *EVERYWHERE),
)
def forget_run(ledger: LedgerDep, actor: OwningDep, run: RunId) -> None:
    """The books of it stay as they are."""
    work.forget_run(ledger, actor, run)


@router.get("/wants", summary="List wants", response_description="The wants.", responses=failures(*EVERYWHERE))
def list_wants(ledger: LedgerDep, actor: ReadingDep) -> WantList:
    """Every copy that is looked for, with what is owned of it."""
    return WantList(wants=[_want(each) for each in wants.look_at_wants(ledger, actor).wants])


@router.post(
    "/wants",
    summary="Look for a copy",
    status_code=201,
    response_description="The want.",
    responses=failures(409, 413, 415, 422, *EVERYWHERE),
)
def keep_want(ledger: LedgerDep, actor: OwningDep, data: OwningBodyDep) -> WantAnswer:
    """It is kept beside the ledger."""
    made = wants.keep_want(ledger, actor, _said(read_body(WantBody, read_json(data))))
    return _want(made)


@router.put(
    "/wants/{want}",
    summary="Change a want",
    response_description="The want.",
    responses=failures(404, 409, 413, 415, 422, *EVERYWHERE),
)
def change_want(ledger: LedgerDep, actor: OwningDep, want: WantId, data: OwningBodyDep) -> WantAnswer:
    """The whole of it is sent."""
    return _want(wants.keep_want(ledger, actor, _said(read_body(WantBody, read_json(data))), want))


@router.delete(
    "/wants/{want}",
    summary="Look for a copy no more",
    status_code=204,
    response_description="It is wanted no more.",
    responses=failures(404, 409, *EVERYWHERE),
)
def take_want(ledger: LedgerDep, actor: OwningDep, want: WantId) -> None:
    """Nothing is kept of it."""
    wants.take_want(ledger, actor, want)


def _run(run: Run) -> RunAnswer:
    printed = run.printed
    return RunAnswer(
        run=run.key,
        title=run.title,
        start_year=run.start_year,
        said=printed is not None,
        first=printed.first if printed else None,
        last=printed.last if printed else None,
        never=spelled(printed.never) if printed else "",
        also=spelled(printed.also) if printed else "",
        owned=[_number(each) for each in run.owned],
        missing=[each.number for each in run.missing],
        double=[each.number for each in run.double],
    )


def _number(line: NumberLine) -> NumberAnswer:
    copies = [CopyAnswer(book=each.book, grade=each.grade) for each in line.books]
    return NumberAnswer(number=line.number, copies=copies, exists=line.exists)


def _said(asked: WantBody) -> wants.WantSaid:
    return wants.WantSaid(
        title=asked.title,
        number=asked.number,
        start_year=asked.start_year,
        least=asked.least,
        most=asked.most,
        note=asked.note,
    )


def _want(want: wants.Want) -> WantAnswer:
    said, best = want.said, want.best
    return WantAnswer(
        id=want.id,
        title=said.title,
        number=said.number,
        start_year=said.start_year,
        least=said.least,
        most=said.most,
        note=said.note,
        best=None if best is None else CopyAnswer(book=best.book, grade=best.grade),
        met=want.is_met,
    )
