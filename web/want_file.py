"""The list of wants as one file that opens on a phone without a network: nothing in it runs, and nothing is fetched."""

from base64 import b64encode
from datetime import datetime
from functools import cache
from hashlib import sha256
from html import escape
from pathlib import Path
from typing import Final

from ledger.runs import Run
from ledger.usecases.wants import WantList
from web.run_lines import WantLine, missing_of, saved, want_line
from web.wording import t

__all__ = ["want_file"]

_STYLE: Final = Path(__file__).parent / "sheets" / "wants.css"


def want_file(found: WantList, now: datetime) -> bytes:
    """The file, whole.

    Keeps: its own policy lets it fetch nothing, send nothing and run nothing, wherever it is opened.
    """
    copies = _section(t("wants.copies"), [_want(want_line(each)) for each in found.open])
    numbers = _section(t("wants.numbers"), [_run(each) for each in found.runs])
    body = copies + numbers or f"<p>{escape(t('wants.nothing_open'))}</p>\n"
    lede = f"<h1>{escape(t('wants.list'))}</h1>\n<p>{escape(saved(now))} {escape(t('wants.as_then'))}</p>\n"
    return f"{_head()}{lede}{body}</main>\n</body>\n</html>\n".encode()


def _head() -> str:
    style = _style()
    digest = b64encode(sha256(style.encode()).digest()).decode()
    policy = f"default-src 'none'; style-src 'sha256-{digest}'; base-uri 'none'; form-action 'none'"
    return (
        f'<!DOCTYPE html>\n<html lang="{escape(t.lang)}">\n<head>\n<meta charset="utf-8">\n'
        f'<meta http-equiv="Content-Security-Policy" content="{policy}">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        '<meta name="referrer" content="no-referrer">\n<meta name="robots" content="noindex">\n'
        f"<title>{escape(t('wants.list'))}</title>\n<style>{style}</style>\n</head>\n<body>\n<main>\n"
    )


@cache
def _style() -> str:
    return _STYLE.read_text("utf-8")


def _section(title: str, lines: list[str]) -> str:
    return f"<section>\n<h2>{escape(title)}</h2>\n<ul>\n{''.join(lines)}</ul>\n</section>\n" if lines else ""


def _line(name: str, more: list[str]) -> str:
    small = "".join(f"<small>{escape(each)}</small>" for each in more if each)
    return f'<li><label><input type="checkbox"> <span>{escape(name)}</span></label>{small}</li>\n'


def _want(line: WantLine) -> str:
    name = " ".join(part for part in (line.title, line.number, f"({line.year})" if line.year else "") if part)
    limits = t("wants.limits", least=line.least, most=line.most)
    return _line(name, [limits, line.note, t("wants.has", grade=line.has.words) if line.has is not None else ""])


def _run(run: Run) -> str:
    year = f" ({run.start_year})" if run.start_year is not None else ""
    return _line(f"{run.title}{year}", [missing_of(run)])
