"""Bodies and answers that are not events: problems, entries as they are read, acts, proofs, tokens, rules."""

from typing import Annotated, Any, Literal

from pydantic import BaseModel, ConfigDict, Field

Moment = Annotated[
    str,
    Field(
        description="When it was written down: UTC with six digits after the point.",
        json_schema_extra={"format": "date-time"},
        examples=["2026-03-01T09:30:00.000000Z"],
    ),
]
Hash = Annotated[str, Field(pattern=r"^[0-9a-f]{64}$", description="SHA-256 in 64 lower hex digits.")]
EntryNumber = Annotated[int, Field(ge=1, description="Number of the entry in the collection: 1, 2, 3 without a gap.")]


class Answer(BaseModel):
    """Something the API says; it never carries a member that is not described here."""

    model_config = ConfigDict(frozen=True, extra="forbid")


class ProblemField(Answer):
    """One thing wrong, where it is, and what would be right."""

    field: str = Field(
        description="Dotted path into the body, such as stated.steps.0, or the name of a header or parameter; "
        "empty for the whole."
    )
    sentence: str = Field(description="What is wrong and what to do about it.")
    rule: str = Field(default="", description="The rule broken, by kind and number, such as sale.1; empty if none.")
    entries: list[int] = Field(default=[], description="Numbers of the entries it conflicts with.")


class Problem(Answer):
    """How every failure is told (RFC 9457)."""

    type: str = Field(
        pattern="^urn:slipsheet:problem:[a-z-]+$", description="The class of failure; a name, no address."
    )
    title: str = Field(description="The class of failure in words, the same every time.")
    status: int = Field(ge=400, le=599, description="The status of the answer.")
    detail: str = Field(description="What went wrong this time, and the mend.")
    errors: list[ProblemField] = Field(description="Everything found wrong, each with its field; may be empty.")


class Health(Answer):
    """That the server answers; it says nothing else."""

    status: Literal["ok"] = Field(description="Always ok.")


class ReadinessPoint(Answer):
    """One question about how the ledger is kept."""

    name: str = Field(description="writer, signed, room, backup, drill or anchor.", examples=["backup"])
    well: bool = Field(description="Nothing has to be done.")
    sentence: str = Field(description="How it stands, and what mends it where it is not well.")


class ReadinessAnswer(Answer):
    """How the ledger is kept."""

    ready: bool = Field(description="All is well.")
    points: list[ReadinessPoint] = Field(description="One answer to each question.")


class SealedField(Answer):
    """What is at hand of a sealed field."""

    state: Literal["open", "withheld", "erased"] = Field(
        description="open: the value is here, null if nothing was entered; erased: deleted for good; withheld: not shown."
    )
    value: Any = Field(description="The value, when it is open; a text, an amount or a list, as its kind says.")


class Told(Answer):
    """What an entry says, apart from where it stands."""

    on: str | None = Field(description="When it happened, in EDTF; null is not known.")
    summary: str = Field(description="One line that tells it without any sealed value.")
    body: dict[str, Any] = Field(description="The open fields, each as the schema of its kind describes it.")
    sealed: dict[str, SealedField] = Field(description="Every sealed field of the kind, empty ones too.")


class Place(Answer):
    """Where an entry stands."""

    seq: EntryNumber
    book: str | None = Field(description="Id of the book; null for an entry of the collection itself.")
    book_seq: int | None = Field(description="Number of the entry within its book, from 1.")
    act: str = Field(description="Id shared by the entries that were written together.")
    kind: str = Field(description="Its kind.")
    v: int = Field(ge=1, description="Version of the kind in which it is told here.")
    recorded: Moment
    actor: str = Field(description="Opaque id of who recorded it.")
    leaf: Hash = Field(description="Leaf hash of its bytes (RFC 9162): SHA-256 over 0x00 and the bytes, in lower hex.")


class EntryAnswer(Told, Place):
    """One entry of the ledger as it was recorded, and what became of it since."""

    corrected_by: list[int] = Field(description="Entries that correct it, in their order.")
    withdrawn_by: int | None = Field(description="The entry that takes it out of force.")
    in_force: bool = Field(description="It has not been withdrawn.")
    now: Told | None = Field(description="What it says with its corrections; null when there are none.")


class EntryWithBytes(EntryAnswer):
    """One entry with the bytes that are hashed."""

    bytes: str = Field(
        description="The canonical bytes (RFC 8785), in base64; hash these, never a copy made from the fields.",
        json_schema_extra={"format": "byte"},
    )


class EntryList(Answer):
    """Entries, in the order asked for."""

    entries: list[EntryAnswer] = Field(description="The entries.")


class Act(EntryList):
    """Entries that were written together."""

    act: str = Field(description="Id of the act.")


