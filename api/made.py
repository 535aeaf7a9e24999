"""What answers say of a file that the server makes while one does something else."""

from typing import Any, Literal

from pydantic import Field

from api.schemas import Answer
from ledger.makings import Making
from ledger.proof.envelope import moment_text

__all__ = ["MadeAnswer", "how_far"]


class MadeAnswer(Answer):
    """One file: how far it is, and how large it came to be."""

    id: str = Field(description="Its id.")
    state: Literal["under way", "ready", "failed"] = Field(description="How far it is.")
    begun: str = Field(description="When it was begun. Units: UTC.")
    ended: str | None = Field(description="When it was ready, or failed; null while it is under way. Units: UTC.")
    bytes: int | None = Field(description="Size of the file; null until it is ready. Units: bytes.")
    failure: str | None = Field(description="Why it failed; null where it did not.")


def how_far(making: Making[Any]) -> dict[str, Any]:
    """The fields that answers on files of every sort have, and its counts, which each sort says the meaning of."""
    return {
        "id": making.id,
        "state": making.state.value,
        "begun": moment_text(making.begun),
        "ended": None if making.ended is None else moment_text(making.ended),
        "done": making.done,
        "expected": making.expected,
        "bytes": making.outcome.size if making.outcome else None,
        "failure": making.failure or None,
    }
