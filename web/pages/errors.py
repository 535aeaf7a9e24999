"""What a page says when something was refused or has failed: what happened, and what to do about it."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from fastapi.responses import HTMLResponse

from ledger import errors as told
from ledger.errors import Problem
from web import refusals
from web.frame import Frame
from web.render import Page, page, render
from web.wording import t

__all__ = ["BROKEN", "FAILINGS", "STATUSES", "ErrorPage", "Failing", "error_page", "failing_of", "status_page"]


@dataclass(frozen=True)
class Failing:
    """How one class of error is answered: the status, and the name of its words."""

    status: int
    name: str


BROKEN = Failing(500, "broken")

FAILINGS: Mapping[type[Exception], Failing] = {
    told.MalformedError: Failing(400, "malformed"),
    told.DamagedError: Failing(500, "damaged"),
    told.ForbiddenError: Failing(403, "forbidden"),
    told.NotFoundError: Failing(404, "missing"),
    told.RuleError: Failing(409, "rule"),
    told.ConflictError: Failing(409, "conflict"),
    told.HeldError: Failing(409, "held"),
    told.StaleError: Failing(409, "stale"),
    told.KeyReusedError: Failing(409, "again"),
    told.InvalidError: Failing(422, "invalid"),
    told.StoreError: Failing(503, "store"),
    told.UnansweredError: Failing(503, "unanswered"),
    told.BusyError: Failing(503, "store"),
    refusals.AtTheComputerError: Failing(403, "at_the_computer"),
    refusals.TooLargeError: Failing(413, "too_large"),
    refusals.TooLongToHoldError: Failing(403, "too_long"),
    refusals.TooManyTriesError: Failing(429, "tries"),
}

STATUSES: Mapping[int, Failing] = {
    each.status: each
    for each in (
        Failing(400, "malformed"),
        Failing(403, "forbidden"),
        Failing(404, "nothing_here"),
        Failing(405, "method"),
        Failing(413, "too_large"),
        Failing(422, "malformed"),
        Failing(429, "tries"),
        BROKEN,
        Failing(503, "store"),
    )
}
"""What is said of a status that no error of the ledger stands behind."""

_FAULTS: Final = (
    BROKEN,
    FAILINGS[told.StoreError],
    FAILINGS[told.UnansweredError],
    FAILINGS[told.DamagedError],
)

GIVEN: Final = "/handed/"
"""Below it answers are for strangers, to whom a record was given by a link."""

_FOR_STRANGERS: Final = {404: "stranger_missing", 429: "stranger_tries"}

UNTOLD = frozenset({"broken", "store", "unanswered", "again"})
"""Failings whose own sentence speaks of what is inside, or to programs; the page's words are enough."""


@page("error.html")
@dataclass(frozen=True, kw_only=True)
class ErrorPage(Page):
    """One refusal or failure."""

    status: int
    title: str
    sentence: str
    """What was refused and why; empty when the title says it."""
    problems: tuple[Problem, ...]
    mend: str
    fault: bool
    """The program failed: this needs a person, and typing something else will not help."""
    stranger: bool
    """Somebody who was given an address: there is no collection for them to go back to."""


def failing_of(error: Exception) -> Failing:
    """How an error is answered: by its own line in the table, or that of the nearest class above it."""
    return next((FAILINGS[each] for each in type(error).__mro__ if each in FAILINGS), BROKEN)


def error_page(error: Exception, frame: Frame) -> HTMLResponse:
    """The page for what the ledger refused, and for what should never have been raised."""
    failing = failing_of(error)
    problems = error.problems if isinstance(error, told.InvalidError | told.RuleError) else ()
    sentence = "" if problems or failing.name in UNTOLD else str(error)
    return _page(failing, frame, sentence=sentence, problems=problems)


def status_page(status: int, frame: Frame) -> HTMLResponse:
    """The page for a status alone, such as a path that leads nowhere."""
    return _page(STATUSES.get(status, BROKEN), frame, status=status)


def _page(
    failing: Failing, frame: Frame, *, status: int = 0, sentence: str = "", problems: tuple[Problem, ...] = ()
) -> HTMLResponse:
    stranger = frame.path.startswith(GIVEN)
    name = _FOR_STRANGERS.get(status or failing.status, "stranger_failed") if stranger else failing.name
    shown = ErrorPage(
        frame=frame,
        status=status or failing.status,
        title=t(f"errors.{name}.title"),
        sentence="" if stranger else sentence,
        problems=problems,
        mend=t(f"errors.{name}.mend"),
        fault=failing in _FAULTS,
        stranger=stranger,
    )
    return render(shown, status=shown.status)
