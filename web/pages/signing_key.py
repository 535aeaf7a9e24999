"""The signing key: its verifier key for a reader, every key that ever signed, and its secret on paper for the owner."""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from fastapi import APIRouter, Response

from ledger.actor import Permission
from ledger.entry import Entry
from ledger.errors import LedgerError
from ledger.events.key import Action
from ledger.ports import Ledger
from ledger.usecases.rotate import KeyEnd, KeyOnRecord, keys_on_record
from ledger.when import When
from web.deps import ActorDep, ConfirmedActorDep, FrameDep, LedgerDep
from web.filters import when
from web.frame import Place
from web.render import Page, page, render
from web.wording import t

__all__ = ["AtHand", "KeyLine", "KeyPage", "PaperPage", "at_hand", "router"]

router = APIRouter()


class AtHand(StrEnum):
    """How the key file stands to the key in use."""

    FITS = "fits"
    LOST = "lost"
    OTHER = "other"


@dataclass(frozen=True, kw_only=True)
class KeyLine:
    """One key that signed, or signs now."""

    vkey: str
    since: str
    seq: int
    """The entry that brought it into use."""
    began: str
    until: str
    ended: str
    """What became of it; empty for the key in use, like the day until which it signed."""
    ended_by: int | None
    alone: bool
    """No hand-over joins it to the key before it."""


@page("settings/key.html")
@dataclass(frozen=True, kw_only=True)
class KeyPage(Page):
    """What a reader checks signatures with, now and for what was signed before."""

    vkey: str
    file_name: str
    at_hand: AtHand
    keys: Sequence[KeyLine]
    """The newest first; empty where the ledger cannot be read."""


@page("settings/paper.html")
@dataclass(frozen=True, kw_only=True)
class PaperPage(Page):
    """The secret itself, to be printed."""

    vkey: str
    file_name: str
    lines: tuple[str, ...]


@router.get("/settings/key")
def look(frame: FrameDep, ledger: LedgerDep, actor: ActorDep) -> Response:
    """The verifier key of the key in use, and those of the keys before it."""
    try:
        keys = keys_on_record(ledger, actor)
    except LedgerError:
        keys = ()
    shown = KeyPage(
        frame=frame.at(Place.SETTINGS),
        vkey=keys[-1].period.vkey if keys else ledger.signer.verifier.vkey,
        file_name=f"{ledger.collection}.key",
        at_hand=at_hand(ledger, keys),
        keys=[_line(each) for each in reversed(keys)],
    )
    return render(shown)


@router.get("/settings/key/paper")
def paper(frame: FrameDep, ledger: LedgerDep, actor: ConfirmedActorDep) -> Response:
    """The paper copy; the password was given just now."""
    actor.require(Permission.KEYS)
    lines = tuple(ledger.signer.paper().splitlines())
    shown = PaperPage(
        frame=frame.at(Place.SETTINGS),
        vkey=ledger.signer.verifier.vkey,
        file_name=f"{ledger.collection}.key",
        lines=lines,
    )
    return render(shown)


def at_hand(ledger: Ledger, keys: Sequence[KeyOnRecord]) -> AtHand:
    """Whether the key file holds the key in use; a ledger that names none is taken at its key file's word."""
    if not ledger.signer.at_hand:
        return AtHand.LOST
    named = keys[-1].period.vkey if keys else ledger.signer.verifier.vkey
    return AtHand.FITS if ledger.signer.verifier.vkey == named else AtHand.OTHER


def _line(key: KeyOnRecord) -> KeyLine:
    alone = key.event.action is Action.ROTATE and not key.period.signed_by_old
    return KeyLine(
        vkey=key.period.vkey,
        since=_day(key.entry),
        seq=key.entry.seq,
        began=t(f"settings.key.began.{'alone' if alone else key.event.action.value}"),
        until=_day(key.ended.entry) if key.ended else "",
        ended=_ended(key.ended, when(key.period.stolen_since)) if key.ended else "",
        ended_by=key.period.ended_by,
        alone=key.event.action is not Action.START and not key.period.signed_by_old,
    )


def _ended(ended: KeyEnd, since: str) -> str:
    alone = ended.how is Action.ROTATE and not ended.handed_over
    return t(f"settings.key.ended.{'alone' if alone else ended.how.value}", since=since)


def _day(entry: Entry) -> str:
    """The day it was written for, or else on which it was written."""
    return when(entry.event.on or When.of_day(entry.recorded.date()))
