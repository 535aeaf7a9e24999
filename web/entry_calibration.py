"""The temperature at the paper, offered from a tool's calibration where a load ends; taken by hand, and never as measured."""

from dataclasses import dataclass
from typing import Final

from ledger.tools import Tool
from ledger.usecases.tools import Expected, expected_at
from ledger.when import When
from web.forms import Typed
from web.wording import t

__all__ = ["MEASURED", "TAKE", "Offer", "offered", "with_calibration"]

TAKE: Final = "calibrated"
"""What the button of the offer sends as `do`."""
SET: Final = "settings.set_celsius"
MEASURED: Final = "settings.measured_celsius"
REMARK: Final = "remark"


@dataclass(frozen=True, kw_only=True)
class Offer:
    """What stands beside the form: what the calibration tells, and the button that takes it."""

    sentence: str
    button: str
    """Empty where there is nothing to take, or it was taken."""
    taken: bool
    """It stands in its field now."""

    @property
    def filled(self) -> str:
        """Names of the fields that it filled in, parted by spaces."""
        return f"{MEASURED} {REMARK}" if self.taken else ""


def offered(tool: Tool | None, typed: Typed) -> Offer | None:
    """The offer for what is set in the form now; None where the tool was never measured, or nothing is set."""
    found = _found(tool, typed)
    if found is None:
        return None
    words = {"tool": found.tool.name, "set": found.set_celsius, "day": _day(found)}
    if found.celsius is None:
        low, high = found.calibration.reach
        return Offer(sentence=t("calibration.beyond", **words, low=low, high=high), button="", taken=False)
    words |= {"celsius": str(found.celsius), "means": found.calibration.measured_with}
    if _first(typed, MEASURED) == str(found.celsius):
        return Offer(sentence=t("calibration.taken", **words), button="", taken=True)
    return Offer(
        sentence=t("calibration.offer", **words), button=t("calibration.take", celsius=found.celsius), taken=False
    )


def with_calibration(tool: Tool | None, typed: Typed) -> Typed:
    """What was typed with the offer taken: the temperature in its field, and in the remark where it comes from."""
    found = _found(tool, typed)
    if found is None or found.celsius is None:
        return typed
    said = t(
        "calibration.remark",
        celsius=found.celsius,
        tool=found.tool.name,
        day=_day(found),
        means=found.calibration.measured_with,
    )
    before = _first(typed, REMARK).strip()
    remark = before if said in before else f"{before} {said}".strip()
    return {**typed, MEASURED: (str(found.celsius),), REMARK: (remark,)}


def _found(tool: Tool | None, typed: Typed) -> Expected | None:
    return None if tool is None else expected_at(tool, _first(typed, SET))


def _first(typed: Typed, name: str) -> str:
    return "".join(typed.get(name, ())[:1])


def _day(found: Expected) -> str:
    return When.of_day(found.calibration.on).label()
