"""What the door itself refuses, before or beside what the ledger refuses; each says the mend."""

from collections.abc import Iterable
from dataclasses import dataclass

from ledger.errors import LedgerError
from ledger.events._base import with_article

__all__ = [
    "FileTypeError",
    "HostRefusedError",
    "MediaTypeError",
    "MethodError",
    "NoTokenError",
    "NothingHereError",
    "RefusedError",
    "RequestError",
    "TagMissingError",
    "TagStaleError",
    "TooLargeError",
]


@dataclass(eq=False, kw_only=True)
class RefusedError(LedgerError):
    """A request that is turned away at the door; `field` names the header or parameter that has to change."""

    sentence: str
    field: str = ""

    def __str__(self) -> str:
        return self.sentence


@dataclass(eq=False, kw_only=True)
class RequestError(RefusedError):
    """A header or a parameter that cannot be read."""


@dataclass(eq=False, kw_only=True)
class NoTokenError(RefusedError):
    """No token came along, or one that is not known, has ended or was revoked; which of these is not told."""

    given: bool
    sentence: str = "This needs a token that is in force. Send it as: Authorization: Bearer TOKEN."
    field: str = "Authorization"

    @property
    def challenge(self) -> str:
        """How to come in. Source: RFC 6750 section 3: a request without a token is told of no error."""
        return 'Bearer realm="slipsheet"' + (', error="invalid_token"' if self.given else "")


@dataclass(eq=False, kw_only=True)
class NothingHereError(RefusedError):
    """A path that names nothing."""

    sentence: str = "There is nothing at this path. The paths are listed in openapi.json."


@dataclass(eq=False, kw_only=True)
class MethodError(RefusedError):
    """A path that is there, but not for this method; `allowed` are those it has."""

    method: str
    allowed: tuple[str, ...]
    sentence: str = ""

    def __str__(self) -> str:
        mend = f"{self.method} is not for this path. It takes {', '.join(self.allowed)}."
        if self.method in ("PUT", "PATCH", "DELETE"):
            mend += " What is in the ledger is not changed or taken out; a mistake is mended by one more entry."
        return mend


@dataclass(eq=False, kw_only=True)
class TagMissingError(RefusedError):
    """A change that rests on what was read, without saying what was read."""

    kind: str
    sentence: str = ""
    field: str = "If-Match"

    def __str__(self) -> str:
        return (
            f"{with_article(self.kind).capitalize()} rests on what was read before. Read the book, then send this again with "
            f"{self.field} set to the tag that came with it."
        )


@dataclass(eq=False, kw_only=True)
class TagStaleError(RefusedError):
    """A tag that is not the book's tag now."""

    given: str
    found: int
    sentence: str = ""
    field: str = "If-Match"

    def __str__(self) -> str:
        return (
            f'The tag of this book is "{self.found}", and none of those sent is that one. '
            "Read the book again, then send the change with its new tag."
        )


@dataclass(eq=False, kw_only=True)
class TooLargeError(RefusedError):
    """A body that is longer than any entry needs."""

    most: int
    sentence: str = ""

    def __str__(self) -> str:
        return self.sentence or f"The body is longer than {self.most} bytes. Send it in several requests."


@dataclass(eq=False, kw_only=True)
class MediaTypeError(RefusedError):
    """A body that is not said to be JSON."""

    sentence: str = "The body is JSON in UTF-8. Send it with Content-Type: application/json."
    field: str = "Content-Type"


@dataclass(eq=False, kw_only=True)
class FileTypeError(MediaTypeError):
    """A body that is not said to be one of the files that are taken here."""

    takes: tuple[str, ...]
    sentence: str = ""

    def __str__(self) -> str:
        return f"The body is one picture as it is. Send it with one of these as Content-Type: {', '.join(self.takes)}."


@dataclass(eq=False, kw_only=True)
class HostRefusedError(RefusedError):
    """A request to a name that is not this server's: somebody else's page may have been pointed here."""

    hosts: Iterable[str]
    sentence: str = ""
    field: str = "Host"

    def __str__(self) -> str:
        return f"This server answers to {', '.join(sorted(self.hosts))} and to no other name. Call it by one of these."
