"""Plans of rotation: proposed, changed by hand, accepted, taken away. None of it writes an entry; a swap that is done does.

They lie beside the ledger. Of accepted plans there is one at a time.
"""

from collections.abc import Iterable
from dataclasses import replace
from fractions import Fraction
from typing import Final

from ledger.actor import Actor, Permission
from ledger.care import CareReader, CareRow, CareWriter, Drawer
from ledger.errors import ConflictError, InvalidError, NotFoundError, Problem
from ledger.ports import Ledger
from ledger.rotation_kept import rotation_of, said_of
from ledger.rotations import Rotation, Standing, wish_of
from ledger.rules.rotation import Rows, breaches, flaws_of_wish
from ledger.rules.rotation_search import Proposal, propose
from ledger.usecases.beside import care_store
from ledger.usecases.record import random_id
from ledger.usecases.rotation_known import known_light, rotation_books, rotation_spots
from ledger.usecases.rotation_said import RotationSaid, flaws_of_said

__all__ = [
    "PLANS_MOST",
    "accept_rotation",
    "change_rotation",
    "look_at_rotation",
    "look_at_rotations",
    "need_rotation",
    "propose_rotation",
    "put_rotation",
    "rotations_of",
    "take_rotation",
]

PLANS_MOST: Final = 20


def look_at_rotations(ledger: Ledger, actor: Actor) -> tuple[Rotation, ...]:
    """All of them, the accepted one first, then the newest."""
    actor.require(Permission.READ)
    found = rotations_of(ledger)
    found.reverse()
    return tuple(sorted(found, key=lambda each: each.standing is not Standing.ACCEPTED))


def look_at_rotation(ledger: Ledger, actor: Actor, rotation: str) -> Rotation:
    """One of them.

    Raises: NotFoundError.
    """
    actor.require(Permission.READ)
    with care_store(ledger).read() as reader:
        return need_rotation(reader, rotation)


def rotations_of(ledger: Ledger) -> list[Rotation]:
    """All that can be read, in the order they were made."""
    if ledger.care is None:
        return []
    with ledger.care.read() as reader:
        found = [rotation_of(row) for row in reader.rows(Drawer.ROTATION)]
    return [each for each in found if each is not None]


def propose_rotation(ledger: Ledger, actor: Actor, said: RotationSaid) -> Rotation:
    """The best plan for what was said, kept as a proposal.

    Keeps: light, doses and what was counted so far are the ledger's, as it knows them today, wherever none is typed.
    Raises: InvalidError, NotFoundError for a book that is not here, ConflictError where there is no such plan.
    """
    actor.require(Permission.RECORD)
    _refuse(flaws_of_said(said))
    known = known_light(ledger, actor, said.spots, [each.book for each in said.books])
    now = tuple(known.hung.get(each.where, (None,))[0] for each in said.spots)
    empty = Rotation(
        row=CareRow(id=random_id(ledger.chance), made=ledger.clock.now(), said={}),
        starts=said.starts, periods=said.periods, apart=said.apart,
        spots=rotation_spots(said.spots, known), books=rotation_books(said.books, known),
        least_possible=Fraction(0), exact=False, rows=(),
    )  # fmt: skip
    wish = wish_of(empty)
    _refuse(flaws_of_wish(wish))
    found = propose(wish, now=now)
    if not isinstance(found, Proposal):
        how = "There is no such plan" if found.proven else "No such plan was found"
        raise ConflictError(sentence=f"{how}. Give up a wish, or let more books take turns.")
    made = replace(empty, rows=found.rows, least_possible=found.least_possible, exact=found.exact)

    def work(writer: CareWriter) -> Rotation:
        if len(writer.rows(Drawer.ROTATION)) >= PLANS_MOST:
            raise ConflictError(sentence=f"There are {PLANS_MOST} plans. Take one away first.")
        return put_rotation(writer, made)

    return care_store(ledger).write(work)


def change_rotation(ledger: Ledger, actor: Actor, rotation: str, rows: Rows) -> Rotation:
    """The plan with its rows as they were changed by hand.

    Keeps: what was done or passed over stays as it was; a row that breaks a wish is refused, naming the wish.
    Raises: NotFoundError, InvalidError, ConflictError.
    """
    actor.require(Permission.RECORD)

    def work(writer: CareWriter) -> Rotation:
        found = need_rotation(writer, rotation)
        _refuse(breaches(wish_of(found), rows))
        fixed = [each.number for each in found.swaps if not each.open]
        moved = next((each for each in fixed if rows[each] != found.rows[each]), None)
        if moved is not None:
            raise ConflictError(sentence=f"Swap {moved + 1} is over. Change those that are still to come.")
        changed = replace(found, rows=rows, by_hand=found.by_hand or rows != found.rows)
        exact = changed.largest == found.least_possible
        return put_rotation(writer, replace(changed, exact=exact))

    return care_store(ledger).write(work)


def accept_rotation(ledger: Ledger, actor: Actor, rotation: str) -> Rotation:
    """The plan counts from now on; nothing is written to the ledger by that.

    Raises: NotFoundError, ConflictError where another counts.
    """
    actor.require(Permission.RECORD)

    def work(writer: CareWriter) -> Rotation:
        found = need_rotation(writer, rotation)
        others = [rotation_of(row) for row in writer.rows(Drawer.ROTATION) if row.id != rotation]
        if any(each is not None and each.standing is Standing.ACCEPTED for each in others):
            raise ConflictError(sentence="Another plan counts already. Take it away first; what it wrote stays.")
        return put_rotation(writer, replace(found, standing=Standing.ACCEPTED))

    return care_store(ledger).write(work)


def take_rotation(ledger: Ledger, actor: Actor, rotation: str) -> None:
    """It is no longer kept; the placements its swaps wrote stay in the ledger.

    Raises: NotFoundError.
    """
    actor.require(Permission.RECORD)

    def work(writer: CareWriter) -> None:
        if writer.row(Drawer.ROTATION, rotation) is None:
            raise NotFoundError(what="plan of rotation", name=rotation)
        writer.take(Drawer.ROTATION, rotation)

    care_store(ledger).write(work)


def put_rotation(writer: CareWriter, plan: Rotation) -> Rotation:
    """The plan, kept in the place of what was there under its id."""
    row = CareRow(id=plan.id, made=plan.row.made, said=said_of(plan))
    writer.put(Drawer.ROTATION, row)
    return replace(plan, row=row)


def need_rotation(reader: CareReader, rotation: str) -> Rotation:
    """Raises: NotFoundError, also for one that was harmed."""
    row = reader.row(Drawer.ROTATION, rotation)
    found = None if row is None else rotation_of(row)
    if found is None:
        raise NotFoundError(what="plan of rotation", name=rotation)
    return found


def _refuse(problems: Iterable[Problem]) -> None:
    found = tuple(problems)
    if found:
        raise InvalidError(problems=found)
