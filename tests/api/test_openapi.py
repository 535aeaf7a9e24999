"""The OpenAPI document is complete: every operation, field, failure and example, and the examples fit."""

from collections.abc import Iterator
from typing import Any

import jsonschema_rs
import pytest
from fastapi import FastAPI
from fastapi.testclient import TestClient

from api.bodies import BOOK_KINDS, COLLECTION_KINDS
from api.examples import ANSWERS, REQUESTS
from api.openapi import BODIES, RAW, operations
from ledger.actor import Permission
from ledger.events import KINDS
from ledger.store.codec import EventCodec
from ledger.usecases.found import found
from tests.api.door import HOST, OWNER, Door, door_to, problem
from tests.api.test_tokens import routes
from tests.conftest import COLLECTION, ledger_on
from tests.fakes import FakeLog

Document = dict[str, Any]


@pytest.fixture(scope="module")
def document() -> Document:
    """As a program is given it; it is no other from test to test, and takes a second to put together."""
    ledger = ledger_on(FakeLog(COLLECTION, EventCodec()))
    found(ledger, OWNER)
    told: Document = door_to(ledger, set(Permission)).get("/openapi.json").json()
    return told


def nodes(value: Any, path: str = "") -> Iterator[tuple[str, dict[str, Any]]]:
    """Every object in a document, with its place."""
    if isinstance(value, dict):
        yield path, value
        for key, each in value.items():
            yield from nodes(each, f"{path}/{key}")
    elif isinstance(value, list):
        for place, each in enumerate(value):
            yield from nodes(each, f"{path}/{place}")


def validator(document: Document, schema: dict[str, Any]) -> jsonschema_rs.Validator:
    """Checks values by a schema of the document (JSON Schema 2020-12, as OpenAPI 3.1 says)."""
    return jsonschema_rs.Draft202012Validator({**schema, "components": document["components"]})


def test_every_route_is_an_operation_with_words(document: Document) -> None:
    told = {
        f"{method.upper()} {path}": operation
        for path, methods in document["paths"].items()
        for method, operation in methods.items()
    }
    assert set(told) == {f"{method} {path}" for method, path in routes()} - {"GET /openapi.json"}
    ids = [operation["operationId"] for operation in told.values()]
    assert len(ids) == len(set(ids))
    for name, operation in told.items():
        assert operation["summary"], name
        assert operation["description"], name
        assert operation["tags"], name
    tags = {tag["name"]: tag["description"] for tag in document["tags"]}
    assert {tag for operation in told.values() for tag in operation["tags"]} == set(tags)


def test_every_field_and_parameter_is_described(document: Document) -> None:
    for path, node in nodes(document["components"]["schemas"]):
        if path.endswith("/properties"):
            for name, field in node.items():
                assert field.get("description"), f"{path}/{name}"
    for operation in operations(document):
        for parameter in operation.get("parameters", []):
            assert parameter["description"], (operation["operationId"], parameter["name"])


def test_every_measure_says_its_unit(document: Document) -> None:
    measured = [node for _, node in nodes(document["components"]["schemas"]) if "x-unit" in node]
    assert measured
    assert all(node["x-unit"] in node["description"] for node in measured)


def test_every_reference_leads_somewhere(document: Document) -> None:
    schemas = document["components"]["schemas"]
    for path, node in nodes(document):
        ref = node.get("$ref")
        if isinstance(ref, str):
            assert ref.removeprefix("#/components/schemas/") in schemas, f"{path}: {ref}"
    assert "HTTPValidationError" not in str(document)


def test_every_failure_is_a_problem(document: Document) -> None:
    for operation in operations(document):
        statuses = {status for status in operation["responses"] if status >= "4"}
        least = {"421", "500"} if operation["operationId"] == "health" else {"401", "403", "421", "500", "503"}
        assert least <= statuses, operation["operationId"]
        for status in statuses:
            content = operation["responses"][status]["content"]
            assert content == {"application/problem+json": {"schema": {"$ref": "#/components/schemas/Problem"}}}
        if "requestBody" in operation:
            assert {"400", "413", "415", "422"} <= statuses, operation["operationId"]


NOT_APPENDED = {"verify", "make_token", "put_in", "keep_recipe", "link_record", "take_stamp"} | {
    "adjust_recipe",
    "add_tool",
    "change_tool",
    "keep_comparable",
    "keep_comparables",
    "change_comparable",
    "keep_rates",
    "keep_barcode",
    "state_run",
    "keep_want",
    "change_want",
    "choose_import_columns",
    "mend_import_rows",
    "decide_import_doubles",
    "keep_prospect",
    "change_prospect",
    "weigh_prospect",
    "judge_prospect",
    "begin_export",
    "begin_catalogue",
    "set_light",
    "try_light",
    "propose_rotation",
    "try_rotation",
    "change_rotation",
    "put_planned",
}
APPENDS = {*BODIES, "receive_record"} - NOT_APPENDED


