"""The words of the protocol between server and program. Source: ASGI specification 3.0, HTTP connection scope."""

from collections.abc import Awaitable, Callable, MutableMapping
from typing import Any

__all__ = ["Asgi", "Message", "Receive", "Scope", "Send"]

Scope = MutableMapping[str, Any]
Message = MutableMapping[str, Any]
Receive = Callable[[], Awaitable[Message]]
Send = Callable[[Message], Awaitable[None]]
Asgi = Callable[[Scope, Receive, Send], Awaitable[None]]
