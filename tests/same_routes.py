"""Routes that are worked out once: an app does it on its first requests, and in every app over a ledger they are the same.

They come from the routers of the modules; what is mounted, and everything else in an app, stays its own.
"""

from fastapi import FastAPI
from starlette.routing import BaseRoute, Mount

_FIRST: dict[tuple[int, ...], list[BaseRoute]] = {}
"""The routes of the first app that was made of these routers, by who they are."""


def sharing(app: FastAPI) -> FastAPI:
    """The app, with the routes of the first one of the same routers."""
    own = app.router.routes
    routers = tuple(id(getattr(each, "original_router", type(each))) for each in own)
    first = _FIRST.setdefault(routers, list(own))
    own[:] = [mine if isinstance(mine, Mount) else shared for mine, shared in zip(own, first, strict=True)]
    return app
