"""Requests made up from the OpenAPI document itself: whatever is sent, the answer is one that the document tells of."""

from base64 import b64encode
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
from ledger.ports import Ledger
from ledger.proof.cosigning import line_text
from ledger.proof.signature import CosigningKey
from ledger.store.codec import EventCodec
from ledger.usecases.found import found
from ledger.usecases.photograph import Shot, photograph
from seeds.draw import draw
from tests.api.care_bodies import plans_of_rotation
from tests.api.door import OWNER, Door, door_to
from tests.api.good_bodies import GOOD_BODIES, body_for
from tests.api.test_tokens import routes
from tests.check import check_ledger
from tests.conftest import COLLECTION, ledger_on
from tests.fakes import FakeLog
from tests.photographed import as_jpeg
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


def two_fronts(ledger: Ledger, book: str) -> list[int]:
    """The entries of two photographs of one face."""
    shots = [Shot(data=as_jpeg(draw("unlit-stair-4").rotate(turned)), said={}) for turned in (0, 3)]
    return [each.seq for each in photograph(ledger, OWNER, book, shots).entries]


def a_stamp(door: Door) -> dict[str, str]:
    """What a neighbour cosigned of the checkpoint of now."""
    note = door.client.post("/checkpoint").json()["note"]
    key = CosigningKey.from_seed("a-neighbour", b"\x0b" * 32)
    line = line_text(key.line(note.partition("\n\n")[0] + "\n", 1767225600))
    return {"stamp": b64encode(line.encode()).decode(), "key": key.verifier.vkey}


def three_tools(door: Door) -> dict[str, str]:
    """One to read, one to change and one to take away."""
    cold = REQUESTS["add_tool"]["cold"]["value"]
    ids = [door.post("/bench/tools", {**cold, "name": name}).json()["id"] for name in ("One", "Two", "Three")]
    GOOD_BODIES["PUT /bench/tools/{tool}"]["name"] = "Two"
    return dict(zip(("tool", "PUT /bench/tools/{tool}", "DELETE /bench/tools/{tool}"), ids, strict=True))


def two_comparables(door: Door) -> dict[str, str]:
    """One to read and change, and one to take away."""
    body = REQUESTS["keep_comparable"]["auction"]["value"]
    sale, gone = (door.post("/comparables", body).json()["id"] for _ in range(2))
    return {"sale": sale, "DELETE /comparables/{sale}": gone}


def prospects_and_batches(door: Door) -> dict[str, str]:
    """A prospect for each way that ends it, and a batch for each way on."""
    listing = REQUESTS["keep_prospect"]["listing"]["value"]
    ends = ("prospect", *(f"{way} /prospects/{{prospect}}{rest}" for way, rest in ENDS))
    names = {each: door.post("/prospects", listing).json()["id"] for each in ends}
    GOOD_BODIES["POST /submissions"]["books"] = [{"book": door.a_book()}]
    for way, name in (("batch", "one"), ("POST /submissions/{batch}/news", "two"), (RESULTS, "three")):
        book = door.a_book()
        sent = door.post("/submissions", {"batch": name, "books": [{"book": book}]})
        assert sent.status_code == 201, sent.text
        names[way] = name
    row = REQUESTS["write_results"]["graded"]["value"]["results"][0]
    GOOD_BODIES[RESULTS] = {"results": [{**row, "book": book}]}
    return names


RESULTS = "POST /submissions/{batch}/results"
ENDS = (("PUT", "/verdict"), ("POST", "/purchase"), ("DELETE", ""))


def a_load_that_goes_on(door: Door) -> str:
    """One by the first of two steps."""
    steps = [{"technique": "dry-cleaning"}, {"technique": "cold-press"}]
    recipe = door.post("/bench/recipes", {"name": "Two steps", "steps": steps}).json()["id"]
    load: str = door.post("/bench/loads", {"books": [door.a_book()], "values": steps[0], "recipe": recipe}).json()["id"]
    return load


def a_rate(door: Door) -> str:
    """One that can be taken away."""
    body = {"of": "GBP", "into": "EUR", "on": "2024-03-01", "rate": "1.17", "source": "a bank"}
    made: str = door.post("/rates", {"rates": [body]}).json()["rates"][0]["id"]
    return made


