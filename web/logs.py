"""Logs: one line of JSON for each request and each thing that went wrong, in files beside the ledger.

No line holds what anybody typed: of a request stand its route and how it ended, of an error its kind and where it rose.
"""

import logging
import traceback
from collections.abc import MutableMapping
from logging.handlers import RotatingFileHandler
from pathlib import Path
from time import perf_counter
from types import TracebackType
from typing import Any, Final

import structlog
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from ledger.adapters.folders import make_folder
from ledger.errors import StoreError
from ledger.usecases.doorbook import BOOK

__all__ = ["DOORBOOK_FILE", "LOG_FILE", "Noted", "write_logs"]

LOG_FILE: Final = "slipsheet.log"
DOORBOOK_FILE: Final = "doorbook.log"
_BYTES_MOST: Final = 4 * 1024 * 1024
_KEPT: Final = 4
"""Older files of each, after which the oldest goes."""
_REQUESTS: Final = logging.getLogger("slipsheet.requests")

Line = MutableMapping[str, Any]


def write_logs(folder: Path) -> None:
    """From now on everything that is logged goes to two files in a folder: the door book, and all the rest."""
    make_folder(folder, mode=0o700)
    book, rest = _to(folder / DOORBOOK_FILE), _to(folder / LOG_FILE)
    own = logging.getLogger(BOOK)
    own.handlers, own.propagate = [book], False
    own.setLevel(logging.INFO)
    root = logging.getLogger()
    root.handlers = [rest]
    root.setLevel(logging.INFO)


def _to(path: Path) -> logging.Handler:
    handler = RotatingFileHandler(path, maxBytes=_BYTES_MOST, backupCount=_KEPT, encoding="utf-8", delay=True)
    handler.setFormatter(
        structlog.stdlib.ProcessorFormatter(
            pass_foreign_args=True,
            foreign_pre_chain=[
                structlog.stdlib.add_log_level,
                structlog.stdlib.add_logger_name,
                structlog.processors.TimeStamper(fmt="iso", utc=True),
                _facts,
                _where,
            ],
            processors=[
                structlog.stdlib.ProcessorFormatter.remove_processors_meta,
                structlog.processors.JSONRenderer(ensure_ascii=False),
            ],
        )
    )
    return handler


def _facts(_logger: object, _method: str, line: Line) -> Line:
    """What was given beside the message."""
    record = line.get("_record")
    line.update(getattr(record, "facts", {}))
    return line


def _where(_logger: object, _method: str, line: Line) -> Line:
    """Of an error its kind and the places it came through; what it says may hold what somebody typed."""
    told = line.pop("exc_info", None)
    error = told[1] if isinstance(told, tuple) else told
    record = line.get("_record")
    if isinstance(record, logging.LogRecord):
        # The message may have been made with values in it; how it is spelled holds none.
        line["event"] = record.msg if line.pop("positional_args", None) else line["event"]
        record.exc_info = record.exc_text = None
    if isinstance(error, BaseException):
        line["error"] = [_told(each) for each in _chain(error)]
    return line


def _chain(error: BaseException) -> list[BaseException]:
    found: list[BaseException] = []
    rising: BaseException | None = error
    while rising is not None and rising not in found:
        found.append(rising)
        rising = rising.__cause__ or rising.__context__
    return found


def _told(error: BaseException) -> dict[str, Any]:
    said = {"kind": f"{type(error).__module__}.{type(error).__qualname__}", "at": _places(error.__traceback__)}
    # A store's failure is told by the database, which is never given a value to repeat.
    return {**said, "problem": error.problem} if isinstance(error, StoreError) else said


def _places(trace: TracebackType | None) -> list[str]:
    return [f"{Path(each.filename).name}:{each.lineno} {each.name}" for each in traceback.extract_tb(trace)]


class Noted:
    """Notes each request when it has been answered: method, route, status, how long it took."""

    def __init__(self, app: ASGIApp) -> None:
        self._app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """One request."""
        if scope["type"] != "http":
            await self._app(scope, receive, send)
            return
        began, status = perf_counter(), 500

        async def sending(message: Message) -> None:
            nonlocal status
            if message["type"] == "http.response.start":
                status = message["status"]
            await send(message)

        try:
            await self._app(scope, receive, sending)
        finally:
            facts = {
                "method": scope["method"],
                "route": _route(scope),
                "status": status,
                "ms": round((perf_counter() - began) * 1000, 1),
            }
            _REQUESTS.info("answered", extra={"facts": facts})


def _route(scope: Scope) -> str:
    """The route's own spelling, in which names stand for what was asked; nothing of a path that is none."""
    route = scope.get("route")
    path = getattr(route, "path", "")
    return f"{scope.get('root_path', '')}{path}" if path else "(none)"