def test_every_append_tells_of_its_key_and_where_a_tag_matters_of_the_tag(document: Document) -> None:
    for operation in operations(document):
        names = {parameter["name"]: parameter for parameter in operation.get("parameters", [])}
        appends = operation["operationId"] in APPENDS
        assert ("Idempotency-Key" in names) == appends, operation["operationId"]
        if appends:
            assert names["Idempotency-Key"]["required"]
    tagged = document["paths"]["/books/{book}/events"]["post"]
    assert {"412", "428"} <= set(tagged["responses"])
    assert "ETag" in tagged["responses"]["201"]["headers"]


def test_everything_but_health_wants_the_token(document: Document) -> None:
    assert document["components"]["securitySchemes"]["token"]["scheme"] == "bearer"
    for operation in operations(document):
        assert operation.get("security", []) == ([] if operation["operationId"] == "health" else [{"token": []}])


@pytest.mark.parametrize(("name", "kinds"), [("BookEvent", BOOK_KINDS), ("CollectionEvent", COLLECTION_KINDS)])
def test_every_kind_is_one_of_the_choice_at_its_door(document: Document, name: str, kinds: frozenset[str]) -> None:
    schemas = document["components"]["schemas"]
    choice = schemas[name]
    assert choice["discriminator"]["propertyName"] == "kind"
    assert set(choice["discriminator"]["mapping"]) == kinds
    assert [each["$ref"] for each in choice["oneOf"]] == list(choice["discriminator"]["mapping"].values())
    for kind, ref in choice["discriminator"]["mapping"].items():
        schema = schemas[ref.removeprefix("#/components/schemas/")]
        assert schema["properties"]["kind"]["const"] == kind
        assert "kind" in schema["required"]
        assert schema["additionalProperties"] is False
    assert set(KINDS) == BOOK_KINDS | COLLECTION_KINDS


def test_every_operation_has_examples(document: Document) -> None:
    for operation in operations(document):
        name = operation["operationId"]
        if "requestBody" in operation:
            content = operation["requestBody"]["content"]
            assert name in RAW or content["application/json"]["examples"], name
        for status, response in operation["responses"].items():
            if status.startswith("2") and status != "204" and set(response["content"]) != {"image/jpeg"}:
                assert response["content"], name
                assert all("example" in each for each in response["content"].values()), name
    assert set(REQUESTS) == set(BODIES)


@pytest.mark.parametrize("operation", REQUESTS)
def test_every_example_of_a_body_fits_its_schema(document: Document, operation: str) -> None:
    found = next(each for each in operations(document) if each["operationId"] == operation)
    content = found["requestBody"]["content"]["application/json"]
    for name, example in content["examples"].items():
        errors = [str(error) for error in validator(document, content["schema"]).iter_errors(example["value"])]
        assert not errors, (name, errors)


@pytest.mark.parametrize("operation", ANSWERS)
def test_every_example_of_an_answer_fits_its_schema(document: Document, operation: str) -> None:
    found = next(each for each in operations(document) if each["operationId"] == operation)
    status = min(found["responses"])
    content = found["responses"][status]["content"]["application/json"]
    errors = [str(error) for error in validator(document, content["schema"]).iter_errors(content["example"])]
    assert not errors, errors


def test_what_the_examples_send_is_taken_by_the_ledger(door: Door) -> None:
    made = door.post("/books", REQUESTS["create_book"]["purchase"]["value"])
    assert made.status_code == 201, made.text
    book = made.json()["entries"][0]["book"]
    written = {"purchase": made.json()["entries"][0]["seq"], "note": door.an_event(book, "note", words="by mistake")}
    mended = {"correction": "examination", "withdrawal": "note", "erasure": "purchase"}
    for name, example in REQUESTS["record_book_event"].items():
        entry = {"entry": written[mended[name]]} if name in mended else {}
        answer = door.post(f"/books/{book}/events", {**example["value"], **entry}, If_Match="*")
        assert answer.status_code == 201, (name, answer.text)
        written[name] = answer.json()["entries"][0]["seq"]
    assert door.post("/events", REQUESTS["record_collection_event"]["note"]["value"]).status_code == 201
    act = {"events": REQUESTS["record_act"]["lot"]["value"]["events"][:2]}
    assert door.post("/acts", act).status_code == 201
    assert door.post("/tokens", REQUESTS["make_token"]["reader"]["value"]).status_code == 201
    assert door.post("/verify", REQUESTS["verify"]["anchor"]["value"]).json()["ok"]


def test_mounted_the_document_and_every_location_say_so(door: Door) -> None:
    outer = FastAPI()
    outer.mount("/api/v1", door.client.app)
    client = TestClient(outer, headers={"Authorization": f"Bearer {door.secret}"}, base_url=f"http://{HOST}")
    assert client.get("/api/v1/openapi.json").json()["servers"][0]["url"] == "/api/v1"
    body = REQUESTS["create_book"]["purchase"]["value"]
    made = client.post("/api/v1/books", json=body, headers={"Idempotency-Key": '"a"'})
    assert made.headers["location"].startswith("/api/v1/books/")
    assert client.get(made.headers["location"]).status_code == 200
    client.post("/api/v1/books", json=body, headers={"Idempotency-Key": '"b"'})
    assert client.get("/api/v1/books?limit=1").headers["link"].startswith("</api/v1/books?limit=1&after=")
    answer = client.put("/api/v1/books")
    problem(answer, 405)
    assert answer.headers["allow"] == "GET, HEAD, POST"
