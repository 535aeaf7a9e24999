"""The bench: what is in which press until when, what is over, and the recipes; a load goes in, comes out, and is told."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Annotated, Final
from urllib.parse import urlencode

from fastapi import APIRouter, Query, Request, Response
from fastapi.responses import RedirectResponse

from ledger.actor import Actor
from ledger.bench import FIELDS, Load, Step
from ledger.errors import ConflictError, InvalidError, NoRoomError, Problem
from ledger.events.intervention import Intervention
from ledger.ports import Ledger
from ledger.rules.cautions import Caution, caution
from ledger.rules.steps import Starter, starters
from ledger.rules.techniques import techniques
from ledger.usecases import bench as bench_work
from ledger.usecases.board import look_at_board
from ledger.usecases.look import look_at
from web.bench_lines import BookLink, Scale, scale_of, step_title
from web.bench_steps import CHOICES, finished, planned_by, presses_to_choose
from web.board import BookLine, Due, Press, Sent, Undecided, book_line, due_of, presses_of, undecided_of
from web.deps import ActorDep, FrameDep, LedgerDep, PostedDep
from web.entering import fresh_key
from web.frame import Frame, Place, Told
from web.posted import Posted
from web.render import Page, page, render
from web.starters import asked_for, filled_form
from web.told import go_to
from web.tool_lines import no_room
from web.wording import t

router = APIRouter()

PATH: Final = Place.BENCH.path
START: Final = f"{PATH}/start"
RECIPE: Final = f"{PATH}/recipe"
CAUTIONS: Final = ("hot-tool", "solvent", "mould", "blades", "lifting")

Books = Annotated[list[str], Query(max_length=60)]
Step64 = Annotated[str, Query(max_length=64)]


@dataclass(frozen=True, kw_only=True)
class RecipeLine:
    """A recipe by its name, and its steps in words."""

    id: str
    name: str
    steps: tuple[str, ...]


@page("bench.html")
@dataclass(frozen=True, kw_only=True)
class BenchPage(Page):
    """Loads by their press, what is due, the books that wait for a decision or for a load, and recipes."""

    loads: int
    presses: tuple[Press, ...]
    scale: Scale
    due: tuple[Due, ...]
    lamp: str
    """Id of the load that is the next thing to see to; empty for none."""
    undecided: tuple[Undecided, ...]
    waiting: tuple[BookLine, ...]
    recipes: tuple[RecipeLine, ...]
    problems: tuple[Problem, ...]


@page("bench_start.html")
@dataclass(frozen=True, kw_only=True)
class StartPage(Page):
    """A load before it goes in."""

    books: tuple[BookLink, ...]
    ids: tuple[str, ...]
    recipes: tuple[RecipeLine, ...]
    techniques: tuple[tuple[str, str], ...]
    choices: Mapping[str, tuple[tuple[str, str], ...]]
    values: Mapping[str, str]
    cautions: tuple[Caution, ...]
    recipe: str
    presses: tuple[tuple[str, str], ...]
    press: str
    problems: tuple[Problem, ...]
    starters: tuple[Starter, ...]
    starter: Starter | None
    """The one that was tapped."""


@page("bench_recipe.html")
@dataclass(frozen=True, kw_only=True)
class RecipePage(Page):
    """A book's own steps, from which a recipe is made."""

    book: BookLink
    id: str
    steps: tuple[tuple[int, str, str], ...]
    """Number of the entry, its step in words, and when."""
    name: str
    problems: tuple[Problem, ...]


@router.get(PATH)
def look(frame: FrameDep, ledger: LedgerDep, actor: ActorDep) -> Response:
    """The bench as it stands now."""
    return render(bench_page(frame, ledger, actor))


@router.get(START)
def choose(
    frame: FrameDep,
    ledger: LedgerDep,
    actor: ActorDep,
    book: Books = [],  # noqa: B006 - FastAPI copies it
    recipe: Step64 = "",
) -> Response:
    """What is to be done with these books; `recipe` is the step that is ticked already."""
    return render(_start(frame, ledger, actor, book, Posted(fields=(("recipe", recipe),))))


@router.post(START)
def put_in(request: Request, frame: FrameDep, ledger: LedgerDep, actor: ActorDep, posted: PostedDep) -> Response:
    """The load begins now, by a recipe or by what was typed."""
    books = posted.all("book")
    if tapped := asked_for(posted.get("do")):
        return render(_start(frame, ledger, actor, books, filled_form(posted, tapped)))
    step, by, tool = planned_by(bench_work.look_at_bench(ledger, actor), posted)
    try:
        load = bench_work.put_in(ledger, actor, books, step, by=by, tool=tool)
    except InvalidError as error:
        return render(_start(frame, ledger, actor, books, posted, error.problems), status=422)
    except ConflictError as error:
        words = no_room(error, ledger.clock.now()) if isinstance(error, NoRoomError) else str(error)
        said = (Problem(field="book", sentence=words),)
        return render(_start(frame, ledger, actor, books, posted, said), status=409)
    told = t.n("bench.went_in", len(load.books), what=step_title(load.step))
    return go_to(request, PATH, Told(sentence=told))


@router.post(f"{PATH}/{{load}}/stop")
def stop(ledger: LedgerDep, actor: ActorDep, load: str) -> Response:
    """It has come out; on to the form that tells what was done."""
    return RedirectResponse(_form_of(bench_work.stop(ledger, actor, load)), status_code=303)


