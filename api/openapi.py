"""The OpenAPI document: what the routes say of themselves, the schemas of all kinds, and examples, put into one."""

from collections.abc import Iterator
from typing import Any

from fastapi import FastAPI
from fastapi.openapi.utils import get_openapi
from pydantic import BaseModel

from api.barcode_answers import BarcodeBody
from api.care_answers import CountBody, PlannedBody
from api.climate_bodies import TakeBody
from api.comparable_answers import ComparableBody, ComparableChange, TableBody
from api.event_schemas import REF, Schema, event_components
from api.examples import ANSWERS, REQUESTS
from api.import_answers import IMPORT_BODIES
from api.light_answers import LightClassBody, WhatIfBody
from api.lot_bodies import LotBody
from api.market_answers import MARKET_BODIES
from api.raw_bodies import PICTURE_TYPES, RECORD_TYPES, TABLE_TYPES
from api.raw_bodies import content as raw_content
from api.record_answers import LinkBody, RecordBody
from api.rotation_answers import RotationBody, RowsBody, SwapBody
from api.rotation_light_answers import RotationTryBody
from api.routes.acts import ActBody
from api.routes.bench import LoadBody, RecipeBody
from api.routes.catalogues import CatalogueBody
from api.routes.exports import ExportBody
from api.routes.places import MoveBody
from api.routes.rates import RatesBody
from api.routes.recipes import RecipeChange
from api.routes.runs import RunBody, WantBody
from api.routes.stamps import StampBody
from api.routes.tokens import TokenBody
from api.routes.tools import ToolBody
from api.routes.verify import VerifyBody
from api.schemas import Problem

ABOUT = """
A collection catalogue and provenance ledger. Nothing is edited: every call that writes adds entries to a chain that a
stranger can check.

**Errors** are RFC 9457 problems in one shape: `errors` names every field with what is wrong and the mend.
**Every append** needs an `Idempotency-Key`; sent again with the same body it writes nothing and gets the same answer.
**Bodies** are strict JSON (RFC 7493): no name twice, no fraction or exponent, no unpaired surrogate, text in NFC. A
decimal is a text. A body has up to 1 MiB; a photograph comes as it is, not as JSON, and has up to 64 MiB.
**Dates** are EDTF (ISO 8601-2), **amounts** whole smallest units with currency and exponent (ISO 4217); an amount as
people write it is taken too, and counted.
**Parameters** that a route does not know, and one that is given twice, are refused.
**Lists** link to their next page (RFC 8288). **Tags**: a book's `ETag` is the number of its entries.
"""

TAGS = {
    "outlooks": "Forecasts of the grade, and what they are worth.",
    "health": "Whether the server answers.",
    "books": "Books, and what happened to each.",
    "events": "The day book of the whole collection, and entries of the collection itself.",
    "acts": "Entries that were written together.",
    "proofs": "Checkpoints, proofs and verification, for somebody who trusts nobody.",
    "climate": "What loggers say of rooms, and what aged a book.",
    "bench": "What is under way at the bench, the recipes, presses and tools; it lies beside the ledger.",
    "care": "Light on the books, what is due to be counted, looked at and housed anew; who hangs when. Plans and classes "
    "lie beside the ledger.",
    "imports": "Spreadsheets on their way in: tried row by row, mended, and then brought in whole or not at all.",
    "comparables": "Sales of an issue, and what they say a grade is worth; they lie beside the ledger.",
    "photographs": "Photographs: a file comes in as it is, its clean copy goes out; one lies over another.",
    "prospects": "Books looked at and not bought yet; they lie beside the ledger.",
    "submissions": "Books that go to a grading service together, each forecast beside its result.",
    "records": "What a next owner gets of a book, and what owners before gave.",
    "costs": "What books cost and brought in, rates of exchange, values for insurance; no advice on tax or insurance.",
    "runs": "Series with what is owned and missing, and copies that are looked for; they lie beside the ledger.",
    "places": "Rooms with their walls, boxes and safes, and books moved between them.",
    "barcodes": "Printed codes, and the issue each leads to; they lie beside the ledger.",
    "exports": "The whole collection as one file, in an open form.",
    "catalogues": "Books on paper: a PDF with pictures, contents and an index.",
    "tokens": "What programs sign in with.",
    "rules": "The tables the program works by, with their sources.",
}

