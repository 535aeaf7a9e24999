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


def of_one_palette() -> list[tuple[str, str, str]]:
    """Name, value and file of whatever is declared for one palette alone."""
    found = []
    for path in sorted(STATIC.glob("*.css")):
        text = re.sub(r"/\*.*?\*/", "", path.read_text("utf-8"), flags=re.DOTALL)
        for selectors, body in re.findall(r"([^{};]+)\{([^{}]*)\}", text):
            told_apart = ["data-theme" in each for each in selectors.split(",")]
            if all(told_apart):
                lines = (line.partition(":") for line in body.split(";") if line.strip())
                found += [(name.strip(), value.strip(), path.name) for name, _, value in lines]
    return found


def test_palettes_differ_in_colours_and_in_nothing_that_changes_what_is_there_or_where() -> None:
    """So whoever has looked at a page in one palette needs to look only at the colours of the other."""
    colour = re.compile(r"#[0-9a-f]{3,8}|rgb\([\d ./]+\)|\d+ \d+ \d+")
    declared = of_one_palette()
    assert len(declared) > 2 * len(blocks()[DARK])
    others = {each for each in declared if not colour.fullmatch(each[1])}
    assert {name for name, _, _ in others} == {"color-scheme", "--sheet-shadow"}, others
    names = {name for name, _, _ in declared if not name.startswith("--")}
    assert names == {"color-scheme", "fill"}


def test_only_the_two_kinds_of_rules_above_ask_which_palette_it_is() -> None:
    """A rule under the system's choice names `data-theme` too, or a page could not choose for itself."""
    for path in sorted(STATIC.rglob("*.*s")):
        text = path.read_text("utf-8")
        asked = re.findall(r"prefers-color-scheme[^{]*\{\s*([^{]*)\{", text)
        assert len(asked) == len(re.findall(r"prefers-color-scheme|light-dark\(", text)), path.name
        assert all('data-theme="light"' in each for each in asked), path.name


def test_shadows_of_a_sheet_are_used_as_shadows() -> None:
    """They differ by palette and are no colour; a shadow takes no room."""
    used = [
        re.findall(r"([\w-]+):[^;{}]*var\(--sheet-shadow\)", path.read_text("utf-8")) for path in STATIC.glob("*.css")
    ]
    assert {name for each in used for name in each} == {"box-shadow"}
