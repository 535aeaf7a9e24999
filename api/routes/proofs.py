"""proofs: for somebody who trusts neither this program nor its owner."""

from typing import Annotated, Any

from fastapi import APIRouter, Query

from api.deps import LedgerDep, ReadingDep, an_id
from api.documents import EVERYWHERE, failures
from api.queries import ConsistencyAsked, HeadAsked, InclusionAsked
from api.schemas import ConsistencyAnswer, InclusionAnswer
from ledger.usecases import prove

router = APIRouter(tags=["proofs"], prefix="/proofs")


@router.get(
    "/inclusion",
    summary="Prove that an entry is in the ledger",
    response_description="The proof.",
    responses=failures(404, 422, *EVERYWHERE),
)
def prove_inclusion(ledger: LedgerDep, actor: ReadingDep, asked: Annotated[InclusionAsked, Query()]) -> InclusionAnswer:
    """RFC 9162 section 2.1.3. The root must come from a signed checkpoint of that size, the leaf from the entry's bytes."""
    found = prove.inclusion(ledger, actor, asked.seq, asked.size)
    return InclusionAnswer(
        seq=found.seq,
        size=found.size,
        leaf=found.leaf,
        root=found.root.hex(),
        proof=[each.hex() for each in found.proof],
    )


@router.get(
    "/consistency",
    summary="Prove that the ledger has only grown",
    response_description="The proof.",
    responses=failures(422, *EVERYWHERE),
)
def prove_consistency(
    ledger: LedgerDep,
    actor: ReadingDep,
    asked: Annotated[ConsistencyAsked, Query()],
) -> ConsistencyAnswer:
    """RFC 9162 section 2.1.4: what was there at the first size is there, unchanged, at the second."""
    found = prove.consistency(ledger, actor, asked.first, asked.second)
    return ConsistencyAnswer(
        first=found.first,
        second=found.second,
        first_root=found.first_root.hex(),
        second_root=found.second_root.hex(),
        proof=[each.hex() for each in found.proof],
    )


@router.get(
    "/head",
    summary="Prove a book's whole chain",
    response_description="The proof file.",
    responses=failures(404, 409, 422, *EVERYWHERE),
)
def prove_head(
    ledger: LedgerDep,
    actor: ReadingDep,
    asked: Annotated[HeadAsked, Query()],
) -> dict[str, Any]:
    """The file that `python -m ledger.proof FILE --key KEY` checks without this program.

    It has the last checkpoint, the book's head in it, every entry with its bytes and its proof, and those sealed
    values that are asked for; prices, sellers and places are not among them unless `open` is `all`. It needs a
    checkpoint over the newest entry: sign one first.
    """
    return prove.book_proof(ledger, actor, an_id("book", asked.book), held=asked.held, opened=asked.open)
