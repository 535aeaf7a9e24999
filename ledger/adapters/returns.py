"""The rate of return by pyxirr, and by halving where its search ends without one."""

from collections.abc import Sequence
from math import exp, expm1, isfinite, log
from typing import Final

import pyxirr

from ledger.returns import Flow

__all__ = ["XirrReturns"]

YEAR: Final = 365
"""Days of a year. Source: the day count ACT/365 fixed."""
_WIDEST: Final = log(1e15)
_HALVINGS: Final = 200
"""More than a double has bits for."""


class XirrReturns:
    """As `returns.Returns`.

    Source: XNPV(r) = sum of a / (1 + r) ** (days / 365) over all payments, days from the first; the rate makes it nothing.
    """

    def rate(self, flows: Sequence[Flow]) -> float | None:
        """The yearly rate, 0.1 for ten per cent; None where the payments have none, or none that is a number."""
        dates, amounts = [flow.on for flow in flows], [float(flow.amount.minor) for flow in flows]
        found = pyxirr.xirr(dates, amounts, silent=True)
        if found is None:
            # Near a loss of all, its steps can leave the range in which there is a root; see the test with brentq.
            return _halved(flows)
        return found if isfinite(found) else None


def _halved(flows: Sequence[Flow]) -> float | None:
    """The one root between the widest bounds, where the payments change sign between them."""
    low, high = -_WIDEST, _WIDEST
    at_low = _sign(flows, low)
    if not flows or at_low * _sign(flows, high) >= 0:
        return None
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        low, high = (middle, high) if _sign(flows, middle) == at_low else (low, middle)
    return expm1((low + high) / 2)


def _sign(flows: Sequence[Flow], growth: float) -> int:
    """The sign of the payments' worth at a yearly growth, given by its logarithm; no power leaves the range of a double."""
    first = min((flow.on for flow in flows), default=None)
    if first is None:
        return 0
    powers = [-growth * (flow.on - first).days / YEAR for flow in flows]
    most = max(powers)
    worth = sum(flow.amount.minor * exp(power - most) for flow, power in zip(flows, powers, strict=True))
    return (worth > 0) - (worth < 0)
