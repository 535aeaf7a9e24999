"""Changes to plain data by chance, drawn by hypothesis: anything may stand anywhere."""

import copy
from collections.abc import Iterator
from typing import Any

from hypothesis import strategies as st

__all__ = ["mutated"]

Way = tuple[str | int, ...]
ODD: list[Any] = [
    None,
    True,
    False,
    0,
    1,
    2,
    13,
    14,
    2**53 - 1,
    "",
    "x",
    "\u2028",
    "0" * 64,
    [],
    {},
    [[]],
    {"kind": "words"},
]


def ways(value: Any, way: Way = ()) -> Iterator[Way]:
    """The way to every place."""
    yield way
    steps = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for step, inner in steps:
        yield from ways(inner, (*way, step))


def at(value: Any, way: Way) -> Any:
    """What stands there."""
    for step in way:
        value = value[step]
    return value


@st.composite
def mutated(draw: st.DrawFn, whole: Any) -> Any:
    """The value with one place, or a few, changed: something odd or another part put in, taken out, twice, or moved."""
    found = copy.deepcopy(whole)
    for _ in range(draw(st.integers(1, 2))):
        places = [each for each in ways(found) if each]
        *way, end = draw(st.sampled_from(places))
        last: Any = end
        box: Any = at(found, tuple(way))
        match draw(st.sampled_from(["odd", "part", "letter", "drop", "twice", "swap"])):
            case "odd":
                box[last] = copy.deepcopy(draw(st.sampled_from(ODD)))
            case "part":
                box[last] = copy.deepcopy(at(found, draw(st.sampled_from(places))))
            case "letter" if isinstance(box[last], str) and box[last]:
                place = draw(st.integers(0, len(box[last]) - 1))
                box[last] = box[last][:place] + draw(st.sampled_from("aA0+/=_- \n<")) + box[last][place + 1 :]
            case "drop":
                del box[last]
            case "twice" if isinstance(box, list):
                box.append(copy.deepcopy(box[last]))
            case "swap" if isinstance(box, list):
                box.append(box.pop(last))
            case _:
                box[last] = copy.deepcopy(draw(st.sampled_from(ODD)))
    return found
