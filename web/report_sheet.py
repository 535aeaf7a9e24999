"""A report as a sheet of paper: its source, which is markup of ours alone, and its data, which is never read as markup."""

from collections.abc import Sequence
from functools import cache
from pathlib import Path

from ledger.proof.canonical import Plain
from web.report_parts import Section, plain
from web.wording import t

__all__ = ["data_of", "framed", "source"]

SHEETS = Path(__file__).parent / "sheets"


@cache
def source(name: str = "report") -> str:
    """The typst source of the report, or of another sheet."""
    return (SHEETS / f"{name}.typ").read_text("utf-8")


def framed(title: str, lede: str, running: str) -> dict[str, Plain]:
    """What every sheet has around what it says."""
    return {
        "lang": t.lang,
        "title": title,
        "lede": lede,
        "running": running,
        "page": t("report.page"),
        "page_of": t("report.page_of"),
        "letters": t("report.letters"),
    }


def data_of(*, title: str, lede: str, running: str, sections: Sequence[Section]) -> dict[str, Plain]:
    """All that the sheet says, as plain data."""
    return {**framed(title, lede, running), "sections": plain(sections)}
