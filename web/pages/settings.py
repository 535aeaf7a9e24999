"""Settings: the palette, the home currency, how dates and amounts are read; and the ways to password, tokens and key."""

from collections.abc import Mapping
from dataclasses import dataclass

from fastapi import APIRouter, Request, Response

from ledger.accounts import DATE_ORDERS, MARKS, Preferences
from ledger.accounts import Theme as Palette
from ledger.errors import InvalidError, Problem
from ledger.rules.currencies import currencies
from ledger.usecases.preferences import choose, preferences_from
from web.deps import AccountsDep, FrameDep, PostedDep, SignedInDep, WaitingDep
from web.frame import Frame, Place, Told
from web.posted import Posted
from web.render import Page, page, render
from web.told import go_to
from web.wording import t

router = APIRouter()

FIELDS = ("theme", "currency", "date_order", "marks")
Options = tuple[tuple[str, str], ...]


@page("settings/settings.html")
@dataclass(frozen=True, kw_only=True)
class SettingsPage(Page):
    """What a person chose, and where the rest is."""

    values: Mapping[str, str]
    faults: Mapping[str, str]
    problems: tuple[Problem, ...]
    waiting: str
    themes: Options
    date_orders: Options
    marks: Options
    currencies: tuple[str, ...]
    has_password: bool


@router.get("/settings")
def settings(frame: FrameDep, who: SignedInDep, waiting: WaitingDep) -> Response:
    """The choices as they are now."""
    sent = waiting if waiting and waiting.action == "/settings" else None
    values = {name: sent.get(name) for name in FIELDS} if sent else _values(who.person.preferences)
    return render(_page(frame, values, has_password=who.person.password is not None, waiting=sent))


@router.post("/settings")
def keep(request: Request, frame: FrameDep, accounts: AccountsDep, who: SignedInDep, posted: PostedDep) -> Response:
    """Every page keeps to these choices from now on."""
    values = {name: posted.get(name) for name in FIELDS}
    try:
        choose(accounts, who, preferences_from(values))
    except InvalidError as error:
        has_password = who.person.password is not None
        return render(_page(frame, values, has_password=has_password, problems=error.problems), status=422)
    return go_to(request, "/settings", Told(sentence=t("settings.kept")))


def _values(chosen: Preferences) -> dict[str, str]:
    return {
        "theme": chosen.theme.value,
        "currency": chosen.currency or "",
        "date_order": chosen.date_order or "",
        "marks": chosen.marks or "",
    }


def _page(
    frame: Frame,
    values: Mapping[str, str],
    *,
    has_password: bool,
    waiting: Posted | None = None,
    problems: tuple[Problem, ...] = (),
) -> SettingsPage:
    return SettingsPage(
        frame=frame.at(Place.SETTINGS),
        values=values,
        faults={problem.field: problem.sentence for problem in problems},
        problems=problems,
        waiting=waiting.waiting if waiting else "",
        themes=tuple((each.value, t(f"settings.themes.{each.value}")) for each in Palette),
        date_orders=(("", t("settings.ask")), *((each, t(f"settings.orders.{each}")) for each in DATE_ORDERS)),
        marks=(("", t("settings.ask")), *((each, each) for each in MARKS)),
        currencies=tuple(code for code, each in currencies().items() if each.withdrawn is None),
        has_password=has_password,
    )
