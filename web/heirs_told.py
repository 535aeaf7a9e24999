"""What is left for those who come after: what this is, where things lie, how it is checked, how a book is handed on."""

from typing import Final

from ledger.usecases.heirs import ForHeirs
from web.filters import moment, tally
from web.report_parts import Facts, Lines, Section, Words
from web.wording import t

__all__ = ["heirs_told"]

_WHAT: Final = ("account", "hurry", "leave")
_LINES: Final = (
    "books",
    "computer",
    "folder",
    "key",
    "password",
    "backups",
    "anchor",
    "insurance",
    "person",
    "adviser",
    "date",
)
_CHECK: Final = ("help", "copy", "verify", "serve", "lost", "gone", "count")
_SELL: Final = ("record", "tell", "never", "offers", "write", "whole", "key")
_ADVICE: Final = ("tax", "worth", "repair")


def heirs_told(of: ForHeirs) -> tuple[Section, ...]:
    """All sections, for the page and for the paper."""
    return (
        Section("what", t("heirs.what.title"), (Words((_counted(of), *_each("what", _WHAT))), Facts(_facts(of)))),
        Section(
            "where",
            t("heirs.where.title"),
            (Words((t("heirs.where.why"),)), Lines(tuple(t(f"heirs.where.line.{name}") for name in _LINES))),
        ),
        Section("check", t("heirs.check.title"), (Words(_each("check", _CHECK), listed=True),)),
        Section("sell", t("heirs.sell.title"), (Words(_each("sell", _SELL), listed=True),)),
        Section("advice", t("heirs.advice.title"), (Words(_each("advice", _ADVICE)),)),
    )


def _each(part: str, names: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(t(f"heirs.{part}.{name}") for name in names)


def _counted(of: ForHeirs) -> str:
    return t.n("heirs.what.books", of.held)


def _facts(of: ForHeirs) -> tuple[tuple[str, str], ...]:
    return (
        (t("heirs.fact.held"), t("heirs.fact.held_is", held=tally(of.held), away=tally(of.away))),
        (t("heirs.fact.left"), tally(of.left)),
        (t("heirs.fact.entries"), t("heirs.fact.entries_are", entries=tally(of.entries), began=moment(of.began))),
        (t("heirs.fact.signed"), moment(of.signed)),
        (t("heirs.fact.collection"), of.collection),
        (t("heirs.fact.vkey"), of.vkey),
    )
