"""What routes ask for: the ledger, who acts, the book's tag, the idempotency key, and the body with all of that checked.

The order in which a request is judged is the order of these dependencies: token, permission, path, media type, key,
tag, body. Source: RFC 9110 section 13.2.1.
"""

import re
from collections.abc import Awaitable, Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Annotated

from fastapi import Depends, Header, Path, Request, Security
from fastapi.security import HTTPAuthorizationCredentials, HTTPBearer

from api.bodies import read_capped, read_json
from api.queries import refuse_unasked
from api.refusals import MediaTypeError, NoTokenError, RequestError, TagStaleError
from ledger.actor import Actor, Permission
from ledger.damage import stored_so
from ledger.errors import NotFoundError
from ledger.events import Event
from ledger.ports import Ledger, Reader
from ledger.proof.canonical import GREATEST, Plain, encode
from ledger.usecases import record, tokens
from ledger.usecases.take_out import NEEDED

ID = re.compile(r"[!-~]{1,64}")
"""What an id can look like; nothing else is looked up."""

_KEY = re.compile(r'"((?:[ !#-\[\]-~]|\\["\\]){1,200})"|([A-Za-z0-9][A-Za-z0-9._:~+/=-]{0,199})')
_TAG = r'(W/)?"([!#-~]*)"'
_TAGS = re.compile(rf"{_TAG}(?:\s*,\s*{_TAG})*")

token = HTTPBearer(
    auto_error=False,
    scheme_name="token",
    description="A token made under /tokens; it has permissions and an end.",
)


def ledger_of(request: Request) -> Ledger:
    """The one ledger this API speaks for."""
    ledger = request.app.state.ledger
    assert isinstance(ledger, Ledger)
    return ledger


LedgerDep = Annotated[Ledger, Depends(ledger_of)]


@contextmanager
def snapshot(ledger: Ledger) -> Iterator[Reader]:
    """One unchanging view of the ledger for an answer.

    Raises: DamagedError.
    """
    with stored_so(), ledger.log.read() as reader:
        yield reader


def actor_of(ledger: LedgerDep, given: Annotated[HTTPAuthorizationCredentials | None, Security(token)]) -> Actor:
    """Who the token speaks for.

    Raises: NoTokenError.
    """
    actor = tokens.bearer(ledger, given.credentials) if given else None
    if actor is None:
        raise NoTokenError(given=given is not None)
    return actor


ActorDep = Annotated[Actor, Depends(actor_of)]


def allowed(permission: Permission) -> Callable[[Request, Actor], Actor]:
    """Lets in who may do this, and asks for nothing that is not there."""

    def let_in(request: Request, actor: ActorDep) -> Actor:
        actor.require(permission)
        refuse_unasked(request)
        return actor

    return let_in


def recording(request: Request, actor: ActorDep) -> Actor:
    """Lets in who may record, if only at the bench; which entries those are, each is asked for when it is written."""
    if not actor.may(Permission.BENCH):
        actor.require(Permission.RECORD)
    refuse_unasked(request)
    return actor


reading = allowed(Permission.READ)
owning = allowed(Permission.RECORD)
"""Bench work is not enough: it says nothing of what is bought, wanted or planned, nor of what a book is taken for."""
managing = allowed(Permission.TOKENS)
taking_out = allowed(NEEDED)
signing = allowed(Permission.SIGN)

TO_READERS = [Depends(reading)]
"""For routes that only read and need not know who asks."""

ReadingDep = Annotated[Actor, Depends(reading)]
RecordingDep = Annotated[Actor, Depends(recording)]
OwningDep = Annotated[Actor, Depends(owning)]
ManagingDep = Annotated[Actor, Depends(managing)]
TakingOutDep = Annotated[Actor, Depends(taking_out)]
SigningDep = Annotated[Actor, Depends(signing)]


def an_id(what: str, name: str) -> str:
    """A name that can be an id.

    Raises: NotFoundError, as for any other name that is not there.
    """
    if not ID.fullmatch(name):
        raise NotFoundError(what=what, name=name)
    return name


BookId = Annotated[str, Path(description="Id of the book.", examples=["b7q2m4x6n5k3j8h2g4f6d5s3a7"])]
EntryNo = Annotated[int, Path(ge=1, le=GREATEST, description="Number of the entry in the collection.", examples=[1])]


def is_json(request: Request) -> None:
    """The body is said to be JSON.

    Raises: MediaTypeError.
    """
    kind, _, rest = request.headers.get("content-type", "").lower().partition(";")
    charset = rest.replace(" ", "").replace('"', "")
    if kind.strip() != "application/json" or charset not in ("", "charset=utf-8"):
        raise MediaTypeError


def json_from(let_in: Callable[[Request, Actor], Actor]) -> Callable[..., Awaitable[bytes]]:
    """The JSON body of who is let in; of anybody else, and of another kind, nothing is read."""

    async def body_of(
        request: Request, _actor: Annotated[Actor, Depends(let_in)], _json: Annotated[None, Depends(is_json)]
    ) -> bytes:
        return await read_capped(request)

    return body_of


