"""The two palettes: every pair of ink and ground that is used can be read."""

import re

import pytest

from web.render import STATIC

Palette = dict[str, str]

TEXT = 4.5
"""Source: WCAG 2.2, success criterion 1.4.3."""
LINE = 3.0
"""Source: WCAG 2.2, success criterion 1.4.11."""

WRITTEN = [
    *[
        (ink, ground)
        for ink in ("ink", "ink-2")
        for ground in ("board", "board-2", "paper", "paper-2", "field", "map", "wall")
    ],
    *[("lamp-ink", ground) for ground in ("paper", "board", "lamp-wash")],
    *[("fault", ground) for ground in ("paper", "board", "paper-2", "field")],
    ("ink", "fault-wash"),
    ("on-lamp", "lamp"),
    ("lamp", "on-lamp"),
    ("paper", "ink"),
]
DRAWN = [("pencil", ground) for ground in ("board", "paper", "paper-2", "field", "wall")] + [("fault", "fault-wash")]


def blocks() -> dict[str, Palette]:
    """The colours by selector, in the order of the file."""
    text = (STATIC / "tokens.css").read_text("utf-8")
    found = re.findall(r"(:root[^{]*?) \{\n(.*?)\n *\}", text, re.DOTALL)
    return {selector: dict(re.findall(r"--([\w-]+): (#[0-9a-f]{6});", body)) for selector, body in found if "#" in body}


LIGHT, SYSTEM_DARK, DARK = ":root", ':root:not([data-theme="light"])', ':root[data-theme="dark"]'


def luminance(colour: str) -> float:
    """Source: WCAG 2.2, definition of relative luminance."""
    parts = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    red, green, blue = (part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """Source: WCAG 2.2, definition of contrast ratio."""
    darker, lighter = sorted((luminance(one), luminance(other)))
    return (lighter + 0.05) / (darker + 0.05)


def test_the_measure_is_the_published_one() -> None:
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    assert contrast("#777777", "#ffffff") < TEXT < contrast("#767676", "#ffffff")


@pytest.mark.parametrize("palette", [LIGHT, DARK])
def test_words_and_lines_stand_out_from_their_ground(palette: str) -> None:
    colours = blocks()[palette]
    weak = [
        f"{ink} on {ground}: {ratio:.2f}"
        for pairs, least in ((WRITTEN, TEXT), (DRAWN, LINE))
        for ink, ground in pairs
        if (ratio := contrast(colours[ink], colours[ground])) < least
    ]
    assert not weak, weak


def test_dark_is_one_palette_whoever_chose_it() -> None:
    found = blocks()
    assert found[SYSTEM_DARK] == found[DARK]
    assert found[DARK].keys() == found[LIGHT].keys()
