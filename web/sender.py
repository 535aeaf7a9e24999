"""Who asks for a page, by which address, and what stands around it: what most pages that write are given, in one."""

from dataclasses import dataclass
from typing import Annotated

from fastapi import Depends, Request

from ledger.accounts import Preferences
from ledger.actor import Actor
from ledger.ports import Ledger
from web.deps import ActorDep, FrameDep, LedgerDep, PreferencesDep
from web.form_values import Habits
from web.forms import habits_of
from web.frame import Frame

__all__ = ["Sender", "SenderDep"]


@dataclass(frozen=True)
class Sender:
    """Somebody who is signed in, with the request they made."""

    request: Request
    frame: Frame
    ledger: Ledger
    actor: Actor
    preferences: Preferences

    @property
    def habits(self) -> Habits:
        """By what their amounts and dates are read today."""
        return habits_of(self.preferences, self.ledger.clock)


async def sender_of(
    request: Request, frame: FrameDep, ledger: LedgerDep, actor: ActorDep, preferences: PreferencesDep
) -> Sender:
    """The one who asks; somebody who is not signed in is refused."""
    return Sender(request, frame, ledger, actor, preferences)


SenderDep = Annotated[Sender, Depends(sender_of)]