ReadingBodyDep = Annotated[bytes, Depends(json_from(reading))]
RecordingBodyDep = Annotated[bytes, Depends(json_from(recording))]
OwningBodyDep = Annotated[bytes, Depends(json_from(owning))]
ManagingBodyDep = Annotated[bytes, Depends(json_from(managing))]
TakingOutBodyDep = Annotated[bytes, Depends(json_from(taking_out))]
SigningBodyDep = Annotated[bytes, Depends(json_from(signing))]


def key_of(
    request: Request,
    idempotency_key: Annotated[
        str,
        Header(
            alias="Idempotency-Key",
            description="A text of your own for this one request, new for every new request: a structured-field string in "
            "quotes, or the same text bare. Sent again with the same body it writes nothing and gets the same answer; "
            "with another body it is refused.",
            examples=['"8e03978e-40d5-43e8-bc93-6894a57f9324"'],
            # For who reads the document; what does not fit is refused below, in words.
            json_schema_extra={"pattern": f"^({_KEY.pattern})$"},
        ),
    ],
) -> str:
    """The idempotency key without its quotes.

    Source: draft-ietf-httpapi-idempotency-key-header-07 section 2.1; RFC 9651 section 3.3.3.
    Raises: RequestError.
    """
    found = _KEY.fullmatch(idempotency_key.strip())
    if found is None or len(request.headers.getlist("idempotency-key")) != 1:
        raise RequestError(
            field="Idempotency-Key",
            sentence="The idempotency key is one text of 1 to 200 letters, digits and signs in quotes. "
            'Send it as: Idempotency-Key: "8e03978e-40d5-43e8-bc93-6894a57f9324".',
        )
    quoted, bare = found.groups()
    return bare or re.sub(r"\\(.)", r"\1", quoted)


KeyDep = Annotated[str, Depends(key_of)]


@dataclass(frozen=True)
class Append:
    """An append that was let in: who asks, under which key, with which body."""

    actor: Actor
    key: str
    data: bytes

    def plain(self) -> dict[str, Plain]:
        """The body, read strictly.

        Raises: MalformedError.
        """
        return read_json(self.data)

    def asked(self, door: str, plain: Mapping[str, Plain], tags: Mapping[str, int] | None = None) -> record.Request:
        """How the ledger is asked; a key stands for this door and this body, however the JSON was spaced."""
        return record.Request(key=self.key, body=f"{door}\n".encode() + encode(dict(plain)), tags=tags)


async def append_of(
    request: Request, actor: RecordingDep, _json: Annotated[None, Depends(is_json)], key: KeyDep
) -> Append:
    """The body of an append that names no book in its path."""
    return Append(actor, key, await read_capped(request))


AppendDep = Annotated[Append, Depends(append_of)]


@dataclass(frozen=True)
class Tagged:
    """The book an append goes to, and the tag it was read with, if one was sent."""

    book: str
    tags: Mapping[str, int] | None
    given: bool
    """If-Match was sent, if only as an asterisk."""


def tag_of(
    ledger: LedgerDep,
    _actor: RecordingDep,
    book: BookId,
    _json: Annotated[None, Depends(is_json)],
    key: KeyDep,
    if_match: Annotated[
        str | None,
        Header(
            alias="If-Match",
            description="The tag the book had when you read it, or * for any. If the book has another tag now, nothing is "
            "written. A correction, a withdrawal and an erasure must send it.",
            examples=['"4"'],
            json_schema_extra={"pattern": rf"^(\*|{_TAGS.pattern})$"},
        ),
    ] = None,
) -> Tagged:
    """The tag, looked at before the body is read, unless the key has been used: then the answer is the earlier one.

    Source: RFC 9110 section 13.1.1: If-Match compares strongly, so a weak tag never matches.
    Raises: NotFoundError, TagStaleError, RequestError.
    """
    with snapshot(ledger) as reader:
        found = reader.book_head(an_id("book", book)).seq
        used = reader.receipt(key) is not None
    if if_match is None or if_match.strip() == "*":
        return Tagged(book, None, given=if_match is not None)
    if used or str(found) in _strong_tags(if_match):
        return Tagged(book, {book: found}, given=True)
    raise TagStaleError(given=if_match, found=found)


def _strong_tags(field: str) -> set[str]:
    if not _TAGS.fullmatch(field.strip()):
        raise RequestError(field="If-Match", sentence='If-Match is a tag in quotes, such as "4", or an asterisk.')
    return {tag for weak, tag in re.findall(_TAG, field) if not weak}


TagDep = Annotated[Tagged, Depends(tag_of)]


async def append_to_book(request: Request, actor: RecordingDep, key: KeyDep, _tagged: TagDep) -> Append:
    """The body of an append to the book in the path."""
    return Append(actor, key, await read_capped(request))


BookAppendDep = Annotated[Append, Depends(append_to_book)]


def kinds_of(ledger: Ledger) -> Callable[[int], type[Event] | None]:
    """Tells the kind of an entry by its number; None when there is no such entry."""

    def kind_at(seq: int) -> type[Event] | None:
        with snapshot(ledger) as reader:
            try:
                return type(reader.entry(seq).event)
            except NotFoundError:
                return None

    return kind_at
