"""How often a fault is tried: a few times in every run, and all of them in a full one, which takes an hour or more."""

import os

from tests.__main__ import FULL


def count(quick: int, full: int) -> int:
    """The count for this run."""
    return full if os.environ.get(FULL) else quick
