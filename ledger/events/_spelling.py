"""Fields that several kinds spell alike: a SHA-256 digest, the id of a batch, the id of a room and what is in it."""

from typing import Any

from ledger.events._base import fact

DIGEST = r"^[0-9a-f]{64}$"
SHORT_ID = r"^[a-z0-9-]{1,40}$"


def digest(title: str, description: str, *, default: Any = ...) -> Any:  # noqa: ANN401
    """A SHA-256 digest, in the one spelling it has here."""
    words = f"{description} SHA-256, 64 lower hex digits."
    return fact(title, words, default=default, pattern=DIGEST)


def short_id(title: str, description: str, *, default: Any = ...) -> Any:  # noqa: ANN401
    """A short id that is the owner's own and names nobody."""
    words = f"{description} Lower-case letters, digits and hyphens, up to 40."
    return fact(title, words, default=default, pattern=SHORT_ID)
