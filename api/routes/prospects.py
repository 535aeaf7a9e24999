"""prospects: books looked at and not bought yet; they lie beside the ledger until one is bought."""

from typing import Annotated

from fastapi import APIRouter, Path, Request, Response

from api.answers import answered, placed
from api.bodies import read_body, read_counted, read_event, read_json
from api.deps import AppendDep, LedgerDep, OwningBodyDep, OwningDep, ReadingDep, an_id
from api.documents import EVERYWHERE, appended, failures, text_header
from api.market_answers import OutlookBody, ProspectAnswer, ProspectBody, ProspectList, VerdictBody
from api.schemas import Written
from ledger.errors import InvalidError, Problem
from ledger.events.purchase import Purchase
from ledger.market import Prospect, Verdict
from ledger.proof.envelope import moment_text
from ledger.prospects import ProspectSaid
from ledger.usecases import prospects as work

router = APIRouter(prefix="/prospects", tags=["prospects"])

_ID = "p7r2o4s6p5e3c8t2g4f6d5s3a7"
_WHAT = "prospect"

ProspectId = Annotated[str, Path(description="Id of the prospect.", examples=[_ID])]


@router.get("", summary="List prospects", response_description="The prospects.", responses=failures(*EVERYWHERE))
def list_prospects(ledger: LedgerDep, actor: ReadingDep) -> ProspectList:
    """Those that are open, passed up and bought; passed-up ones stay as a record of judgement."""
    return ProspectList(prospects=[told(each) for each in work.look_at_prospects(ledger, actor)])


@router.get("/{prospect}", summary="Read a prospect", response_description="It.", responses=failures(404, *EVERYWHERE))
def read_prospect(ledger: LedgerDep, actor: ReadingDep, prospect: ProspectId) -> ProspectAnswer:
    """One of them, with the outlook that was stated on it."""
    return told(work.look_at_prospect(ledger, actor, an_id(_WHAT, prospect)).prospect)


@router.post(
    "",
    summary="Keep a prospect",
    status_code=201,
    response_description="The prospect.",
    responses={
        201: {"headers": {"Location": text_header("Where it is.", f"/api/v1/prospects/{_ID}")}},
        **failures(409, 413, 415, 422, *EVERYWHERE),
    },
)
def keep_prospect(
    request: Request, response: Response, ledger: LedgerDep, actor: OwningDep, data: OwningBodyDep
) -> ProspectAnswer:
    """What a listing says and shows. Nothing is written into the ledger."""
    asked = read_counted(ProspectBody, read_json(data))
    made = work.keep_prospect(ledger, actor, _said(asked), named=asked.pictures)
    placed(request, response, f"/prospects/{made.id}")
    return told(made)


@router.put(
    "/{prospect}",
    summary="Change a prospect",
    response_description="The prospect as it is now.",
    responses=failures(404, 409, 413, 415, 422, *EVERYWHERE),
)
def change_prospect(ledger: LedgerDep, actor: OwningDep, prospect: ProspectId, data: OwningBodyDep) -> ProspectAnswer:
    """Sent whole: what is left out is left out of it. Its outlook stays; one that was decided on is not changed."""
    asked = read_counted(ProspectBody, read_json(data))
    own = an_id(_WHAT, prospect)
    return told(work.change_prospect(ledger, actor, own, _said(asked), named=asked.pictures))


@router.put(
    "/{prospect}/outlook",
    summary="State an outlook on a prospect",
    response_description="The prospect as it is now.",
    responses=failures(404, 409, 413, 415, 422, *EVERYWHERE),
)
def weigh_prospect(ledger: LedgerDep, actor: OwningDep, prospect: ProspectId, data: OwningBodyDep) -> ProspectAnswer:
    """As of now. Once the book is bought, it stands in the ledger ahead of the purchase."""
    asked = read_body(OutlookBody, read_json(data))
    return told(work.state_outlook(ledger, actor, an_id(_WHAT, prospect), asked.weights))


@router.put(
    "/{prospect}/verdict",
    summary="Pass a prospect up, or take that back",
    response_description="The prospect as it is now.",
    responses=failures(404, 409, 413, 415, 422, *EVERYWHERE),
)
def judge_prospect(ledger: LedgerDep, actor: OwningDep, prospect: ProspectId, data: OwningBodyDep) -> ProspectAnswer:
    """It stays as a record of judgement. It is bought by its purchase, and not here."""
    asked, own = read_body(VerdictBody, read_json(data)), an_id(_WHAT, prospect)
    if asked.verdict is Verdict.BOUGHT:
        sentence = "It is bought by its purchase. Send that to /prospects/{prospect}/purchase."
        raise InvalidError(problems=(Problem(field="verdict", sentence=sentence),))
    if asked.verdict is Verdict.OPEN:
        return told(work.take_back(ledger, actor, own))
    return told(work.pass_up(ledger, actor, own, asked.why))


@router.post(
    "/{prospect}/purchase",
    summary="Buy a prospect",
    status_code=201,
    response_description="The entries of the new book: its outlook, where one was stated, and its purchase.",
    responses=appended(404),
)
def buy_prospect(
    request: Request, response: Response, ledger: LedgerDep, append: AppendDep, prospect: ProspectId
) -> Written:
    """One act: the outlook that was stated first, then the purchase. The prospect then names the book."""
    plain, own = append.plain(), an_id(_WHAT, prospect)
    event = read_event(plain, {Purchase.kind}, default=Purchase.kind)
    assert isinstance(event, Purchase)
    recorded = work.buy(ledger, append.actor, own, event, append.asked(f"prospects/{own}/purchase", plain))
    return answered(request, response, recorded, f"/books/{recorded.entries[0].book}")


@router.delete(
    "/{prospect}",
    summary="Take a prospect away",
    status_code=204,
    response_description="It is no longer kept.",
    responses=failures(404, 409, *EVERYWHERE),
)
def take_prospect(ledger: LedgerDep, actor: OwningDep, prospect: ProspectId) -> None:
    """One that was bought stays with its book."""
    work.take_away(ledger, actor, an_id(_WHAT, prospect))


def told(of: Prospect) -> ProspectAnswer:
    """One as it is answered."""
    return ProspectAnswer(
        id=of.id,
        issue=of.issue,
        asking=of.asking,
        holding=of.holding,
        stated=of.stated,
        seller=of.seller,
        venue=of.venue,
        listing=of.listing,
        defects=list(of.defects),
        pictures=list(of.pictures),
        note=of.note,
        weights=list(of.weights),
        weighed=moment_text(of.weighed) if of.weighed else None,
        verdict=of.verdict,
        decided=moment_text(of.decided) if of.decided else None,
        why=of.why,
        book=of.book if of.verdict is Verdict.BOUGHT else None,
        made=moment_text(of.made),
    )


def _said(asked: ProspectBody) -> ProspectSaid:
    return ProspectSaid(
        issue=asked.issue,
        asking=asked.asking,
        holding=asked.holding,
        stated=asked.stated,
        seller=asked.seller,
        venue=asked.venue,
        listing=asked.listing,
        defects=tuple(asked.defects),
        note=asked.note,
    )
