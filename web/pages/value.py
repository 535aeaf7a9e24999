"""Fair value: comparables kept by hand or by table, the price by grade they tell, and the valuation that comes of it."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Final

from fastapi import APIRouter, Response

from ledger.errors import ConflictError, InvalidError, KeyReusedError, LedgerError, Problem, RuleError
from ledger.market import Came
from ledger.rules.grades import grades
from ledger.usecases import comparables as work
from ledger.usecases.value_book import value_book
from web.deps import PostedDep, WaitingDep
from web.entering import ask, faults_of, key_of, refusal, told_of
from web.forms import typed_in
from web.frame import Place, Told
from web.posted import Posted
from web.render import Page, page, render
from web.sender import Sender, SenderDep
from web.told import go_to
from web.value_chart import Chart, chart_of
from web.value_forms import (
    AT,
    HOLDINGS,
    MARK_WAYS,
    ORDER_WAYS,
    PURPOSES,
    asked_of,
    grade_of,
    placed,
    reading_of,
    said_of,
    table_of,
    valuation_of,
    valuation_values,
)
from web.value_preview import preview_page
from web.value_subject import ISSUE_FIELDS, PATH, Subject, of_book, of_issue
from web.value_told import GradeLine, SaleLine, grade_lines, meant_words, notes_of, sale_lines, sale_name
from web.wording import t

router = APIRouter()

OF_BOOK: Final = "/books/{book}/value"
_ASKS: Final = ("currency", "holding", "tone", "grade", "sort", "down")


@page("value_issue.html")
@dataclass(frozen=True, kw_only=True)
class IssuePage(Page):
    """Which issue is meant."""

    fields: tuple[str, ...]
    values: Mapping[str, str]
    book: str


@page("value.html")
@dataclass(frozen=True, kw_only=True)
class ValuePage(Page):
    """The comparables of an issue and what they say."""

    subject: Subject
    action: str
    asked: Mapping[str, str]
    sales: tuple[SaleLine, ...]
    sort: Mapping[str, tuple[str, str]]
    """Of each column that sorts, where it leads and how it is sorted now."""
    lines: tuple[GradeLine, ...]
    notes: tuple[str, ...]
    meant: str
    """Of which issues sales are kept that may be the one meant; empty where there are sales of it, or of none."""
    chart: Chart | None
    count: int
    least: int
    holdings: tuple[tuple[str, str], ...]
    orders: tuple[tuple[str, str], ...]
    marks: tuple[tuple[str, str], ...]
    purposes: tuple[tuple[str, str], ...]
    grades: tuple[tuple[str, str], ...]
    values: Mapping[str, str]
    """What the forms hold."""
    key: str
    problems: tuple[Problem, ...]
    faults: Mapping[str, str]


@router.get(OF_BOOK)
def look_at_book(by: SenderDep, waiting: WaitingDep, book: str) -> Response:
    """What the comparables say of a book."""
    return _look(by, of_book(by.ledger, by.actor, book), waiting)


@router.post(OF_BOOK)
def change_of_book(by: SenderDep, posted: PostedDep, book: str) -> Response:
    """A sale, a table, or the valuation."""
    return _change(by, of_book(by.ledger, by.actor, book), posted)


@router.get(PATH)
def look_at_issue(by: SenderDep, waiting: WaitingDep) -> Response:
    """What the comparables say of an issue; without one, which is meant."""
    return _look(by, of_issue(_given(by, waiting, PATH)), waiting)


@router.post(PATH)
def change_of_issue(by: SenderDep, posted: PostedDep) -> Response:
    """A sale or a table of an issue."""
    subject = of_issue({name: posted.get(name) for name in ISSUE_FIELDS})
    return _change(by, subject, posted)


def _look(by: Sender, subject: Subject, waiting: Posted | None) -> Response:
    given = _given(by, waiting, subject.path)
    if subject.issue is None:
        return render(_which(by, subject, given))
    return render(_page(by, subject, given, waiting if waiting and waiting.action == subject.path else Posted()))


def _given(by: Sender, waiting: Posted | None, path: str) -> dict[str, str]:
    """What is asked for in the address, or by a form that had waited."""
    sent = dict(waiting.fields) if waiting is not None and waiting.action == path else {}
    return {**sent, **by.request.query_params}


def _which(by: Sender, subject: Subject, given: Mapping[str, str]) -> IssuePage:
    values = {name: given.get(name, "") for name in ISSUE_FIELDS}
    return IssuePage(frame=by.frame.at(Place.COLLECTION), fields=ISSUE_FIELDS, values=values, book=subject.book)


def _change(by: Sender, subject: Subject, posted: Posted) -> Response:
    """What the button said; the form comes back with what stands in its way."""
    if subject.issue is None:
        return render(_which(by, subject, dict(posted.fields)), status=422)
    try:
        match posted.get("do"):
            case "read":
                return render(preview_page(by, subject, posted))
            case "keep":
                return _keep(by, subject, posted)
            case "valuation" if subject.book:
                return _value(by, subject, posted)
        reading = reading_of(by.ledger, by.preferences, posted)
        made = work.add_sale(by.ledger, by.actor, subject.issue, said_of(posted), reading)
    except (InvalidError, RuleError, KeyReusedError, ConflictError) as error:
        return _refused(by, subject, posted, error)
    return go_to(by.request, subject.href(), Told(sentence=t("value.added", sale=sale_name(made))))


def _keep(by: Sender, subject: Subject, posted: Posted) -> Response:
    """The table as it was shown: doubles only where they were ticked."""
    assert subject.issue is not None  # `_change` has seen to it
    text, file = table_of(posted)
    reading = reading_of(by.ledger, by.preferences, posted)
    shown = work.preview(by.ledger, by.actor, subject.issue, text, reading)
    ticked = {int(each) for each in posted.all("double") if each.isascii() and each.isdigit()}
    if shown.table.problems:
        return render(preview_page(by, subject, posted), status=422)
    doubles = shown.doubles or {}
    rows = [int(each.id) for each in shown.sales if int(each.id) not in doubles or int(each.id) in ticked]
    kept = work.keep_table(
        by.ledger,
        by.actor,
        subject.issue,
        text,
        reading,
        rows=rows,
        keep_doubles=True,
        came=Came.FILE if file else Came.PASTED,
    )
    return go_to(by.request, subject.href(), Told(sentence=t.n("value.kept", len(kept))))


def _value(by: Sender, subject: Subject, posted: Posted) -> Response:
    """The valuation, with the sales that tell it on its day."""
    assert subject.issue is not None  # `_change` has seen to it
    given = dict(posted.fields)
    sales = work.look_at_sales(by.ledger, by.actor, subject.issue)
    asked = asked_of(by.ledger, subject, by.preferences, given, sales)
    habits = by.habits
    grade, amount, on, purpose, until = valuation_of(posted, habits, asked.currency)
    asked = replace(asked, on=min(on.latest_day, asked.on))
    valued = work.fair_value(by.ledger, by.actor, subject.issue, asked)
    wanted = ask(subject.path, key_of(by.ledger, posted), typed_in(posted), posted)
    written = value_book(
        by.ledger, by.actor, subject.book, valued, grade, amount,
        on=on, purpose=purpose, valid_until=until, request=wanted,
    )  # fmt: skip
    return go_to(by.request, f"/books/{subject.book}", told_of(written, ""))


def _refused(by: Sender, subject: Subject, posted: Posted, error: LedgerError) -> Response:
    problems: tuple[Problem, ...] = (Problem(field="", sentence=str(error)),)
    status = 409
    if not isinstance(error, ConflictError):
        refused = refusal(error)
        problems, status = refused.problems, refused.status
        if posted.get("do") == "add":
            problems = placed(problems)
    return render(_page(by, subject, dict(posted.fields), posted, problems), status=status)


def _page(
    by: Sender, subject: Subject, given: Mapping[str, str], posted: Posted, problems: tuple[Problem, ...] = ()
) -> ValuePage:
    assert subject.issue is not None  # whoever asks for this page has seen to it
    sales = work.look_at_sales(by.ledger, by.actor, subject.issue)
    asked = asked_of(by.ledger, subject, by.preferences, given, sales)
    valued = work.fair_value(by.ledger, by.actor, subject.issue, asked)
    grade, sort = grade_of(subject, given), "grade" if given.get("sort") == "grade" else "on"
    down = given.get("down", "yes") == "yes"
    sent = {name: value for name, value in posted.fields if name not in ("key", "waiting", "do")}
    filled = {f"{AT}holding": asked.holding.value, "currency": asked.currency}
    chosen = {"currency": asked.currency, "holding": asked.holding.value, "tone": asked.tone}
    chosen["grade"] = grade.text if grade is not None else ""
    return ValuePage(
        frame=by.frame.at(Place.COLLECTION),
        subject=subject,
        action=subject.path,
        asked=chosen,
        sales=sale_lines(valued, sort, down=down),
        sort={name: _sorting(subject, given, name, sort, down=down) for name in ("on", "grade")},
        lines=grade_lines(valued.fit, grade),
        notes=notes_of(valued, subject),
        meant="" if sales else meant_words(work.perhaps_meant(by.ledger, by.actor, subject.issue)),
        chart=chart_of(valued.fit, {each.id: sale_name(each) for each in sales}, grade, subject.outlook),
        count=valued.fit.count,
        least=valued.fit.terms.least,
        holdings=HOLDINGS,
        orders=ORDER_WAYS,
        marks=MARK_WAYS,
        purposes=PURPOSES,
        grades=(("", t("value.no_grade")), *((each.text, f"{each} {each.letters}") for each in reversed(grades()))),
        values={**valuation_values(valued, grade), **filled, **sent},
        key=key_of(by.ledger, posted),
        problems=problems,
        faults=faults_of(problems),
    )


def _sorting(subject: Subject, given: Mapping[str, str], name: str, sort: str, *, down: bool) -> tuple[str, str]:
    """Where a column's head leads, and how it is sorted now."""
    now = ("descending" if down else "ascending") if name == sort else ""
    turned = "no" if name == sort and down else "yes"
    kept = {each: given.get(each, "") for each in _ASKS if each not in ("sort", "down")}
    return subject.href(**kept, sort=name, down=turned) + "#comparables", now
