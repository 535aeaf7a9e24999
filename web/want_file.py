"""The list of wants as one file that opens on a phone without a network: nothing in it runs, and nothing is fetched."""

from base64 import b64encode
from collections.abc import Sequence
from datetime import datetime
from functools import cache
from hashlib import sha256
from html import escape
from pathlib import Path
from typing import Final

from ledger.runs import Run, spelled
from ledger.usecases.wants import WantList
from web.run_lines import WantLine, saved, want_line
from web.wording import t

__all__ = ["want_file"]

OPEN_MOST: Final = 12
"""A run that misses so many shows them at once; of more, first in short which they are."""
_STYLE: Final = Path(__file__).parent / "sheets" / "wants.css"


def want_file(found: WantList, now: datetime) -> bytes:
    """The file, whole.

    Keeps: its own policy lets it fetch nothing, send nothing and run nothing, wherever it is opened.
    """
    copies = _section(t("wants.copies"), [_want(want_line(each)) for each in found.open])
    left = [(run, others) for run in found.runs if (others := found.others(run))]
    numbers = _section(t("wants.numbers"), [_run(run, others) for run, others in left])
    body = copies + numbers or f"<p>{escape(t('wants.nothing_open'))}</p>\n"
    lede = f"<h1>{escape(t('wants.list'))}</h1>\n<p>{escape(saved(now))} {escape(t('wants.as_then'))}</p>\n"
    lede += f"<p>{escape(t('wants.ticks'))}</p>\n" if copies + numbers else ""
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


def _tick(name: str) -> str:
    return f'<label><input type="checkbox"> <span>{escape(name)}</span></label>'


def _want(line: WantLine) -> str:
    name = " ".join(part for part in (line.title, line.number, f"({line.year})" if line.year else "") if part)
    limits = t("wants.limits", least=line.least, most=line.most)
    more = [limits, line.note, t("wants.has", grade=line.has.words) if line.has is not None else ""]
    return f"<li>{_tick(name)}{''.join(f'<small>{escape(each)}</small>' for each in more if each)}</li>\n"


def _run(run: Run, others: Sequence[str]) -> str:
    """A run, each of its numbers with a tick of its own; a long one opens when it is tapped."""
    year = f" ({run.start_year})" if run.start_year is not None else ""
    opened = " open" if len(others) <= OPEN_MOST else ""
    name = f"<summary><span>{escape(f'{run.title}{year}')}</span> <small>{escape(spelled(others))}</small></summary>"
    return f'<li><details{opened}>{name}<div class="numbers">{"".join(map(_tick, others))}</div></details></li>\n'
