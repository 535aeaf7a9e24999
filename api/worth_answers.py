"""What a book's choices come to, as they are asked for and answered."""

from fractions import Fraction
from typing import Annotated

from pydantic import Field

from api.outlook_answers import DECIMALS, WeightAnswer
from api.queries import Asked, Step
from api.schemas import Answer
from ledger.events.outlook import Origin
from ledger.money import Money
from ledger.outlook_said import LONGEST
from ledger.rules.ageing import Band
from ledger.rules.worth import WHOLE, Choice, Unvalued, Weighed
from ledger.usecases.weighing import EasedDefect, Weighing
from ledger.usecases.weighing_values import ValueUsed

_AMOUNT = r"^[0-9]{1,15}(\.[0-9]{1,4})?$"
_AT = r"^[0-9]{1,2}\.[0-9]=[0-9]{1,15}(\.[0-9]{1,4})?$"
_IN = "Units: the currency asked for, with a point for decimals."

StepValue = Annotated[str, Field(pattern=_AT)]
Amount = Annotated[str | None, Field(pattern=_AMOUNT)]
PerMille = Annotated[int | None, Field(ge=0, le=WHOLE)]
DayCount = Annotated[int | None, Field(ge=0, le=9999)]


class WorthAsked(Asked):
    """By what a book's choices are weighed; what is left out is taken from sales, as assumed, or as nothing spent."""

    currency: str = Field(pattern=r"^[A-Z]{3}$", description="ISO 4217 code of every amount.", examples=["USD"])
    given_up: Amount = Field(None, description=f"What the book is worth as it is. {_IN}", examples=["120.00"])
    graded: list[StepValue] = Field(
        [],
        max_length=25,
        description=f"What a step brings graded, as step=amount; repeat it for more. {_IN}",
        examples=[["8.0=400.00"]],
    )
    raw: list[StepValue] = Field(
        [],
        max_length=25,
        description=f"What a step brings raw, as step=amount; repeat it for more. {_IN}",
        examples=[["8.0=250.00"]],
    )
    work: Amount = Field(None, description=f"Work and supplies. {_IN}", examples=["9.00"])
    session: Amount = Field(None, description=f"One more session, on top. {_IN}", examples=["5.00"])
    grading: Amount = Field(None, description=f"Grading fee. {_IN}", examples=["30.00"])
    postage: Amount = Field(None, description=f"Postage and insurance. {_IN}", examples=["10.00"])
    sale_keeps_per_mille: PerMille = Field(
        None, description="What a sale keeps back. Units: per mille.", examples=[150]
    )
    harm_takes_per_mille: PerMille = Field(None, description="What harm takes. Units: per mille.", examples=[400])
    work_risk_per_mille: PerMille = Field(
        None, description="How likely the work harms the book. Units: per mille.", examples=[10]
    )
    session_risk_per_mille: PerMille = Field(
        None, description="The same of one more session. Units: per mille.", examples=[5]
    )
    sale_days: DayCount = Field(None, description="Until it is sold raw. Units: days.", examples=[14])
    work_days: DayCount = Field(None, description="Until it is back graded. Units: days.", examples=[90])
    session_days: DayCount = Field(None, description="The same with one more session. Units: days.", examples=[100])
    after: str | None = Field(
        None,
        max_length=LONGEST,
        description="What is held likely after one more session, as people write an outlook.",
        examples=["60 % 8.0, 40 % 8.5"],
    )
    at_least: Step | None = Field(None, description="Of which step the chance is told.", examples=["8.0"])


class StepValueAnswer(Answer):
    """What a step brings."""

    grade: str | None = Field(description="Step of the ten-point scale; null where none is known of the book.")
    value: Money | None = Field(description="Null where neither a sale nor the question says it; it is not guessed.")
    typed: bool = Field(description="It came with the question, and is not what sales say.")


class HeatAnswer(Answer):
    """A dose of heat."""

    low: float = Field(ge=0, description="The least. Units: days at 20 °C and 50 % humidity.")
    middle: float = Field(ge=0, description="The likeliest. Units: days at 20 °C and 50 % humidity.")
    high: float = Field(ge=0, description="The most. Units: days at 20 °C and 50 % humidity.")


class BreakEvenAnswer(Answer):
    """The step that is needed."""

    needed: str = Field(description="From this step on nothing is lost on average.")
    chance: float = Field(
        description="How likely it or a better one must be for nothing to be won or lost. Units: 0 to 1."
    )
    held: float = Field(ge=0, le=1, description="How likely it is held to be. Units: 0 to 1.")


