"""One sentence that goes along to the next page, in a cookie that only this server can write and one page uses up."""

import secrets
from typing import Final

from fastapi import Request, Response
from fastapi.responses import RedirectResponse
from itsdangerous import BadData, URLSafeTimedSerializer

from web.cookies import own_name
from web.frame import Told

__all__ = ["COOKIE", "Teller", "go_to"]

COOKIE: Final = "slipsheet_told"
"""How its name begins."""
SECONDS: Final = 300
_KEY_BYTES: Final = 32


class Teller:
    """Signs with a key of its own, made anew at each start."""

    def __init__(self) -> None:
        self._signer = URLSafeTimedSerializer(secrets.token_bytes(_KEY_BYTES), salt=COOKIE)

    def send(self, request: Request, response: Response, told: Told) -> None:
        """The next page will tell it."""
        text = self._signer.dumps([told.sentence, told.draft])
        assert isinstance(text, str)
        response.set_cookie(own_name(request, COOKIE), text, max_age=SECONDS, path="/", httponly=True, samesite="lax")

    def read(self, request: Request) -> Told | None:
        """What the page before sent along."""
        try:
            sent = request.cookies.get(own_name(request, COOKIE), "")
            sentence, draft = self._signer.loads(sent, max_age=SECONDS)
        except (BadData, ValueError):
            return None
        return Told(sentence=str(sentence), draft=str(draft))


def go_to(request: Request, path: str, told: Told | None = None) -> RedirectResponse:
    """After a form was taken: on to a page, which tells what was done."""
    response = RedirectResponse(path, status_code=303)
    if told is not None:
        teller = request.app.state.teller
        assert isinstance(teller, Teller)
        teller.send(request, response, told)
    return response
