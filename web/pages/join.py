"""A phone comes to the bench: its one-time code shows a button, and the button uses it up."""

from dataclasses import dataclass

from fastapi import APIRouter, Request, Response

from ledger.usecases.doorbook import Came, note
from ledger.usecases.phones import join
from web import sessions
from web.deps import AccountsDep, FrameDep, PairingDep, TriesDep, VisitorDep
from web.frame import Frame, Place, Told
from web.pairing import PATH, Pairing
from web.render import Page, page, render
from web.told import go_to
from web.wording import t

router = APIRouter()

FINE, GONE = 200, 410


@page("join.html")
@dataclass(frozen=True, kw_only=True)
class JoinPage(Page):
    """The code: a button, or why there is none."""

    fits: bool
    plain: bool
    """Nothing is encrypted on the way here."""


@router.get(f"{PATH}/{{secret}}")
def look(request: Request, frame: FrameDep, pairing: PairingDep, secret: str) -> Response:
    """The code, looked at: nothing is used up."""
    return _page(request, frame, pairing, secret)


@router.post(f"{PATH}/{{secret}}")
def come_in(  # noqa: PLR0913
    request: Request, frame: FrameDep, accounts: AccountsDep, pairing: PairingDep, tries: TriesDep, secret: str
) -> Response:
    """The code, used up: a session for bench work begins."""
    tries.count()
    name = pairing.use(secret)
    if name is None:
        note(Came.PHONE_REFUSED, address=tries.address)
        return _page(request, frame, pairing, secret)
    tries.forget()
    session = join(accounts, name, old=sessions.secret_of(request))
    note(Came.PHONE_JOINED, address=tries.address, who=accounts.owner)
    response = go_to(request, Place.BENCH.path, Told(sentence=t("join.joined", name=name)))
    sessions.give(request, response, session)
    return response


@router.post("/leave")
def leave(request: Request, accounts: AccountsDep, visitor: VisitorDep) -> Response:
    """The session of this phone ends, and no other."""
    if visitor is None or visitor.session.phone is None:
        return go_to(request, "/sign-in")
    accounts.store.write(lambda writer: writer.end_session(visitor.session.hashed))
    note(Came.PHONE_ENDED, who=visitor.person.id, phone=visitor.session.id)
    response = go_to(request, "/sign-in", Told(sentence=t("join.left")))
    sessions.take(request, response)
    return response


def _page(request: Request, frame: Frame, pairing: Pairing, secret: str) -> Response:
    fits = pairing.fits(secret)
    return render(
        JoinPage(frame=frame, fits=fits, plain=not sessions.is_encrypted(request)), status=FINE if fits else GONE
    )
