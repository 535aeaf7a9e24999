"""Setting a password, and changing it."""

from dataclasses import dataclass
from typing import Literal

from fastapi import APIRouter, Request, Response

from ledger.accounts import SignedIn
from ledger.errors import InvalidError, Problem
from ledger.usecases.doorbook import Came, note
from ledger.usecases.sign_in import PASSWORD_LEAST, change_password, own_words
from web import sessions
from web.deps import AccountsDep, DoorDep, FrameDep, LedgerDep, PostedDep, SignedInDep, TriesDep
from web.frame import Frame, Place, Told
from web.pages.sign_in import NextPath
from web.render import Page, page, render
from web.told import go_to
from web.waiting import HOME, local_path, onward
from web.wording import t

router = APIRouter()


@page("settings/password.html")
@dataclass(frozen=True, kw_only=True)
class PasswordPage(Page):
    """Asks for a new password, and for the present one where there is one."""

    asks: Literal["first", "change"]
    least: int
    next: str
    waiting: str
    faults: dict[str, str]
    problems: tuple[Problem, ...]


@router.get("/settings/password")
def ask(frame: FrameDep, who: SignedInDep, next_path: NextPath = HOME, waiting: str = "") -> Response:
    """The form; nothing in it is ever filled in."""
    return render(_page(frame, who, local_path(next_path), waiting))


@router.post("/settings/password")
def change(  # noqa: PLR0913  one parameter for each thing the change needs
    request: Request,
    frame: FrameDep,
    ledger: LedgerDep,
    accounts: AccountsDep,
    who: SignedInDep,
    door: DoorDep,
    posted: PostedDep,
    tries: TriesDep,
) -> Response:
    """The new password counts; every other session has ended."""
    next_path, waiting = posted.get("next", HOME), posted.get("waiting")
    current, new = posted.raw("current_password"), posted.raw("new_password")
    try:
        tries.count()
        session = change_password(accounts, who, current=current, new=new, avoid=own_words(ledger))
    except InvalidError as error:
        return render(_page(frame, who, local_path(next_path), waiting, problems=error.problems), status=422)
    tries.forget()
    note(Came.PASSWORD_CHANGED, address=tries.address, who=who.person.id)
    door.close()
    response = go_to(request, onward(accounts, next_path=next_path, waiting=waiting), Told(sentence=t("settings.set")))
    sessions.give(request, response, session)
    return response


def _page(
    frame: Frame, who: SignedIn, next_path: str, waiting: str, problems: tuple[Problem, ...] = ()
) -> PasswordPage:
    fields = {"current": "current_password", "new": "new_password"}
    return PasswordPage(
        frame=frame.at(Place.SETTINGS),
        asks="first" if who.person.password is None else "change",
        least=PASSWORD_LEAST,
        next=next_path,
        waiting=waiting,
        faults={fields[problem.field]: problem.sentence for problem in problems},
        problems=tuple(Problem(field=fields[each.field], sentence=each.sentence) for each in problems),
    )
