"""Records as the service tells of them, and the bodies it takes to make one."""

from pydantic import BaseModel, ConfigDict, Field

from api.schemas import Answer
from ledger.handing import KeptRecord
from ledger.proof.envelope import moment_text
from ledger.usecases.choose import Choice
from ledger.usecases.receive import Received

__all__ = [
    "CheckAnswer",
    "LinkAnswer",
    "LinkBody",
    "RecordAnswer",
    "RecordBody",
    "RecordsAnswer",
    "checked",
    "field_told",
    "record_told",
]

_DIGEST = "9f86d081884c7d659a2feaa0c55ad015a3bf4f1b2b0b822cd15d6c15b0f00a08"


class FieldBody(BaseModel):
    """A sealed field."""

    model_config = ConfigDict(extra="forbid")

    entry: int = Field(ge=1, description="Number of the entry.")
    name: str = Field(min_length=1, max_length=60, description="Name of the sealed field.")


class RecordBody(BaseModel):
    """What the record shows."""

    model_config = ConfigDict(extra="forbid")

    opened: list[FieldBody] | None = Field(
        None, max_length=10_000, description="Sealed fields that it opens; null opens what a record shows by itself."
    )
    pictures: list[int] | None = Field(
        None,
        max_length=2_000,
        description="Entries whose photographs go along; null takes all that show this book alone.",
    )
    recipient: str | None = Field(None, max_length=2_000, description="For whom; it stays sealed here.")


class LinkBody(BaseModel):
    """How long a link lasts."""

    model_config = ConfigDict(extra="forbid")

    days: int = Field(ge=1, le=366, description="Units: days.")


class FieldAnswer(Answer):
    """A sealed field that has a value."""

    entry: int = Field(description="Number of the entry.", examples=[3])
    kind: str = Field(description="The entry's kind, as people say it.", examples=["Purchase"])
    name: str = Field(description="Name of the field.", examples=["seller"])
    title: str = Field(description="The field as a form names it.", examples=["Seller"])
    usual: bool = Field(description="A record opens it by itself.")
    corrected_by: int | None = Field(description="Number of the entry that says it anew; null for what still counts.")
    withdrawn_by: int | None = Field(description="Number of the entry that took this one out of force; null for none.")


class RecordAnswer(Answer):
    """A record that is kept."""

    sha256: str = Field(description="SHA-256 of the record file.", examples=[_DIGEST])
    book: str = Field(description="Id of the book.")
    received: bool = Field(description="An owner before made it.")
    entry: int | None = Field(description="The entry that tells of its making; null for a received one.", examples=[9])
    made: str = Field(description="When it was made, or came in. Units: UTC.")


class RecordsAnswer(Answer):
    """The records of a book, and what can be opened in the next one."""

    records: list[RecordAnswer] = Field(description="The records, the oldest first.")
    fields: list[FieldAnswer] = Field(
        description="Sealed fields with a value, by entry; their values are not told here."
    )


class LinkAnswer(Answer):
    """An address that expires."""

    id: str = Field(description="Id of the link, to end it by.", examples=["k3j8h2g4f6d5s3a7b7q2m4x6n5"])
    path: str = Field(description="Path of the address on this server; it is told this once.")
    expires: str = Field(description="Until when it opens the record. Units: UTC.")


class EarlierAnswer(Answer):
    """A record of an earlier owner that came with it, checked by itself."""

    sha256: str = Field(description="SHA-256 of that record.", examples=[_DIGEST])
    inside: str = Field(description="SHA-256 of the record that it came with.", examples=[_DIGEST])
    verdict: str = Field(description="Of that record alone, in the same words.", examples=["broken"])
    title: str | None = Field(description="What it is called; null where it cannot be read.")
    findings: list[str] = Field(description="What is wrong with it, one sentence each.")


class CheckAnswer(Answer):
    """What checking a file came to."""

    sha256: str = Field(description="SHA-256 of the record in it.", examples=[_DIGEST])
    verdict: str = Field(
        description="Of the record itself, as an `earlier` entry has it; it says nothing of those in `earlier`.",
        examples=["whole"],
    )
    title: str | None = Field(description="What the record is called; null where it cannot be read.")
    findings: list[str] = Field(description="What is wrong with it, one sentence each.")
    notes: list[str] = Field(description="What was not looked at.")
    earlier: list[EarlierAnswer] = Field(
        description="The records of earlier owners in it, each with its own verdict, before those that it has in turn."
    )


def record_told(kept: KeptRecord) -> RecordAnswer:
    """A record that is kept."""
    return RecordAnswer(
        sha256=kept.sha256,
        book=kept.book,
        received=kept.received,
        entry=None if kept.received else kept.seq,
        made=moment_text(kept.made),
    )


def field_told(each: Choice) -> FieldAnswer:
    """A field that can be opened, without its value."""
    return FieldAnswer(
        entry=each.seq,
        kind=each.event,
        name=each.name,
        title=each.title,
        usual=each.usual,
        corrected_by=each.corrected_by,
        withdrawn_by=each.withdrawn_by,
    )


def checked(seen: Received) -> CheckAnswer:
    """What a file is."""
    return CheckAnswer(
        sha256=seen.sha256,
        verdict=seen.verdict.value,
        title=seen.file.sheet.title if seen.file else None,
        findings=[each.sentence for each in seen.report.findings],
        notes=list(seen.report.notes),
        earlier=[
            EarlierAnswer(
                sha256=each.sha256,
                inside=each.inside,
                verdict=each.verdict.value,
                title=each.sheet.title if each.sheet else None,
                findings=list(each.findings),
            )
            for each in seen.earlier
        ],
    )