class ChoiceAnswer(Answer):
    """One choice, against leaving the book as it is."""

    choice: Choice = Field(description="What is done with the book.")
    title: str = Field(description="The same in words.")
    unvalued: list[str] = Field(description="Steps of which the value is not known, so that it is not weighed.")
    cost: Money | None = Field(description="What is spent before a sale; null where it is not weighed.")
    net: Money | None = Field(description="Expected value, less what is spent and given up.")
    low: Money | None = Field(description="Nine times in ten it lies between this and `high`.")
    high: Money | None = Field(description="See `low`.")
    loss: float | None = Field(description="How likely it leaves less than leaving the book. Units: 0 to 1.")
    break_even: BreakEvenAnswer | None = Field(description="Null where no step would do, or nothing hangs on one.")
    days: int | None = Field(description="Until it is over. Units: days.")
    heat: HeatAnswer | None = Field(
        description="As the last session here; null where there is none, or it is not known."
    )


class EasedAnswer(Answer):
    """What it is worth that one defect is ten of a hundred likelier to go."""

    number: int = Field(ge=1, description="Its number, as on the outlook.")
    id: str = Field(description="Id of the defect.")
    value: Money | None = Field(description="Added to the expected value; null where a step has no value.")
    chance: float | None = Field(description="Added to the chance of `at_least` or better. Units: 0 to 1.")
    unvalued: list[str] = Field(description="Steps of which the value is not known.")


class BookWorthAnswer(Answer):
    """The choices for one book, with all that they were weighed by. Money never decides."""

    book: str = Field(description="Id of the book.")
    currency: str = Field(description="ISO 4217 code of every amount here.")
    reason: str | None = Field(description="The collector's own reason for the book; null where none is at hand.")
    origin: Origin | None = Field(description="Whose outlook the weights are; null where there is none.")
    outlook: int | None = Field(description="The entry of that outlook; null for a computed one, which is in none.")
    weights: list[WeightAnswer] = Field(description="By what work then grade is weighed.")
    given_up: StepValueAnswer = Field(description="What the book is worth as it is.")
    graded: list[StepValueAnswer] = Field(description="What the steps with weight bring graded.")
    raw: list[StepValueAnswer] = Field(description="What the steps with weight bring raw.")
    choices: list[ChoiceAnswer] = Field(description="Those that could be weighed, or that lack a value.")
    at_least: str | None = Field(description="Of which step the chance is told below.")
    eased: list[EasedAnswer] = Field(description="Each defect, eased further, by the computed outlook.")


def book_worth(found: Weighing) -> BookWorthAnswer:
    """The choices as they are answered."""
    total = sum((Fraction(each) for each in found.weights.values()), Fraction(0))
    return BookWorthAnswer(
        book=found.view.book,
        currency=found.currency,
        reason=found.reason,
        origin=found.origin,
        outlook=found.outlook,
        weights=[
            WeightAnswer(grade=str(grade), per_mille=int(Fraction(weight) * WHOLE / total))
            for grade, weight in sorted(found.weights.items())
        ],
        given_up=_value(found.given_up),
        graded=[_value(each) for each in found.graded],
        raw=[_value(each) for each in found.raw],
        choices=[_choice(found, each) for each in (found.worth.choices if found.worth is not None else ())],
        at_least=None if found.at_least is None else str(found.at_least),
        eased=[_eased(found, each) for each in found.eased],
    )


def _value(each: ValueUsed) -> StepValueAnswer:
    return StepValueAnswer(grade=None if each.grade is None else str(each.grade), value=each.value, typed=each.typed)


def _choice(found: Weighing, of: Weighed | Unvalued) -> ChoiceAnswer:
    title = found.assumed[of.choice].title
    told = of if isinstance(of, Weighed) else None
    even = told.break_even if told is not None else None
    return ChoiceAnswer(
        choice=of.choice,
        title=title,
        unvalued=[str(each) for each in of.steps] if isinstance(of, Unvalued) else [],
        cost=told.money(told.cost) if told else None,
        net=told.money(told.net) if told else None,
        low=told.money(told.low) if told else None,
        high=told.money(told.high) if told else None,
        loss=round(float(told.loss), DECIMALS) if told else None,
        break_even=None
        if even is None
        else BreakEvenAnswer(
            needed=str(even.needed),
            chance=round(float(even.chance), DECIMALS),
            held=round(float(even.held), DECIMALS),
        ),
        days=told.days if told else None,
        heat=_heat(told.heat) if told else None,
    )


def _heat(band: Band | None) -> HeatAnswer | None:
    return None if band is None else HeatAnswer(low=band.low, middle=band.middle, high=band.high)


def _eased(found: Weighing, each: EasedDefect) -> EasedAnswer:
    gain = each.gain
    if isinstance(gain, Unvalued):
        steps = [str(step) for step in gain.steps]
        return EasedAnswer(number=each.number, id=each.fault.id, value=None, chance=None, unvalued=steps)
    value = Money(round(gain.value), found.currency, Money.zero(found.currency).exponent)
    chance = round(float(gain.chance), DECIMALS)
    return EasedAnswer(number=each.number, id=each.fault.id, value=value, chance=chance, unvalued=[])
