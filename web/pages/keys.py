"""Every key that does something, on one page; single keys can be turned off there."""

from dataclasses import dataclass

from fastapi import APIRouter
from fastapi.responses import HTMLResponse

from web.deps import FrameDep
from web.render import Page, page, render
from web.wording import t

router = APIRouter()


@dataclass(frozen=True, kw_only=True)
class Key:
    """One key, or some that do the same, and what it does."""

    caps: tuple[str, ...]
    does: str


@dataclass(frozen=True, kw_only=True)
class Keys:
    """Keys that work in the same places."""

    where: str
    keys: tuple[Key, ...]


@page("keys.html")
@dataclass(frozen=True, kw_only=True)
class KeysPage(Page):
    """The keyboard, place by place."""

    groups: tuple[Keys, ...]


@router.get("/keys")
def keys(frame: FrameDep) -> HTMLResponse:
    """The keyboard map."""
    return render(KeysPage(frame=frame, groups=groups()))


def groups() -> tuple[Keys, ...]:
    """Where a key works and what it does there."""
    return (
        Keys(
            where=t("keys.everywhere"),
            keys=(
                Key(caps=("/",), does=t("keys.search")),
                Key(caps=("n",), does=t("keys.new")),
                Key(caps=("w",), does=t("keys.wall")),
                Key(caps=("c",), does=t("keys.collection")),
                Key(caps=("b",), does=t("keys.bench")),
                Key(caps=("?",), does=t("keys.all")),
            ),
        ),
        Keys(where=t("keys.on_wall"), keys=(Key(caps=("v",), does=t("keys.view")),)),
        Keys(
            where=t("keys.form"),
            keys=(
                Key(caps=("Tab",), does=t("keys.next_field")),
                Key(caps=("Enter",), does=t("keys.write")),
                Key(caps=("Esc",), does=t("keys.leave")),
            ),
        ),
    )
