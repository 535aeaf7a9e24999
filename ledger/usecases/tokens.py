"""API tokens: issued once, kept hashed, with permissions and an end."""

import base64
import hashlib
from collections.abc import Collection
from datetime import datetime, timedelta

from ledger.actor import Actor, Permission
from ledger.errors import DamagedError, InvalidError, NotFoundError, Problem
from ledger.ports import Ledger, StoredToken
from ledger.usecases.doorbook import Came, note
from ledger.usecases.record import random_id

SECRET_BYTES = 32
DAYS_MOST = 366
LABEL_MOST = 80
PREFIX = "slip_"
"""Before every secret, so that one left lying in a file can be recognised."""


def issue_token(
    ledger: Ledger, actor: Actor, *, label: str, permissions: Collection[Permission], days: int
) -> tuple[StoredToken, str]:
    """A new token and its secret, which is shown this once and never kept.

    Raises: InvalidError, also when it would outlive the token it is made with; ForbiddenError when it would let through
    more than its maker may do.
    """
    actor.require(Permission.TOKENS)
    _refuse(label, permissions, days)
    for permission in permissions:
        actor.require(permission)
    secret = PREFIX + base64.b32encode(ledger.chance.bytes(SECRET_BYTES)).decode().rstrip("=").lower()
    now = ledger.clock.now()
    _refuse_to_outlive(actor, now, days)
    token = StoredToken(
        id=random_id(ledger.chance),
        label=label,
        hashed=hashed(secret),
        scopes=tuple(sorted(permission.value for permission in permissions)),
        person=actor.id,
        created=now,
        expires=now + timedelta(days=days),
    )
    ledger.log.write(lambda writer: writer.put_token(token))
    note(Came.TOKEN_MADE, who=actor.id, token=token.id)
    return token, secret


def tokens(ledger: Ledger, actor: Actor) -> list[StoredToken]:
    """Every token of the collection, ended ones too."""
    actor.require(Permission.TOKENS)
    with ledger.log.read() as reader:
        return reader.tokens()


def revoke_token(ledger: Ledger, actor: Actor, token: str) -> None:
    """The token lets nothing through from now on.

    Raises: NotFoundError.
    """
    actor.require(Permission.TOKENS)
    with ledger.log.read() as reader:
        if not any(each.id == token for each in reader.tokens()):
            raise NotFoundError(what="token", name=token)
    ledger.log.write(lambda writer: writer.revoke_token(token, ledger.clock.now()))
    note(Came.TOKEN_REVOKED, who=actor.id, token=token)


def bearer(ledger: Ledger, secret: str) -> Actor | None:
    """Who a token speaks for, if it is known, not ended and not revoked.

    Raises: DamagedError.
    """
    with ledger.log.read() as reader:
        token = reader.token(hashed(secret))
    if token is None or token.revoked is not None or token.expires <= ledger.clock.now():
        return None
    if not set(token.scopes) <= {permission.value for permission in Permission}:
        raise DamagedError(what=f"The token {token.id}", problem="its permissions are not ones there are")
    return Actor(id=token.person, scopes=frozenset(Permission(scope) for scope in token.scopes), until=token.expires)


def hashed(secret: str) -> bytes:
    """What is kept of a token. Its 256 random bits need no slow hash: they cannot be guessed."""
    return hashlib.sha256(secret.encode()).digest()


def _refuse(label: str, permissions: Collection[Permission], days: int) -> None:
    found = []
    if not label.strip() or len(label) > LABEL_MOST:
        found.append(
            Problem(field="label", sentence=f"Give the token a name you will know it by, up to {LABEL_MOST} letters.")
        )
    if not permissions:
        found.append(Problem(field="permissions", sentence="Name at least one permission."))
    if not 1 <= days <= DAYS_MOST:
        found.append(Problem(field="days", sentence=f"A token lasts from 1 to {DAYS_MOST} days."))
    if found:
        raise InvalidError(problems=tuple(found))


def _refuse_to_outlive(actor: Actor, now: datetime, days: int) -> None:
    """What is made with a token ends with it at the latest."""
    if actor.until is None or now + timedelta(days=days) <= actor.until:
        return
    left = (actor.until - now).days
    most = "one day" if left == 1 else f"{left} days"
    ends = "within a day" if left < 1 else f"in {most.replace(' ', ' whole ')}"
    ask = f"Ask for up to {most}, or make" if left else "Make"
    sentence = (
        f"A token makes none that lasts longer than itself, and this one ends {ends}. {ask} the token with one that lasts "
        "longer."
    )
    raise InvalidError(problems=(Problem(field="days", sentence=sentence),))