def two_barcodes(door: Door) -> dict[str, str]:
    """A code to look up and keep, and one that can be forgotten."""
    GOOD_BODIES["PUT /barcodes/{code}"] = {"book": door.a_book()}
    made = door.client.put("/barcodes/614141000036-00111", json=GOOD_BODIES["PUT /barcodes/{code}"])
    assert made.status_code == 200, made.text
    return {"code": "614141000036-01411", "DELETE /barcodes/{code}": "614141000036-00111"}


def a_record(door: Door) -> dict[str, str]:
    """A record, a link to it, and its page as what is checked and received."""
    own = door.post(f"/books/{door.a_book()}/records", {}).json()["sha256"]
    page = door.get(f"/records/{own}?form=file").content
    GOOD_BODIES["POST /records/check"] = GOOD_BODIES["POST /books/{book}/records/received"] = page
    links = [door.post(f"/records/{own}/links", {"days": 9}).json()["id"] for _ in range(2)]
    return {
        "link": links[0],
        "GET /records/{sha256}": own,
        "POST /records/{sha256}/links": own,
        "DELETE /records/links/{link}": links[1],
    }


def a_room(door: Door) -> str:
    """One of one wall; and a book that can be moved."""
    walls = [{"id": "n", "width_cm": "412", "height_cm": "262", "outer": False}]
    made = door.post("/events", {"kind": "room", "room": "study", "walls": walls})
    assert made.status_code == 201, made.text
    GOOD_BODIES["POST /places/move"] = {"moves": [{"book": door.a_book(), "spot": "box", "place": "Box 4"}]}
    return "study"


COUNTED = (
    *("/books/{book}/costs", "/costs", "/costs/{year}", "/costs/{year}/table"),
    *("/insurance/schedule", "/insurance/schedule/table", "/books/{book}/worth"),
)
"""Answers in one currency."""


def a_log(door: Door) -> dict[str, str]:
    """A file of two channels, the first of them taken in."""
    sent = door.post("/climate", GOOD_BODIES["POST /climate"], Content_Type="text/csv", Idempotency_Key="").json()
    door.post(f"/climate/{sent['sha256']}", {"channels": [{"channel": 1, "room": "study"}]})
    return {"room": "study", "POST /climate/{sha256}": sent["sha256"]}


def queries(ledger: Ledger, book: str) -> dict[str, dict[str, Any]]:
    """What an address is asked with where it takes no body."""
    asked: dict[str, dict[str, Any]] = {
        "GET /proofs/inclusion": {"seq": 1},
        "GET /comparables": {"title": "The Copper Lantern", "number": "14", "start_year": 1962},
        "GET /books/{book}/value": {"grade": "9.0", "currency": "USD"},
        "GET /outlooks/reading": {"said": "60 % 7.5, 25 % 8.0, rest below"},
        "GET /proofs/consistency": {"first": 1},
        "GET /climate/wall": {"celsius": "21", "rh": "55", "outside": "0"},
        "GET /proofs/head": {"book": book},
        "GET /photographs/alignment": dict(zip(("before", "after"), two_fronts(ledger, book), strict=True)),
    }
    return asked | {f"GET {path}": {"currency": "EUR"} for path in COUNTED}


@pytest.fixture(scope="module")
def known() -> Iterator[Known]:
    """A book with a few entries, an act, a checkpoint and a token that may end."""
    ledger = ledger_on(FakeLog(COLLECTION, EventCodec()), calendars=ICalendars())
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
    photo = door.post("/photographs", a_picture(), Content_Type="image/png").json()
    shown = {name: photo[name] for name in ("original", "clean", "width_px", "height_px")}
    door.an_event(book, "photograph", face="front", **shown)
    names["sha256"] = photo["clean"]
    names["DELETE /bench/loads/{load}"] = gone
    names |= three_tools(door) | two_comparables(door) | prospects_and_batches(door)
    names["POST /bench/loads/{load}/next"] = a_load_that_goes_on(door)
    adjusting = {**REQUESTS["keep_recipe"]["two"]["value"], "name": "To be adjusted"}
    names["PUT /bench/recipes/{recipe}"] = door.post("/bench/recipes", adjusting).json()["id"]
    names |= {**a_record(door), "year": 2026, "rate": a_rate(door), "room": a_room(door)}
    for more in (a_log, two_barcodes, lambda door: plans_of_rotation(door, GOOD_BODIES)):
        names |= more(door)
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
