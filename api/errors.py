"""One table says how each class of error is answered, and all of them in one shape (RFC 9457)."""

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from fastapi import FastAPI, Request, Response
from fastapi.exceptions import RequestValidationError

from api.refusals import (
    HostRefusedError,
    MediaTypeError,
    MethodError,
    NothingHereError,
    NoTokenError,
    RefusedError,
    RequestError,
    TagMissingError,
    TagStaleError,
    TooLargeError,
)
from api.schemas import Problem, ProblemField
from ledger import errors as told
from ledger._unfit import sentence
from ledger.errors import LedgerError
from ledger.usecases.doorbook import Came, note

PROBLEM_JSON = "application/problem+json"
"""Source: RFC 9457 section 3."""

TYPES = "urn:slipsheet:problem:"
"""What every problem type begins with. It is a name, not an address: nothing is to be fetched there."""


@dataclass(frozen=True)
class Failure:
    """How one class of error is answered: the status, the last part of the type, and the title that goes with it."""

    status: int
    name: str
    title: str


BROKEN = Failure(500, "broken", "The program failed")

FAILURES: Mapping[type[Exception], Failure] = {
    RequestError: Failure(400, "bad-request", "The request cannot be read"),
    told.MalformedError: Failure(400, "malformed", "The body or a parameter is not well formed"),
    NoTokenError: Failure(401, "no-token", "A token is needed"),
    told.ForbiddenError: Failure(403, "forbidden", "The token does not allow this"),
    told.NotFoundError: Failure(404, "not-found", "There is nothing of that name"),
    NothingHereError: Failure(404, "not-found", "There is nothing of that name"),
    MethodError: Failure(405, "method", "The path does not take this method"),
    told.RuleError: Failure(409, "rule-broken", "This cannot have happened so"),
    told.ConflictError: Failure(409, "conflict", "Something else stands in the way"),
    told.HeldError: Failure(409, "held", "Nothing is written for now"),
    told.StaleError: Failure(412, "stale", "The book has moved on since it was read"),
    TagStaleError: Failure(412, "stale", "The book has moved on since it was read"),
    TooLargeError: Failure(413, "too-large", "The body is too large"),
    MediaTypeError: Failure(415, "media-type", "The body is not JSON"),
    HostRefusedError: Failure(421, "host", "This server has another name"),
    told.InvalidError: Failure(422, "invalid", "The body is JSON, but not what is asked for"),
    told.KeyReusedError: Failure(422, "key-reused", "The idempotency key was used for something else"),
    TagMissingError: Failure(428, "tag-missing", "Say what was read before"),
    told.DamagedError: Failure(500, "damaged", "What is stored cannot be read"),
    told.StoreError: Failure(503, "store", "The store is closed"),
    told.UnansweredError: Failure(503, "unanswered", "The database did not answer to the end"),
    told.BusyError: Failure(503, "store", "The store is closed"),
}


def failure_of(error: Exception) -> Failure:
    """How an error is answered: by its own line in the table, or that of the nearest class above it."""
    return next((FAILURES[each] for each in type(error).__mro__ if each in FAILURES), BROKEN)


def problem_of(error: Exception) -> Problem:
    """The one shape in which every failure is told."""
    failure = failure_of(error)
    return Problem(
        type=TYPES + failure.name,
        title=failure.title,
        status=failure.status,
        detail=_detail(error, failure),
        errors=_fields(error),
    )


def problem_response(error: Exception) -> Response:
    """The failure as an answer, with the headers its status asks for."""
    problem = problem_of(error)
    return Response(
        problem.model_dump_json(),
        status_code=problem.status,
        media_type=PROBLEM_JSON,
        headers={"Cache-Control": "no-store", **_headers(error)},
    )


def _detail(error: Exception, failure: Failure) -> str:
    """A broken program and a failing store say nothing of what is inside."""
    if failure is BROKEN:
        return "Nothing of the request is known to be kept. Send it again with the same key; run verify if it goes on."
    if isinstance(error, told.UnansweredError):
        return "The database was lost on the way. Send it again with the same key: what was kept is not written twice."
    if isinstance(error, told.StoreError | told.BusyError):
        return "The store has failed and is closed. Start the program again, run verify, send the same key again."
    return str(error)


