"""Seen by others: time stamps and cosignatures of checkpoints; what to send out for one, and what came back."""

from dataclasses import dataclass
from typing import Annotated, Final

from fastapi import APIRouter, Query, Request, Response

from ledger.actor import Actor
from ledger.errors import InvalidError, Problem
from ledger.handing import StampKind
from ledger.ports import Ledger, StoredCheckpoint
from ledger.usecases.checkpoint import last_checkpoint
from ledger.usecases.stamps import Told as Seen
from ledger.usecases.stamps import cosignature_wanted, kept_stamps, stamp_wanted, take
from web.deps import ActorDep, FrameDep, LedgerDep, PostedDep, WaitingDep
from web.frame import Frame, Place, Told
from web.posted import Posted
from web.render import Page, page, render
from web.told import go_to
from web.wording import t

router = APIRouter()

PATH: Final = "/check/stamps"
QUERY: Final = "application/timestamp-query"
"""Source: RFC 3161 section 3.4."""
DIGITS_MOST: Final = 15


@page("stamps.html")
@dataclass(frozen=True, kw_only=True)
class StampsPage(Page):
    """What others said of checkpoints, and the ways to have it said."""

    checkpoint: StoredCheckpoint | None
    seen: tuple[Seen, ...]
    """The newest checkpoint first."""
    waiting_for_authority: bool
    """A time stamp is among them, and on a page none is held against an authority."""
    since: int
    """How many entries a person who cosigned saw last."""
    sent: Posted
    faults: dict[str, str]
    problems: tuple[Problem, ...]


@router.get(PATH)
def look(frame: FrameDep, ledger: LedgerDep, actor: ActorDep, waiting: WaitingDep) -> Response:
    """All that was taken in."""
    sent = waiting if waiting and waiting.action == PATH else Posted()
    return render(_page(frame, ledger, actor, sent))


@router.get(PATH + "/request")
def request_stamp(ledger: LedgerDep, actor: ActorDep) -> Response:
    """What an authority is sent, as a file.

    Raises: ConflictError.
    """
    wanted = stamp_wanted(ledger, actor)
    return _file(wanted.data, QUERY, f"checkpoint-{wanted.size}.tsq")


@router.get(PATH + "/to-cosign")
def request_cosignature(ledger: LedgerDep, actor: ActorDep, since: Annotated[str, Query()] = "0") -> Response:
    """What a person who cosigns is sent, as a file.

    Raises: ConflictError, InvalidError.
    """
    text = since.strip() or "0"
    if not (text.isascii() and text.isdecimal() and len(text) <= DIGITS_MOST):
        raise InvalidError(problems=(Problem(field="since", sentence=t("stamps.cosign.no_number")),))
    wanted = cosignature_wanted(ledger, actor, int(text))
    return _file(wanted.data, "text/plain; charset=utf-8", f"checkpoint-{wanted.size}-to-cosign.txt")


@router.post(PATH)
def take_in(request: Request, frame: FrameDep, ledger: LedgerDep, actor: ActorDep, posted: PostedDep) -> Response:
    """What came back is kept, or refused with the reason."""
    asked = posted.files("request")
    try:
        taken = take(ledger, actor, _sent(posted), request=asked[0].data if asked else None, key=posted.get("key"))
    except InvalidError as error:
        return render(_page(frame, ledger, actor, posted, error.problems), status=422)
    sizes = {each.stamp.size for each in taken.stamps}
    sentence = t.n("stamps.take.done", len(taken.stamps))
    if max(sizes) < taken.newest:
        sentence += " " + t.n("stamps.take.older", max(sizes), newest=taken.newest)
    return go_to(request, PATH, Told(sentence=sentence))


def _sent(posted: Posted) -> bytes:
    """The file that came back.

    Raises: InvalidError.
    """
    files = posted.files("stamp")
    if not files:
        raise InvalidError(problems=(Problem(field="stamp", sentence=t("stamps.take.none")),))
    return files[0].data


def _page(frame: Frame, ledger: Ledger, actor: Actor, sent: Posted, problems: tuple[Problem, ...] = ()) -> StampsPage:
    seen = kept_stamps(ledger, actor)
    cosigned = [each.stamp.size for each in seen if each.stamp.kind is StampKind.COSIGNATURE and not each.fault]
    return StampsPage(
        frame=frame.at(Place.CHECK),
        checkpoint=last_checkpoint(ledger, actor),
        seen=tuple(reversed(seen)),
        waiting_for_authority=any(each.stamp.kind is StampKind.TIME_STAMP for each in seen),
        since=max(cosigned, default=0),
        sent=sent,
        faults={each.field: each.sentence for each in problems},
        problems=problems,
    )


def _file(data: bytes, media: str, name: str) -> Response:
    return Response(data, media_type=media, headers={"Content-Disposition": f'attachment; filename="{name}"'})
