"""Nothing that was typed is lost when a session ended: the form is held, and comes back filled in after signing in."""

import re
from typing import Any, Final
from urllib.parse import parse_qsl, urlencode

from fastapi import Request, Response
from fastapi.concurrency import run_in_threadpool
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from ledger.accounts import Accounts
from ledger.usecases import waiting as held
from web import told
from web.cookies import own_name
from web.deps import accounts_of, tries_of
from web.posted import Posted, split

__all__ = ["HOME", "UsedUp", "address", "fields_to_hold", "hold", "local_path", "onward", "sent_from"]

NEVER_HELD: Final = re.compile("password|secret|waiting", re.IGNORECASE)
"""Names of fields that are not kept anywhere, and of the id of an earlier wait."""

HOME: Final = "/"
PATH_MOST: Final = 2_000
_LOCAL: Final = re.compile(r"/(?![/\\])[!-\[\]-~]*")
_ASKING: Final = re.compile(r"/(?:sign-in|sign-out|confirm)(?:[/?#]|$)")
SEE_OTHER: Final = 303
REDIRECTS: Final = range(300, 400)


def local_path(text: str) -> str:
    """The address if it lies on this server and asks for nothing first; else the start page."""
    is_fine = len(text) <= PATH_MOST and _LOCAL.fullmatch(text) and not _ASKING.match(text)
    return text if is_fine else HOME


def address(path: str, query: str = "", *, waiting: str = "") -> str:
    """Path and query, with the id of this waiting form in place of any other."""
    asked = [(name, value) for name, value in parse_qsl(query, keep_blank_values=True) if name != "waiting"]
    text = urlencode([*asked, *([("waiting", waiting)] if waiting else [])])
    return f"{path}?{text}" if text else path


def sent_from(request: Request) -> str:
    """Address of the page on which the form was filled in: the one named by the browser, or that of the form's own path."""
    named = split(request.headers.get("referer", ""))
    places = [(named.path, named.query)] if named.netloc == request.headers.get("host") else []
    for path, query in (*places, (request.url.path, request.url.query)):
        if local_path(path) == path and any(page.match(path) for page in request.app.state.pages):
            return address(path, query)
    return HOME


def fields_to_hold(posted: Posted) -> list[tuple[str, str]]:
    """What may be kept of a form: neither passwords nor files."""
    return [(name, value) for name, value in posted.fields if not NEVER_HELD.search(name)]


async def hold(request: Request, fields: list[tuple[str, str]]) -> str | None:
    """The id under which the form that was just sent waits; None when it is too long to be held.

    Raises: TooManyTriesError, for nobody is to crowd out what others have waiting.
    """

    def work() -> str | None:
        tries_of(request, accounts_of(request)).hold()
        return held.hold(accounts_of(request), back=sent_from(request), action=request.url.path, fields=fields)

    return await run_in_threadpool(work)


def onward(accounts: Accounts, *, next_path: str, waiting: str) -> str:
    """Where to go after signing in: back to the form that waits, or to the page that was asked for."""
    form = held.waiting(accounts, waiting) if waiting else None
    if form is None:
        return local_path(next_path)
    back = split(form.back)
    return address(local_path(back.path), back.query, waiting=form.id)


class UsedUp:
    """Lets go of a waiting form once it was taken, and of a told sentence once a page has told it.

    A form was taken when its answer leads on to another page: then it was written, or waits anew.
    """

    def __init__(self, app: ASGIApp) -> None:
        self._app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """One request."""
        if scope["type"] != "http":
            await self._app(scope, receive, send)
            return
        state: dict[str, Any] = scope.setdefault("state", {})

        async def sending(message: Message) -> None:
            if message["type"] == "http.response.start":
                posted = state.get("posted")
                if message["status"] == SEE_OTHER and isinstance(posted, Posted) and posted.waiting:
                    await self._let_go(scope, posted)
                elif message["status"] not in REDIRECTS and state.get("told"):
                    message = {**message, "headers": [*message.get("headers", []), *_forget_told(Request(scope))]}
            await send(message)

        await self._app(scope, receive, sending)

    async def _let_go(self, scope: Scope, posted: Posted) -> None:
        if scope["state"].get("visitor") is not None:
            await run_in_threadpool(held.let_go, accounts_of(Request(scope)), posted.waiting, action=posted.action)


def _forget_told(request: Request) -> list[tuple[bytes, bytes]]:
    response = Response()
    response.delete_cookie(own_name(request, told.COOKIE), path="/", httponly=True, samesite="lax")
    return [each for each in response.raw_headers if each[0] == b"set-cookie"]
