"""The collector's own outlook as it is written: typed in a line or dragged step by step, read, and made an entry."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from ledger.errors import InvalidError, LedgerError, Problem
from ledger.events.outlook import WHOLE, Origin, Outlook, OutlookStage, Weight
from ledger.outlook_said import OutlookSaid, OutlookSaidError, read_outlook
from ledger.outlooks import weights_of
from ledger.ports import Ledger
from ledger.rules.grades import Grade, grades
from ledger.rules.largest_remainder import shared_out
from ledger.usecases.outlook import OutlookView
from ledger.when import When
from web.entering import Fault, faults_listed, fresh_key, key_of, refusal
from web.posted import Posted
from web.wording import t

__all__ = ["Own", "outlook_event", "own_of"]

BAR: Final = "bar."
BAR_MOST: Final = 100
SAID: Final = "said"
BARS_AROUND: Final = 4
"""Steps that have a bar to drag, on either side of the likeliest; every other step is typed."""
USUAL: Final = Grade("7.5")
"""Where the bars are while nothing is known."""


@dataclass(frozen=True, kw_only=True)
class DragBar:
    """One step with a bar: its chance out of all bars together."""

    grade: str
    value: int


@dataclass(frozen=True, kw_only=True)
class Own:
    """What the collector is writing: as typed, and how it was read."""

    said: str
    stage: str
    bars: tuple[DragBar, ...]
    weights: tuple[Weight, ...]
    how: str
    """By what rule the rest was shared; empty where nothing was left open."""
    key: str
    problems: tuple[Fault, ...]

    @property
    def read(self) -> str:
        """The weights as they were read, in words; empty before anything was."""
        return ", ".join(
            t("outlook.weight", grade=each.grade, chance=f"{each.per_mille / 10:g}") for each in self.weights
        )


def outlook_event(view: OutlookView, posted: Posted, ledger: Ledger) -> Outlook:
    """What is to be written. Raises: InvalidError."""
    ceiling = view.computed.held.grade if view.computed else None
    stage = _stage(view, posted)
    on = When.of_day(ledger.clock.today())
    if posted.get("do") == "computed" and view.grades is not None:
        return Outlook(on=on, weights=weights_of(view.grades), origin=Origin.COMPUTED, ceiling=ceiling, stage=stage)
    weights, _ = _said(posted)
    return Outlook(on=on, weights=weights, origin=Origin.OWN, ceiling=ceiling, stage=stage)


def _stage(view: OutlookView, posted: Posted) -> OutlookStage:
    known = {each.value: each for each in OutlookStage}
    usual = OutlookStage.BEFORE_SENDING if view.work_over else OutlookStage.RAW
    return known.get(posted.get("stage"), usual)


def _said(posted: Posted) -> tuple[tuple[Weight, ...], str]:
    """The weights that were typed or dragged, and by what rule the rest was shared.

    Raises: InvalidError.
    """
    text = posted.get(SAID)
    if text:
        read = _read_text(text)
        return tuple(Weight(grade=grade, per_mille=share) for grade, share in read.weights), read.how
    bars = {name: _bar(posted, name) for name in _barred(posted)}
    if not any(bars.values()):
        raise InvalidError(problems=(Problem(field=SAID, sentence=t("outlook.nothing_said")),))
    steps = sorted(bars, key=lambda name: Grade(name).step)
    shares = shared_out(WHOLE, [bars[name] for name in steps])
    found = (Weight(grade=Grade(name), per_mille=share) for name, share in zip(steps, shares, strict=True) if share)
    return tuple(found), ""


def _read_text(text: str) -> OutlookSaid:
    try:
        return read_outlook(text)
    except OutlookSaidError as flaw:
        sentence = f"{flaw.problem[:1].upper()}{flaw.problem[1:]}. {flaw.mend}"
        raise InvalidError(problems=(Problem(field=SAID, sentence=sentence),)) from flaw


def _barred(posted: Posted) -> tuple[str, ...]:
    known = {str(Grade.at(step)) for step in range(len(grades()))}
    return tuple(name.removeprefix(BAR) for name, _ in posted.fields if name.removeprefix(BAR) in known)


def _bar(posted: Posted, name: str) -> int:
    value = posted.get(f"{BAR}{name}")
    return min(int(value), BAR_MOST) if value.isascii() and value.isdigit() and len(value) <= 3 else 0  # noqa: PLR2004


def own_of(ledger: Ledger, view: OutlookView, posted: Posted, error: LedgerError | None) -> Own:
    """What is being written, as it was sent; read only where that was asked for."""
    weights: tuple[Weight, ...] = ()
    how, problems = "", refusal(error).problems if error is not None else ()
    if error is None and posted.get("do") == "show":
        try:
            weights, how = _said(posted)
        except InvalidError as flaw:
            problems = flaw.problems
    return Own(
        said=posted.get(SAID),
        stage=_stage(view, posted).value,
        bars=_bars(view, posted, weights),
        weights=weights,
        how=how,
        key=key_of(ledger, posted) if error is None else fresh_key(ledger),
        problems=faults_listed(problems, {SAID: t("outlook.own.said"), "stage": t("outlook.own.stage")}),
    )


def _bars(view: OutlookView, posted: Posted, weights: Sequence[Weight]) -> tuple[DragBar, ...]:
    """The bars as they stand: as dragged, as typed, or all at 0; around where the book is likeliest to land."""
    typed = {str(each.grade): round(each.per_mille / 10) for each in weights}
    middle = max(weights, key=lambda each: each.per_mille).grade if weights else None
    if middle is None:
        middle = view.grades.likeliest if view.grades is not None else USUAL
    last = max(2 * BARS_AROUND, min(len(grades()) - 1, middle.step + BARS_AROUND))
    steps = [str(Grade.at(step)) for step in range(max(0, last - 2 * BARS_AROUND), last + 1)]
    names = sorted({*steps, *typed, *_barred(posted)}, key=lambda name: Grade(name).step)
    return tuple(DragBar(grade=name, value=typed.get(name, _bar(posted, name))) for name in names)
