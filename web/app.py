"""create_app: the pages of one collection, their files, and the service for programs beside them."""

import asyncio
from collections.abc import AsyncIterator, Sequence
from contextlib import asynccontextmanager, suppress
from typing import Final

from fastapi import APIRouter, Depends, FastAPI
from fastapi.concurrency import run_in_threadpool
from fastapi.routing import APIRoute
from starlette.types import ASGIApp, Receive, Scope, Send

from api.heads import Heads, with_head
from ledger.accounts import Accounts
from ledger.errors import LedgerError
from ledger.ports import Ledger
from ledger.usecases.arrive import sweep_partials
from ledger.usecases.catalogues import CATALOGUES
from ledger.usecases.daily import sign_if_due
from ledger.usecases.exports import EXPORTS
from ledger.usecases.sign_in import sweep
from web import errors
from web.assets import Assets
from web.deps import signed_in_of, whole_session_of
from web.door import Door
from web.guards import Guards
from web.logs import Noted
from web.long_work import LongWork
from web.pages import AT_THE_BENCH, OPEN, ROUTERS
from web.pairing import Pairing
from web.reach import Reach
from web.throttle import Throttle
from web.told import Teller
from web.waiting import UsedUp

__all__ = ["create_app", "routes"]

SWEEP_SECONDS: Final = 600


def create_app(  # noqa: PLR0913 - what a server is made of
    ledger: Ledger,
    accounts: Accounts,
    *,
    hosts: Sequence[str],
    door: Door,
    pairing: Pairing | None = None,
    reach: Reach | None = None,
) -> FastAPI:
    """The pages and the service of one ledger; they answer only to these host names.

    Keeps: no page outside `OPEN` answers anybody who is not signed in, none outside `AT_THE_BENCH` a paired phone, and
    nothing that comes from another site changes anything.
    """
    app = FastAPI(
        title="Slipsheet", openapi_url=None, docs_url=None, redoc_url=None, redirect_slashes=False, lifespan=_lifespan
    )
    app.state.ledger, app.state.accounts, app.state.door = ledger, accounts, door
    app.state.throttle, app.state.teller, app.state.works = Throttle(), Teller(), LongWork(ledger.clock)
    app.state.pairing, app.state.reach = pairing or Pairing(ledger.clock), reach or Reach()
    app.state.pages = [route.path_regex for route in routes() if "GET" in (route.methods or ())]
    for router in OPEN:
        app.include_router(router, include_in_schema=False)
    for router in ROUTERS:
        let_in = signed_in_of if router in AT_THE_BENCH else whole_session_of
        app.include_router(router, dependencies=[Depends(let_in)], include_in_schema=False)
    app.mount("/static", Assets(), name="static")
    app.mount("/api/v1", Service(ledger, hosts), name="api")
    errors.install(app, methods_at)
    app.add_middleware(UsedUp)
    app.add_middleware(Guards, hosts=hosts)
    app.add_middleware(Noted)
    app.add_middleware(Heads)
    return app


class Service:
    """The service for programs, made when somebody first asks it: a start that shows a page need not wait for it."""

    def __init__(self, ledger: Ledger, hosts: Sequence[str]) -> None:
        self._ledger, self._hosts = ledger, hosts
        self._made: ASGIApp | None = None

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Hands the request on."""
        if self._made is None:
            # Nothing is awaited in here, so two first requests cannot both make it.
            from api.app import create_api  # noqa: PLC0415

            self._made = create_api(self._ledger, hosts=self._hosts)
        await self._made(scope, receive, send)


def routes(routers: Sequence[APIRouter] = (*OPEN, *ROUTERS)) -> list[APIRoute]:
    """Every route of the pages."""
    return [route for router in routers for route in router.routes if isinstance(route, APIRoute)]


def methods_at(path: str) -> list[str]:
    """Every method that the page at this address takes."""
    return with_head({method for route in routes() if route.path_regex.match(path) for method in route.methods or ()})


@asynccontextmanager
async def _lifespan(app: FastAPI) -> AsyncIterator[None]:
    """What has run out is deleted now and then, and what is due is signed; long work ends with the program."""
    sweeping = asyncio.create_task(_sweep(app.state.ledger, app.state.accounts))
    try:
        yield
    finally:
        sweeping.cancel()
        with suppress(asyncio.CancelledError):
            await sweeping
        await run_in_threadpool(app.state.works.stop)


async def _sweep(ledger: Ledger, accounts: Accounts) -> None:
    while True:
        # A store that has failed says so to whoever asks it for something, and the page of upkeep says what is not signed.
        with suppress(LedgerError):
            await run_in_threadpool(sweep, accounts)
        with suppress(LedgerError):
            await run_in_threadpool(sign_if_due, ledger)
        with suppress(OSError):
            await run_in_threadpool(sweep_partials, ledger)
            await run_in_threadpool(EXPORTS.sweep, ledger)
            await run_in_threadpool(CATALOGUES.sweep, ledger)
        await asyncio.sleep(SWEEP_SECONDS)
