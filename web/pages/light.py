"""The light of a book: what it had here, what its spot does in a year, what another would, and what it is taken for."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Final

from fastapi import APIRouter, Request, Response

from ledger.errors import InvalidError, MalformedError, Problem
from ledger.events._parts import Answer
from ledger.light_share import Prospect
from ledger.rules.light import LightClass
from ledger.usecases.light import BookLight, ClassSaid, House, read_light, set_light_class
from ledger.usecases.light_what_if import WhatIf, what_if
from ledger.when import When
from web.book_facts import issue_of
from web.deps import ActorDep, FrameDep, LedgerDep, PostedDep
from web.entering import faults_of
from web.frame import Frame, Place, Told
from web.light_drawing import LightDrawing, drawing_of
from web.light_words import class_words, figure, how_far, prospect_facts, so_far, standing_words
from web.pages.entry import damaged
from web.render import Page, page, render
from web.told import go_to
from web.wall_names import wall_name
from web.wording import t

router = APIRouter()
"""What a phone may look at."""
keeping = APIRouter()
"""What changes a class."""

PATH: Final = "/books/{book}/light"
ASKED: Final = ("room", "x_cm", "y_cm", "lux", "hours_per_day", "dim_to_percent", "uv_filter")
"""Fields of the form that asks what if."""
_APART: Final = "/"
"""Between a room and its wall, in the one field that has both; no id has it."""
_NO_NUMBER: Final = -1

Facts = tuple[tuple[str, str], ...]


@dataclass(frozen=True, kw_only=True)
class Point:
    """What it had had by a day, in words."""

    by: str
    low: str
    middle: str
    high: str


@page("light.html")
@dataclass(frozen=True, kw_only=True)
class LightPage(Page):
    """The light, drawn and in words, with both forms."""

    book: str
    title: str
    number: str
    here_since: bool
    """It was ever here."""
    facts: Facts
    drawing: LightDrawing | None
    caption: str
    points: tuple[Point, ...]
    now: Facts
    """A year where it is; empty where it is not here."""
    spots: tuple[tuple[str, str], ...]
    asked: Mapping[str, str]
    then: Facts
    then_said: str
    taken_for: str
    classes: tuple[tuple[str, str], ...]
    signatures: tuple[tuple[str, str], ...]
    chosen: ClassSaid
    how: tuple[str, ...]
    """How far the figures go."""
    problems: tuple[Problem, ...]
    faults: Mapping[str, str]


@dataclass(frozen=True, kw_only=True)
class _Shown:
    """What is shown besides the light itself."""

    asked: Mapping[str, str] = field(default_factory=dict)
    then: Prospect | None = None
    chosen: ClassSaid | None = None
    problems: tuple[Problem, ...] = ()


@router.get(PATH)
def look(book: str, request: Request, frame: FrameDep, ledger: LedgerDep, actor: ActorDep) -> Response:
    """The light, and with something asked in the address what that would come to."""
    asked = {name: request.query_params.get(name, "").strip() for name in ASKED}
    try:
        seen = read_light(ledger, actor, book)
        shown = _Shown(asked=asked)
        if any(asked.values()):
            shown = _Shown(asked=asked, then=what_if(ledger, actor, book, _what_if(asked))[1])
    except MalformedError as damage:
        return damaged(frame.at(Place.COLLECTION), damage, t("entry.damaged.of_book"))
    except InvalidError as error:
        shown = _Shown(asked=asked, problems=_of_form(error))
    return render(_page(frame, *seen, shown), status=422 if shown.problems else 200)


@keeping.post(PATH)
def keep(  # noqa: PLR0913 - what a request brings along
    book: str, request: Request, frame: FrameDep, ledger: LedgerDep, actor: ActorDep, posted: PostedDep
) -> Response:
    """The class is kept, or the form comes back."""
    said = ClassSaid(
        light_class=posted.get("light_class"), why=posted.get("why"), signature_class=posted.get("signature_class")
    )
    try:
        set_light_class(ledger, actor, book, said)
    except InvalidError as error:
        shown = _Shown(chosen=said, problems=error.problems)
        return render(_page(frame, *read_light(ledger, actor, book), shown), status=422)
    return go_to(request, f"{request.url.path}#class", Told(sentence=t("light.class.kept")))


def _what_if(asked: Mapping[str, str]) -> WhatIf:
    """What was typed; a comma is as good as a point."""
    room, _, wall = asked["room"].partition(_APART)
    dim, uv = asked["dim_to_percent"], asked["uv_filter"]
    is_whole = dim.isascii() and dim.isdecimal() and len(dim) < 4  # noqa: PLR2004 - up to 100
    typed = {name: asked[name].replace(",", ".") or None for name in ("x_cm", "y_cm", "lux", "hours_per_day")}
    return WhatIf(
        room=room or None,
        wall=wall or None,
        dim_to_percent=None if not dim else int(dim) if is_whole else _NO_NUMBER,
        uv_filter=Answer(uv) if uv in set(Answer) else None,
        **typed,
    )


def _of_form(error: InvalidError) -> tuple[Problem, ...]:
    """The problems by the fields of the form, in which room and wall are one."""
    return tuple(
        Problem(field="room" if each.field == "wall" else each.field, sentence=each.sentence) for each in error.problems
    )


def _page(frame: Frame, found: BookLight, house: House, shown: _Shown) -> LightPage:
    light, title = found.light, issue_of(found.book)
    standing, now = light.standing, light.here
    table = t("light.class.by_table", name=class_words(standing.default))
    names = tuple((each.value, class_words(house.rules.of_class(each))) for each in LightClass)
    signature = t("light.class.by_table", name=class_words(house.rules.signature()))
    rooms = house.current
    return LightPage(
        frame=frame.at(Place.COLLECTION),
        book=found.book.id,
        title=title[0],
        number=title[1],
        here_since=light.since is not None,
        facts=tuple(so_far(light)),
        drawing=drawing_of(light.series),
        caption=t("light.drawing.caption", until=When.of_day(light.until).label()),
        points=_points(found),
        now=() if now is None else tuple(prospect_facts(now, standing.book)),
        spots=(
            ("", t("light.try.stays")),
            *(
                (f"{name}{_APART}{wall.id}", wall_name(rooms, name, wall.id))
                for name, room in sorted(rooms.items())
                for wall in room.walls
            ),
        ),
        asked=shown.asked or dict.fromkeys(ASKED, ""),
        then=() if shown.then is None else tuple(prospect_facts(shown.then, standing.book)),
        then_said=_said(now, shown.then),
        taken_for=standing_words(standing),
        classes=(("", table), *names),
        signatures=(("", signature), *names),
        chosen=shown.chosen or _chosen(found),
        how=how_far(house.rules),
        problems=shown.problems,
        faults=faults_of(shown.problems),
    )


def _points(found: BookLight) -> tuple[Point, ...]:
    return tuple(
        Point(
            by=When.of_day(day).label(),
            low=figure(extent.low),
            middle=figure(extent.middle),
            high=figure(extent.high),
        )
        for day, extent in found.light.series
    )


def _chosen(found: BookLight) -> ClassSaid:
    of = found.light.standing
    return ClassSaid(
        light_class=of.book.light_class.value if of.chosen else "",
        why=of.why,
        signature_class=of.signature.light_class.value if of.signature_chosen else "",
    )


def _said(now: Prospect | None, then: Prospect | None) -> str:
    """Both in one sentence; nothing where one of them is not known."""
    if now is None or then is None or now.a_year is None or then.a_year is None:
        return ""
    return t("light.try.said", now=figure(now.a_year.middle), then=figure(then.a_year.middle))