BODIES: dict[str, tuple[Schema, bool]] = {
    "create_book": ({"$ref": f"{REF}NewBook"}, True),
    "record_book_event": ({"$ref": f"{REF}BookEvent"}, True),
    "record_collection_event": ({"$ref": f"{REF}CollectionEvent"}, True),
    "record_act": ({"$ref": f"{REF}ActBody"}, True),
    "verify": ({"$ref": f"{REF}VerifyBody"}, False),
    "make_token": ({"$ref": f"{REF}TokenBody"}, True),
    "put_in": ({"$ref": f"{REF}LoadBody"}, True),
    "keep_recipe": ({"$ref": f"{REF}RecipeBody"}, True),
    "make_record": ({"$ref": f"{REF}RecordBody"}, True),
    "link_record": ({"$ref": f"{REF}LinkBody"}, True),
    "take_stamp": ({"$ref": f"{REF}StampBody"}, True),
    "state_run": ({"$ref": f"{REF}RunBody"}, True),
    "keep_want": ({"$ref": f"{REF}WantBody"}, True),
    "change_want": ({"$ref": f"{REF}WantBody"}, True),
    "keep_rates": ({"$ref": f"{REF}RatesBody"}, True),
    "add_tool": ({"$ref": f"{REF}ToolBody"}, True),
    "change_tool": ({"$ref": f"{REF}ToolBody"}, True),
    "keep_comparable": ({"$ref": f"{REF}ComparableBody"}, True),
    "keep_comparables": ({"$ref": f"{REF}TableBody"}, True),
    "change_comparable": ({"$ref": f"{REF}ComparableChange"}, True),
    "keep_barcode": ({"$ref": f"{REF}BarcodeBody"}, True),
    "move_books": ({"$ref": f"{REF}MoveBody"}, True),
    "adjust_recipe": ({"$ref": f"{REF}RecipeChange"}, True),
    "keep_prospect": ({"$ref": f"{REF}ProspectBody"}, True),
    "change_prospect": ({"$ref": f"{REF}ProspectBody"}, True),
    "weigh_prospect": ({"$ref": f"{REF}OutlookBody"}, True),
    "judge_prospect": ({"$ref": f"{REF}VerdictBody"}, True),
    "buy_prospect": ({"$ref": f"{REF}NewBook"}, True),
    "buy_together": ({"$ref": f"{REF}LotBody"}, True),
    "send_batch": ({"$ref": f"{REF}SendBody"}, True),
    "tell_batch": ({"$ref": f"{REF}NewsBody"}, True),
    "begin_export": ({"$ref": f"{REF}ExportBody"}, True),
    "begin_catalogue": ({"$ref": f"{REF}CatalogueBody"}, True),
    "choose_import_columns": ({"$ref": f"{REF}ColumnsBody"}, True),
    "mend_import_rows": ({"$ref": f"{REF}MendedBody"}, True),
    "decide_import_doubles": ({"$ref": f"{REF}DoublesBody"}, True),
    "write_results": ({"$ref": f"{REF}ResultsBody"}, True),
    "set_light": ({"$ref": f"{REF}LightClassBody"}, True),
    "try_light": ({"$ref": f"{REF}WhatIfBody"}, True),
    "take_in_climate": ({"$ref": f"{REF}TakeBody"}, True),
    "propose_rotation": ({"$ref": f"{REF}RotationBody"}, True),
    "try_rotation": ({"$ref": f"{REF}RotationTryBody"}, True),
    "change_rotation": ({"$ref": f"{REF}RowsBody"}, True),
    "do_a_swap": ({"$ref": f"{REF}SwapBody"}, True),
    "count_books": ({"$ref": f"{REF}CountBody"}, True),
    "put_planned": ({"$ref": f"{REF}PlannedBody"}, True),
}
"""The body of every operation that takes one, and whether it must be there; routes read it strictly themselves."""

