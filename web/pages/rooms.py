"""One room with its walls, windows, lamps and light, drawn as it is typed."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

from fastapi import APIRouter, Response

from ledger.actor import Actor
from ledger.errors import InvalidError, LedgerError, NotFoundError, RuleError
from ledger.events.room import Basis, Room
from ledger.hanging import CENTRE_CM
from ledger.ports import Ledger
from ledger.rules._tables import table
from ledger.rules.cautions import Caution, caution
from ledger.rules.lit_places import TABLE, LitPlace, as_ruled
from ledger.usecases.places import Places, look_at_places
from ledger.usecases.record import record
from ledger.usecases.rulings import rulings
from web.deps import PostedDep, WaitingDep
from web.elevation import whole_wall
from web.entering import Fault, added_row, ask, faults_listed, faults_of, key_of, refusal, told_of
from web.entry_pages import Sent
from web.entry_tasks import Asked, Task, book_task
from web.form_layout import without
from web.form_reading import numbers
from web.form_showing import Shown, View, labels_of
from web.form_values import Habits
from web.forms import Typed, typed_in
from web.frame import Place
from web.posted import Posted
from web.render import PART, Page, page, render, render_part
from web.sender import Sender, SenderDep
from web.told import go_to
from web.wall_names import named_wall, room_name
from web.wall_shapes import Elevation
from web.wording import t

router = APIRouter()

KIND: Final = Room.kind
ROOMS: Final = f"{Place.WALL.path}/rooms"
NEW: Final = f"{Place.WALL.path}/new-room"
ESTIMATE: Final = "estimate"


@page("room.html")
@dataclass(frozen=True, kw_only=True)
class RoomPage(Page):
    """The form of one room, and its walls as they were typed."""

    title: str
    path: str
    draft: str
    parts: tuple[Shown, ...]
    drawn: tuple[Elevation, ...]
    stale: bool
    """What is drawn is the room as it was stated last: what was typed cannot be read yet."""
    words: tuple[str, ...]
    estimates: tuple[LitPlace, ...]
    problems: tuple[Fault, ...]
    caution: Caution
    key: str
    waiting: str


@router.get(NEW)
def begin(by: SenderDep, waiting: WaitingDep) -> Response:
    """A room that is not there yet."""
    return _shown(by, _task(by, ""), waiting)


@router.get(ROOMS + "/{room}")
def change(by: SenderDep, waiting: WaitingDep, room: str) -> Response:
    """A room as it was stated last, to be stated anew."""
    return _shown(by, _task(by, room), waiting)


@router.post(NEW)
def write_new(by: SenderDep, posted: PostedDep) -> Response:
    """The new room is written, or drawn as it was typed."""
    return _taken(by, _task(by, ""), posted)


@router.post(ROOMS + "/{room}")
def write(by: SenderDep, posted: PostedDep, room: str) -> Response:
    """The room is so from now on, or drawn as it was typed."""
    return _taken(by, _task(by, room), posted)


def _task(by: Sender, room: str) -> Task:
    """The form of a room; the id of one that is there is fixed.

    Raises: ForbiddenError, NotFoundError.
    """
    ledger, actor, habits = by.ledger, by.actor, by.habits
    actor.require_to_write(KIND)
    if not room:
        return book_task(ledger, actor, Asked(kind=KIND), habits)
    if room not in look_at_places(ledger, actor).by_id:
        raise NotFoundError(what="room", name=room)
    task = book_task(ledger, actor, Asked(kind=KIND, given={"room": room}), habits)
    form = replace(task.form, parts=tuple(without(task.form.parts, ("room",))))
    initial = {name: values for name, values in task.initial.items() if name != "room"}
    return replace(task, form=form, initial=initial, fixed={"room": room})


def _path(task: Task) -> str:
    return f"{ROOMS}/{task.fixed['room']}" if task.fixed else NEW


def _shown(by: Sender, task: Task, waiting: Posted | None) -> Response:
    held = waiting if waiting is not None and waiting.action == _path(task) else None
    typed = typed_in(held) if held is not None else task.initial
    sent = Sent(typed=typed, key=key_of(by.ledger, held), waiting=held.waiting if held is not None else "")
    return render(_page(by, task, sent, None))


def _taken(by: Sender, task: Task, posted: Posted) -> Response:
    ledger, actor, habits = by.ledger, by.actor, by.habits
    typed = typed_in(posted)
    do = posted.get("do")
    if do == ESTIMATE:
        typed = _estimated(typed, posted, _lit(ledger, actor))
    sent = Sent(typed=_without_own(typed), key=key_of(ledger, posted), waiting=posted.waiting, more=added_row(typed))
    if do != "write":
        shown = _page(by, task, sent, habits)
        return render_part(shown, "seen") if PART in by.request.headers else render(shown)
    try:
        ready = task.ready(ledger, sent.typed, habits)
        try:
            recorded = record(ledger, actor, ready.drafts, ask(_path(task), sent.key, sent.typed, posted))
        except (InvalidError, RuleError) as error:
            raise type(error)(problems=ready.placed(error.problems)) from error
    except LedgerError as error:
        refused = refusal(error)
        back = replace(sent, heard=task.heard(sent.typed, habits), problems=refused.problems)
        return render(_page(by, task, back, habits), status=refused.status)
    return go_to(by.request, ROOMS, told_of(recorded, _draft(task)))


def _without_own(typed: Typed) -> Typed:
    """What was typed, without what only asks for an estimate."""
    return {name: values for name, values in typed.items() if name not in ("lit", "lit_wall")}


def _estimated(typed: Typed, posted: Posted, known: Sequence[LitPlace]) -> Typed:
    """One more reading, taken from the table and marked as estimated, at the middle of the wall."""
    lit = next((each for each in known if each.id == posted.get("lit")), None)
    walls = [posted.get(f"walls.{number}.id") for number in range(numbers("walls", typed))]
    named = posted.get("lit_wall") or next(iter(walls), "")
    if lit is None or named not in walls:
        return typed
    count = numbers("readings", typed)
    free = next((at for at in range(count) if not posted.get(f"readings.{at}.lux")), count)
    width = posted.get(f"walls.{walls.index(named)}.width_cm").replace(",", ".")
    middle = f"{float(width) / 2:.0f}" if width.replace(".", "", 1).isdecimal() else ""
    said = {
        "wall": named,
        "x_cm": middle,
        "y_cm": f"{CENTRE_CM}",
        "lux": f"{lit.lux}",
        "hours_per_day": f"{lit.hours}",
        "basis": Basis.ESTIMATED.value,
    }
    return {**typed, **{f"readings.{free}.{name}": (value,) for name, value in said.items()}}


def _lit(ledger: Ledger, actor: Actor) -> tuple[LitPlace, ...]:
    """The table, as the collector ruled."""
    shipped, ruled = table(TABLE), rulings(ledger, actor)
    found = {row.id: each.ruling.edited(row) for row in shipped.rows if (each := ruled.get((TABLE, row.id)))}
    return as_ruled(found)


def _draft(task: Task) -> str:
    return f"{KIND}:{task.fixed.get('room', 'new')}"


def _page(by: Sender, task: Task, sent: Sent, habits: Habits | None) -> RoomPage:
    """The form; with habits, the room is drawn as it was typed by them."""
    ledger, actor = by.ledger, by.actor
    places = look_at_places(ledger, actor)
    typed = _as_typed(ledger, task, sent, habits) if habits is not None else None
    room = typed or places.by_id.get(str(task.fixed.get("room", "")))
    heard = sent.heard[0] if sent.heard else None
    view = View(typed=sent.typed, heard=heard, faults=faults_of(sent.problems), more=sent.more)
    parts = task.form.shown(view)
    drawn = _drawn(places, room) if room is not None else ()
    return RoomPage(
        frame=by.frame.at(Place.WALL),
        title=room_name(places.by_id, str(task.fixed["room"])) if task.fixed else t("rooms.new_title"),
        path=_path(task),
        draft=_draft(task),
        parts=parts,
        drawn=drawn,
        stale=habits is not None and typed is None,
        words=tuple(dict.fromkeys(words for each in drawn for words in each.named.light.words)),
        estimates=_lit(ledger, actor),
        problems=faults_listed(sent.problems, labels_of(parts)),
        caution=caution("lifting"),
        key=sent.key,
        waiting=sent.waiting,
    )


def _as_typed(ledger: Ledger, task: Task, sent: Sent, habits: Habits) -> Room | None:
    """The room that was typed; None where it cannot be read so, or could not be."""
    try:
        event = task.ready(ledger, sent.typed, habits).drafts[0].event
    except InvalidError:
        return None
    return event if isinstance(event, Room) and not any(event.flaws()) else None


def _drawn(places: Places, room: Room) -> tuple[Elevation, ...]:
    rooms = {**places.by_id, room.room: room}
    return tuple(
        whole_wall(
            named_wall(rooms, room.room, each.id, places.on_wall(room.room, each.id)),
            float(each.width_cm),
            float(each.height_cm),
            places.reach,
        )
        for each in room.walls
    )
