"""The signing key as lines for a sheet of paper: groups of four that are easy to copy, and a check at the end of each line.

The sheet is at the same time a key file: typed back line by line, it is read as any other.
"""

import re
from collections.abc import Sequence
from hashlib import sha256

from ledger.proof.report import MalformedError

__all__ = ["lines_of", "seed_of"]

LINES = 4
GROUPS = 4
GROUP = 4
"""Digits of a group."""
LINE = GROUPS * GROUP
SEED_BYTES = LINES * LINE // 2
_WHAT = "The paper copy of the key"
_LINE = re.compile(rf"([1-{LINES}]) *((?:[0-9a-f] *){{{LINE}}})check *([0-9a-f]{{2}}) *")
_WHOLE = re.compile(r"whole *((?:[0-9a-f] *){8})")


def lines_of(seed: bytes) -> list[str]:
    """The sheet: four numbered lines with a check each, and a check over the whole.

    Requires: a seed of 32 bytes.
    """
    if len(seed) != SEED_BYTES:
        raise ValueError(f"a seed has {SEED_BYTES} bytes")
    digits = seed.hex()
    rows = [digits[start : start + LINE] for start in range(0, len(digits), LINE)]
    lines = [f"{number}  {_grouped(row)}  check {_check(number, row)}" for number, row in enumerate(rows, start=1)]
    return [*lines, f"whole  {_grouped(_whole(seed))}"]


def seed_of(lines: Sequence[str]) -> bytes:
    """The seed that a typed sheet holds; spaces and capitals do not matter.

    Raises: MalformedError naming the line that was mistyped.
    """
    typed = [line.strip().lower() for line in lines if line.strip()]
    if len(typed) != LINES + 1:
        raise _mistyped("", f"it has {len(typed)} lines", f"It has {LINES} numbered lines and the line with the whole.")
    rows = [_row(number, line) for number, line in enumerate(typed[:LINES], start=1)]
    seed = bytes.fromhex("".join(rows))
    found = _WHOLE.fullmatch(typed[LINES])
    if found is None or found[1].replace(" ", "") != _whole(seed):
        raise _mistyped("the last line", "its check does not fit the lines above", "Compare every line with the paper.")
    return seed


def _row(number: int, line: str) -> str:
    found = _LINE.fullmatch(line)
    row = found[2].replace(" ", "") if found else ""
    if found is None or found[1] != str(number):
        raise _mistyped(
            f"line {number}", "it is not as on the paper", "It has its number, four groups of four, a check."
        )
    if found[3] != _check(number, row):
        raise _mistyped(f"line {number}", "its check does not fit", "A digit of this line is wrong: compare them.")
    return row


def _grouped(digits: str) -> str:
    return " ".join(digits[start : start + GROUP] for start in range(0, len(digits), GROUP))


def _check(number: int, row: str) -> str:
    """Two digits that another digit, or two that changed places, would turn into others 255 times out of 256."""
    return sha256(f"{number} {row}".encode()).hexdigest()[:2]


def _whole(seed: bytes) -> str:
    return sha256(seed).hexdigest()[:8]


def _mistyped(where: str, problem: str, mend: str) -> MalformedError:
    return MalformedError(what=_WHAT, where=where, problem=problem, mend=mend)
