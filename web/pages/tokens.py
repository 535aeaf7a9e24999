"""Tokens for programs: what each may do and until when; one is made here, and its secret shown this once."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from fastapi import APIRouter, Request, Response

from ledger.actor import Actor, Permission
from ledger.errors import InvalidError, Problem
from ledger.ports import Ledger, StoredToken
from ledger.usecases.tokens import DAYS_MOST, issue_token, revoke_token, tokens
from web.deps import ActorDep, ConfirmedActorDep, FrameDep, LedgerDep, PostedDep, WaitingDep
from web.frame import Frame, Place, Told
from web.posted import Posted
from web.render import Page, page, render
from web.told import go_to
from web.wording import t

router = APIRouter()

PATH: Final = "/settings/tokens"
USUAL: Final = Posted(fields=(("permissions", Permission.READ.value), ("days", "90")))


@dataclass(frozen=True, kw_only=True)
class TokenLine:
    """One token as the list shows it."""

    token: StoredToken
    permissions: str
    in_force: bool


@page("settings/tokens.html")
@dataclass(frozen=True, kw_only=True)
class TokensPage(Page):
    """Every token, and the form for one more."""

    lines: Sequence[TokenLine]
    permissions: tuple[tuple[str, str], ...]
    days_most: int
    sent: Posted
    faults: dict[str, str]
    problems: tuple[Problem, ...]
    made: str
    """Label of the token that was just made."""
    secret: str
    """Its secret, shown this once; empty on every other page."""


@router.get(PATH)
def look(frame: FrameDep, ledger: LedgerDep, actor: ActorDep, waiting: WaitingDep) -> Response:
    """The list and an empty form."""
    sent = waiting if waiting and waiting.action == PATH else USUAL
    return render(_page(frame, ledger, actor, sent))


@router.post(PATH)
def make(frame: FrameDep, ledger: LedgerDep, actor: ConfirmedActorDep, posted: PostedDep) -> Response:
    """One more token. The answer is the page itself: a secret that is shown once has no address to come back to."""
    try:
        token, secret = _issued(ledger, actor, posted)
    except InvalidError as error:
        return render(_page(frame, ledger, actor, posted, problems=error.problems), status=422)
    return render(_page(frame, ledger, actor, USUAL, made=token.label, secret=secret), status=201)


@router.post(PATH + "/{token}/end")
def end(request: Request, ledger: LedgerDep, actor: ConfirmedActorDep, token: str) -> Response:
    """The token lets nothing through from now on."""
    revoke_token(ledger, actor, token)
    return go_to(request, PATH, Told(sentence=t("settings.tokens.ended_now")))


def _issued(ledger: Ledger, actor: Actor, posted: Posted) -> tuple[StoredToken, str]:
    days = posted.get("days")
    named = {each.value: each for each in Permission}
    if any(each not in named for each in posted.all("permissions")):
        sentence = t("settings.tokens.no_such")
        raise InvalidError(problems=(Problem(field="permissions", sentence=sentence),))
    return issue_token(
        ledger,
        actor,
        label=posted.get("label"),
        permissions={named[each] for each in posted.all("permissions")},
        days=int(days) if days.isascii() and days.isdecimal() and len(days) <= len(str(DAYS_MOST)) else 0,
    )


def _page(  # noqa: PLR0913
    frame: Frame,
    ledger: Ledger,
    actor: Actor,
    sent: Posted,
    *,
    problems: tuple[Problem, ...] = (),
    made: str = "",
    secret: str = "",
) -> TokensPage:
    now = ledger.clock.now()
    known = tokens(ledger, actor)
    return TokensPage(
        frame=frame.at(Place.SETTINGS),
        lines=[_line(each, in_force=each.revoked is None and now < each.expires) for each in reversed(known)],
        permissions=tuple((each.value, _words(each.value)) for each in Permission),
        days_most=DAYS_MOST,
        sent=sent,
        faults={problem.field: problem.sentence for problem in problems},
        problems=problems,
        made=made,
        secret=secret,
    )


def _line(token: StoredToken, *, in_force: bool) -> TokenLine:
    return TokenLine(token=token, permissions=", ".join(_words(each) for each in token.scopes), in_force=in_force)


def _words(permission: str) -> str:
    return t(f"settings.permissions.{permission.replace(' ', '_')}")
