"""The whole error tree: what the ledger refuses, each with the fields a door needs to say the mend."""

from dataclasses import dataclass, field
from datetime import UTC, datetime

from ledger.proof.report import LedgerError, MalformedError

__all__ = [
    "BusyError",
    "ClosedError",
    "ConflictError",
    "DamagedError",
    "ForbiddenError",
    "HeldError",
    "InTheWay",
    "InvalidError",
    "KeyReusedError",
    "LedgerError",
    "MalformedError",
    "NoRoomError",
    "NotFoundError",
    "Problem",
    "RuleError",
    "StaleError",
    "StoreError",
    "UnansweredError",
    "UnfitStoreError",
]


@dataclass(frozen=True, kw_only=True)
class Problem:
    """One thing wrong with what was given: the field (a dotted path, empty for the whole) and the mend in words.

    `rule` is the number of the rule broken, as the kind lists it; `entries` are the entries it conflicts with.
    """

    field: str
    sentence: str
    rule: str = ""
    entries: tuple[int, ...] = ()


@dataclass(eq=False, kw_only=True)
class DamagedError(MalformedError):
    """Something that is stored does not have the form it was written in; nobody who asks for it can help that."""

    what: str = "What is stored here"
    problem: str = "it cannot be read"
    mend: str = "Run verify: it names all that is wrong."


@dataclass(eq=False, kw_only=True)
class NotFoundError(LedgerError):
    """What was named does not exist here; nothing is said about elsewhere."""

    what: str
    name: str

    def __str__(self) -> str:
        return f"There is no {self.what} {self.name} in this collection."


@dataclass(eq=False, kw_only=True)
class InvalidError(LedgerError):
    """Input that cannot be an event, with every problem and its field."""

    problems: tuple[Problem, ...]

    def __str__(self) -> str:
        return " ".join(problem.sentence for problem in self.problems)


@dataclass(eq=False, kw_only=True)
class RuleError(LedgerError):
    """An event that is well formed but cannot have happened so, with the rules it breaks and the entries in its way."""

    problems: tuple[Problem, ...]

    @property
    def entries(self) -> tuple[int, ...]:
        """The entries it conflicts with, each once, in order."""
        return tuple(sorted({seq for problem in self.problems for seq in problem.entries}))

    def __str__(self) -> str:
        return " ".join(problem.sentence for problem in self.problems)


@dataclass(eq=False, kw_only=True)
class ConflictError(LedgerError):
    """Something else stands where this should go."""

    sentence: str

    def __str__(self) -> str:
        return self.sentence


@dataclass(frozen=True, kw_only=True)
class InTheWay:
    """A load that takes up room: what is done, to how many books, and when it comes out; None where that was left open."""

    words: str
    books: int
    ends: datetime | None

    def __str__(self) -> str:
        count = "one book" if self.books == 1 else f"{self.books} books"
        when = (
            "with no end planned" if self.ends is None else f"out on {self.ends.astimezone(UTC):%Y-%m-%d at %H:%M} UTC"
        )
        return f"{self.words} ({count}), {when}"


@dataclass(eq=False, kw_only=True)
class NoRoomError(ConflictError):
    """A press has less room left than these books need; it says how much, and which load is out when."""

    tool: str
    room: int
    wanted: int
    held: tuple[InTheWay, ...]
    sentence: str = ""

    def __str__(self) -> str:
        room = {0: "no room left", 1: "room for one more book"}.get(self.room, f"room for {self.room} more books")
        asked = "one is" if self.wanted == 1 else f"{self.wanted} are"
        first = f"{self.tool} has {room}, and {asked} to go in."
        if not self.held:
            return f"{first} Take fewer, or choose another."
        return f"{first} In it: {'; '.join(map(str, self.held))}. Take one out first, or choose another."


@dataclass(eq=False, kw_only=True)
class KeyReusedError(ConflictError):
    """The idempotency key was used before for something else."""

    key: str
    sentence: str = field(default="This idempotency key was used before with another body. Send a new key.")


@dataclass(eq=False, kw_only=True)
class StaleError(ConflictError):
    """The book has moved on since it was read."""

    book: str
    expected: int
    found: int
    sentence: str = ""

    def __str__(self) -> str:
        return (
            f"This book has {self.found} entries now, not {self.expected}: "
            "somebody wrote in between. Read it again, then send the change with the new tag."
        )


@dataclass(eq=False, kw_only=True)
class ForbiddenError(LedgerError):
    """The person or token may not do this."""

    needs: str

    def __str__(self) -> str:
        return f"This needs the permission to {self.needs}."


@dataclass(eq=False, kw_only=True)
class StoreError(LedgerError):
    """The store failed below us; nothing of the work is known to be kept until it is opened and verified again."""

    problem: str

    def __str__(self) -> str:
        return (
            f"The store failed and has been closed: {self.problem}. Start again; run verify; send the same key again."
        )


@dataclass(eq=False, kw_only=True)
class ClosedError(StoreError):
    """The store was closed, by shutdown or by an earlier failure."""

    problem: str = "it is closed"


@dataclass(eq=False, kw_only=True)
class UnansweredError(StoreError):
    """The database was lost before it said whether the work is kept; the same key tells, once it is back."""

    def __str__(self) -> str:
        return (
            f"The database did not answer to the end: {self.problem}."
            " Send it again under the same key; what was kept is not written twice."
        )


@dataclass(eq=False, kw_only=True)
class UnfitStoreError(StoreError):
    """The file is there and was not touched: it is another program's, or of a version that this one does not work with."""

    path: str
    mend: str
    found: int = 0
    known: int = 0

    def __str__(self) -> str:
        return f"{self.path}: {self.problem}. {self.mend}"


@dataclass(eq=False, kw_only=True)
class HeldError(LedgerError):
    """The ledger is read and not written to, for its owner must first see what is missing."""

    sentence: str

    def __str__(self) -> str:
        return f"Nothing is written for now. {self.sentence}"


@dataclass(eq=False, kw_only=True)
class BusyError(LedgerError):
    """Another process owns the folder."""

    folder: str
    owner: str

    def __str__(self) -> str:
        return f"{self.folder} is in use by process {self.owner}. Stop that one first, or name another folder with --folder."