RAW: dict[str, tuple[str, ...]] = {
    "send_photograph": PICTURE_TYPES,
    "look_at_climate": TABLE_TYPES,
    "photograph_barcode": PICTURE_TYPES,
    "send_import": TABLE_TYPES,
    "send_import_mended": TABLE_TYPES,
    "check_record": RECORD_TYPES[-1:],
    "receive_record": RECORD_TYPES[-1:],
}
"""Operations whose body is one file as it is, with what it may be said to be."""


def document(app: FastAPI) -> dict[str, Any]:
    """The whole document, without the servers: where the app is mounted is known only to a request."""
    made = get_openapi(
        title=app.title,
        version=app.version,
        summary=app.summary,
        description=app.description,
        routes=app.routes,
        tags=[{"name": name, "description": words} for name, words in TAGS.items()],
    )
    schemas: dict[str, Schema] = made["components"]["schemas"]
    for name in ("HTTPValidationError", "ValidationError"):
        schemas.pop(name, None)
    for model in (
        *(Problem, ActBody, VerifyBody, TokenBody, LoadBody, RecipeBody, RecipeChange, ToolBody),
        *(RunBody, WantBody),
        *(RecordBody, LinkBody, StampBody, RatesBody, ComparableBody, ComparableChange, TableBody, MoveBody),
        *(ExportBody, CatalogueBody),
        *(LightClassBody, WhatIfBody, TakeBody),
        BarcodeBody,
        *(RotationBody, RowsBody, SwapBody, RotationTryBody, CountBody, PlannedBody),
        *IMPORT_BODIES,
    ):
        _add_model(schemas, model)
    schemas.update(event_components(schemas, (*MARKET_BODIES, LotBody)))
    schemas["NewBook"] = _with_optional_kind(schemas["Purchase"])
    schemas["Part"]["properties"]["event"] = {
        "description": "The event, as it would be sent alone.",
        "anyOf": [{"$ref": f"{REF}BookEvent"}, {"$ref": f"{REF}CollectionEvent"}, {"$ref": f"{REF}NewBook"}],
    }
    for operation in operations(made):
        _complete(operation)
    for schema in schemas.values():
        _describe(schema)
    return made


def operations(made: dict[str, Any]) -> Iterator[dict[str, Any]]:
    """Every operation of a document."""
    for path in made["paths"].values():
        yield from path.values()


def _add_model(schemas: dict[str, Schema], model: type[BaseModel]) -> None:
    schema = model.model_json_schema(ref_template=REF + "{model}")
    schemas.update(schema.pop("$defs", {}))
    schemas[model.__name__] = schema


def _with_optional_kind(purchase: Schema) -> Schema:
    """At the door for new books the kind goes without saying."""
    required = [name for name in purchase["required"] if name != "kind"]
    return {**purchase, "title": "NewBook", "description": "The purchase a new book begins with.", "required": required}


def _complete(operation: dict[str, Any]) -> None:
    """The body and the examples of one operation; the framework's own form of a refusal is never sent."""
    name = operation["operationId"]
    if "HTTPValidationError" in str(operation["responses"].get("422", "")):
        del operation["responses"]["422"]
    if name in BODIES:
        schema, needed = BODIES[name]
        content = {"application/json": {"schema": schema, "examples": REQUESTS[name]}}
        operation["requestBody"] = {"required": needed, "content": content}
    if name in RAW:
        operation["requestBody"] = {"required": True, "content": raw_content(RAW[name])}
    for status, response in operation["responses"].items():
        if status.startswith("2") and "application/json" in response.get("content", {}):
            response["content"]["application/json"].setdefault("example", ANSWERS.get(name))


def _describe(schema: Any) -> None:  # noqa: ANN401 - JSON schema is plain data
    """Every field has a description; where its file gives only a title, that is the description."""
    if isinstance(schema, list):
        for each in schema:
            _describe(each)
    if isinstance(schema, dict):
        fields = schema.get("properties")
        if isinstance(fields, dict):
            for name, field in fields.items():
                field.setdefault("description", f"{field.get('title') or name.replace('_', ' ').capitalize()}.")
        for each in schema.values():
            _describe(each)
