"""The cookie of a session: a secret that only this browser has and no script can read."""

from typing import Final

from fastapi import Request, Response

from ledger.accounts import SESSION_MOST
from web.cookies import own_name

__all__ = ["COOKIE", "give", "secret_of", "take"]

COOKIE: Final = "slipsheet_session"
"""How its name begins; see `web/cookies.py`."""


def secret_of(request: Request) -> str | None:
    """The secret that came along, good or not."""
    return request.cookies.get(own_name(request, COOKIE))


def give(request: Request, response: Response, secret: str) -> None:
    """The browser keeps the secret of its new session.

    Keeps: over an encrypted connection the cookie is never sent over a plain one.
    """
    response.set_cookie(
        own_name(request, COOKIE),
        secret,
        max_age=int(SESSION_MOST.total_seconds()),
        path="/",
        secure=is_encrypted(request),
        httponly=True,
        samesite="lax",
    )


def take(request: Request, response: Response) -> None:
    """The browser forgets its session."""
    name, secure = own_name(request, COOKIE), is_encrypted(request)
    response.delete_cookie(name, path="/", secure=secure, httponly=True, samesite="lax")


def is_encrypted(request: Request) -> bool:
    """The request came over an encrypted connection, as far as the server or its proxy on this machine says."""
    return request.url.scheme == "https"
