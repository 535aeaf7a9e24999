"""Plans of rotation as they are sent and answered."""

from datetime import date
from fractions import Fraction

from pydantic import BaseModel, ConfigDict, Field

from api.schemas import Answer, WrittenEntry
from ledger.events._parts import Answer as YesNo
from ledger.events._spelling import SHORT_ID
from ledger.events.placement import PLACE_MOST, Spot
from ledger.rotations import Rotation, RotationBook, Span, Standing, Swap
from ledger.rules.rotation import BOOKS_MOST, PERIODS_MOST, SPOTS_MOST, Rows
from ledger.usecases.rotation_said import DAYS_MOST, LUX_HOURS_MOST, BookSaid, RotationSaid, SpotSaid
from ledger.when import When

__all__ = ["RotationAnswer", "RotationBody", "RotationList", "RowsBody", "SwapAnswer", "SwapBody", "told_rotation"]

_DECIMAL = r"^(0|[1-9][0-9]{0,5})(\.[0-9]{1,3})?$"
_LIMIT = "As much as a year allows; a plan of up to a year may use all of it."


class Body(BaseModel):
    """Nothing but what is named."""

    model_config = ConfigDict(extra="forbid")


class SpotBody(Body):
    """One spot on a wall; its light is what the ledger knows of it."""

    id: str = Field(min_length=1, max_length=40, description="Your own id of the spot within the plan.")
    room: str = Field(pattern=SHORT_ID, description="Id of the room.")
    wall: str = Field(pattern=SHORT_ID, description="Id of the wall within the room.")
    x_cm: str = Field(pattern=_DECIMAL, description="From the left end of the wall. Units: cm, a decimal as text.")
    y_cm: str = Field(pattern=_DECIMAL, description="From the floor. Units: cm, a decimal as text.")
    lux_hours_a_day: str | None = Field(
        None,
        pattern=_DECIMAL,
        description="Light of a day, on and off hours together, where the ledger knows none, or in its place; null is "
        "what the ledger knows. Units: lx h, a decimal as text.",
    )


class DoseBody(Body):
    """A dose to a just noticeable fade as a band. Units: lx h."""

    low: int = Field(ge=1, le=LUX_HOURS_MOST, description="Its least. Units: lx h.")
    middle: int = Field(ge=1, le=LUX_HOURS_MOST, description="Its middle; the plan is made with it. Units: lx h.")
    high: int = Field(ge=1, le=LUX_HOURS_MOST, description="Its most. Units: lx h.")


class RotationBookBody(Body):
    """One book that may hang, and what is asked of it; what fades it and what it took so far the ledger knows."""

    book: str = Field(min_length=1, max_length=64, description="Id of the book.")
    fade: DoseBody | None = Field(None, description="The dose that fades it; null is that of its class.")
    taken: int | None = Field(
        None,
        ge=0,
        le=LUX_HOURS_MOST,
        description="Light so far, where the ledger counted none, or in its place; null is what it counted. Units: lx h.",
    )
    always: bool = Field(default=False, description="It hangs in every period.")
    pinned: str | None = Field(None, max_length=40, description="The one spot where it may hang; null is any.")
    days_a_year: int | None = Field(None, ge=0, le=LUX_HOURS_MOST, description=f"Days it may hang. {_LIMIT}")
    lux_hours_a_year: int | None = Field(
        None, ge=0, le=LUX_HOURS_MOST, description=f"Light it may take. {_LIMIT} Units: lx h."
    )
    within_limit: bool = Field(default=False, description="The yearly limit of its class counts too.")

    def said(self) -> BookSaid:
        """As the ledger hears it."""
        fade = None if self.fade is None else (self.fade.low, self.fade.middle, self.fade.high)
        return BookSaid(**{**vars(self), "fade": fade})


class PairBody(Body):
    """Two books that never hang together."""

    one: str = Field(min_length=1, max_length=64, description="Id of a book of the plan.")
    other: str = Field(min_length=1, max_length=64, description="Id of another.")


