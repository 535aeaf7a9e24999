"""What a record proves, what is only claimed and by whom, and what nobody can check: one short list at the end."""

from collections.abc import Iterator

from ledger.events.earlier import Earlier
from ledger.events.intervention import Intervention
from ledger.proof.sheet import Section, Words
from ledger.rules._tables import table
from ledger.rules.headings import HEADINGS_VERSION
from ledger.saying.told import Told
from ledger.saying.wording import t

__all__ = ["proven"]

TABLES = ("techniques", "defects", "grades")
"""The tables whose words and headings stand in a record."""


def proven(of: Told) -> Section:
    """The three lists, and the versions of the tables that the words depend on."""
    blocks = (
        Words((t("proven.is_proven"),)),
        Words(tuple(_proven(of)), listed=True),
        Words((t("proven.is_claimed"),)),
        Words(tuple(_claimed(of)), listed=True),
        Words((t("proven.is_open"),)),
        Words(tuple(_open(of)), listed=True),
        Words((_versions(),)),
    )
    return Section("proven", t("proven.title"), blocks)


def _proven(of: Told) -> Iterator[str]:
    yield t("proven.entries")
    yield t("proven.all")
    yield t("proven.words")
    if of.pictures:
        yield t("proven.pictures")
    if of.stamped:
        yield t("proven.stamped")


def _claimed(of: Told) -> Iterator[str]:
    yield t("proven.owner")
    if of.book.grades:
        yield t.n("proven.graders", len(of.book.grades))
    others = sum(event.by_other_hands for _, event in of.of(Intervention))
    if others:
        yield t.n("proven.others", others)
    yield t("proven.seller")
    if of.earlier or of.of(Earlier):
        yield t("proven.earlier_owners")


def _open(of: Told) -> Iterator[str]:
    yield t("proven.same_copy")
    yield t("proven.unwritten")
    yield t("proven.before")
    yield t("proven.closed")
    yield t("proven.after_stamp" if of.stamped else "proven.no_anchor")


def _versions() -> str:
    named = ", ".join(t("proven.table", name=name, version=table(name).version) for name in TABLES)
    return t("proven.versions", tables=named, headings=HEADINGS_VERSION)
