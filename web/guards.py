"""What stands before every page: this server's names, where a change may come from, how long it is, and every header."""

import re
from collections.abc import Collection, Mapping
from typing import Final

from fastapi import Request, Response
from fastapi.responses import PlainTextResponse
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from ledger.usecases.doorbook import Came, note
from web.frame import Frame
from web.pages.errors import status_page
from web.posted import FORM, FORM_WITH_FILES, kind_of, split
from web.refusals import TooLargeError

__all__ = ["API", "HEADERS", "SAFE", "Guards", "headers_at", "is_from_here"]

API: Final = "/api/"
"""What lies below has guards of its own and takes no cookie, so no other site can make a browser act there."""

SAFE: Final = frozenset({"GET", "HEAD", "OPTIONS", "TRACE"})
"""Methods that change nothing. Source: RFC 9110 section 9.2.1."""

FORM_KINDS: Final = frozenset({FORM, FORM_WITH_FILES, "text/plain"})
"""What any site can make a browser send without asking. Source: Fetch Standard, CORS-safelisted request-header."""

BODY_MOST: Final = 64 * 1024 * 1024
"""Bytes of one request: a form with the photographs of one look at a book."""

_POLICY: Final = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; font-src 'self'; connect-src 'self'; "
    "form-action 'self'; frame-ancestors 'none'; base-uri 'none'"
)
_UNUSED: Final = ("camera", "display-capture", "geolocation", "microphone", "payment", "usb")

HEADERS: Final[Mapping[str, str]] = {
    "Cache-Control": "no-store",
    "Content-Security-Policy": _POLICY,
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Permissions-Policy": ", ".join(f"{name}=()" for name in _UNUSED),
    "Referrer-Policy": "same-origin",
    "X-Content-Type-Options": "nosniff",
}
"""On every answer that does not set one of them itself."""


SECRET_HEADERS: Final[Mapping[str, str]] = {
    **HEADERS,
    "Referrer-Policy": "no-referrer",
    "X-Robots-Tag": "noindex, nofollow",
}
"""On every answer below an address that is a secret, refusals and failures among them: it goes to no other site, into no
index and into no cache."""

_ONLY_LOOKS: Final = re.compile(r"/handed/[^/]+/held")
"""A form that changes nothing, at an address that no other site knows. Its page sends no referrer, so over plain http a
browser hides where the form comes from. Source: Fetch Standard, "append a request Origin header"."""

_SECRET: Final = ("/handed/", "/calendar/")
_LENGTH_DIGITS: Final = 18
"""A stated length of more digits than these is beyond every limit, and is not turned into a number."""


def headers_at(path: str) -> Mapping[str, str]:
    """What every answer at this path has, where it does not set one of them itself."""
    return SECRET_HEADERS if path.startswith(_SECRET) else HEADERS


class Guards:
    """Turns away what comes to another name, what another site sends, and what is too long."""

    def __init__(self, app: ASGIApp, hosts: Collection[str], most: int = BODY_MOST) -> None:
        self._app, self._most = app, most
        self._hosts = frozenset(host.lower() for host in hosts)

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """One request."""
        if scope["type"] != "http":
            await self._app(scope, receive, send)
            return
        request = Request(scope)
        if refusal := self._refusal(request):
            await refusal(scope, receive, _with_headers(send, request.url.path))
        elif request.url.path.startswith(API):
            await self._app(scope, receive, send)
        else:
            await self._app(scope, _capped(receive, self._most), _with_headers(send, request.url.path))

    def _refusal(self, request: Request) -> Response | None:
        address = request.client.host if request.client else ""
        if not self._is_ours(request):
            note(Came.OTHER_NAME, address=address)
            known = ", ".join(sorted(self._hosts))
            return PlainTextResponse(f"This server answers to {known} and to no other name.\n", status_code=421)
        path = request.url.path
        if request.method in SAFE or path.startswith(API):
            return None
        if not is_from_here(request) and not _only_looks(request):
            note(Came.OTHER_SITE, address=address)
            return status_page(403, Frame(path=path))
        length = request.headers.get("content-length", "0")
        if not length.isdecimal() or len(length) > _LENGTH_DIGITS or int(length) > self._most:
            return status_page(413, Frame(path=path))
        return None

    def _is_ours(self, request: Request) -> bool:
        """Exactly one Host, and a name on the list, whatever the port: a name pointed here from elsewhere is none."""
        named = request.headers.getlist("host")
        return len(named) == 1 and _host_name(named[0]) in self._hosts


def is_from_here(request: Request) -> bool:
    """A page of this server sent it, or a person typed it; a browser says so in one header or the other.

    Source: Fetch Metadata Request Headers (W3C) section 2.4; RFC 6454 section 7.
    """
    site = request.headers.getlist("sec-fetch-site")
    if site:
        return site in (["same-origin"], ["none"])
    origin, host = request.headers.getlist("origin"), request.headers.get("host", "")
    if not origin:
        # No browser of today leaves out both, and what is left of older ones can only send the kinds a form has.
        return kind_of(request.headers.get("content-type", "")) not in FORM_KINDS
    return len(origin) == 1 and _is_origin_of(origin[0], host)


def _only_looks(request: Request) -> bool:
    """The form of a reader who holds a file from before, sent by a browser that hides the origin as their page asks it to."""
    hidden = request.headers.getlist("origin") == ["null"] and "sec-fetch-site" not in request.headers
    return hidden and _ONLY_LOOKS.fullmatch(request.url.path) is not None


def _is_origin_of(origin: str, host: str) -> bool:
    """The scheme is left aside: behind a proxy the server does not see the browser's."""
    parts = split(origin)
    if parts.scheme not in {"http", "https"} or parts.path or not parts.netloc:
        return False
    default = ":443" if parts.scheme == "https" else ":80"
    return parts.netloc.lower().removesuffix(default) == host.strip().lower().removesuffix(default)


def _host_name(field: str) -> str:
    """The name in a Host header, without its port; brackets of a long address stay. Source: RFC 9110 section 7.2."""
    name, colon, port = field.strip().lower().rpartition(":")
    return name if colon and port.isdecimal() else field.strip().lower()


def _with_headers(send: Send, path: str) -> Send:
    async def sending(message: Message) -> None:
        if message["type"] == "http.response.start":
            given = {name.lower() for name, _ in message.get("headers", [])}
            more = [(name.lower().encode(), value.encode()) for name, value in headers_at(path).items()]
            message = {
                **message,
                "headers": [*message.get("headers", []), *(each for each in more if each[0] not in given)],
            }
        await send(message)

    return sending


def _capped(receive: Receive, most: int) -> Receive:
    """The body as it comes, until it is longer than it may be."""
    seen = 0

    async def receiving() -> Message:
        nonlocal seen
        message = await receive()
        seen += len(message.get("body", b""))
        if seen > most:
            raise TooLargeError(most=most)
        return message

    return receiving
