"""Requests made up from the OpenAPI document itself: whatever is sent, the answer is one that the document tells of."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import pytest
import schemathesis.openapi
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from schemathesis import BaseSchema, Case, Config, GenerationMode
from schemathesis.specs.openapi.checks import positive_data_acceptance

from api.app import ROUTERS
from api.examples import REQUESTS
from ledger.actor import Permission
from ledger.adapters.calendar import ICalendars
from ledger.adapters.sheets import TypstSheets
from ledger.store.codec import EventCodec
from ledger.usecases.found import found
from tests.api.being_there import (
    a_load_that_goes_on,
    a_log,
    a_rate,
    a_record,
    a_room,
    a_stamp,
    prospects_and_batches,
    queries,
    runs_and_wants,
    tables_on_their_way,
    three_tools,
    two_archives,
    two_barcodes,
    two_catalogues,
    two_comparables,
)
from tests.api.care_bodies import plans_of_rotation
from tests.api.door import OWNER, Door, door_to
from tests.api.good_bodies import GOOD_BODIES, body_for
from tests.api.test_tokens import routes
from tests.check import check_ledger
from tests.conftest import COLLECTION, ledger_on
from tests.fakes import FakeLog
from tests.pictures import a_picture

EXAMPLES = 15
"""Requests made up per operation and mode; the same ones in every run."""

OPERATIONS = sorted({f"{method} {path}" for method, path in routes()} - {"GET /openapi.json"})


REFUSED = [400, 401, 403, 404, 405, 409, 412, 413, 415, 422, 428]
"""What a request that does not fit may be answered with; a stale tag is told before the body is looked at."""

CONFIG = Config.from_dict({"checks": {"negative_data_rejection": {"expected-statuses": REFUSED}}})


@dataclass
class Known:
    """A ledger with something in it, its document, and what leads somewhere in it."""

    door: Door
    schema: BaseSchema
    names: dict[str, Any]
    queries: dict[str, dict[str, Any]]

    def operation(self, operation: str) -> Any:
        """The operation as the document tells it."""
        method, path = operation.split()
        return self.schema[path][method]

    def parts(self, operation: str) -> dict[str, Any]:
        """Path and query of a request that leads somewhere."""
        name = operation.partition("{")[2].partition("}")[0]
        path = {"path_parameters": {name: self.names.get(operation, self.names[name])}} if name else {}
        query = {"query": self.queries[operation]} if operation in self.queries else {}
        return {**path, **query}

    @property
    def headers(self) -> dict[str, str]:
        """The token."""
        return {"Authorization": f"Bearer {self.door.secret}"}


@pytest.fixture(scope="module")
def known() -> Iterator[Known]:
    """A book with a few entries, an act, a checkpoint and a token that may end."""
    ledger = ledger_on(FakeLog(COLLECTION, EventCodec()), calendars=ICalendars(), sheets=TypstSheets())
    found(ledger, OWNER)
    door = door_to(ledger, set(Permission))
    book = door.a_book(holding="slabbed")
    act = door.post("/acts", {"events": [{"book": book, "event": {"kind": "note", "words": "a"}}]}).json()["act"]
    token = door.post("/tokens", {"label": "a", "permissions": ["read"], "days": 9}).json()["id"]
    press = REQUESTS["put_in"]["press"]["value"]
    in_it, gone = (door.post("/bench/loads", {**press, "books": [door.a_book()]}).json()["id"] for _ in range(2))
    recipe = door.post("/bench/recipes", {**REQUESTS["keep_recipe"]["two"]["value"], "name": "Other"}).json()["id"]
    GOOD_BODIES["POST /bench/loads"]["books"] = [door.a_book()]
    GOOD_BODIES["POST /checkpoint/stamps"] |= a_stamp(door)
    names = {"book": book, "act": act, "token": token, "seq": 2, "table": "grades", "load": in_it, "recipe": recipe}
    photo = door.post("/photographs", a_picture(kind="JPEG"), Content_Type="image/jpeg").json()
    shown = {name: photo[name] for name in ("original", "clean", "width_px", "height_px")}
    door.an_event(book, "photograph", face="front", **shown)
    names["sha256"] = photo["clean"]
    names["DELETE /bench/loads/{load}"] = gone
    names |= three_tools(door) | two_comparables(door) | prospects_and_batches(door)
    names["POST /bench/loads/{load}/next"] = a_load_that_goes_on(door)
    adjusting = {**REQUESTS["keep_recipe"]["two"]["value"], "name": "To be adjusted"}
    names["PUT /bench/recipes/{recipe}"] = door.post("/bench/recipes", adjusting).json()["id"]
    names |= {**a_record(door), "year": 2026, "rate": a_rate(door), "room": a_room(door)}
    for more in (
        a_log,
        two_barcodes,
        runs_and_wants,
        two_archives,
        two_catalogues,
        tables_on_their_way,
        lambda door: plans_of_rotation(door, GOOD_BODIES),
    ):
        names |= more(door)
    names["GET /tables/{sheet}"] = "books"
    names["GET /bench/recipes/{recipe}"] = names["PUT /bench/recipes/{recipe}"]
    bearer = {"Authorization": f"Bearer {door.secret}"}
    schema = schemathesis.openapi.from_asgi("/openapi.json", door.client.app, config=CONFIG, headers=bearer)
    yield Known(door, schema, names, queries(ledger, book))
    check_ledger(ledger)


@pytest.mark.parametrize("operation", OPERATIONS)
def test_a_good_request_to_every_operation_succeeds_as_the_document_says(known: Known, operation: str) -> None:
    known.door.client.post("/checkpoint")
    body = body_for(operation)
    key = {"Idempotency-Key": known.door.new_key()} if operation in GOOD_BODIES else {}
    case = known.operation(operation).Case(**known.parts(operation), **body)
    response = case.call_and_validate(headers={**known.headers, **key})
    assert 200 <= response.status_code < 300


def cases(known: Known, operation: str, mode: GenerationMode) -> st.SearchStrategy[Case[Any]]:
    """Requests to one operation: made up whole, and made up but for a path, a query or a body that leads somewhere."""
    target, parts = known.operation(operation), known.parts(operation)
    strategies = [target.as_strategy(generation_mode=mode)]
    if parts:
        strategies.append(target.as_strategy(generation_mode=mode, **parts))
    if operation in GOOD_BODIES:
        body = body_for(operation)
        strategies.append(target.as_strategy(generation_mode=mode, **parts, **body))
    return st.one_of(strategies)


def statuses_met(known: Known, operation: str, mode: GenerationMode) -> set[int]:
    """Every status met; an answer that the document does not tell of fails the test."""
    met: set[int] = set()

    @settings(
        max_examples=EXAMPLES,
        deadline=None,
        derandomize=True,
        database=None,
        suppress_health_check=list(HealthCheck),
    )
    @given(case=cases(known, operation, mode))
    def answers_as_documented(case: Case[Any]) -> None:
        # Rules of the ledger lie beyond any schema, so what fits the schema may still be refused.
        response = case.call_and_validate(headers=known.headers, excluded_checks=[positive_data_acceptance])
        met.add(response.status_code)

    answers_as_documented()
    return met


@pytest.mark.long
@pytest.mark.parametrize("operation", OPERATIONS)
def test_what_fits_the_document_is_answered_as_it_says(known: Known, operation: str) -> None:
    met = statuses_met(known, operation, GenerationMode.POSITIVE)
    assert met
    assert 500 not in met


@pytest.mark.long
@pytest.mark.parametrize("operation", sorted(set(OPERATIONS) - {"GET /health", "GET /checkpoint"}))
def test_what_does_not_fit_the_document_is_refused_as_it_says(known: Known, operation: str) -> None:
    met = statuses_met(known, operation, GenerationMode.NEGATIVE)
    assert met
    assert 500 not in met


def test_every_router_is_looked_at() -> None:
    assert len(OPERATIONS) >= len(ROUTERS)