class WrittenEntry(Answer):
    """One entry that was written just now; none of this ever changes."""

    seq: EntryNumber
    book: str | None = Field(description="Id of the book; null for an entry of the collection itself.")
    book_seq: int | None = Field(description="Number of the entry within its book; the book's tag is this number.")
    kind: str = Field(description="Its kind.")
    on: str | None = Field(description="When it happened, in EDTF; null is not known.")
    recorded: Moment
    actor: str = Field(description="Opaque id of who recorded it.")
    summary: str = Field(description="One line that tells it.")
    leaf: Hash = Field(description="Leaf hash of its bytes, in lower hex.")


class Written(Answer):
    """What was written: all of it, as one act."""

    act: str = Field(description="Id shared by the entries.")
    entries: list[WrittenEntry] = Field(description="The entries, in the order in which they were sent.")
    warnings: list[str] = Field(description="What did not stop it but should be looked at.")


class CheckpointAnswer(Answer):
    """A signed statement of the ledger's size and roots (C2SP tlog-checkpoint)."""

    size: int = Field(ge=0, description="How many entries it covers.")
    note: str = Field(description="The signed note, byte for byte; this is what to keep elsewhere.")
    signed: Moment = Field(description="When it was signed, UTC.")


class InclusionAnswer(Answer):
    """That one entry is in the ledger of that size (RFC 9162 section 2.1.3)."""

    seq: EntryNumber
    size: int = Field(ge=1, description="The size of the ledger it is proven in, in entries.")
    leaf: Hash = Field(description="Leaf hash of the entry; work it out from the bytes yourself.")
    root: Hash = Field(description="Root at that size; trust the one in a signed checkpoint.")
    proof: list[Hash] = Field(description="Hashes from the leaf's side up, in lower hex.")


class ConsistencyAnswer(Answer):
    """That the ledger of the second size begins with all of the first (RFC 9162 section 2.1.4)."""

    first: int = Field(ge=1, description="The earlier size, in entries.")
    second: int = Field(ge=1, description="The later size, in entries.")
    first_root: Hash = Field(description="Root at the earlier size.")
    second_root: Hash = Field(description="Root at the later size.")
    proof: list[Hash] = Field(description="Hashes in the order of the standard, in lower hex.")


class FindingAnswer(Answer):
    """One thing a verifier found wrong."""

    code: str = Field(description="Stable name of the kind of damage.")
    sentence: str = Field(description="What it is, in words a collector can act on.")
    evidence: Literal["broken", "missing", "anchor"] = Field(
        description="broken: proven by the bytes; missing: something is gone; anchor: seen only by the checkpoint given."
    )
    seq: int | None = Field(description="The entry to look at; null for the ledger as a whole.")
    book: str | None = Field(description="The book to look at, if it is one.")


class ReportAnswer(Answer):
    """Everything found, and what was looked at."""

    ok: bool = Field(description="Nothing was found, and something was looked at.")
    findings: list[FindingAnswer] = Field(description="Every finding, not only the first.")
    checked: dict[str, int] = Field(description="How many things were looked at, by name.")
    notes: list[str] = Field(description="What this verification could not see.")


class TokenAnswer(Answer):
    """A token as it is kept: never the secret."""

    id: str = Field(description="Id of the token, for ending it.")
    label: str = Field(description="The name it was given.")
    permissions: list[str] = Field(description="What it lets through.")
    created: Moment = Field(description="When it was made, UTC.")
    expires: Moment = Field(description="When it ends by itself, UTC.")
    revoked: Moment | None = Field(description="When it was ended before its time; null while it was not.")


class NewToken(TokenAnswer):
    """A token that was just made, with its secret."""

    secret: str = Field(description="Send this as the bearer token. It is shown this once and kept nowhere.")


class TokenList(Answer):
    """Every token of the collection, ended ones too."""

    tokens: list[TokenAnswer] = Field(description="The tokens, in the order in which they were made.")


class RuleTable(Answer):
    """One table of rules the program ships."""

    name: str = Field(description="Its name.")
    version: int = Field(ge=1, description="Its version; a change of meaning counts it up.")
    rows: int = Field(ge=1, description="How many rows it has.")


class RuleTableList(Answer):
    """The tables of rules."""

    tables: list[RuleTable] = Field(description="The tables, by name.")


class RuleRow(Answer):
    """One row of a table, with where its figures come from."""

    id: str = Field(description="Its name within the table.")
    fields: dict[str, Any] = Field(description="What it says as shipped; decimals are text.")
    sources: list[str] = Field(description="Where its figures come from, in words.")
    edited: dict[str, Any] | None = Field(
        description="What it says in this collection, where the owner ruled otherwise."
    )
    edited_by: int | None = Field(description="The entry of that ruling; null if there is none.")


class RuleRows(Answer):
    """One table of rules, whole."""

    name: str = Field(description="Its name.")
    version: int = Field(ge=1, description="Its version.")
    rows: list[RuleRow] = Field(description="Its rows, in order.")