class RotationBody(Body):
    """What a plan is to be made of."""

    starts: date = Field(description="Day of the first swap. Units: ISO 8601 date.")
    periods: list[int] = Field(
        min_length=1, max_length=PERIODS_MOST, description=f"Days of each period, {DAYS_MOST} in all at most. Units: d."
    )
    spots: list[SpotBody] = Field(min_length=1, max_length=SPOTS_MOST, description="The spots; all are always filled.")
    books: list[RotationBookBody] = Field(min_length=1, max_length=BOOKS_MOST, description="The books.")
    apart: list[PairBody] = Field([], max_length=BOOKS_MOST, description="Books that never hang together.")

    def said(self) -> RotationSaid:
        """As the ledger hears it."""
        return RotationSaid(
            starts=self.starts,
            periods=tuple(self.periods),
            spots=tuple(SpotSaid(**vars(each)) for each in self.spots),
            books=tuple(each.said() for each in self.books),
            apart=tuple((each.one, each.other) for each in self.apart),
        )


class RowsBody(Body):
    """The whole plan as it is to be from now on."""

    rows: list[list[str]] = Field(
        min_length=1, max_length=PERIODS_MOST, description="Period after period, the book at each spot by its id."
    )

    def said(self) -> Rows:
        """As the ledger hears it."""
        return tuple(tuple(each) for each in self.rows)


class SwapBody(Body):
    """A swap that was done."""

    number: int = Field(ge=1, le=PERIODS_MOST, description="Which, from 1.")
    on: When | None = Field(None, description="When. EDTF; null is not known.")
    kept_in: Spot = Field(Spot.BOX, description="Where books that were taken down lie now: `box` or `safe`.")
    place: str | None = Field(None, min_length=1, max_length=PLACE_MOST, description="Name of that place. Sealed.")


class LightBand(Answer):
    """Light as a band. Units: lx h, decimals as text."""

    low: str = Field(description="Its least. Units: lx h.")
    middle: str = Field(description="Its middle; the plan is made with it. Units: lx h.")
    high: str = Field(description="Its most. Units: lx h.")


class ShareBand(Answer):
    """A share of the dose to a just noticeable fade, light from before it was counted left out."""

    low: str = Field(description="With the most lightfast end of the band. 1 is one just noticeable fade.")
    middle: str = Field(description="With its middle; the plan is made with it.")
    high: str = Field(description="With its most sensitive end.")


class RotationBookAnswer(Answer):
    """One book of a plan, as it was known when the plan was made."""

    book: str = Field(description="Id of the book.")
    taken_for: str = Field(description="The class its doses are of, or `typed`.")
    fade: LightBand | None = Field(
        description="Dose to a just noticeable fade; null where light does it nothing. Units: lx h."
    )
    filtered: LightBand | None = Field(
        description="The dose where ultraviolet is filtered out; null where it is the same. Units: lx h."
    )
    taken: LightBand | None = Field(
        description="Light before the plan; null is not known. From before it came it is never known. Units: lx h."
    )
    had: ShareBand | None = Field(description="Which part of a fade that was; null is not known.")
    taken_typed: bool = Field(description="It was typed, and not counted.")
    unknown_days: int = Field(description="Days here of which the light is not known. Units: d.")
    always: bool = Field(description="It hangs in every period.")
    pinned: str | None = Field(description="The one spot where it may hang; null is any.")
    days_a_year: int | None = Field(description="Days it may hang; null is no limit.")
    lux_hours_a_year: int | None = Field(description="Light it may take; null is no limit. Units: lx h.")
    days: int = Field(description="Days it hangs in the plan. Units: d.")
    share: ShareBand = Field(description="Its share of a fade at the end of the plan, as far as light was counted.")


class SpotAnswer(Answer):
    """One spot of a plan, as it was known when the plan was made."""

    id: str = Field(description="Its id within the plan.")
    room: str = Field(description="Id of the room.")
    wall: str = Field(description="Id of the wall.")
    x_cm: str = Field(description="From the left end of the wall. Units: cm, a decimal as text.")
    y_cm: str = Field(description="From the floor. Units: cm, a decimal as text.")
    light: LightBand = Field(description="Light of a day, on and off hours together. Units: lx h.")
    known: str = Field(description="How it is known, or `typed`.")
    filtered: YesNo = Field(description="Ultraviolet is filtered out before it falls on the book.")


