"""Check: the whole ledger read again while one does something else, and a checkpoint to keep outside the house."""

from dataclasses import dataclass
from typing import Final

from fastapi import APIRouter, Request, Response
from fastapi.responses import PlainTextResponse

from ledger.actor import Actor, Permission
from ledger.errors import InvalidError, LedgerError, NotFoundError, Problem
from ledger.ports import Ledger, StoredCheckpoint
from ledger.proof.checkpoint import Checkpoint
from ledger.usecases.anchored import kept_anchor
from ledger.usecases.checkpoint import last_checkpoint, sign_checkpoint
from ledger.usecases.stamps import given_note, kept_stamps
from ledger.usecases.verify import verify_ledger
from web.checking import NOTE_MOST, Verification, read_anchor
from web.deps import ActorDep, FrameDep, LedgerDep, LongWorkDep, PostedDep, WaitingDep, note_check
from web.frame import Checked, Frame, Place, Told
from web.long_work import Ended, LongWork, Progress, Running
from web.posted import Posted
from web.render import PART, Page, page, render, render_part
from web.told import go_to
from web.wording import t

router = APIRouter()

PATH: Final = "/check"
SIGN: Final = "/check/checkpoint"
WORK: Final = "check"


@page("check.html")
@dataclass(frozen=True, kw_only=True)
class CheckPage(Page):
    """How the ledger was when it was last read again, and what to hold it against the next time."""

    running: Running | None
    ended: Ended | None
    verified: Verification | None
    """Null where none has ended, or it failed."""
    failure: str
    """Why the last one did not come to its end."""
    later: int
    """Entries written since the last one."""
    checkpoint: StoredCheckpoint | None
    note: str
    """The checkpoint's text with the cosignatures that were taken in."""
    seen: int
    """How many stamps of it hold."""
    uncovered: int
    """Entries that the last checkpoint does not cover."""
    vkey: str
    sent: Posted
    fault: str
    """What is wrong with the checkpoint that was sent."""


@router.get(PATH)
def look(  # noqa: PLR0913  (one for each thing the page stands on)
    request: Request, frame: FrameDep, ledger: LedgerDep, actor: ActorDep, works: LongWorkDep, waiting: WaitingDep
) -> Response:
    """The last result, or how far the check is."""
    sent = waiting if waiting and waiting.action == PATH else Posted()
    shown = _page(frame, ledger, actor, works, sent)
    return render_part(shown, "progress") if PART in request.headers else render(shown)


@router.post(PATH)
def begin(  # noqa: PLR0913
    request: Request, frame: FrameDep, ledger: LedgerDep, actor: ActorDep, works: LongWorkDep, posted: PostedDep
) -> Response:
    """The check goes on by itself; the page says how far it is."""
    actor.require(Permission.READ)
    try:
        note, anchor = _anchor(posted, ledger.collection)
    except InvalidError as error:
        return render(_page(frame, ledger, actor, works, posted, str(error)), status=422)
    app = request.app

    def verify(progress: Progress) -> Verification:
        beside = kept_anchor(ledger) if note is None else None
        report = verify_ledger(ledger, actor, anchor=note or beside, progress=progress)
        note_check(app, Checked(at=ledger.clock.now(), findings=len(report.findings)))
        return Verification(report=report, anchor=anchor, beside=beside is not None)

    if not works.start(WORK, verify):
        return go_to(request, PATH, Told(sentence=t("check.busy")))
    return go_to(request, PATH)


@router.get(SIGN)
def take(ledger: LedgerDep, actor: ActorDep) -> Response:
    """The last checkpoint as a file to keep elsewhere.

    Raises: NotFoundError.
    """
    last = last_checkpoint(ledger, actor)
    if last is None:
        raise NotFoundError(what="checkpoint", name=t("check.checkpoint.any"))
    name = f"checkpoint-{last.size}.txt"
    return PlainTextResponse(
        given_note(ledger, last.note), headers={"Content-Disposition": f'attachment; filename="{name}"'}
    )


@router.post(SIGN)
def sign(request: Request, ledger: LedgerDep, actor: ActorDep) -> Response:
    """A checkpoint over everything written so far."""
    before = last_checkpoint(ledger, actor)
    signed = sign_checkpoint(ledger, actor)
    stands = signed == before
    told = t.n("check.checkpoint.stands" if stands else "check.checkpoint.signed_now", signed.size)
    return go_to(request, f"{PATH}#checkpoint", Told(sentence=told))


def _anchor(posted: Posted, collection: str) -> tuple[str | None, Checkpoint | None]:
    """The checkpoint that was pasted or sent as a file, and what it says; nothing where there is none."""
    files = posted.files("file")
    pasted = posted.get("anchor")
    if files and pasted:
        raise InvalidError(problems=(Problem(field="anchor", sentence=t("check.anchor.both")),))
    if files:
        pasted = files[0].data[: NOTE_MOST + 1].decode("utf-8", "replace")
    return read_anchor(pasted, collection) if pasted.strip() else (None, None)


def _page(  # noqa: PLR0913
    frame: Frame,
    ledger: Ledger,
    actor: Actor,
    works: LongWork,
    sent: Posted,
    fault: str = "",
) -> CheckPage:
    running, ended = works.running, works.last(WORK)
    verified = ended.result if ended and isinstance(ended.result, Verification) else None
    checkpoint = last_checkpoint(ledger, actor)
    stamps = kept_stamps(ledger, actor)
    entries = frame.entries or 0
    return CheckPage(
        frame=frame.at(Place.CHECK),
        running=running if running and running.name == WORK else None,
        ended=ended,
        verified=verified,
        failure=_failure(ended),
        later=max(0, entries - verified.entries) if verified else 0,
        checkpoint=checkpoint,
        note=given_note(ledger, checkpoint.note) if checkpoint else "",
        seen=sum(checkpoint is not None and each.stamp.size == checkpoint.size and not each.fault for each in stamps),
        uncovered=max(0, entries - checkpoint.size) if checkpoint else entries,
        vkey=ledger.signer.verifier.vkey,
        sent=sent,
        fault=fault,
    )


def _failure(ended: Ended | None) -> str:
    if ended is None or ended.failure is None:
        return ""
    return str(ended.failure) if isinstance(ended.failure, LedgerError) else t("check.failed_inside")
