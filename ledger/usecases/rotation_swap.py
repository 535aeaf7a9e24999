"""A swap of the accepted plan: what it moves, by what hangs now, and its placements written as one act."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

from ledger.actor import Actor, Permission
from ledger.care import CareWriter, Drawer
from ledger.errors import ConflictError, InvalidError, NotFoundError, Problem
from ledger.events.placement import Around, Housing, Placement, Spot
from ledger.history import history
from ledger.ports import Ledger, Reader
from ledger.rotation_kept import rotation_of
from ledger.rotations import Rotation, RotationSpot, Standing, Swap
from ledger.sealed import Sealed
from ledger.usecases.beside import care_store
from ledger.usecases.record import Draft, Recorded, Request, record
from ledger.usecases.rotation import look_at_rotation, need_rotation, put_rotation
from ledger.usecases.rotation_spots import at_spots
from ledger.usecases.stands_in import stands_in
from ledger.when import When

__all__ = ["Moves", "SwapDone", "SwapSaid", "accepted_plan", "do_swap", "moves_of"]

_WITH_THE_BOOK: Final = frozenset({Around.SLEEVE, Around.BOARD})
"""What goes along with a book; a frame stays at its spot, and a box where it is. Our assumption."""


@dataclass(frozen=True, kw_only=True)
class Moves:
    """What a swap would write now."""

    hung: tuple[tuple[str, RotationSpot], ...]
    down: tuple[str, ...]
    stay: tuple[str, ...]
    """Hang where they are to hang already."""


@dataclass(frozen=True, kw_only=True)
class SwapSaid:
    """How a swap was done."""

    number: int
    on: When | None
    kept_in: Spot = Spot.BOX
    """Where books that were taken down lie now."""
    place: str | None = None
    """That place's name."""


@dataclass(frozen=True, kw_only=True)
class SwapDone:
    """The plan after it, and what was written; nothing where all hung there already."""

    plan: Rotation
    recorded: Recorded | None


def moves_of(ledger: Ledger, actor: Actor, rotation: str, number: int) -> Moves:
    """What that swap would write, by what hangs at this moment.

    Raises: NotFoundError.
    """
    plan = look_at_rotation(ledger, actor, rotation)
    with ledger.log.read() as reader:
        return _moves(reader, plan, _swap(plan, number))


def do_swap(ledger: Ledger, actor: Actor, rotation: str, said: SwapSaid, request: Request | None = None) -> SwapDone:
    """The swap is checked off: its placements are written as one act, and it is done.

    Keeps: what was written is found again if the check-off itself was lost; done once more, it then writes nothing.
    Raises: NotFoundError, ConflictError, InvalidError; what `record` raises.
    """
    actor.require(Permission.RECORD)
    plan = look_at_rotation(ledger, actor, rotation)
    swap, again = _swap(plan, said.number), _was_written(ledger, request)
    if plan.standing is not Standing.ACCEPTED:
        raise ConflictError(sentence="This plan is not accepted. Accept it, and then check its swaps off.")
    if not swap.open and not again:
        raise ConflictError(sentence=f"Swap {said.number + 1} is over. Check off one that is still to come.")
    if said.kept_in is Spot.WALL:
        problem = Problem(field="kept_in", sentence="What is taken down lies in a box or a safe. Choose one.")
        raise InvalidError(problems=(problem,))
    with ledger.log.read() as reader:
        moves = _moves(reader, plan, swap)
        drafts = _drafts(ledger, reader, plan, moves, said)
        if again and not drafts:
            # The answer of the first time is given, whatever is asked now.
            drafts = [Draft(book=swap.row[0], event=Placement(spot=Spot.WALL))]
    recorded = record(ledger, actor, drafts, request) if drafts else None

    def work(writer: CareWriter) -> Rotation:
        found = need_rotation(writer, rotation)
        act = recorded.act if recorded else ""
        return put_rotation(writer, replace(found, done={**found.done, said.number: act}))

    return SwapDone(plan=care_store(ledger).write(work), recorded=recorded)


def _swap(plan: Rotation, number: int) -> Swap:
    found = next((each for each in plan.swaps if each.number == number), None)
    if found is None:
        raise NotFoundError(what="swap", name=str(number + 1))
    return found


def _moves(reader: Reader, plan: Rotation, swap: Swap) -> Moves:
    """By spots, in their order; books that hang at a spot of the plan and are not to, come down."""
    there = at_spots(reader, plan.spots)
    meant = dict(zip((each.where for each in plan.spots), swap.row, strict=True))
    stay = tuple(book for where, book in meant.items() if book in there.get(where, ()))
    hung = tuple((book, spot) for spot, book in zip(plan.spots, swap.row, strict=True) if book not in stay)
    hanging = [book for spot in plan.spots for book in there.get(spot.where, ())]
    down = tuple(dict.fromkeys(each for each in hanging if each not in swap.row))
    return Moves(hung=hung, down=down, stay=stay)


def _drafts(ledger: Ledger, reader: Reader, plan: Rotation, moves: Moves, said: SwapSaid) -> list[Draft]:
    """Those taken down first, then those hung."""
    there, kept = at_spots(reader, plan.spots), reader.tallies().places
    drafts = [
        Draft(
            book=book,
            event=Placement(
                on=said.on,
                spot=said.kept_in,
                room=stands_in(kept, said.kept_in, said.place or None),
                housings=_with_the_book(_last(ledger, reader, book)),
                place=Sealed.of(said.place or None),
            ),
        )
        for book in moves.down
    ]
    for book, spot in moves.hung:
        before = [placed for each in there.get(spot.where, ()) if (placed := _last(ledger, reader, each))]
        frames = [each for placed in before for each in placed.housings if each.around is Around.FRAME]
        place = next((each.place.value for each in before if each.place.value), None)
        drafts.append(
            Draft(
                book=book,
                event=Placement(
                    on=said.on,
                    spot=Spot.WALL,
                    room=spot.room,
                    wall=spot.wall,
                    x_cm=spot.x_cm,
                    y_cm=spot.y_cm,
                    housings=(*_with_the_book(_last(ledger, reader, book)), *frames[:1]),
                    place=Sealed.of(place),
                ),
            )
        )
    return drafts


def _last(ledger: Ledger, reader: Reader, book: str) -> Placement | None:
    """The placement that counts now."""
    moments = history(reader.of_book(book), ledger.codec)
    placed = [each.event for each in moments if each.in_force and isinstance(each.event, Placement)]
    return placed[-1] if placed else None


def _with_the_book(placed: Placement | None) -> tuple[Housing, ...]:
    found: Sequence[Housing] = placed.housings if placed else ()
    return tuple(each for each in found if each.around in _WITH_THE_BOOK)


def _was_written(ledger: Ledger, request: Request | None) -> bool:
    """The key of this request stands for something already, so that its answer is given again."""
    if request is None or request.key is None:
        return False
    with ledger.log.read() as reader:
        return reader.receipt(request.key) is not None


def accepted_plan(ledger: Ledger) -> Rotation | None:
    """The plan that counts, for reminders; None while there is none."""
    if ledger.care is None:
        return None
    with ledger.care.read() as reader:
        found = [rotation_of(row) for row in reader.rows(Drawer.ROTATION)]
    return next((each for each in found if each is not None and each.standing is Standing.ACCEPTED), None)
