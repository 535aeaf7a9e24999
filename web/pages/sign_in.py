"""Coming in by password or by the one-time link, giving the password again, and going out."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Annotated, Final, Literal

from fastapi import APIRouter, Query, Request, Response

from ledger.accounts import Accounts
from ledger.usecases import sign_in as coming_in
from ledger.usecases import waiting as held
from ledger.usecases.doorbook import Came, note
from web import sessions
from web.deps import AccountsDep, DoorDep, FrameDep, PostedDep, TriesDep, VisitorDep, WholeDep
from web.door import Door
from web.frame import Frame, Told
from web.posted import Posted
from web.refusals import AtTheComputerError, TooManyTriesError
from web.render import Page, page, render
from web.throttle import Tries
from web.told import go_to
from web.waiting import HOME, local_path, onward
from web.wording import t

router = APIRouter()

NextPath = Annotated[str, Query(alias="next", description="Where to go afterwards.")]

PASSWORD_PAGE: Final = "/settings/password"  # noqa: S105  an address
FINE, FORBIDDEN, GONE, TOO_MANY = 200, 403, 410, 429


@page("sign_in.html")
@dataclass(frozen=True, kw_only=True)
class SignInPage(Page):
    """Asks for the password."""

    asks: Literal["first", "again"]
    """Of somebody who comes in, or again of somebody who is in."""
    next: str
    """Where to go afterwards."""
    waiting: str
    """Id of the form that waits, empty for none."""
    is_held: bool
    """That form is still held."""
    has_password: bool
    fault: str = ""


@page("door.html")
@dataclass(frozen=True, kw_only=True)
class DoorPage(Page):
    """The one-time link: a button, or why there is none."""

    fits: bool


@router.get("/sign-in")
def ask(  # noqa: PLR0913  one parameter for each thing the page needs
    request: Request,
    frame: FrameDep,
    accounts: AccountsDep,
    visitor: VisitorDep,
    next_path: NextPath = HOME,
    waiting: str = "",
) -> Response:
    """The sign-in page; whoever is signed in already goes on."""
    if visitor is not None:
        return go_to(request, onward(accounts, next_path=next_path, waiting=waiting))
    return render(_asking(frame, accounts, next_path, waiting))


@router.post("/sign-in")
def sign_in(request: Request, frame: FrameDep, accounts: AccountsDep, tries: TriesDep, posted: PostedDep) -> Response:
    """A session begins, and the page that was wanted comes next."""
    return _tried(request, frame, accounts, tries, posted)


@router.get("/confirm")
def ask_again(
    frame: FrameDep, accounts: AccountsDep, _who: WholeDep, next_path: NextPath = HOME, waiting: str = ""
) -> Response:
    """Asks for the password again."""
    return render(_asking(frame, accounts, next_path, waiting))


@router.post("/confirm")
def confirm(
    request: Request, frame: FrameDep, accounts: AccountsDep, _who: WholeDep, tries: TriesDep, posted: PostedDep
) -> Response:
    """The password was given just now, and a session of its own says so."""
    return _tried(request, frame, accounts, tries, posted)


@router.get("/sign-in/{secret}")
def look_at_door(frame: FrameDep, door: DoorDep, secret: str) -> Response:
    """The one-time link, looked at: nothing is used up."""
    return _door(frame, door, secret)


@router.post("/sign-in/{secret}")
def open_door(  # noqa: PLR0913
    request: Request, frame: FrameDep, accounts: AccountsDep, door: DoorDep, tries: TriesDep, secret: str
) -> Response:
    """The one-time link, used up: a session begins."""
    tries.count()
    if not door.use(secret):
        note(Came.LINK_REFUSED, address=tries.address)
        return _door(frame, door, secret)
    tries.forget()
    note(Came.LINK_USED, address=tries.address, who=accounts.owner)
    session = coming_in.enter(accounts, old=sessions.secret_of(request), forgotten=door.password_forgotten)
    wants_password = not door.password_optional and not coming_in.has_password(accounts)
    response = go_to(request, PASSWORD_PAGE if wants_password else HOME)
    sessions.give(request, response, session)
    return response


@router.post("/sign-out")
def sign_out(request: Request, accounts: AccountsDep, visitor: VisitorDep) -> Response:
    """Every session of this person ends, in every browser; a paired phone leaves by a way of its own.

    Raises: AtTheComputerError.
    """
    if visitor is not None and visitor.session.phone is not None:
        raise AtTheComputerError
    response = go_to(request, "/sign-in", Told(sentence=t("sign_in.out")) if visitor else None)
    if visitor is not None:
        coming_in.sign_out(accounts, visitor.person.id)
        note(Came.SIGNED_OUT, who=visitor.person.id)
    sessions.take(request, response)
    return response


def _tried(request: Request, frame: Frame, accounts: Accounts, tries: Tries, posted: Posted) -> Response:
    """On to the page that was wanted, or the same page again with what is wrong."""
    next_path, waiting = posted.get("next", HOME), posted.get("waiting")
    again = _asking(frame, accounts, next_path, waiting)
    try:
        tries.count()
    except TooManyTriesError as error:
        note(Came.TOO_MANY_TRIES, address=tries.address)
        return _refused(again, str(error), TOO_MANY, {"Retry-After": str(error.wait)})
    session = coming_in.sign_in(accounts, posted.raw("password"), old=sessions.secret_of(request))
    if session is None:
        note(Came.WRONG_PASSWORD, address=tries.address)
        return _refused(again, t("sign_in.wrong"), FORBIDDEN, {})
    tries.forget()
    note(Came.CONFIRMED if frame.signed_in else Came.SIGNED_IN, address=tries.address, who=accounts.owner)
    response = go_to(request, onward(accounts, next_path=next_path, waiting=waiting))
    sessions.give(request, response, session)
    return response


def _asking(frame: Frame, accounts: Accounts, next_path: str, waiting: str) -> SignInPage:
    return SignInPage(
        frame=frame,
        asks="again" if frame.signed_in else "first",
        next=local_path(next_path),
        waiting=waiting,
        is_held=bool(waiting) and held.waiting(accounts, waiting) is not None,
        has_password=coming_in.has_password(accounts),
    )


def _refused(shown: SignInPage, fault: str, status: int, headers: Mapping[str, str]) -> Response:
    response = render(replace(shown, fault=fault), status=status)
    response.headers.update(headers)
    return response


def _door(frame: Frame, door: Door, secret: str) -> Response:
    fits = door.fits(secret)
    return render(DoorPage(frame=frame, fits=fits), status=FINE if fits else GONE)
