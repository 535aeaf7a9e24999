"""What stands before every route: the names this server answers to, and the headers every answer carries."""

from collections.abc import Collection

from fastapi import Request
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from api.errors import problem_response
from api.refusals import HostRefusedError
from ledger.usecases.doorbook import Came, note

HEADERS = {
    "Cache-Control": "no-store",
    "Content-Security-Policy": "default-src 'none'; frame-ancestors 'none'",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Referrer-Policy": "no-referrer",
    "X-Content-Type-Options": "nosniff",
}
"""On every answer that does not set one of them itself. No other site may read an answer: there is no CORS."""


class Guards:
    """Turns away requests to other names (DNS rebinding), and puts the headers on every answer."""

    def __init__(self, app: ASGIApp, hosts: Collection[str]) -> None:
        self.app = app
        # In a Host header an IPv6 address stands in brackets.
        self.hosts = frozenset(
            f"[{host}]" if host.count(":") > 1 and host[0] != "[" else host.lower() for host in hosts
        )

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """One request."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        request = Request(dict(scope))
        app: ASGIApp = self.app
        if not self._is_ours(request):
            note(Came.OTHER_NAME, address=request.client.host if request.client else "")
            app = problem_response(HostRefusedError(hosts=self.hosts))
        await app(scope, receive, _with_headers(send))

    def _is_ours(self, request: Request) -> bool:
        """Exactly one Host, and a name on the list, whatever the port."""
        named = request.headers.getlist("host")
        return len(named) == 1 and host_name(named[0]) in self.hosts


def host_name(field: str) -> str:
    """The name in a Host header, without its port; brackets of an IPv6 address stay. Source: RFC 9110 section 7.2."""
    name, colon, port = field.strip().lower().rpartition(":")
    return name if colon and port.isdecimal() else field.strip().lower()


def _with_headers(send: Send) -> Send:
    async def sending(message: Message) -> None:
        if message["type"] == "http.response.start":
            given = {name.lower() for name, _ in message.get("headers", [])}
            more = [(name.lower().encode(), value.encode()) for name, value in HEADERS.items()]
            message = {**message, "headers": [*message.get("headers", []), *(h for h in more if h[0] not in given)]}
        await send(message)

    return sending
