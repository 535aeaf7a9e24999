"""What a reader of bytes says when they are not well formed, and what a verifier found."""

from dataclasses import dataclass, field
from enum import StrEnum


class LedgerError(Exception):
    """Everything this project refuses, says or finds wrong; the root of the error tree."""

    def __str__(self) -> str:
        return "; ".join(str(part) for part in self.args)


@dataclass(eq=False, kw_only=True)
class MalformedError(LedgerError):
    """Bytes or text that do not have the one form they must have.

    `what` names the thing read, `where` the place in it (empty for the whole), `mend` says what would be right.
    """

    what: str
    problem: str
    where: str = ""
    mend: str = ""

    def __str__(self) -> str:
        place = f" at {self.where}" if self.where else ""
        mend = f" {self.mend}" if self.mend else ""
        return f"{self.what}{place}: {self.problem}.{mend}"


class Evidence(StrEnum):
    """How sure a finding is, and what it takes to see it."""

    BROKEN = "broken"
    """Proven wrong by the bytes at hand."""
    MISSING = "missing"
    """Something that must be there is not."""
    ANCHOR = "anchor"
    """Seen only because a checkpoint kept elsewhere was at hand."""


@dataclass(frozen=True, kw_only=True)
class Finding:
    """One thing a verifier found wrong, in a sentence a collector can act on.

    `code` is the stable name of the kind of damage, `seq` the entry to look at (None: the ledger as a whole).
    """

    code: str
    sentence: str
    evidence: Evidence = Evidence.BROKEN
    seq: int | None = None
    book: str | None = None


@dataclass(kw_only=True)
class Report:
    """Every finding of one verification, with what was looked at.

    `checked` counts things looked at by name; a report that looked at nothing is a failure, never "verified".
    """

    findings: list[Finding] = field(default_factory=list)
    checked: dict[str, int] = field(default_factory=dict)
    notes: list[str] = field(default_factory=list)

    @property
    def ok(self) -> bool:
        """Nothing was found and something was looked at."""
        return not self.findings and any(self.checked.values())

    def count(self, what: str, number: int = 1) -> None:
        """Add to what was looked at."""
        self.checked[what] = self.checked.get(what, 0) + number

    def add(
        self,
        code: str,
        sentence: str,
        *,
        evidence: Evidence = Evidence.BROKEN,
        seq: int | None = None,
        book: str | None = None,
    ) -> None:
        """Add a finding."""
        self.findings.append(Finding(code=code, sentence=sentence, evidence=evidence, seq=seq, book=book))

    def join(self, other: "Report") -> None:
        """Take over everything another report found and counted."""
        self.findings.extend(other.findings)
        self.notes.extend(other.notes)
        for what, number in other.checked.items():
            self.count(what, number)
