"""checkpoint: the last signed statement of the ledger's size and roots, and a new one."""

from fastapi import APIRouter

from api.deps import LedgerDep, ReadingDep, SigningDep
from api.documents import EVERYWHERE, failures
from api.schemas import CheckpointAnswer
from ledger.errors import NotFoundError
from ledger.ports import Ledger, StoredCheckpoint
from ledger.proof.envelope import moment_text
from ledger.usecases.checkpoint import last_checkpoint, sign_checkpoint
from ledger.usecases.stamps import given_note

router = APIRouter(tags=["proofs"])


@router.get(
    "/checkpoint",
    summary="Read the last checkpoint",
    response_description="The checkpoint signed last.",
    responses=failures(404, *EVERYWHERE),
)
def read_checkpoint(ledger: LedgerDep, actor: ReadingDep) -> CheckpointAnswer:
    """Keep the note in another house: it is what later shows that nothing was changed or cut off."""
    stored = last_checkpoint(ledger, actor)
    if stored is None:
        raise NotFoundError(what="checkpoint", name="yet")
    return _answer(ledger, stored)


@router.post(
    "/checkpoint",
    summary="Sign a checkpoint now",
    response_description="The new checkpoint, or the last one when nothing was added since.",
    responses=failures(409, *EVERYWHERE),
)
def sign_checkpoint_now(ledger: LedgerDep, actor: SigningDep) -> CheckpointAnswer:
    """Signs the ledger as it stands. A smaller ledger than the last one signed is never signed; it is told instead."""
    return _answer(ledger, sign_checkpoint(ledger, actor))


def _answer(ledger: Ledger, stored: StoredCheckpoint) -> CheckpointAnswer:
    """With the cosignatures that were taken in since."""
    note = given_note(ledger, stored.note)
    return CheckpointAnswer(size=stored.size, note=note, signed=moment_text(stored.signed))
