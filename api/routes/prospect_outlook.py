"""prospects: what the defects seen of one say, and what it would bring by its sales."""

from fastapi import APIRouter

from api.book_outlook_answers import ProspectOutlookAnswer, prospect_answer
from api.deps import LedgerDep, ReadingDep, an_id
from api.documents import EVERYWHERE, failures
from api.routes.prospects import ProspectId
from ledger.usecases.prospect_outlook import prospect_outlook, prospect_values
from ledger.usecases.prospects import look_at_prospect

router = APIRouter(prefix="/prospects", tags=["prospects"])


@router.get(
    "/{prospect}/outlook",
    summary="Compute the outlook of a prospect",
    response_description="The ceiling, the chances over the steps, and what it would bring.",
    responses=failures(404, *EVERYWHERE),
)
def read_prospect_outlook(ledger: LedgerDep, actor: ReadingDep, prospect: ProspectId) -> ProspectOutlookAnswer:
    """From its defects as far as seen, by this collection's tables and its owner's own results; nothing is written.

    What was not seen may lower it.
    """
    found = look_at_prospect(ledger, actor, an_id("prospect", prospect)).prospect
    values = prospect_values(ledger, actor, found, None, ledger.clock.today())
    return prospect_answer(found, prospect_outlook(ledger, actor, found), values)
