"""From a page to its HTML: one environment, made once; a template reads its page's fields, the words and the filters."""

import hashlib
import os
from collections.abc import Callable, Mapping
from dataclasses import dataclass, fields
from functools import cache
from pathlib import Path
from types import MappingProxyType
from typing import TypeVar

from fastapi.responses import HTMLResponse
from jinja2 import Environment, FileSystemBytecodeCache, FileSystemLoader, StrictUndefined

from web.filters import FILTERS
from web.frame import Frame
from web.wording import t

__all__ = [
    "PART",
    "STATIC",
    "TEMPLATES",
    "Page",
    "asset",
    "drawing",
    "environment",
    "page",
    "pages",
    "render",
    "render_part",
]

TEMPLATES = Path(__file__).parent / "templates"
STATIC = Path(__file__).parent / "static"
PART = "X-Slipsheet-Part"
"""Header by which a script asks for one block of a page instead of the whole."""


@dataclass(frozen=True, kw_only=True)
class Page:
    """All that a template may read; every page is a frozen dataclass below this one."""

    frame: Frame


P = TypeVar("P", bound=Page)

_templates: dict[type[Page], str] = {}


def page(template: str) -> Callable[[type[P]], type[P]]:
    """Binds a page class to its template."""

    def bound(kind: type[P]) -> type[P]:
        _templates[kind] = template
        return kind

    return bound


def pages() -> Mapping[type[Page], str]:
    """Every page class that was imported, with its template."""
    return MappingProxyType(_templates)


def render(of: Page, status: int = 200) -> HTMLResponse:
    """The whole page."""
    html = environment().get_template(_templates[type(of)]).render(_read(of))
    return HTMLResponse(html, status_code=status, headers={"Vary": PART})


def render_part(of: Page, block: str) -> HTMLResponse:
    """One block of a page, for a script that has the rest already; it never stands in a cache for the whole."""
    template = environment().get_template(_templates[type(of)])
    html = "".join(template.blocks[block](template.new_context(_read(of))))
    return HTMLResponse(html, headers={"Vary": PART, "Cache-Control": "no-store"})


def drawing(template: str, macro: str, *values: object) -> str:
    """What a macro makes of these values, as markup that stays markup wherever it is put."""
    made = getattr(environment().get_template(template).module, macro)(*values)
    assert isinstance(made, str)
    assert hasattr(made, "__html__")
    return made


@cache
def asset(name: str) -> str:
    """The address of a file in `static/`, which changes whenever the file does."""
    return f"/static/{name}?v={_digest(name)}"


@cache
def environment() -> Environment:
    """The one Jinja environment; a template is compiled when it is first asked for, and kept."""
    made = Environment(
        loader=FileSystemLoader(TEMPLATES),
        bytecode_cache=_kept_beside(),
        autoescape=True,
        undefined=StrictUndefined,
        auto_reload=False,
        cache_size=-1,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    made.filters.update(FILTERS)
    made.globals.update(t=t, asset=asset)
    for name, parts in (("m", "_macros.html"), ("f", "_fields.html")):
        made.globals[name] = made.get_template(parts).module
    return made


def _kept_beside() -> FileSystemBytecodeCache | None:
    """Compiled templates beside their sources, as the language keeps its own modules; none where nothing can be written.

    Keeps: each is found by the digest of its source, so a changed template is compiled anew.
    """
    folder = TEMPLATES / "__pycache__"
    try:
        folder.mkdir(exist_ok=True)
    except OSError:
        return None
    return FileSystemBytecodeCache(str(folder)) if os.access(folder, os.W_OK) else None


@cache
def _digest(name: str) -> str:
    return hashlib.sha256((STATIC / name).read_bytes()).hexdigest()[:12]


def _read(of: Page) -> dict[str, object]:
    """The fields as they are: a nested dataclass stays one."""
    return {each.name: getattr(of, each.name) for each in fields(of)}
