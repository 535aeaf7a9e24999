"""The files every page needs, kept by browsers for as long as they stay what they are."""

import os
from typing import Final
from urllib.parse import parse_qs

from starlette.responses import Response
from starlette.staticfiles import StaticFiles
from starlette.types import Scope

from web.render import STATIC, asset

__all__ = ["Assets"]

FOR_EVER: Final = "public, max-age=31536000, immutable"
A_WEEK: Final = "public, max-age=604800"
ASK_AGAIN: Final = "no-cache"
FONTS: Final = "fonts/"


class Assets(StaticFiles):
    """Files of `static/`: under an address that holds their digest they never change, otherwise a browser asks again."""

    def __init__(self) -> None:
        super().__init__(directory=STATIC)

    def file_response(
        self, full_path: str | os.PathLike[str], stat_result: os.stat_result, scope: Scope, status_code: int = 200
    ) -> Response:
        """The file, or the word that it has not changed."""
        response = super().file_response(full_path, stat_result, scope, status_code)
        name = os.path.relpath(full_path, STATIC).replace(os.sep, "/")
        given = parse_qs(scope["query_string"].decode("latin-1")).get("v", [""])[0]
        if given and asset(name).endswith(f"?v={given}"):
            response.headers["Cache-Control"] = FOR_EVER
        else:
            response.headers["Cache-Control"] = A_WEEK if name.startswith(FONTS) else ASK_AGAIN
        return response
