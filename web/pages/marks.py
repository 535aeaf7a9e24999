"""Marks of a copy: where each lies, and a photograph laid under the map of them, to tell whether it shows this very copy."""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Annotated, Final, NamedTuple

from fastapi import APIRouter, Depends, Query, Request, Response

from ledger.actor import Actor
from ledger.arriving import Glimpse
from ledger.errors import MalformedError, Problem
from ledger.looks import MARKS_ASKED
from ledger.ports import Ledger
from ledger.sealed import Sealed
from ledger.usecases.glimpse import Kept, bring, glimpse, keep_it, take_away
from ledger.usecases.look import BookLook, look_at
from ledger.when import When
from web.compared import turned
from web.condition_lines import marks_asked
from web.deps import ActorDep, FrameDep, LedgerDep, PostedDep, PreferencesDep, SignedInDep
from web.entering import ask, fresh_key, key_of, told_of
from web.entry_pages import BookName, names_of
from web.forms import habits_of, typed_in
from web.frame import Frame, Place
from web.marks import Lay, Line, Map, lay, map_of
from web.render import Page, page, render
from web.told import go_to
from web.wording import t

router = APIRouter()

WIDE: Final = 1200
"""How wide a photograph is shown. Units: px."""
_HELD: Final = re.compile(r"held:([0-9a-f]{32})")
Text = Annotated[str, Query(max_length=60)]


@dataclass(frozen=True, kw_only=True)
class Under:
    """The photograph that is held against the marks; `held` is its id where it is only here for this look."""

    href: str
    tall: float
    words: str
    photo: str
    """As the address names it."""
    held: str


@page("marks.html")
@dataclass(frozen=True, kw_only=True)
class MarksPage(Page):
    """The marks, the map of one face, and what lies under it."""

    book: BookName
    id: str
    asked: str
    """That more marks are asked for; empty where there are enough."""
    map: Map
    faces: tuple[tuple[str, str], ...]
    photos: tuple[tuple[str, str], ...]
    """What can be laid under it, as it is sent and in words."""
    lines: tuple[Line, ...]
    under: Under | None
    photo: str
    lay: Lay
    said: str
    problems: tuple[Problem, ...]
    key: str


@dataclass(frozen=True, kw_only=True)
class Hand:
    """What one session holds against the marks, in whose name."""

    ledger: Ledger
    actor: Actor
    session: bytes

    def seen(self, name: str, width: int) -> Glimpse:
        """The photograph as it is shown.

        Raises: NotFoundError for one that is held no more.
        """
        return glimpse(self.ledger, self.actor, self.session, name, width)


def hand_of(ledger: LedgerDep, actor: ActorDep, who: SignedInDep) -> Hand:
    """The hand of who asks."""
    return Hand(ledger=ledger, actor=actor, session=who.session.hashed)


HandDep = Annotated[Hand, Depends(hand_of)]


@router.get("/books/{book}/marks")
def look(  # noqa: PLR0913 - what is asked, of whom, by whom
    book: str, request: Request, frame: FrameDep, hand: HandDep, face: Text = "", photo: Text = ""
) -> Response:
    """The map of one face; with a photograph and two places on it, that under the map."""
    seen = look_at(hand.ledger, hand.actor, book)
    on = map_of(seen, face)
    under = _under(hand, book, on, photo)
    made = lay(on, request.query_params, under.tall if under else None)
    shown = _page(frame, hand, seen, _Shown(on, under, made))
    return render(shown, status=422 if made.problems else 200)


@router.get("/books/{book}/marks/picture/{name}")
def picture(book: str, name: str, hand: HandDep) -> Response:
    """The photograph that was brought for this look, clean, to the session that brought it and to no cache."""
    look_at(hand.ledger, hand.actor, book)
    seen = hand.seen(name, WIDE)
    return Response(seen.jpeg, media_type="image/jpeg", headers={"Cache-Control": "no-store"})


