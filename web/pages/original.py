"""The original of a photograph: what it tells beside its picture, and the file for its owner who has read that."""

from collections.abc import Iterator
from dataclasses import dataclass

from fastapi import APIRouter, Response

from ledger.ports import Told
from ledger.usecases.original import Original, original_of, take_original
from web.deps import ActorDep, ConfirmedActorDep, FrameDep, LedgerDep, PostedDep
from web.frame import Frame, Place
from web.render import Page, page, render
from web.wording import t

router = APIRouter()


@page("entry_original.html")
@dataclass(frozen=True, kw_only=True)
class OriginalPage(Page):
    """What an original tells, by name and value in words."""

    seq: int
    digest: str
    lines: tuple[tuple[str, str], ...]
    unread: bool
    fault: str


@router.get("/ledger/{seq}/original")
def show(seq: int, frame: FrameDep, ledger: LedgerDep, actor: ActorDep) -> Response:
    """What it tells."""
    return _shown(frame, seq, original_of(ledger, actor, seq))


@router.post("/ledger/{seq}/original")
def take(seq: int, frame: FrameDep, ledger: LedgerDep, actor: ConfirmedActorDep, posted: PostedDep) -> Response:
    """The file, byte for byte, to somebody who has read the list and gave the password only just now."""
    found = original_of(ledger, actor, seq)
    if not posted.get("read"):
        return _shown(frame, seq, found, fault=t("entry.original.needed"))
    headers = {
        "Content-Disposition": f'attachment; filename="original-{seq}"',
        "X-Content-Type-Options": "nosniff",
        "Cache-Control": "no-store",
    }
    data = take_original(ledger, actor, found)
    return Response(data, media_type="application/octet-stream", headers=headers)


def _shown(frame: Frame, seq: int, found: Original, fault: str = "") -> Response:
    shown = OriginalPage(
        frame=frame.at(Place.LEDGER),
        seq=seq,
        digest=found.sha256,
        lines=tuple(_lines(found.told)),
        unread=("unread", "") in found.told,
        fault=fault,
    )
    return render(shown, status=422 if fault else 200)


def _lines(told: Told) -> Iterator[tuple[str, str]]:
    known = t.texts
    for name, value in told:
        if f"entry.original.names.{name}" in known:
            yield name, _value(name, value)


def _value(name: str, value: str) -> str:
    if value != "+":
        return value
    return t("entry.original.inside") if name == "thumbnail" else t("entry.original.there")
