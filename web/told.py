"""One sentence that goes along to the next page, in a cookie that only this server can write and one page uses up.

The drafts that came to their end go along in a cookie of their own, which the script of whatever page comes next uses
up: the page that tells the sentence may be left before its script has run.
"""

import re
import secrets
from typing import Final

from fastapi import Request, Response
from fastapi.responses import RedirectResponse
from itsdangerous import BadData, URLSafeTimedSerializer

from web.cookies import own_name
from web.frame import Told

__all__ = ["COOKIE", "ENDED", "Teller", "go_to"]

COOKIE: Final = "slipsheet_told"
"""How its name begins."""
SECONDS: Final = 300
_KEY_BYTES: Final = 32
ENDED: Final = "slipsheet_ended"
"""How the name of the cookie begins that names the drafts which came to their end."""
_ENDED_SECONDS: Final = 30 * 24 * 3600
_ENDED_MOST: Final = 40
"""Names that it holds at most, the newest; without a script nothing uses them up."""
_NAME: Final = re.compile(r"[a-z0-9:-]{1,80}")


class Teller:
    """Signs with a key of its own, made anew at each start."""

    def __init__(self) -> None:
        self._signer = URLSafeTimedSerializer(secrets.token_bytes(_KEY_BYTES), salt=COOKIE)

    def send(self, request: Request, response: Response, told: Told) -> None:
        """The next page will tell it."""
        text = self._signer.dumps([told.sentence, told.draft])
        assert isinstance(text, str)
        response.set_cookie(own_name(request, COOKIE), text, max_age=SECONDS, path="/", httponly=True, samesite="lax")
        if told.draft:
            _end(request, response, told.draft.split())

    def read(self, request: Request) -> Told | None:
        """What the page before sent along."""
        try:
            sent = request.cookies.get(own_name(request, COOKIE), "")
            sentence, draft = self._signer.loads(sent, max_age=SECONDS)
        except (BadData, ValueError):
            return None
        return Told(sentence=str(sentence), draft=str(draft))


def _end(request: Request, response: Response, drafts: list[str]) -> None:
    """Beside those that no script has used up yet."""
    name = own_name(request, ENDED)
    before = [each for each in request.cookies.get(name, "").split("|") if _NAME.fullmatch(each)]
    ended = list(dict.fromkeys([*before, *drafts]))[-_ENDED_MOST:]
    response.set_cookie(name, "|".join(ended), max_age=_ENDED_SECONDS, path="/", samesite="lax")


def go_to(request: Request, path: str, told: Told | None = None) -> RedirectResponse:
    """After a form was taken: on to a page, which tells what was done."""
    response = RedirectResponse(path, status_code=303)
    if told is not None:
        teller = request.app.state.teller
        assert isinstance(teller, Teller)
        teller.send(request, response, told)
    return response
