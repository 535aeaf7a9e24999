"""Phone at the bench: the owner lets a phone in by a code that works once, sees which are in, and ends them."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from fastapi import APIRouter, Request, Response

from ledger.accounts import Accounts, Session
from ledger.actor import Actor
from ledger.codes import Code
from ledger.errors import InvalidError, Problem
from ledger.ports import Ledger
from ledger.usecases.doorbook import Came, note
from ledger.usecases.phones import NAME_MOST, end_phone, end_phones, named, phones
from web.deps import (
    AccountsDep,
    ActorDep,
    ConfirmedActorDep,
    FrameDep,
    LedgerDep,
    PairingDep,
    PostedDep,
    ReachDep,
    WaitingDep,
)
from web.frame import Frame, Place, Told
from web.pairing import OPEN_FOR, Pairing
from web.posted import Posted
from web.render import Page, page, render
from web.told import go_to
from web.wording import t

router = APIRouter()

PATH: Final = "/settings/phone"


@dataclass(frozen=True, kw_only=True)
class Offer:
    """A code that is open now."""

    name: str
    address: str
    code: Code | None
    """None where no code can be drawn; the address can be typed."""
    plain: bool
    """Nothing is encrypted on the way there."""


@page("settings/phones.html")
@dataclass(frozen=True, kw_only=True)
class PhonesPage(Page):
    """Every phone that is in, and the form that lets in one more."""

    phones: Sequence[Session]
    addresses: tuple[tuple[str, str], ...]
    """Where a phone may come in; none while only this machine is heard."""
    plain: bool
    """Nothing is encrypted on the way to one of them."""
    sent: Posted
    faults: dict[str, str]
    problems: tuple[Problem, ...]
    offer: Offer | None
    """Shown this once."""
    name_most: int
    minutes: int


@router.get(PATH)
def look(  # noqa: PLR0913
    request: Request, frame: FrameDep, accounts: AccountsDep, actor: ActorDep, reach: ReachDep, waiting: WaitingDep
) -> Response:
    """The list and an empty form."""
    sent = waiting if waiting and waiting.action == PATH else Posted()
    return render(_page(frame, accounts, actor, reach.offered(request), sent))


@router.post(PATH)
def offer(  # noqa: PLR0913
    request: Request,
    frame: FrameDep,
    ledger: LedgerDep,
    accounts: AccountsDep,
    actor: ConfirmedActorDep,
    pairing: PairingDep,
    reach: ReachDep,
    posted: PostedDep,
) -> Response:
    """A code for one phone. The answer is the page itself: what is shown once has no address to come back to."""
    addresses = reach.offered(request)
    try:
        made = _offered(ledger, pairing, addresses, posted)
    except InvalidError as error:
        return render(_page(frame, accounts, actor, addresses, posted, problems=error.problems), status=422)
    note(Came.PHONE_OFFERED, who=actor.id)
    return render(_page(frame, accounts, actor, addresses, Posted(), offer=made), status=201)


@router.post(PATH + "/end")
def end_all(request: Request, accounts: AccountsDep, actor: ActorDep, pairing: PairingDep) -> Response:
    """Every phone is out, and no code is open any more."""
    pairing.close()
    return go_to(request, PATH, Told(sentence=t.n("settings.phone.all_ended", end_phones(accounts, actor))))


@router.post(PATH + "/{phone}/end")
def end(request: Request, accounts: AccountsDep, actor: ActorDep, phone: str) -> Response:
    """That phone is out from now on."""
    ended = end_phone(accounts, actor, phone)
    return go_to(request, PATH, Told(sentence=t("settings.phone.ended", name=ended.phone)))


def _offered(ledger: Ledger, pairing: Pairing, addresses: tuple[str, ...], posted: Posted) -> Offer:
    """Raises: InvalidError."""
    name, base = named(posted.get("name")), posted.get("address") or next(iter(addresses), "")
    if base not in addresses:
        sentence = t("settings.phone.no_such" if addresses else "settings.phone.closed")
        raise InvalidError(problems=(Problem(field="address", sentence=sentence),))
    address = base + pairing.offer(name)
    code = ledger.codes.drawn(address) if ledger.codes is not None else None
    return Offer(name=name, address=address, code=code, plain=not base.startswith("https:"))


def _page(  # noqa: PLR0913
    frame: Frame,
    accounts: Accounts,
    actor: Actor,
    addresses: tuple[str, ...],
    sent: Posted,
    *,
    problems: tuple[Problem, ...] = (),
    offer: Offer | None = None,
) -> PhonesPage:
    return PhonesPage(
        frame=frame.at(Place.SETTINGS),
        phones=phones(accounts, actor),
        addresses=tuple((each, each) for each in addresses),
        plain=any(not each.startswith("https:") for each in addresses),
        sent=sent,
        faults={problem.field: problem.sentence for problem in problems},
        problems=problems,
        offer=offer,
        name_most=NAME_MOST,
        minutes=int(OPEN_FOR.total_seconds()) // 60,
    )
