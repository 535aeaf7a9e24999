"""A face of an issue as it left the binder and grew old, before anybody was careless with it."""

import functools

from PIL import Image

from seeds.covers import paper
from seeds.covers.backs import back
from seeds.covers.compositions import COMPOSITIONS
from seeds.covers.curves import chance
from seeds.covers.issues import Issue
from seeds.covers.plate import OVERSAMPLING, Plate


def register(seed: str) -> list[tuple[int, int]]:
    """How far each ink is out of register, in fine pixels; black lies true."""
    dice = chance(seed + " register")
    shifts = [(dice.randint(-1, 1), dice.randint(-1, 1)) for _ in range(3)]
    shifts[dice.randrange(3)] = (dice.choice((-3, -2, 2, 3)), dice.randint(-1, 1))
    return [*shifts, (0, 0)]


def drawn(issue: Issue, face: str, fine: int = OVERSAMPLING) -> Plate:
    """The plate of a face, so many times finer than the picture."""
    plate = Plate(issue.width_mm, issue.height_mm, fine=fine)
    (COMPOSITIONS[issue.composition] if face == "front" else back)(plate, issue)
    return plate


@functools.lru_cache(maxsize=8)
def clean(issue: Issue, face: str) -> Image.Image:
    """The face printed, aged and bound."""
    plate = drawn(issue, face)
    sheet = paper.stock(issue, plate.key.size)
    return paper.bound(plate.printed(sheet, register(issue.key + face)), issue, face)
