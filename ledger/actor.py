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
    ERASE = "erase"
    SIGN = "sign"
    KEYS = "change keys"
    TOKENS = "manage tokens"


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
        return permission in ROLE_MAY[self.role] and (self.scopes is None or permission in self.scopes)

    def require(self, permission: Permission) -> None:
        """Raises: ForbiddenError when they may not."""
        if not self.may(permission):
            raise ForbiddenError(needs=permission.value)