def _fields(error: Exception) -> list[ProblemField]:
    if isinstance(error, told.InvalidError | told.RuleError):
        return [
            ProblemField(field=each.field, sentence=each.sentence, rule=each.rule, entries=list(each.entries))
            for each in error.problems
        ]
    if isinstance(error, told.MalformedError) and not isinstance(error, told.DamagedError):
        sentence = f"{error.problem[:1].upper()}{error.problem[1:]}. {error.mend}".strip()
        twice = _TWICE.match(error.problem)
        where = f"{error.where}.{twice[1]}" if twice else error.where
        return [ProblemField(field=dotted(where), sentence=sentence)]
    if isinstance(error, told.KeyReusedError):
        return [ProblemField(field="Idempotency-Key", sentence=str(error))]
    if isinstance(error, told.StaleError):
        return [ProblemField(field="If-Match", sentence=str(error))]
    if isinstance(error, RefusedError) and error.field:
        return [ProblemField(field=error.field, sentence=str(error))]
    return []


_TWICE = re.compile(r'the name "([^"\\]+)" stands twice')
"""The strict reader gives the object as the place, and the name in its words."""


def dotted(place: str) -> str:
    """The place in a body that a strict reader names (`a[0].b`), as the dotted path all problems use (`a.0.b`)."""
    if re.match(r"(line|byte) \d", place):
        return ""
    return re.sub(r'\[(\d+|"[^"]*")\]', lambda found: "." + found[1].strip('"'), place).lstrip(".")


def _headers(error: Exception) -> dict[str, str]:
    match error:
        case NoTokenError():
            return {"WWW-Authenticate": error.challenge}
        case MethodError():
            return {"Allow": ", ".join(error.allowed)}
        case MediaTypeError():
            return {"Accept": "application/json"}
        case _:
            return {}


def _parameter_error(error: RequestValidationError) -> RefusedError:
    """A path, query or header parameter that does not fit; bodies are read elsewhere, and strictly."""
    found = error.errors()
    where, name = str(found[0]["loc"][0]), ".".join(str(part) for part in found[0]["loc"][1:])
    if where == "path":
        return NothingHereError(field=name, sentence=f"Nothing can have this name here. {sentence(name, found[0])}")
    if found[0]["type"] == "missing" and name in HOW:
        return RequestError(field=name, sentence=f"{name} is missing. {HOW[name]}")
    return RequestError(field=name, sentence=sentence(name, found[0]))


HOW = {
    "Idempotency-Key": (
        "Send a new random text in quotes with every new request, "
        'such as Idempotency-Key: "8e03978e-40d5-43e8-bc93-6894a57f9324", and the same one when you send it again.'
    ),
}
"""What to send where a parameter is missing and its name does not say it."""


async def refused(request: Request, error: Exception) -> Response:
    """What the ledger or the door refused, or what broke; who was turned away stands in the door book."""
    address = request.client.host if request.client else ""
    if isinstance(error, NoTokenError):
        note(Came.TOKEN_REFUSED, address=address, given="yes" if error.given else "no")
    elif isinstance(error, told.ForbiddenError):
        note(Came.NOT_PERMITTED, address=address, needs=error.needs)
    return problem_response(error)


async def parameter_refused(_: Request, error: Exception) -> Response:
    """What the framework refused of a path, query or header parameter."""
    assert isinstance(error, RequestValidationError)
    return problem_response(_parameter_error(error))


async def nothing_here(_: Request, __: Exception) -> Response:
    """A path that names nothing."""
    return problem_response(NothingHereError())


def install(app: FastAPI, methods_at: Callable[[Request], Sequence[str]]) -> None:
    """Every way to fail is answered in the one shape; `methods_at` tells which methods the path of a request takes."""

    async def no_method(request: Request, _: Exception) -> Response:
        # The router would name only the methods of the first route that has this path.
        return problem_response(MethodError(method=request.method, allowed=tuple(methods_at(request))))

    app.add_exception_handler(LedgerError, refused)
    app.add_exception_handler(Exception, refused)
    app.add_exception_handler(RequestValidationError, parameter_refused)
    app.add_exception_handler(404, nothing_here)
    app.add_exception_handler(405, no_method)
