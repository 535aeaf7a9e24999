"""One wall, drawn from end to end: books are hung, moved and taken down, seen first and then written as one act."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Annotated, Final

from fastapi import APIRouter, Query, Request, Response

from ledger.accounts import SignedIn
from ledger.actor import Actor
from ledger.errors import InvalidError, LedgerError, Problem
from ledger.events.placement import Placement, Spot
from ledger.events.room import Wall
from ledger.hanging import Against, Clash, clashes
from ledger.ports import Ledger
from ledger.rules.cautions import Caution, caution
from ledger.usecases.places import Places, RoomNow, as_hung, look_at_places, move, not_hung, wall_in
from ledger.when import When
from web.deps import ActorDep, FrameDep, LedgerDep, PostedDep, SignedInDep, WaitingDep
from web.elevation import whole_wall
from web.entering import ask, faults_of, key_of, refusal, told_of
from web.form_values import date_read
from web.forms import habits_of, typed_in
from web.frame import Frame, Place
from web.hang_rows import Hanging, HangRow, hanging, moves_of, typed_rows, with_room
from web.posted import Posted
from web.render import PART, Page, page, render, render_part
from web.told import go_to
from web.wall_names import named_wall, wall_name
from web.wall_shapes import Elevation
from web.wording import t

router = APIRouter()

ADD: Final = "add"
Books = Annotated[list[str], Query(max_length=60)]


@page("hang.html")
@dataclass(frozen=True, kw_only=True)
class HangPage(Page):
    """The wall as it would be, and the form that says so."""

    path: str
    title: str
    sentence: str
    drawn: Elevation
    notices: tuple[str, ...]
    """What is in the way, in words."""
    despite: bool
    """It was ticked that it hangs so all the same."""
    rows: tuple[HangRow, ...]
    changed: int
    others: tuple[tuple[str, str], ...]
    """Books that can be hung here."""
    to: tuple[tuple[str, str], ...]
    """Places a book can go to from here."""
    on: str
    named: str
    faults: Mapping[str, str]
    problems: tuple[Problem, ...]
    caution: Caution
    key: str
    waiting: str


@dataclass(frozen=True, kw_only=True)
class Work:
    """What the page stands on."""

    ledger: Ledger
    actor: Actor
    places: Places
    room: RoomNow
    wall: Wall

    @property
    def path(self) -> str:
        """Where the form is sent."""
        return f"/wall/{self.room.id}/{self.wall.id}/hang"


def work_at(ledger: LedgerDep, actor: ActorDep, room: str, wall: str) -> Work:
    """The wall that the address names.

    Raises: ForbiddenError, NotFoundError.
    """
    actor.require_to_write(Placement.kind)
    places = look_at_places(ledger, actor)
    own, found = wall_in(places, room, wall)
    return Work(ledger=ledger, actor=actor, places=places, room=own, wall=found)


@router.get("/wall/{room}/{wall}/hang")
def look(  # noqa: PLR0913 - what a request brings along
    room: str,
    wall: str,
    frame: FrameDep,
    ledger: LedgerDep,
    actor: ActorDep,
    waiting: WaitingDep,
    book: Books = [],  # noqa: B006 - FastAPI copies it
) -> Response:
    """The wall as it hangs; `book` are some that are to be hung too."""
    work = work_at(ledger, actor, room, wall)
    held = waiting if waiting is not None and waiting.action == work.path else None
    posted = held or Posted(fields=tuple(("book", each) for each in book))
    return render(_page(frame, work, posted, _read(work, posted)))


@router.post("/wall/{room}/{wall}/hang")
def hang(  # noqa: PLR0913 - what a request brings along
    room: str,
    wall: str,
    request: Request,
    frame: FrameDep,
    ledger: LedgerDep,
    who: SignedInDep,
    actor: ActorDep,
    posted: PostedDep,
) -> Response:
    """The wall as it would be, or what was typed written as one act."""
    work = work_at(ledger, actor, room, wall)
    made = _read(work, posted)
    if posted.get("do") != "write":
        shown = _page(frame, work, posted, made)
        return render_part(shown, "seen") if PART in request.headers else render(shown)
    try:
        return _written(request, work, who, posted, made)
    except LedgerError as error:
        refused = refusal(error)
        back = replace(made, problems=_placed(refused.problems, made))
        return render(_page(frame, work, posted, back), status=refused.status)


def _written(request: Request, work: Work, who: SignedIn, posted: Posted, made: Hanging) -> Response:
    """What was typed, in the ledger.

    Raises: InvalidError, RuleError, and what the ledger refuses.
    """
    read = date_read(posted.get("on"), habits_of(who.person.preferences, work.ledger.clock))
    problems = list(made.problems)
    if not made.changed:
        problems.append(Problem(field="", sentence=t("hang.nothing")))
    if read.fault or read.choices:
        ways = f", {t('readings.or')} ".join(words for _, words in read.choices)
        problems.append(Problem(field="on", sentence=t("hang.which_day", ways=ways) if ways else read.fault))
    if problems:
        raise InvalidError(problems=tuple(problems))
    on = When.parse(read.plain) if isinstance(read.plain, str) else None
    request_of = ask(work.path, key_of(work.ledger, posted), typed_in(posted), posted)
    moves = moves_of(made, work.room.id, work.wall.id, posted)
    despite = posted.get("despite") == "yes"
    recorded = move(work.ledger, work.actor, moves, on, request_of, despite=despite)
    return go_to(request, work.path, told_of(recorded, ""))


def _read(work: Work, posted: Posted) -> Hanging:
    """The form over what hangs; a book that is to come gets a place where there is room."""
    on_wall = work.places.on_wall(work.room.id, work.wall.id)
    hung = sorted(on_wall, key=lambda each: (each.x_cm is None, float(each.x_cm or 0), each.no))
    here = {each.book for each in hung}
    asked = [each for each in (*posted.all("book"), posted.get(ADD)) if each and each not in here]
    others = as_hung(work.ledger, work.actor, work.places, asked)
    made = typed_rows(hung, others, posted) if posted.fields else hanging(hung)
    return with_room(made, work.places, work.wall, work.room.event.windows)


def _placed(problems: Sequence[Problem], made: Hanging) -> tuple[Problem, ...]:
    """Problems of the act at the inputs of their books."""
    changed = made.changed
    found = []
    for each in problems:
        head, _, rest = each.field.partition(".")
        number, _, name = rest.partition(".")
        if head in ("moves", "events") and number.isdecimal() and int(number) < len(changed):
            row = changed[int(number)]
            field = {"x_cm": row.x_name, "y_cm": row.y_name}.get(name, row.to_name)
            found.append(replace(each, field=field))
        else:
            found.append(replace(each, field=each.field if each.field in ("on", "named") or "." in each.field else ""))
    return tuple(found)


def _page(frame: Frame, work: Work, posted: Posted, made: Hanging) -> HangPage:
    rooms = work.places.by_id
    named = named_wall(rooms, work.room.id, work.wall.id, made.on_wall)
    met = clashes(work.places.pieces(made.on_wall), work.wall, work.room.event.windows)
    size = float(work.wall.width_cm), float(work.wall.height_cm)
    today = When.of_day(work.ledger.clock.today()).label()
    return HangPage(
        frame=frame.at(Place.WALL),
        path=work.path,
        title=named.title,
        sentence=t.n("hang.sentence", len(made.on_wall), width=work.wall.width_cm, height=work.wall.height_cm),
        drawn=whole_wall(
            named,
            *size,
            work.places.reach,
            in_the_way={each.book for each in met},
            moved={each.row.book for each in made.changed},
        ),
        notices=tuple(dict.fromkeys(_notice(each, made) for each in met)),
        despite=posted.get("despite") == "yes",
        rows=made.rows,
        changed=len(made.changed),
        others=_others(work, made),
        to=_to(work),
        on=posted.get("on") if "on" in posted else today,
        named=posted.get("named"),
        faults=faults_of(made.problems),
        problems=made.problems,
        caution=caution("lifting"),
        key=key_of(work.ledger, posted),
        waiting=posted.waiting,
    )


def _notice(clash: Clash, made: Hanging) -> str:
    names = {each.row.book: t("hang.book", title=each.row.title, number=each.row.number) for each in made.rows}
    if clash.against is Against.BOOK:
        return t("hang.over_book", book=names[clash.book], other=names[clash.other])
    if clash.against is Against.WINDOW:
        return t("hang.over_window", book=names[clash.book], window=clash.other)
    return t("hang.beyond", book=names[clash.book], edge=t(f"hang.edges.{clash.against.name.lower()}"))


def _others(work: Work, made: Hanging) -> tuple[tuple[str, str], ...]:
    """Books that do not hang, and those of other walls."""
    here = {each.row.book for each in made.rows}
    free = [
        (each.book, t("hang.choice", title=each.title, number=each.number, place=each.place or t("hang.no_name")))
        for each in not_hung(work.ledger, work.actor)
    ]
    hung = [
        (each.book, t("hang.choice", title=each.title, number=each.number, place=_where(work, each.room, each.wall)))
        for each in work.places.hung
    ]
    return tuple((book, words) for book, words in (*free, *hung) if book not in here)


def _where(work: Work, room: str | None, wall: str | None) -> str:
    return wall_name(work.places.by_id, room, wall or "") if room else t("hang.other_wall")


def _to(work: Work) -> tuple[tuple[str, str], ...]:
    """Here, the other walls, the boxes and safes that have a name, and one that is named below."""
    walls = [
        (f"{Spot.WALL.value}:{room.id}/{wall.id}", wall_name(work.places.by_id, room.id, wall.id))
        for room in work.places.rooms
        for wall in room.event.walls
        if (room.id, wall.id) != (work.room.id, work.wall.id)
    ]
    kept = [(f"{each.spot}:{each.place}", each.place) for each in work.places.kept if each.place]
    named = [(f"{each.value}:", t(f"hang.another.{each.value}")) for each in (Spot.BOX, Spot.SAFE)]
    return (("", t("hang.here")), *kept, *named, *walls)
