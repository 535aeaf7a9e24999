"""A machine in another time zone, for as long as a test needs it."""

import os
import time
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Final

EAST_MOST: Final = "EAST-14"
"""14 hours ahead of UTC. Source, for all of these: POSIX.1-2017 section 8.3, TZ; the sign is how much is added to be in UTC."""
WEST_MOST: Final = "WEST+12"
CENTRAL_EUROPE: Final = "CET-1CEST,M3.5.0,M10.5.0/3"
"""Clocks are put on an hour in the night of the last Sunday of March, and back in that of October."""


@contextmanager
def in_zone(name: str) -> Iterator[None]:
    """The machine keeps the time of that zone; spelled out, so that no table of zones need be there."""
    before = os.environ.get("TZ")
    os.environ["TZ"] = name
    time.tzset()
    try:
        yield
    finally:
        if before is None:
            del os.environ["TZ"]
        else:
            os.environ["TZ"] = before
        time.tzset()
