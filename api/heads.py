"""HEAD, answered as GET is by every route there is: one layer sees to it, for the service and for the pages."""

from starlette.types import ASGIApp, Message, Receive, Scope, Send

__all__ = ["Heads", "with_head"]


class Heads:
    """Asks for the whole, and keeps the body back.

    Source: RFC 9110 section 9.3.2.
    """

    def __init__(self, app: ASGIApp) -> None:
        self.app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """One request."""
        if scope["type"] != "http" or scope["method"] != "HEAD":
            await self.app(scope, receive, send)
            return

        async def sending(message: Message) -> None:
            body = message["type"] == "http.response.body"
            await send({**message, "body": b""} if body else message)

        await self.app({**scope, "method": "GET"}, receive, sending)


def with_head(methods: set[str]) -> list[str]:
    """What a path takes whose routes take these, as an answer lists it."""
    return sorted(methods | ({"HEAD"} if "GET" in methods else set()))