@router.post(f"{PATH}/{{load}}/off")
def call_off(request: Request, ledger: LedgerDep, actor: ActorDep, load: str) -> Response:
    """It never was: nothing was done to the books."""
    bench_work.call_off(ledger, actor, load)
    return go_to(request, PATH, Told(sentence=t("bench.called_off")))


@router.get(RECIPE)
def make_recipe(frame: FrameDep, ledger: LedgerDep, actor: ActorDep, book: str) -> Response:
    """Which of a book's steps make a recipe."""
    return render(_recipe_page(frame, ledger, actor, book, Posted()))


@router.post(RECIPE)
def keep_recipe(request: Request, frame: FrameDep, ledger: LedgerDep, actor: ActorDep, posted: PostedDep) -> Response:
    """The steps that were ticked, under a name."""
    book, ticked = posted.get("book"), set(posted.all("step"))
    steps = [step for seq, step, _ in _steps_of(ledger, actor, book) if str(seq) in ticked]
    try:
        recipe = bench_work.keep_recipe(ledger, actor, posted.get("name"), steps)
    except InvalidError as error:
        return render(_recipe_page(frame, ledger, actor, book, posted, error.problems), status=422)
    return go_to(request, PATH, Told(sentence=t("bench.recipe_kept", name=recipe.name)))


@router.post(f"{RECIPE}/{{recipe}}/off")
def forget_recipe(request: Request, ledger: LedgerDep, actor: ActorDep, recipe: str) -> Response:
    """It is no longer offered; what was done by it stays in the ledger."""
    bench_work.forget_recipe(ledger, actor, recipe)
    return go_to(request, PATH, Told(sentence=t("bench.recipe_gone")))


def bench_page(frame: Frame, ledger: Ledger, actor: Actor, sent: Sent | None = None) -> BenchPage:
    """The board, and what was sent from it where that came back."""
    board, now = look_at_board(ledger, actor), ledger.clock.now()
    scale = scale_of(board.bench.loads, now)
    presses = presses_of(board, scale, now)
    keys = (fresh_key(ledger) for _ in board.undecided)
    return BenchPage(
        frame=frame.at(Place.BENCH),
        loads=len(board.bench.loads),
        presses=presses,
        scale=scale,
        due=due_of(board, presses),
        lamp=next((load.id for press in presses for load in press.loads if load.due), ""),
        undecided=undecided_of(board, keys, sent or Sent()),
        waiting=tuple(map(book_line, board.waiting)),
        recipes=_recipes(board.bench),
        problems=sent.problems if sent is not None else (),
    )


def _form_of(load: Load) -> str:
    """The address of the form of an intervention, filled in with what is known of a load."""
    given = [("kind", Intervention.kind), *(("book", each) for each in load.books), ("load", load.id)]
    return f"/entry/new?{urlencode([*given, *finished(load).items()])}"


def _start(  # noqa: PLR0913 - what a page that came back stands on
    frame: Frame, ledger: Ledger, actor: Actor, books: Sequence[str], sent: Posted, problems: tuple[Problem, ...] = ()
) -> StartPage:
    names, bench = bench_work.names_of(ledger, actor, books), bench_work.look_at_bench(ledger, actor)
    return StartPage(
        frame=frame.at(Place.BENCH),
        books=tuple(BookLink(name=names[each], href=f"/books/{each}") for each in books if each in names),
        ids=tuple(each for each in books if each in names),
        recipes=_recipes(bench),
        presses=presses_to_choose(bench),
        press=sent.get("press"),
        techniques=(("", t("bench.start.choose")), *((each.id, each.title) for each in techniques())),
        choices=CHOICES,
        values={name: sent.get(name) for name in FIELDS},
        cautions=tuple(map(caution, CAUTIONS)),
        recipe=sent.get("recipe"),
        problems=problems,
        starters=starters(),
        starter=asked_for(sent.get("do")),
    )


def _recipe_page(  # noqa: PLR0913 - what a page that came back stands on
    frame: Frame, ledger: Ledger, actor: Actor, book: str, sent: Posted, problems: tuple[Problem, ...] = ()
) -> RecipePage:
    steps = _steps_of(ledger, actor, book)
    return RecipePage(
        frame=frame.at(Place.BENCH),
        book=BookLink(name=bench_work.names_of(ledger, actor, [book])[book], href=f"/books/{book}"),
        id=book,
        steps=tuple((seq, step_title(step), when) for seq, step, when in steps),
        name=sent.get("name"),
        problems=problems,
    )


def _steps_of(ledger: Ledger, actor: Actor, book: str) -> list[tuple[int, Step, str]]:
    """Every step of work in force on a book, in the order in which it happened."""
    look = look_at(ledger, actor, book)
    found = []
    for moment in look.moments:
        event = moment.event
        if isinstance(event, Intervention) and moment.in_force:
            values = {name: text for name in FIELDS if (text := _text_of(event, name))}
            found.append((moment.entry.seq, Step(values=values), "" if event.on is None else event.on.label()))
    return found


def _text_of(event: Intervention, name: str) -> str:
    """A field of it, as it is typed."""
    value: object = event
    for part in name.split("."):
        value = getattr(value, part, None)
    return "" if value is None else str(value)


def _recipes(bench: bench_work.Bench) -> tuple[RecipeLine, ...]:
    return tuple(
        RecipeLine(id=each.id, name=each.name, steps=tuple(map(step_title, each.steps))) for each in bench.recipes
    )