@router.post("/books/{book}/marks/picture")
def hold(book: str, request: Request, frame: FrameDep, hand: HandDep, posted: PostedDep) -> Response:
    """A photograph of the copy at hand is held for this look."""
    seen = look_at(hand.ledger, hand.actor, book)
    on = map_of(seen, posted.get("face"))
    files = posted.files("file")
    sentence = t("new_entry.no_file")
    if files:
        try:
            name = bring(hand.ledger, hand.actor, hand.session, files[0].data)
            return go_to(request, f"/books/{book}/marks?face={on.face}&photo=held:{name}#lay")
        except MalformedError as error:
            sentence = t("marks.unfit", problem=error.problem, mend=error.mend)
    problem = Problem(field="file", sentence=sentence)
    return render(_page(frame, hand, seen, _Shown(on, None, lay(on, {}, None)), (problem,)), status=422)


@router.post("/books/{book}/marks/picture/{name}/keep")
def keep(  # noqa: PLR0913 - what a request brings along
    book: str, name: str, request: Request, hand: HandDep, preferences: PreferencesDep, posted: PostedDep
) -> Response:
    """The photograph becomes one of the book."""
    hand.actor.require_to_write("photograph")
    on = map_of(look_at(hand.ledger, hand.actor, book), posted.get("face"))
    said = {
        "on": When.of_day(habits_of(preferences, hand.ledger.clock).today),
        "face": on.face,
        "caption": Sealed.of(posted.get("caption") or None),
    }
    asked = ask(request.url.path, key_of(hand.ledger, posted), typed_in(posted), posted)
    recorded = keep_it(hand.ledger, hand.actor, hand.session, name, Kept(book=book, said=said, request=asked))
    seq = recorded.entries[0].seq
    return go_to(request, f"/books/{book}/marks?face={on.face}&photo={seq}", told_of(recorded, ""))


@router.post("/books/{book}/marks/picture/{name}/away")
def away(book: str, name: str, request: Request, hand: HandDep) -> Response:
    """Nothing of the photograph is held any more."""
    look_at(hand.ledger, hand.actor, book)
    take_away(hand.ledger, hand.actor, hand.session, name)
    return go_to(request, f"/books/{book}/marks")


def _under(hand: Hand, book: str, on: Map, photo: str) -> Under | None:
    """The photograph that was asked for.

    Raises: NotFoundError for one that is held no more.
    """
    match = _HELD.fullmatch(photo)
    if match is not None:
        seen = hand.seen(match[1], 1)
        href = f"/books/{book}/marks/picture/{match[1]}"
        return Under(
            href=href, tall=seen.height / seen.width * 100, words=t("marks.at_hand"), photo=photo, held=match[1]
        )
    shot = next((each for each in on.shots if str(each.seq) == photo), None)
    if shot is None:
        return None
    words = t("compare.side.caption", words=shot.words, when=shot.when)
    return Under(href=shot.picture.href, tall=shot.tall, words=words, photo=photo, held="")


class _Shown(NamedTuple):
    """The map, what lies under it, and how."""

    on: Map
    under: Under | None
    made: Lay


def _page(frame: Frame, hand: Hand, seen: BookLook, shown: _Shown, more: tuple[Problem, ...] = ()) -> MarksPage:
    on, under, made = shown
    known = len(on.lines)
    said = ""
    if made.laid is not None:
        said = t("marks.laid", turned=turned(made.laid.turned), one=_words(on, made.one), two=_words(on, made.two))
    return MarksPage(
        frame=frame.at(Place.COLLECTION),
        book=names_of([seen])[0],
        id=seen.row.book,
        asked=t("marks.asked", asked=marks_asked(known)) if known < MARKS_ASKED else "",
        map=on,
        faces=tuple((each.value, t(f"condition.faces.{each.value}")) for each in on.faces),
        photos=tuple(_photos(on, under)),
        lines=on.lines,
        under=under,
        photo=under.photo if under else "",
        lay=made,
        said=said,
        problems=(*made.problems, *more),
        key=fresh_key(hand.ledger),
    )


def _photos(on: Map, under: Under | None) -> Iterator[tuple[str, str]]:
    yield "", t("marks.no_photo")
    for each in on.shots:
        yield str(each.seq), t("compare.pick.option", words=each.words, when=each.when, seq=each.seq)
    if under is not None and under.held:
        yield under.photo, under.words


def _words(on: Map, name: str) -> str:
    """An anchor as a sentence names it."""
    words = next(each.words for each in on.anchors if each.name == name)
    return f"{words[:1].lower()}{words[1:]}"
