"""Earlier owners of a book as its page names them: whose record it is, what checking it came to, how it begins."""

from dataclasses import dataclass

from ledger.actor import Actor
from ledger.ports import Ledger
from ledger.usecases.hand_on import earlier_records
from web.wording import t

__all__ = ["Owner", "owners_of"]


@dataclass(frozen=True, kw_only=True)
class Owner:
    """One earlier owner's record."""

    seq: int
    title: str
    verdict: str
    lead: str
    href: str
    """Where it is read; empty where it is not kept."""


def owners_of(ledger: Ledger, actor: Actor, book: str) -> tuple[Owner, ...]:
    """Every earlier owner's record that an entry in force speaks of."""
    if ledger.handing is None:
        return ()
    return tuple(
        Owner(
            seq=seq,
            title=file.sheet.title if file else event.record[:12],
            verdict=t(f"book.owners.verdict.{event.verdict.value}"),
            lead=file.sheet.lead if file else t("book.owners.unread"),
            href=f"/records/{event.record}" if file else "",
        )
        for seq, event, file in earlier_records(ledger, actor, book)
    )
