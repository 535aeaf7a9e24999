"""What OpenAPI says of the ways a request can fail, the same for every route."""

from typing import Any

from api.errors import FAILURES, PROBLEM_JSON

EVERYWHERE = (400, 401, 403, 421, 500, 503)
"""What every route behind the token can answer."""

APPENDS = (409, 413, 415, 422, *EVERYWHERE)
"""What an append can answer besides."""


def failures(*statuses: int) -> dict[int | str, dict[str, Any]]:
    """The failures a route can answer, each in the one shape."""
    return {status: _failure(status) for status in sorted(set(statuses))}


def _failure(status: int) -> dict[str, Any]:
    titles = dict.fromkeys(each.title for each in FAILURES.values() if each.status == status)
    described: dict[str, Any] = {
        "description": "; ".join(titles) or "The program failed",
        "content": {PROBLEM_JSON: {"schema": {"$ref": "#/components/schemas/Problem"}}},
    }
    if status in _HEADERS:
        described["headers"] = _HEADERS[status]
    return described


def text_header(description: str, example: str) -> dict[str, Any]:
    """A header of an answer."""
    return {"description": description, "schema": {"type": "string"}, "example": example}


_HEADERS = {
    401: {"WWW-Authenticate": text_header("How to come in (RFC 6750).", 'Bearer realm="slipsheet"')},
    415: {"Accept": text_header("The media type a body must have.", "application/json")},
}


def appended(*more: int, tagged: bool = False) -> dict[int | str, dict[str, Any]]:
    """The answers of an append: what was written, and every way it can fail."""
    headers = {
        "Location": text_header("Where to read it.", "/api/v1/events/5"),
        "Idempotency-Replayed": text_header("?1 when the key was used before and nothing was written now.", "?1"),
    }
    if tagged:
        headers["ETag"] = text_header("The book's tag after it.", '"5"')
    written: dict[int | str, dict[str, Any]] = {
        201: {"description": "Written, all of it, and safe on the disk.", "headers": headers}
    }
    return {**written, **failures(*APPENDS, *more)}
