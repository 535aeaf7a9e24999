"""What can be wrong with what is stored, and how it is told apart from what is wrong with a request."""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass

from ledger.errors import DamagedError, MalformedError

__all__ = ["MissingTable", "as_stored", "broken_tree", "stored_so"]


@dataclass(frozen=True, kw_only=True)
class MissingTable:
    """A table that is not in the database."""

    name: str
    remade: bool
    """A rebuild makes it anew."""
    apart: bool
    """The entries, and all that is held against them but the lists, can be read without it."""


@contextmanager
def stored_so() -> Iterator[None]:
    """What is malformed in here was stored so, and is not the fault of who asks.

    Raises: DamagedError.
    """
    try:
        yield
    except DamagedError:
        raise
    except MalformedError as error:
        raise as_stored(error) from error


def as_stored(error: MalformedError) -> DamagedError:
    """The same of something that is stored."""
    return DamagedError(what=error.what, where=error.where, problem=error.problem)


def broken_tree(tree: str) -> DamagedError:
    """What is said of a tree with a gap: nothing is built on it."""
    return DamagedError(
        what=f"The tree of {tree}", problem="nodes of it are missing or changed", mend="Run verify, then rebuild."
    )
