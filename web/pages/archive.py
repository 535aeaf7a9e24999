"""Everything out: the whole collection as one archive, written while one does something else, and fetched when ready."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from fastapi import APIRouter, Request, Response
from fastapi.responses import StreamingResponse

from ledger.actor import Actor
from ledger.errors import ConflictError, InvalidError, NotFoundError, Problem
from ledger.exports import Export
from ledger.makings import KEPT_FOR, State
from ledger.ports import Ledger
from ledger.usecases.exports import EXPORTS, begin_export, export_pieces
from ledger.usecases.sign_in import PASSWORD_LEAST
from ledger.usecases.tables_out import Sheet, SheetForm, sheet_pieces
from web.deps import ActorDep, ConfirmedActorDep, FrameDep, LedgerDep, PostedDep
from web.frame import Frame, Place, Told
from web.pages.upkeep import PATH as UPKEEP
from web.posted import Posted
from web.render import PART, Page, page, render, render_part
from web.told import go_to
from web.wording import t

__all__ = ["NEW", "PATH", "ArchivePage", "NewArchivePage", "router"]

router = APIRouter()

PATH: Final = f"{UPKEEP}/archive"
NEW: Final = f"{PATH}/new"
FIRST, AGAIN = "secret", "secret_again"
"""Fields of the passphrase; nothing of that name is ever held for a form that waits."""
_KINDS: Final = {
    SheetForm.CSV.value: "text/csv; charset=utf-8",
    SheetForm.XLSX.value: "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
}


@page("archive.html")
@dataclass(frozen=True, kw_only=True)
class ArchivePage(Page):
    """The archives that lie here, and how far the one is that is being written."""

    running: Export | None
    exports: Sequence[Export]
    """Those that ended, the newest first."""
    hours: int
    """How long one lies here."""
    tables: tuple[str, ...]


@page("archive_new.html")
@dataclass(frozen=True, kw_only=True)
class NewArchivePage(Page):
    """What goes along, and whether the key does."""

    at_hand: bool
    """The key could go along."""
    keys: bool
    least: int
    problems: tuple[Problem, ...]
    faults: dict[str, str]


@router.get(PATH)
def look(request: Request, frame: FrameDep, ledger: LedgerDep, actor: ActorDep) -> Response:
    """Those that are here, or how far one is."""
    exports = EXPORTS.all(ledger, actor)
    running = next((each for each in exports if each.state is State.UNDER_WAY), None)
    shown = ArchivePage(
        frame=frame.at(Place.CHECK),
        running=running,
        exports=[each for each in exports if each is not running],
        hours=int(KEPT_FOR.total_seconds()) // 3600,
        tables=tuple(Sheet),
    )
    return render_part(shown, "progress") if PART in request.headers else render(shown)


@router.get(NEW)
def new(frame: FrameDep, ledger: LedgerDep, actor: ConfirmedActorDep) -> Response:
    """The form; the password was given just now."""
    return render(_new(frame, ledger, actor, Posted()))


@router.post(NEW)
def begin(
    request: Request, frame: FrameDep, ledger: LedgerDep, actor: ConfirmedActorDep, posted: PostedDep
) -> Response:
    """It is written from now on; the page says how far it is."""
    try:
        begin_export(ledger, actor, passphrase=_passphrase(posted))
    except InvalidError as error:
        return render(_new(frame, ledger, actor, posted, error.problems), status=422)
    except ConflictError as error:
        return go_to(request, PATH, Told(sentence=str(error)))
    return go_to(request, PATH)


@router.get(PATH + "/{export}.zip")
def fetch(export: str, ledger: LedgerDep, actor: ConfirmedActorDep) -> Response:
    """The archive, a piece at a time; the password was given just now."""
    name = f"slipsheet-{ledger.clock.now():%Y-%m-%d}.zip"
    headers = {"Content-Disposition": f'attachment; filename="{name}"', "Cache-Control": "no-store"}
    return StreamingResponse(export_pieces(ledger, actor, export), media_type="application/zip", headers=headers)


@router.post(PATH + "/{export}/off")
def take_away(export: str, request: Request, ledger: LedgerDep, actor: ActorDep) -> Response:
    """It lies here no longer."""
    EXPORTS.take_away(ledger, actor, export)
    return go_to(request, PATH, Told(sentence=t("archive.gone")))


@router.get(PATH + "/tables/{sheet}.{form}")
def table(sheet: str, form: str, ledger: LedgerDep, actor: ActorDep) -> Response:
    """Books, events or costs for a spreadsheet."""
    if sheet not in set(Sheet) or form not in _KINDS:
        raise NotFoundError(what="table", name=f"{sheet}.{form}")
    pieces = sheet_pieces(ledger, actor, Sheet(sheet), SheetForm(form))
    headers = {"Content-Disposition": f'attachment; filename="slipsheet-{sheet}.{form}"'}
    return StreamingResponse(pieces, media_type=_KINDS[form], headers=headers)


def _passphrase(posted: Posted) -> str | None:
    """What was typed twice alike; None where the key stays here.

    Raises: InvalidError.
    """
    if posted.get("keys") != "yes":
        return None
    first = posted.get(FIRST)
    if first != posted.get(AGAIN):
        raise InvalidError(problems=(Problem(field=AGAIN, sentence=t("archive.new.differs")),))
    return first


def _new(
    frame: Frame, ledger: Ledger, actor: Actor, sent: Posted, problems: tuple[Problem, ...] = ()
) -> NewArchivePage:
    EXPORTS.all(ledger, actor)
    named = tuple(
        Problem(field=FIRST if each.field == "passphrase" else each.field, sentence=each.sentence) for each in problems
    )
    return NewArchivePage(
        frame=frame.at(Place.CHECK),
        at_hand=ledger.signer.at_hand,
        keys=sent.get("keys") == "yes",
        least=PASSWORD_LEAST,
        problems=named,
        faults={each.field: each.sentence for each in named},
    )
