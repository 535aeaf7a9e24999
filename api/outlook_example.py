"""An example of scored forecasts: two books, worked out by hand, of which one is not back yet."""

from typing import Any, Final

_BOOK: Final = "b7q2m4x6n5k3j8h2g4f6d5s3a7"
_OUT: Final = "c7q2m4x6n5k3j8h2g4f6d5s3a8"
_WEIGHTS: Final = [
    {"grade": "9.0", "per_mille": 250},
    {"grade": "9.2", "per_mille": 500},
    {"grade": "9.4", "per_mille": 250},
]
_SCORES: Final[dict[str, Any]] = {
    "rps": 0.125, "rps_normalised": 0.005208, "log": 0.693147, "brier": 0.375, "floored": False,
}  # fmt: skip
_STAYS: Final[dict[str, Any]] = {
    "rps": 2.0, "rps_normalised": 0.083333, "log": 7.600902, "brier": 2.0, "floored": True,
}  # fmt: skip
_SCORED: Final[dict[str, Any]] = {
    "book": _BOOK,
    "name": "The Copper Lantern 14",
    "entry": 12,
    "recorded": "2026-02-10T12:00:01.000000Z",
    "stage": "before sending",
    "origin": "own",
    "weights": _WEIGHTS,
    "mended_since": False,
    "sent": 13,
    "sent_on": "2026-03-01",
    "batch": "2026-spring",
    "service": "Third Bench",
    "outcome": 16,
    "outcome_on": "2026-05-01",
    "result": "9.2",
    "before": "8.5",
    "surprise": 0,
    "scores": _SCORES,
    "stays": _STAYS,
    "gains": None,
    "gains_from": 0,
    "lock": {"size": 12, "by": "a-neighbour (5f0e4c1b)", "time": "2026-02-11T08:00:00Z", "known": True},
    "recalibrated": None,
}
_WAITING: Final[dict[str, Any]] = {
    **_SCORED,
    "book": _OUT,
    "name": "The Copper Lantern 15",
    "entry": 18,
    "lock": None,
    **dict.fromkeys(("sent", "sent_on", "batch", "service", "outcome", "outcome_on", "result")),
    **dict.fromkeys(("surprise", "scores", "stays")),
}
_NAIVE: Final[dict[str, Any]] = {"count": 1, "own": 0.005208, "naive": 0.083333, "skill": 0.9375}
_WORTH: Final[dict[str, Any]] = {
    "key": None,
    "count": 1,
    "few": True,
    "rps": 0.125,
    "rps_normalised": 0.005208,
    "log": 0.693147,
    "brier": 0.375,
    "floored": 0,
    "bias": {"median": 0.0, "mean": 0.0, "met": 1, "within_one": 1},
    "stays": _NAIVE,
    "gains": {"count": 0, "own": None, "naive": None, "skill": None},
    "at_least": [{"grade": "9.2", "chance": 0.75, "came_true": 1, "brier": 0.0625, "naive": 1.0}],
}

OUTLOOK_ANSWERS: dict[str, Any] = {
    "read_scores": {
        "in_all": _WORTH,
        "computed_in_all": None,
        "by_service": [{**_WORTH, "key": "Third Bench"}],
        "by_stage": [{**_WORTH, "key": "before sending"}],
        "reliability": [
            {"above": 0.0, "up_to": 0.2, "count": 1, "came_true": 0, "chance": 0.0},
            {"above": 0.2, "up_to": 0.4, "count": 1, "came_true": 0, "chance": 0.25},
            {"above": 0.4, "up_to": 0.6, "count": 0, "came_true": 0, "chance": None},
            {"above": 0.6, "up_to": 0.8, "count": 1, "came_true": 1, "chance": 0.75},
            {"above": 0.8, "up_to": 1.0, "count": 1, "came_true": 1, "chance": 1.0},
        ],
        "pit": [],
        "results_needed": 20,
        "scored": [_SCORED],
        "unfinished": [_WAITING],
        **{name: [] for name in ("computed", "earlier", "no_result", "late")},
        **{name: [] for name in ("after_sending", "taken_back", "sending_not_known")},
    },
}
"""Operation -> an example of its answer."""
