"""What pages ask for: the ledger, who is signed in and as whom they act, what they prefer, and what a form sent.

`ActorDep` is enough for most acts; tokens, erasure and keys take `ConfirmedActorDep`, what is no bench work `WholeDep`. A
page writer whose form may come back after a sign-in takes `WaitingDep` on its GET and fills the form from it; `PostedDep`
on its POST does the rest.
"""

from typing import Annotated, Final
from urllib.parse import parse_qs

from fastapi import Depends, FastAPI, Request

from ledger.accounts import Accounts, Preferences, SignedIn
from ledger.actor import Actor
from ledger.held import HeldLog
from ledger.ports import Ledger
from ledger.usecases import sign_in
from ledger.usecases import waiting as held
from web.door import Door
from web.frame import Checked, Frame, Theme, Told
from web.long_work import LongWork
from web.pairing import Pairing
from web.posted import FORM, Posted, kind_of, read_form, split
from web.reach import Reach
from web.refusals import AtTheComputerError, ConfirmNeededError, PasswordNeededError, SignInNeededError, TooLargeError
from web.render import PART
from web.sessions import secret_of
from web.throttle import Throttle, Tries
from web.told import Teller

__all__ = [
    "AccountsDep",
    "ActorDep",
    "ConfirmedActorDep",
    "DoorDep",
    "FrameDep",
    "LedgerDep",
    "LongWorkDep",
    "PairingDep",
    "PostedDep",
    "PreferencesDep",
    "ReachDep",
    "SignedInDep",
    "TriesDep",
    "VisitorDep",
    "WaitingDep",
    "WholeDep",
    "body_of",
    "frame_of",
    "note_check",
    "posted_of",
    "signed_in_of",
    "visitor_of",
    "whole_session_of",
]

FORM_MOST: Final = 1024 * 1024
"""Bytes of a form without files."""
_LENGTH_DIGITS: Final = 18
"""Of a stated length, so many are read: with as many it is beyond every limit."""


def ledger_of(request: Request) -> Ledger:
    """The one ledger these pages show."""
    ledger = request.app.state.ledger
    assert isinstance(ledger, Ledger)
    return ledger


def accounts_of(request: Request) -> Accounts:
    """Who can sign in."""
    accounts = request.app.state.accounts
    assert isinstance(accounts, Accounts)
    return accounts


def door_of(request: Request) -> Door:
    """The one-time link."""
    door = request.app.state.door
    assert isinstance(door, Door)
    return door


def visitor_of(request: Request) -> SignedIn | None:
    """Who is signed in, if anybody; looked up once for each request."""
    if not hasattr(request.state, "visitor"):
        secret = secret_of(request)
        request.state.visitor = sign_in.signed_in(accounts_of(request), secret) if secret else None
    visitor = request.state.visitor
    assert visitor is None or isinstance(visitor, SignedIn)
    return visitor


# What waits for nothing is a coroutine: a plain function would be handed to a thread and back, which takes longer than
# all that it does.


async def _ledger(request: Request) -> Ledger:
    return ledger_of(request)


async def _accounts(request: Request) -> Accounts:
    return accounts_of(request)


async def _door(request: Request) -> Door:
    return door_of(request)


async def _pairing(request: Request) -> Pairing:
    """The code that a phone may come in by."""
    pairing = request.app.state.pairing
    assert isinstance(pairing, Pairing)
    return pairing


async def _reach(request: Request) -> Reach:
    """Where other devices find this server."""
    reach = request.app.state.reach
    assert isinstance(reach, Reach)
    return reach


LedgerDep = Annotated[Ledger, Depends(_ledger)]
AccountsDep = Annotated[Accounts, Depends(_accounts)]
DoorDep = Annotated[Door, Depends(_door)]
PairingDep = Annotated[Pairing, Depends(_pairing)]
ReachDep = Annotated[Reach, Depends(_reach)]
VisitorDep = Annotated[SignedIn | None, Depends(visitor_of)]


def tries_of(request: Request, accounts: AccountsDep) -> Tries:
    """How often the password or the link may still be tried from there."""
    throttle = request.app.state.throttle
    assert isinstance(throttle, Throttle)
    return Tries(throttle, accounts.owner, request.client.host if request.client else "")


TriesDep = Annotated[Tries, Depends(tries_of)]


async def signed_in_of(visitor: VisitorDep) -> SignedIn:
    """The person who is signed in, with their session.

    Raises: SignInNeededError.
    """
    if visitor is None:
        raise SignInNeededError
    return visitor


SignedInDep = Annotated[SignedIn, Depends(signed_in_of)]


