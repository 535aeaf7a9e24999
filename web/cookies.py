"""The names of cookies: a browser keeps them by the name of a host and not by its port, so each holds the port."""

from typing import Final

from fastapi import Request

__all__ = ["own_name"]

_USUAL: Final = {"http": "80", "https": "443"}
"""Ports that an address leaves out. Source: RFC 9110 sections 4.2.1 and 4.2.2."""


def own_name(request: Request, beginning: str) -> str:
    """What this server calls a cookie, so that another one on the same host has one of its own.

    The port is that of the address which the browser shows; behind a proxy the server's own is another.
    Source: RFC 6265 section 8.5: cookies do not provide isolation by port.
    """
    _, colon, port = request.headers.get("host", "").strip().rpartition(":")
    named = colon and port.isascii() and port.isdecimal()
    return f"{beginning}_{port if named else _USUAL.get(request.url.scheme, '')}"
