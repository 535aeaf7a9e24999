"""The calendar of the bench: its secret address is made, renewed and ended here, and answers a calendar program."""

from dataclasses import dataclass
from hashlib import sha256
from typing import Final

from fastapi import APIRouter, Request, Response

from ledger.actor import Actor
from ledger.bench import Feed
from ledger.errors import NotFoundError
from ledger.ports import Ledger
from ledger.usecases.doorbook import Came, note
from ledger.usecases.feed import calendar_at, end_feed, feed_of, make_feed
from web.deps import ActorDep, ConfirmedActorDep, FrameDep, LedgerDep, PostedDep, TriesDep, WaitingDep
from web.frame import Frame, Place, Told
from web.render import Page, page, render
from web.told import go_to
from web.wording import t

router = APIRouter()
open_router = APIRouter()

PATH: Final = "/settings/calendar"
AT: Final = "/calendar"
KIND: Final = "text/calendar; charset=utf-8"
NOT_CHANGED: Final = 304


@page("settings/feed.html")
@dataclass(frozen=True, kw_only=True)
class FeedPage(Page):
    """Whether an address is in force, and the form for a new one."""

    feed: Feed | None
    address: str
    """Shown this once; empty on every other page."""
    titles: str
    waiting: str


@router.get(PATH)
def look(frame: FrameDep, ledger: LedgerDep, actor: ActorDep, waiting: WaitingDep) -> Response:
    """What is in force."""
    sent = waiting if waiting and waiting.action == PATH else None
    return render(
        _page(frame, ledger, actor, titles=sent.get("titles") if sent else "", waiting=sent.waiting if sent else "")
    )


@router.post(PATH)
def make(request: Request, frame: FrameDep, ledger: LedgerDep, actor: ConfirmedActorDep, posted: PostedDep) -> Response:
    """A new address. The answer is the page itself: what is shown once has no address to come back to."""
    secret = make_feed(ledger, actor, titles=posted.get("titles") == "in")
    address = f"{str(request.base_url).rstrip('/')}{AT}/{secret}.ics"
    return render(_page(frame, ledger, actor, titles=posted.get("titles"), address=address), status=201)


@router.post(f"{PATH}/end")
def end(request: Request, ledger: LedgerDep, actor: ConfirmedActorDep) -> Response:
    """No address is in force from now on."""
    end_feed(ledger, actor)
    return go_to(request, PATH, Told(sentence=t("feed.ended_now")))


@open_router.get(f"{AT}/{{secret}}.ics")
def calendar(request: Request, ledger: LedgerDep, tries: TriesDep, secret: str) -> Response:
    """The calendar, for whoever has its address; a wrong one is counted and learns nothing."""
    try:
        data = calendar_at(ledger, secret)
    except NotFoundError:
        note(Came.CALENDAR_REFUSED, address=tries.address)
        tries.miss()
        raise
    tag = f'"{sha256(data).hexdigest()[:32]}"'
    headers = {"Cache-Control": "private, no-cache", "ETag": tag, "Content-Disposition": 'inline; filename="bench.ics"'}
    if request.headers.get("if-none-match") == tag:
        return Response(status_code=NOT_CHANGED, headers=headers)
    return Response(data, media_type=KIND, headers=headers)


def _page(  # noqa: PLR0913 - what a page that came back stands on
    frame: Frame, ledger: Ledger, actor: Actor, *, titles: str, waiting: str = "", address: str = ""
) -> FeedPage:
    feed = feed_of(ledger, actor)
    return FeedPage(
        frame=frame.at(Place.SETTINGS),
        feed=feed,
        address=address,
        titles=titles or ("in" if feed and feed.titles else "out"),
        waiting=waiting,
    )
