"""A book's choices weighed as its page asks for it: the weights that count, values from sales where there are some."""

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from fractions import Fraction
from typing import Final

from ledger.actor import Actor
from ledger.dose import dose_of
from ledger.events._parts import Holding
from ledger.events.intervention import Intervention
from ledger.events.outlook import WHOLE, Origin
from ledger.history import Moment
from ledger.money import Money
from ledger.outlooks import SUPPLENESS, TONE, computed, weights_of
from ledger.ports import Ledger
from ledger.proof.report import MalformedError
from ledger.rules.ageing import Band
from ledger.rules.book_ceiling import Fault
from ledger.rules.distributions import Distribution
from ledger.rules.grades import Grade
from ledger.rules.worth import Choice, Unvalued, Way, Weighed, Weights
from ledger.rules.worth_assumed import Assumed
from ledger.rules.worth_gained import Gain, gained
from ledger.usecases.look import look_at
from ledger.usecases.outlook import OutlookView, outlook_of
from ledger.usecases.weighing_values import Said, ValueUsed, fits_of, given_up_of, grade_now, known_values, used_values
from ledger.usecases.worth import Asked, Worth, assumptions, reason_of, ways_of, worth_of

__all__ = ["EASED_BY", "EasedDefect", "Weighing", "break_even_of", "weigh_book"]

EASED_BY: Final = Fraction(1, 10)
"""How much likelier a defect is to go where it is eased further, or where the book has one more session. Our assumption."""


@dataclass(frozen=True, kw_only=True)
class EasedDefect:
    """One defect, and what it is worth that it is ten points of a hundred likelier to go."""

    number: int
    fault: Fault
    gain: Gain | Unvalued


@dataclass(frozen=True, kw_only=True)
class Weighing:
    """The choices of one book with all that they were weighed by."""

    view: OutlookView
    currency: str
    origin: Origin | None
    """Whose outlook the weights are; None where there is none, and nothing but leaving can be weighed."""
    outlook: int | None
    """The entry of the collector's own outlook; None where the computed one counts, which is in no entry."""
    weights: Weights
    given_up: ValueUsed
    """What the book is worth as it is, and at which step."""
    raw: tuple[ValueUsed, ...]
    """Of every step that has weight where it is sold raw, the lowest first."""
    graded: tuple[ValueUsed, ...]
    session_told: bool
    """What one more session may come to was typed, and is not the assumption."""
    session_heat: Band | None
    """The heat of the last session here that can be told, which the next is taken to cost; None where none can."""
    worth: Worth | None
    """None where it is not known what would be given up, or no weights are there."""
    assumed: Mapping[Choice, Assumed]
    at_least: Grade | None
    eased: tuple[EasedDefect, ...]
    reason: str | None

    def of(self, choice: Choice) -> Weighed | Unvalued | None:
        """What a choice came to; None where it was not weighed."""
        found = self.worth.choices if self.worth is not None else ()
        return next((each for each in found if each.choice is choice), None)


@dataclass(frozen=True)
class _Weights:
    """What each choice is weighed by; without weights for one, it is not weighed."""

    origin: Origin | None
    outlook: int | None
    raw: Weights
    graded: Weights
    session: Weights


def weigh_book(ledger: Ledger, actor: Actor, book: str, said: Said, day: date) -> Weighing:
    """A book's choices; nothing is guessed: a step without sales and without a typed value leaves its choice unweighed.

    The weights are those of the collector's last own outlook without a result, else the computed ones in thousandths,
    as an outlook is stored. Sold raw, it brings what its computed grades as it lies bring. After one more session each
    defect is ten points of a hundred likelier to go, where the computed weights count and nothing is typed.
    Raises: NotFoundError; WorthError, TableError, OtherCurrencyError for what cannot be weighed.
    """
    look, view = look_at(ledger, actor, book), outlook_of(ledger, actor, book)
    by, fits = _weights(view, grade_now(look.book), said), fits_of(ledger, actor, look.book, said.currency, day)
    given_up = given_up_of(look.book, said, fits)
    values = {Holding.RAW: known_values(said.raw, fits.raw), Holding.SLABBED: known_values(said.graded, fits.graded)}
    heat = _session_heat(look.moments)
    asked = [_asked(choice, view, said, by, values, heat) for choice in Choice]
    worth = None
    if given_up.value is not None and by.graded:
        weighable = [each for each in asked if each.weights or each.choice is Choice.LEAVE]
        worth = worth_of(ledger, actor, book, given_up.value, weighable)
    at_least = said.at_least or _needed(worth, by.graded)
    eased: tuple[EasedDefect, ...] = ()
    if worth is not None and given_up.value is not None and at_least is not None:
        (way,) = ways_of(given_up.value, [asked[list(Choice).index(Choice.WORK_THEN_GRADE)]], worth.assumed)
        eased = tuple(_eased(view, way, at_least))
    return Weighing(
        view=view,
        currency=fits.currency,
        origin=by.origin,
        outlook=by.outlook,
        weights=by.graded,
        given_up=given_up,
        raw=used_values({**dict.fromkeys(said.raw, 1), **by.raw}, said.raw, values[Holding.RAW]),
        graded=used_values(_steps(view, by, said), said.graded, values[Holding.SLABBED]),
        session_told=said.after is not None,
        session_heat=heat,
        worth=worth,
        assumed=assumptions(ledger, actor),
        at_least=at_least,
        eased=eased,
        reason=reason_of(look),
    )