class SwapTold(Answer):
    """One swap of a plan."""

    number: int = Field(description="Which, from 1.")
    due: date = Field(description="When. Units: ISO 8601 date.")
    until: date = Field(description="Until when it hangs so. Units: ISO 8601 date.")
    act: str | None = Field(
        description="The act that wrote it; null while none did, empty where nothing was to be moved."
    )
    passed_over: bool = Field(description="A later one was done, and this one not.")
    books: list[str] = Field(description="The book at each spot, in the order of the spots.")


class PairAnswer(Answer):
    """Two books that never hang together."""

    one: str = Field(description="Id of a book.")
    other: str = Field(description="Id of another.")


class RotationAnswer(Answer):
    """A plan: who hangs when. It is no entry; a swap that is done writes the placements."""

    id: str = Field(description="Id of the plan.")
    standing: Standing = Field(description="Of accepted plans there is one at a time.")
    starts: date = Field(description="Day of the first swap. Units: ISO 8601 date.")
    ends: date = Field(description="The day after its last. Units: ISO 8601 date.")
    largest: str = Field(
        description="The largest share of a fade over all books at its end, by the middle of each band. 1 is a fade."
    )
    least_possible: str = Field(description="No plan of this wish comes below it.")
    exact: bool = Field(description="No plan of this wish is better; otherwise it is the best that was found.")
    by_hand: bool = Field(description="Its owner changed it.")
    spots: list[SpotAnswer] = Field(description="The spots.")
    books: list[RotationBookAnswer] = Field(description="The books.")
    apart: list[PairAnswer] = Field(description="Books that never hang together.")
    swaps: list[SwapTold] = Field(description="The swaps, in order.")
    made: str = Field(description="When it was proposed. Units: UTC.")


class RotationList(Answer):
    """All plans."""

    rotations: list[RotationAnswer] = Field(description="The plans, the accepted one first, then the newest.")


class SwapAnswer(Answer):
    """The plan after a swap, and what was written."""

    rotation: RotationAnswer = Field(description="The plan as it is now.")
    act: str | None = Field(description="Id shared by the entries; null where all hung there already.")
    entries: list[WrittenEntry] = Field(description="Those taken down, then those hung; nothing where none was moved.")
    warnings: list[str] = Field(description="What did not stop it but should be looked at.")


def told_rotation(plan: Rotation, made: str) -> RotationAnswer:
    """The plan with its shares."""
    bands, days = plan.bands(), plan.days()
    return RotationAnswer(
        id=plan.id,
        standing=plan.standing,
        starts=plan.starts,
        ends=plan.ends,
        largest=_decimal(plan.largest),
        least_possible=_decimal(plan.least_possible),
        exact=plan.exact,
        by_hand=plan.by_hand,
        spots=[SpotAnswer(**{**vars(each), "light": _light(each.light)}) for each in plan.spots],
        books=[_book(each, days[each.book], bands[each.book]) for each in plan.books],
        apart=[PairAnswer(one=one, other=other) for one, other in plan.apart],
        swaps=[_swap(each) for each in plan.swaps],
        made=made,
    )


def _swap(swap: Swap) -> SwapTold:
    """Counted from 1, as people do."""
    return SwapTold(
        number=swap.number + 1,
        due=swap.due,
        until=swap.until,
        act=swap.act,
        passed_over=swap.passed_over,
        books=list(swap.row),
    )


def _book(book: RotationBook, days: int, share: Span) -> RotationBookAnswer:
    light = {name: _light(getattr(book, name)) for name in ("fade", "filtered", "taken")}
    return RotationBookAnswer(**{**vars(book), **light, "had": _share(book.had), "days": days, "share": _share(share)})


def _light(span: Span | None) -> LightBand | None:
    """To a tenth of a lux hour."""
    if span is None:
        return None
    low, middle, high = (f"{float(each):.1f}".removesuffix(".0") for each in (span.low, span.middle, span.high))
    return LightBand(low=low, middle=middle, high=high)


def _share(span: Span | None) -> ShareBand | None:
    if span is None:
        return None
    return ShareBand(low=_decimal(span.low), middle=_decimal(span.middle), high=_decimal(span.high))


def _decimal(share: Fraction) -> str:
    """Ten-thousandths and no finer: it is an index to compare by, and no measurement."""
    whole, part = divmod(round(share * 10_000), 10_000)
    return f"{whole}.{part:04d}"
