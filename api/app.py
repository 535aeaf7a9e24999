"""create_api: everything the ledger does, over HTTP, for programs."""

from collections.abc import Sequence
from functools import cache

from fastapi import APIRouter, FastAPI, Request
from fastapi.routing import APIRoute

from api import errors
from api.guards import Guards
from api.heads import Heads, with_head
from api.openapi import ABOUT, document
from api.routes import (
    acts,
    alignment,
    barcodes,
    bench,
    board,
    book_outlook,
    books,
    calendar,
    care,
    catalogues,
    checkpoint,
    climate,
    comparables,
    condition,
    costs,
    events,
    exports,
    find,
    health,
    imports,
    insurance,
    light,
    linked_art,
    lots,
    outlooks,
    photographs,
    places,
    proofs,
    prospect_outlook,
    prospects,
    rates,
    readiness,
    recipes,
    records,
    rotation,
    rotation_light,
    rules,
    runs,
    stamps,
    submissions,
    tables,
    tokens,
    tools,
    verify,
    worth,
)
from api.routes import document as own_document
from ledger.ports import Ledger

ROUTERS: Sequence[APIRouter] = tuple(
    module.router
    for module in (
        health,
        readiness,
        linked_art,  # before what any name of a book leads to
        books,
        find,
        condition,
        light,
        events,
        acts,
        lots,
        checkpoint,
        stamps,
        proofs,
        verify,
        bench,
        calendar,
        board,
        tools,
        recipes,
        book_outlook,
        worth,
        outlooks,
        climate,
        comparables,
        alignment,
        photographs,
        records,
        costs,
        care,
        rotation,
        rotation_light,
        rates,
        insurance,
        prospects,
        prospect_outlook,
        submissions,
        places,
        barcodes,
        runs,
        exports,
        catalogues,
        tables,
        imports,
        tokens,
        rules,
        own_document,
    )
)


def create_api(ledger: Ledger, *, hosts: Sequence[str]) -> FastAPI:
    """The API of one ledger, to be mounted at /api/v1; it answers only to these host names.

    Keeps: no route but /health answers without a token.
    """
    app = FastAPI(
        title="Slipsheet",
        version="1",
        summary="The collection and its ledger, for programs.",
        description=ABOUT.strip(),
        openapi_url=None,
        docs_url=None,
        redoc_url=None,
        redirect_slashes=False,
        generate_unique_id_function=lambda route: route.name,
    )
    app.state.ledger = ledger
    for router in ROUTERS:
        app.include_router(router)
    app.openapi = cache(lambda: document(app))  # type: ignore[method-assign]  # the documented way to give one's own
    errors.install(app, methods_at)
    app.add_middleware(Guards, hosts=hosts)
    app.add_middleware(Heads)
    return app


def methods_at(request: Request) -> list[str]:
    """Every method that the path of a request takes."""
    path = request.scope["path"].removeprefix(request.scope.get("root_path", ""))
    routes = [route for router in ROUTERS for route in router.routes if isinstance(route, APIRoute)]
    return with_head({method for route in routes if route.path_regex.match(path) for method in route.methods or ()})
