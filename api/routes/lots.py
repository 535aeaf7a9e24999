"""lots: books bought together, each with its exact part of what was paid."""

from fastapi import APIRouter, Request, Response

from api.answers import answered
from api.bodies import read_counted
from api.deps import AppendDep, LedgerDep
from api.documents import appended
from api.lot_bodies import LotBody
from api.schemas import Written
from ledger.usecases.lots import LotBook, LotSaid, buy_lot

router = APIRouter(prefix="/lots", tags=["acts"])


@router.post(
    "",
    summary="Buy several books for one price",
    status_code=201,
    response_description="One purchase for each book.",
    responses=appended(),
)
def buy_together(request: Request, response: Response, ledger: LedgerDep, append: AppendDep) -> Written:
    """Every book or none, each new to the collection. Price, premium, tax and shipping are those of the whole.

    Each is split by the stated shares, or equally; the parts make it exactly (largest remainder, ties to the earlier).
    """
    plain = append.plain()
    asked = read_counted(LotBody, plain)
    said = LotSaid(**{**vars(asked), "books": tuple(LotBook(**vars(each)) for each in asked.books)})
    recorded = buy_lot(ledger, append.actor, said, append.asked("lots", plain))
    return answered(request, response, recorded, f"/acts/{recorded.act}")
