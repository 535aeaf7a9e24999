"""The door book: who came to a door of the ledger, and was let in or turned away; no value and no secret stands in it."""

import logging
from enum import StrEnum
from typing import Final

__all__ = ["BOOK", "Came", "note"]

BOOK: Final = "slipsheet.doorbook"
"""The name of its logger; whoever runs the program decides where it is written."""

_LOG: Final = logging.getLogger(BOOK)


class Came(StrEnum):
    """What happened at a door."""

    SIGNED_IN = "signed in"
    CONFIRMED = "gave the password again"
    WRONG_PASSWORD = "gave a wrong password"  # noqa: S105 - what happened, and no password
    TOO_MANY_TRIES = "tried too often"
    LINK_USED = "came in by the one-time link"
    LINK_REFUSED = "came with a one-time link that is not in force"
    PHONE_OFFERED = "offered to pair a phone"
    PHONE_JOINED = "paired a phone"
    PHONE_REFUSED = "came with a pairing code that is not in force"
    PHONE_ENDED = "ended a paired phone"
    CALENDAR_MADE = "made a calendar's address"
    CALENDAR_ENDED = "ended a calendar's address"
    CALENDAR_REFUSED = "came to a calendar's address that is not in force"
    RECORD_LINK_MADE = "made a link to a record"
    RECORD_LINK_ENDED = "ended a link to a record"
    RECORD_LINK_REFUSED = "came with a link to a record that is not in force"
    ARCHIVE_BEGUN = "had everything taken out as an archive"
    ARCHIVE_TAKEN = "took an archive of everything"
    SIGNED_OUT = "signed out everywhere"
    PASSWORD_CHANGED = "changed the password"  # noqa: S105 - as above
    TOKEN_MADE = "made a token"  # noqa: S105 - as above
    TOKEN_REVOKED = "revoked a token"  # noqa: S105 - as above
    TOKEN_REFUSED = "came with no token that is in force"  # noqa: S105 - as above
    NOT_PERMITTED = "asked for what this token may not do"
    OTHER_NAME = "asked for another name than this server's"
    OTHER_SITE = "was sent by another site"


REFUSED: Final = frozenset(
    {
        Came.WRONG_PASSWORD,
        Came.TOO_MANY_TRIES,
        Came.LINK_REFUSED,
        Came.PHONE_REFUSED,
        Came.CALENDAR_REFUSED,
        Came.RECORD_LINK_REFUSED,
        Came.TOKEN_REFUSED,
        Came.NOT_PERMITTED,
        Came.OTHER_NAME,
        Came.OTHER_SITE,
    }
)


def note(came: Came, *, address: str = "", who: str = "", **facts: str) -> None:
    """One line; `who` is an opaque id, `address` where it came from."""
    level = logging.WARNING if came in REFUSED else logging.INFO
    said = {"address": address, "who": who, **facts}
    _LOG.log(level, came.value, extra={"facts": {name: value for name, value in said.items() if value}})
