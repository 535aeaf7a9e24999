"""Who acts, and what they may do; the one place where more roles will be told apart."""

from collections.abc import Set as AbstractSet
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum

from ledger.errors import ForbiddenError


class Permission(StrEnum):
    """What a person or a token may do with a collection; the value reads on from "the permission to"."""

    READ = "read"
    RECORD = "record"
    BENCH = "work at the bench"
    ERASE = "erase"
    SIGN = "sign"
    KEYS = "change keys"
    TOKENS = "manage tokens"


INCLUDED: dict[Permission, frozenset[Permission]] = {Permission.RECORD: frozenset({Permission.BENCH})}
"""What a permission brings along."""

BENCH_KINDS = frozenset({"choice", "count", "examination", "intervention", "note", "opening", "photograph"})
"""Kinds of entry that are written with the book in one hand: at the bench, and at the shelf that is counted."""

_NEEDS: dict[str, tuple[Permission, ...]] = {
    "erasure": (Permission.RECORD, Permission.ERASE),
    "key": (Permission.RECORD, Permission.KEYS),
}


def needed_for(kind: str) -> tuple[Permission, ...]:
    """The permissions that an entry of a kind is written with; of a kind that nobody thought of, those of most."""
    return (Permission.BENCH,) if kind in BENCH_KINDS else _NEEDS.get(kind, (Permission.RECORD,))


class Role(StrEnum):
    """What a person is to a collection."""

    OWNER = "owner"


ROLE_MAY: dict[Role, frozenset[Permission]] = {Role.OWNER: frozenset(Permission)}
"""The permissions each role gives; a token has those of its person and of its scopes, no more."""


@dataclass(frozen=True, kw_only=True)
class Actor:
    """A person acting on a collection, at a door that may have narrowed what they may do.

    `id` is opaque and stands in every entry they write.
    """

    id: str
    role: Role = Role.OWNER
    scopes: AbstractSet[Permission] | None = None
    """Permissions the door lets through; None lets all of the role through."""
    until: datetime | None = None
    """When the door shuts behind them; None where it does not by itself."""

    def may(self, permission: Permission) -> bool:
        """The role gives it and the door lets it through."""
        return permission in ROLE_MAY[self.role] and (self.scopes is None or permission in _with_included(self.scopes))

    def may_write(self, kind: str) -> bool:
        """They may write an entry of that kind."""
        return all(self.may(permission) for permission in needed_for(kind))

    def require(self, permission: Permission) -> None:
        """Raises: ForbiddenError when they may not."""
        if not self.may(permission):
            raise ForbiddenError(needs=permission.value)

    def require_to_write(self, kind: str) -> None:
        """Raises: ForbiddenError when they may not write an entry of that kind."""
        for permission in needed_for(kind):
            self.require(permission)


def _with_included(scopes: AbstractSet[Permission]) -> set[Permission]:
    return set(scopes).union(*(INCLUDED.get(each, frozenset()) for each in scopes))