async def whole_session_of(who: SignedInDep) -> SignedIn:
    """The person, in a session that can do all: no paired phone.

    Raises: AtTheComputerError.
    """
    if who.session.phone is not None:
        raise AtTheComputerError
    return who


WholeDep = Annotated[SignedIn, Depends(whole_session_of)]


async def actor_of(who: SignedInDep) -> Actor:
    """As whom they act."""
    return sign_in.actor_of(who)


ActorDep = Annotated[Actor, Depends(actor_of)]


def confirmed_actor_of(who: WholeDep, accounts: AccountsDep, door: DoorDep) -> Actor:
    """As whom they act, the password given only just now.

    Raises: ConfirmNeededError, PasswordNeededError.
    """
    if who.person.password is None:
        if not door.password_optional:
            raise PasswordNeededError
    elif not who.session.is_confirmed(accounts.clock.now()):
        raise ConfirmNeededError
    return sign_in.actor_of(who)


ConfirmedActorDep = Annotated[Actor, Depends(confirmed_actor_of)]


async def preferences_of(who: SignedInDep) -> Preferences:
    """What the person chose for every page."""
    return who.person.preferences


PreferencesDep = Annotated[Preferences, Depends(preferences_of)]


def frame_of(request: Request) -> Frame:
    """What stands around the page; for somebody who is not signed in, nothing of the ledger."""
    visitor, path = visitor_of(request), request.url.path
    if visitor is None:
        return Frame(path=path, told=_told(request))
    ledger = ledger_of(request)
    with ledger.log.read() as reader:
        entries = reader.head().size
    return Frame(
        path=path,
        signed_in=True,
        theme=Theme(visitor.person.preferences.theme.value),
        entries=entries,
        checked=getattr(request.app.state, "checked", None),
        told=_told(request),
        held=isinstance(ledger.log, HeldLog) and ledger.log.held,
        phone=visitor.session.phone or "",
    )


FrameDep = Annotated[Frame, Depends(frame_of)]


def note_check(app: FastAPI, checked: Checked) -> None:
    """From now on every page says when the ledger was last read again, and with how many findings."""
    app.state.checked = checked


def long_work_of(request: Request) -> LongWork:
    """What takes longer than a page may wait."""
    works = request.app.state.works
    assert isinstance(works, LongWork)
    return works


LongWorkDep = Annotated[LongWork, Depends(long_work_of)]


async def body_of(request: Request, most: int | None) -> bytes:
    """The body; what is said to be too long is refused before any of it is read.

    Raises: TooLargeError.
    """
    stated = request.headers.get("content-length", "")
    if most is not None and stated.isdecimal() and int(stated[:_LENGTH_DIGITS]) > most:
        raise TooLargeError(most=most)
    data = bytearray()
    async for piece in request.stream():
        data += piece
        if most is not None and len(data) > most:
            raise TooLargeError(most=most)
    return bytes(data)


async def posted_of(request: Request) -> Posted:
    """The form in the body; of a form that had waited, its id too.

    Raises: MalformedError, TooLargeError.
    """
    if not hasattr(request.state, "posted"):
        kind = request.headers.get("content-type", "")
        # A form with files is bounded where every request is, in `web/guards.py`.
        read = read_form(kind, await body_of(request, FORM_MOST if kind_of(kind) == FORM else None))
        waited = read.get("waiting") or _asked(str(request.url)) or _asked(request.headers.get("referer", ""))
        request.state.posted = Posted(fields=read.fields, uploads=read.uploads, waiting=waited, action=request.url.path)
    posted = request.state.posted
    assert isinstance(posted, Posted)
    return posted


PostedDep = Annotated[Posted, Depends(posted_of)]


def waiting_of(accounts: AccountsDep, who: SignedInDep, waiting: str = "") -> Posted | None:
    """What had been typed into this page's form when its sender had to sign in; None where nothing waits."""
    form = held.waiting(accounts, waiting, person=who.person.id) if waiting else None
    return None if form is None else Posted(fields=form.fields, waiting=form.id, action=form.action)


WaitingDep = Annotated[Posted | None, Depends(waiting_of)]


def _asked(url: str) -> str:
    """The id of a waiting form in an address."""
    return parse_qs(split(url).query).get("waiting", [""])[0]


def _told(request: Request) -> Told | None:
    """The sentence that came along; a part of a page leaves it for the whole."""
    teller = request.app.state.teller
    assert isinstance(teller, Teller)
    told = None if PART in request.headers else teller.read(request)
    request.state.told = told is not None
    return told
