"""How pages answer what was refused or has failed, and what they ask for first."""

from collections.abc import Callable, Sequence
from typing import Any
from urllib.parse import urlencode

from fastapi import FastAPI, Request, Response
from fastapi.concurrency import run_in_threadpool
from fastapi.exceptions import RequestValidationError
from starlette.exceptions import HTTPException

from ledger.damage import as_stored
from ledger.errors import DamagedError, ForbiddenError, LedgerError, MalformedError
from web.deps import frame_of, posted_of
from web.frame import Frame
from web.guards import SAFE, headers_at
from web.pages.errors import error_page, status_page
from web.refusals import AskFirstError, AtTheComputerError, TooLongToHoldError, TooManyTriesError
from web.render import PART
from web.told import go_to
from web.waiting import address, fields_to_hold, hold, sent_from

__all__ = ["install"]


def install(app: FastAPI, methods_at: Callable[[str], Sequence[str]]) -> None:
    """Every way to fail has its page; `methods_at` tells which methods an address takes."""

    async def no_method(request: Request, error: Exception) -> Response:
        # The router would name only the methods of the first route that has this path.
        response = await _status(request, error)
        response.headers["Allow"] = ", ".join(methods_at(request.url.path))
        return response

    app.add_exception_handler(AskFirstError, _ask_first)
    app.add_exception_handler(LedgerError, _refused)
    app.add_exception_handler(RequestValidationError, _unread)
    app.add_exception_handler(HTTPException, _status)
    app.add_exception_handler(405, no_method)
    app.add_exception_handler(Exception, _broken)


async def _ask_first(request: Request, error: Exception) -> Response:
    """On to the page that asks, which leads back here; a form that was sent waits meanwhile."""
    assert isinstance(error, AskFirstError)
    if PART in request.headers:
        return status_page(403, Frame(path=request.url.path))
    try:
        return go_to(request, f"{error.ask}?{urlencode(await _way_back(request))}")
    except LedgerError as refused:
        return await _refused(request, refused)


async def _way_back(request: Request) -> dict[str, str]:
    """The page to come back to, or the id of the form that waits.

    Raises: MalformedError, TooLargeError, TooLongToHoldError, TooManyTriesError.
    """
    if request.method in SAFE:
        return {"next": address(request.url.path, request.url.query)}
    fields = fields_to_hold(await posted_of(request))
    if not fields:
        return {"next": sent_from(request)}
    form = await hold(request, fields)
    if form is None:
        raise TooLongToHoldError
    return {"waiting": form}


async def _refused(request: Request, error: Exception) -> Response:
    # A page that is only looked at asks for nothing that could be malformed: it was stored so.
    if request.method in SAFE and isinstance(error, MalformedError) and not isinstance(error, DamagedError):
        error = as_stored(error)
    frame = await _frame(request)
    # What a phone may not do its owner may, so the mend is another device and no other permission.
    if isinstance(error, ForbiddenError) and frame.phone:
        error = AtTheComputerError()
    response = error_page(error, frame)
    if isinstance(error, TooManyTriesError):
        response.headers["Retry-After"] = str(error.wait)
    return response


async def _unread(request: Request, error: Exception) -> Response:
    """A path that cannot be one names nothing."""
    assert isinstance(error, RequestValidationError)
    in_path = any(each["loc"][:1] == ("path",) for each in _problems(error))
    return status_page(404 if in_path else 400, await _frame(request))


async def _status(request: Request, error: Exception) -> Response:
    assert isinstance(error, HTTPException)
    response = status_page(error.status_code, await _frame(request))
    response.headers.update(error.headers or {})
    return response


async def _broken(request: Request, _error: Exception) -> Response:
    """The program failed: this answer stands outside all others, so it carries its own headers."""
    response = status_page(500, Frame(path=request.url.path))
    response.headers.update(headers_at(request.url.path))
    return response


async def _frame(request: Request) -> Frame:
    """The page's frame; a bare one where the ledger itself has failed."""
    try:
        return await run_in_threadpool(frame_of, request)
    except LedgerError:
        return Frame(path=request.url.path)


def _problems(error: RequestValidationError) -> list[dict[str, Any]]:
    return list(error.errors())