def break_even_of(ledger: Ledger, actor: Actor, book: str, currency: str | None, day: date) -> Grade | None:
    """The step needed for work to pay, with nothing typed; None where that cannot be weighed by sales alone."""
    if ledger.market is None:
        return None
    try:
        found = weigh_book(ledger, actor, book, Said(currency=currency), day).of(Choice.WORK_THEN_GRADE)
    except MalformedError:
        return None
    even = found.break_even if isinstance(found, Weighed) else None
    return None if even is None else even.needed


def _weights(view: OutlookView, now: Grade | None, said: Said) -> _Weights:
    own = [
        each
        for attempt, each in view.stated
        if each.outlook.origin is Origin.OWN and attempt.outcome is None and attempt.ended_by is None
    ]
    lies = _stored(view.computed.grades_now) if view.computed is not None else {}
    raw: Weights = lies or ({now: WHOLE} if now is not None else {})
    if own:
        weights = {each.grade: each.per_mille for each in own[-1].outlook.weights}
        return _Weights(Origin.OWN, own[-1].seq, raw, weights, said.after or {})
    if view.grades is None:
        return _Weights(None, None, raw, {}, said.after or {})
    return _Weights(Origin.COMPUTED, None, raw, _stored(view.grades), said.after or _stored(_one_more(view)))


def _stored(of: Distribution) -> dict[Grade, int]:
    return {each.grade: each.per_mille for each in weights_of(of)}


def _one_more(view: OutlookView) -> Distribution:
    """The grades where every defect is so much likelier to go."""
    chances = {name: each.eased_by(EASED_BY) for name, each in view.chances.items()}
    return computed(view.faults, chances, view.kernel.kernel, view.rules.ceilings).grades_after


def _steps(view: OutlookView, by: _Weights, said: Said) -> Weights:
    """Every step of which it matters what it brings graded: where anything weighs, or was typed."""
    eased = {} if view.computed is None else {**_stored(view.computed.grades_after), **_stored(_one_more(view))}
    return {**dict.fromkeys(said.graded, 1), **eased, **by.session, **by.graded}


def _session_heat(moments: Sequence[Moment]) -> Band | None:
    steps = [each.event for each in moments if each.in_force and isinstance(each.event, Intervention)]
    bands = [dose.band for step in steps if (dose := dose_of(step)) is not None and dose.band is not None]
    return bands[-1] if bands else None


def _asked(  # noqa: PLR0913 - all that one choice is weighed by
    choice: Choice,
    view: OutlookView,
    said: Said,
    by: _Weights,
    values: Mapping[Holding, Mapping[Grade, Money]],
    heat: Band | None,
) -> Asked:
    graded = choice in (Choice.WORK_THEN_GRADE, Choice.ONE_MORE_SESSION)
    more = (said.session,) if choice is Choice.ONE_MORE_SESSION else ()
    spent = (said.work, *more, said.grading, said.postage) if graded else ()
    hot = choice is Choice.ONE_MORE_SESSION or (choice is Choice.WORK_THEN_GRADE and not view.work_over)
    return Asked(
        choice=choice,
        weights={Choice.SELL_RAW: by.raw, Choice.ONE_MORE_SESSION: by.session}.get(choice, by.graded),
        values=values[Holding.SLABBED if graded else Holding.RAW],
        spent=tuple(each for each in spent if each is not None),
        sale_keeps_per_mille=None if choice is Choice.LEAVE else said.sale_keeps,
        risk_per_mille=said.risks.get(choice),
        harm_takes_per_mille=said.harm_takes if graded else None,
        days=said.days.get(choice),
        heat=heat if hot else None,
    )


def _needed(worth: Worth | None, weights: Weights) -> Grade | None:
    """The step needed for work to pay; where none is, or it is held certain or impossible, the likeliest of the weights."""
    found = [each for each in worth.choices if each.choice is Choice.WORK_THEN_GRADE] if worth is not None else []
    even = found[0].break_even if found and isinstance(found[0], Weighed) else None
    if even is not None and 0 < even.held < 1:
        return even.needed
    return max(weights, key=lambda each: (weights[each], -each.step), default=None)


def _eased(view: OutlookView, way: Way, at_least: Grade) -> Iterator[EasedDefect]:
    """What easing each defect is worth, by the computed grades after the round, whosever weights count above."""
    if view.computed is None:
        return
    before = view.computed.grades_after
    for fault in view.faults:
        if fault.id in (TONE, SUPPLENESS):
            continue  # no session eases the paper itself
        after = view.with_chances(fault.id, view.chances[fault.id].eased_by(EASED_BY)).grades_after
        kept = {*_stored(before), *_stored(after)}
        gain = gained(replace(way, weights=_over(before, kept)), _over(after, kept), at_least)
        yield EasedDefect(number=view.by_number[fault.id], fault=fault, gain=gain)


def _over(of: Distribution, kept: Collection[Grade]) -> dict[Grade, Fraction]:
    """The exact chances of these steps; the others have less than one in a thousand, and are left out."""
    return {each: of.chance_of(each) for each in kept}
