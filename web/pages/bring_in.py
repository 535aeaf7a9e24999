"""Bring in: a spreadsheet chosen, its columns looked at, every row tried, rows mended, and then all of it or nothing."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from fastapi import APIRouter, Response

from ledger.errors import ConflictError, InvalidError, LedgerError, MalformedError, Problem, RuleError
from ledger.importing.begun import Begun, Options
from ledger.importing.runs import Run
from ledger.importing.tables import TableAsked
from ledger.usecases import imports as work
from ledger.usecases.bring_in import bring_in, hindrance
from ledger.usecases.import_fixing import file_to_fix, take_fixed
from ledger.usecases.import_kept import tables_of
from ledger.usecases.sign_in import note_use
from web.bring_in_sent import decisions_sent, mends_sent, options_sent
from web.bring_in_told import (
    CELL_MARK_WAYS,
    ENCODING_WAYS,
    FIELD_WAYS,
    WAYS,
    Ask,
    ColumnLine,
    DoubleLine,
    FirstRow,
    ProblemRow,
    asks_of,
    column_lines,
    double_lines,
    first_lines,
    problem_lines,
    stands_words,
)
from web.deps import AccountsDep, LongWorkDep, PostedDep, SignedInDep
from web.frame import Place, Told
from web.long_work import LongWork, Progress
from web.posted import Posted
from web.render import PART, Page, page, render, render_part
from web.sender import Sender, SenderDep
from web.told import go_to
from web.wording import t

router = APIRouter()

PATH: Final = "/bring-in"
ONE: Final = PATH + "/{table}"
AT_ONCE: Final = 500
"""Rows that are worked on before the page answers; more are long work."""
EACH_MOST: Final = 25
"""Rows with problems, and likely doubles, on one page."""


@page("bring_in.html")
@dataclass(frozen=True, kw_only=True)
class ChoosePage(Page):
    """A file to choose, and the tables that wait."""

    waiting: tuple[tuple[Begun, str], ...]
    encodings: tuple[tuple[str, str], ...]
    marks: tuple[tuple[str, str], ...]
    fault: str
    sent: Posted


@page("bring_in_table.html")
@dataclass(frozen=True, kw_only=True)
class TablePage(Page):
    """One table, as far as it is."""

    begun: Begun
    run: Run | None
    failure: str
    """Why the last work on it was not done; empty where it was."""
    columns: tuple[ColumnLine, ...]
    titles: tuple[str, ...]
    first: tuple[FirstRow, ...]
    asks: tuple[Ask, ...]
    rows: tuple[ProblemRow, ...]
    later: int
    """The row after which the next rows with problems come; 0 for no more."""
    after: int
    doubles: tuple[DoubleLine, ...]
    hindrance: str
    problems: tuple[Problem, ...]
    ways: Mapping[str, tuple[tuple[str, str], ...]]
    fields: tuple[tuple[str, str], ...] = FIELD_WAYS


@router.get(PATH)
def choose(by: SenderDep) -> Response:
    """What waits, and a file to begin with."""
    return render(_choose(by, Posted()))


@router.post(PATH)
def take(by: SenderDep, posted: PostedDep) -> Response:
    """The file is read and held against its limits; its columns are looked at next."""
    files = posted.files("file")
    if not files:
        return render(_choose(by, posted, t("bring_in.no_file")), status=422)
    asked = TableAsked(
        encoding=posted.get("encoding") or None, mark=posted.get("mark") or None, sheet=posted.get("sheet") or None
    )
    habits = Options(currency=by.preferences.currency)
    try:
        begun = work.begin_import(by.ledger, by.actor, files[0].name, files[0].data, asked, habits)
    except (MalformedError, ConflictError) as error:
        return render(_choose(by, posted, str(error)), status=422)
    return go_to(by.request, f"{PATH}/{begun.id}")


@router.get(ONE)
def look(by: SenderDep, works: LongWorkDep, table: str, after: int = 0) -> Response:
    """How far it is."""
    shown = _table(by, works, table, after=max(after, 0))
    return render_part(shown, "progress") if PART in by.request.headers else render(shown)


@router.post(ONE + "/columns")
def columns(by: SenderDep, works: LongWorkDep, posted: PostedDep, table: str) -> Response:
    """The columns as they were chosen; then every row is tried."""
    begun = work.look_at_import(by.ledger, by.actor, table)
    fields = [posted.get(f"column.{at}") or None for at in range(len(begun.columns.columns))]
    return _chosen(by, works, begun, fields, options_sent(posted), posted.get("source"))


@router.post(ONE + "/answers")
def answers(by: SenderDep, works: LongWorkDep, posted: PostedDep, table: str) -> Response:
    """What was asked for once; then every row is tried again, the columns as they were."""
    begun = work.look_at_import(by.ledger, by.actor, table)
    options = options_sent(posted, "asked.").over(begun.options)
    fields = [each.field for each in begun.columns.columns]
    return _chosen(by, works, begun, fields, options, begun.source)


@router.post(ONE + "/rows")
def rows(by: SenderDep, posted: PostedDep, table: str) -> Response:
    """Cells written anew, and rows left out."""
    mends, left = mends_sent(posted)
    before = _wrong(work.look_at_import(by.ledger, by.actor, table))
    begun = work.mend_rows(by.ledger, by.actor, table, mends, left)
    return go_to(by.request, _at(table, "problems"), Told(sentence=t.n("bring_in.mended", before - _wrong(begun))))


@router.post(ONE + "/doubles")
def doubles(by: SenderDep, posted: PostedDep, table: str) -> Response:
    """What was decided of rows that are likely here already."""
    real, left = decisions_sent(posted)
    work.decide_doubles(by.ledger, by.actor, table, real=real, left=left, rest=posted.get("rest"))
    return go_to(by.request, _at(table, "found"), Told(sentence=t("bring_in.decided")))


@router.get(ONE + "/to-fix.csv")
def to_fix(by: SenderDep, table: str) -> Response:
    """The rows with problems as a file."""
    text = "\ufeff" + file_to_fix(by.ledger, by.actor, table)
    named = {"Content-Disposition": 'attachment; filename="rows-to-mend.csv"'}
    return Response(text.encode(), media_type="text/csv; charset=utf-8", headers=named)


@router.post(ONE + "/fixed")
def fixed(by: SenderDep, works: LongWorkDep, posted: PostedDep, table: str) -> Response:
    """That file, mended."""
    files, fault, count = posted.files("file"), t("bring_in.no_file"), 0
    try:
        if files:
            _, count = take_fixed(by.ledger, by.actor, table, files[0].data)
            fault = ""
    except MalformedError as error:
        fault = str(error)
    if fault:
        return render(_table(by, works, table, problems=(Problem(field="file", sentence=fault),)), status=422)
    return go_to(by.request, _at(table, "problems"), Told(sentence=t.n("bring_in.mended", count)))


@router.post(ONE + "/go")
def go(by: SenderDep, works: LongWorkDep, accounts: AccountsDep, who: SignedInDep, table: str) -> Response:
    """All of it is written, or nothing."""
    begun = work.look_at_import(by.ledger, by.actor, table)
    if begun.facts.rows > AT_ONCE:
        # While all of it is written, nobody else writes: looking on and calling it off must not have to.
        note_use(accounts, who.session)
    if begun.done is None and (why := hindrance(begun)) is not None:
        return render(_table(by, works, table, problems=(Problem(field="", sentence=why),)), status=409)
    return _done(by, works, begun, lambda progress: bring_in(by.ledger, by.actor, table, progress))


@router.post(ONE + "/call-off")
def call_off(by: SenderDep, table: str) -> Response:
    """What is being worked on ends at its next row, and nothing of it is kept."""
    begun = work.look_at_import(by.ledger, by.actor, table)
    told = Told(sentence=t("bring_in.was_called_off")) if tables_of(by.ledger).runs.call_off(begun.id) else None
    return go_to(by.request, _at(table), told)


@router.post(ONE + "/put-away")
def put_away(by: SenderDep, table: str) -> Response:
    """Nothing of the file is kept."""
    work.put_away(by.ledger, by.actor, table)
    return go_to(by.request, PATH, Told(sentence=t("bring_in.away")))


def _chosen(  # noqa: PLR0913 - what can be chosen
    by: Sender, works: LongWork, begun: Begun, fields: Sequence[str | None], options: Options, source: str
) -> Response:
    """Every row is tried with it."""
    own = begun.id
    try:
        chosen = work.choose_columns(by.ledger, by.actor, own, fields, options, source)
    except InvalidError as error:
        return render(_table(by, works, own, problems=error.problems), status=422)
    return _done(by, works, chosen, lambda progress: work.check_import(by.ledger, by.actor, own, progress))


def _done(by: Sender, works: LongWork, begun: Begun, do: Callable[[Progress], Begun]) -> Response:
    """It is done at once, or goes on behind the page where there are many rows."""
    if begun.facts.rows > AT_ONCE:
        told = None if works.start(_name(begun), do) else Told(sentence=t("bring_in.busy"))
        return go_to(by.request, _at(begun.id), told)
    try:
        done = do(lambda _done, _expected: None)
    except (ConflictError, InvalidError, RuleError) as error:
        problems = (
            error.problems if isinstance(error, InvalidError | RuleError) else (Problem(field="", sentence=str(error)),)
        )
        return render(_table(by, works, begun.id, problems=problems), status=409)
    return go_to(by.request, _at(begun.id, "" if done.done else "found"))


def _table(by: Sender, works: LongWork, table: str, *, after: int = 0, problems: tuple[Problem, ...] = ()) -> TablePage:
    begun = work.look_at_import(by.ledger, by.actor, table)
    run = tables_of(by.ledger).runs.of(begun.id)
    quiet = begun.done is not None or run is not None
    first = () if quiet else work.first_rows(by.ledger, by.actor, table)
    cells = {} if quiet else tables_of(by.ledger).picked(table, {row.number for row in first})
    titles, lines = first_lines(first)
    wrong = () if quiet else work.problem_rows(by.ledger, by.actor, table, after=after, limit=EACH_MOST + 1)
    undecided = [] if quiet else [each.row for each in begun.undecided][:EACH_MOST]
    own = work.first_rows(by.ledger, by.actor, table, undecided) if undecided else ()
    return TablePage(
        frame=by.frame.at(Place.COLLECTION),
        begun=begun,
        run=run,
        failure="" if run is not None or begun.done is not None else _failure(works, begun),
        columns=column_lines(begun, first, cells),
        titles=titles,
        first=lines,
        asks=asks_of(begun),
        rows=problem_lines(wrong[:EACH_MOST]),
        later=wrong[EACH_MOST - 1].number if len(wrong) > EACH_MOST else 0,
        after=after,
        doubles=double_lines(by.ledger, begun, own),
        hindrance=hindrance(begun) or "",
        problems=problems,
        ways=WAYS,
    )


def _failure(works: LongWork, begun: Begun) -> str:
    ended = works.last(_name(begun))
    failure = ended.failure if ended is not None else None
    if failure is None:
        return ""
    return str(failure) if isinstance(failure, LedgerError) else t("bring_in.failed")


def _choose(by: Sender, sent: Posted, fault: str = "") -> ChoosePage:
    waiting = tuple((each, _stands(by, each)) for each in work.imports_of(by.ledger, by.actor))
    return ChoosePage(
        frame=by.frame.at(Place.COLLECTION),
        waiting=waiting,
        encodings=ENCODING_WAYS,
        marks=CELL_MARK_WAYS,
        fault=fault,
        sent=sent,
    )


def _stands(by: Sender, begun: Begun) -> str:
    running = tables_of(by.ledger).runs.of(begun.id) is not None
    return t("bring_in.stages.working") if running else stands_words(begun)


def _wrong(begun: Begun) -> int:
    return begun.found.wrong_count if begun.found else 0


def _at(table: str, place: str = "") -> str:
    return f"{PATH}/{table}" + (f"#{place}" if place else "")


def _name(begun: Begun) -> str:
    return f"bring-in {begun.id}"
