"""The drawn covers: the same pixels each time, every picture kept, every fault in its own place, every name our own."""

import io
import re
import struct
from itertools import pairwise

import pytest
from PIL import Image, ImageChops, ImageStat

from ledger.rules.defects import defect_types
from ledger.when import When
from seeds.covers import faults_loss, pressing
from seeds.covers.compositions import COMPOSITIONS
from seeds.covers.condition import AFTER, BEFORE
from seeds.covers.curves import smooth
from seeds.covers.faults import region
from seeds.covers.inks import broken
from seeds.covers.lettering import GOTHIC, PEN, fitted
from seeds.covers.mazes import maze_walls
from seeds.covers.signs import extent
from seeds.covers.wear import Wear
from seeds.covers.worn import DRAWINGS
from seeds.draw import ISSUES, SHEETS, Fault, Sheet, draw, drawn, picture_name, read_picture
from seeds.pictures import FOLDER

WIDE = 640
KEY = "harbor-lamp-14"
WHOLE_FACE = {"paper-tone", "bindery-miswrap", "shadow"}
MARKS = {"fibre", "hair", "speck"}
EARLIER_WORK = {"colour-touch"}
SAMPLE = (
    "bold-sextant-4-after.png",
    "dry-ford-deputy-5-before.png",
    "harbor-lamp-14-back.png",
    "crimson-semaphore-3-ultraviolet.png",
    "raincoat-squad-1-raking.png",
    "unlit-stair-4-mark-1.png",
)


def opened(data: bytes) -> Image.Image:
    return Image.open(io.BytesIO(data)).convert("RGB")


def mean_error(one: Image.Image, other: Image.Image) -> float:
    means = ImageStat.Stat(ImageChops.difference(one, other)).mean
    return float(sum(means) / len(means))


def box_of(fault: Fault, picture: Image.Image) -> tuple[int, int, int, int]:
    issue = ISSUES[KEY]
    scale = picture.width / issue.width_mm
    frame = region(fault, issue)
    return int(frame.left * scale), int(frame.top * scale), int(frame.right * scale) + 1, int(frame.bottom * scale) + 1


def a_fault(kind: str) -> Fault:
    """A fault of that type at a place where it can be."""
    places = {
        "fold": (178, 250, 18), "corner-blunting": (183, 259, 4), "edge-dent": (182, 120, 6), "tear": (180, 150, 24),
        "missing-piece": (183, 90, 14), "spine-tick": (2, 120, 4), "spine-split": (0, 200, 16), "spine-roll": (1, 130, 2),
        "staple-rust": (1, 62, 11), "staple-tone": (1, 62, 11), "rust-migrated": (1, 62, 11), "shadow": (180, 130, 12),
        "subscription-fold": (92, 130, 240), "paper-tone": (92, 130, 18), "bindery-miswrap": (92, 130, 2),
        "waviness": (110, 150, 70), "tide-line": (120, 244, 50), "speck": (90, 150, 1.5), "pest-damage": (100, 160, 22),
    }  # fmt: skip
    x, y, size = places.get(kind, (100, 160, 26))
    return Fault(kind, "front", x, y, size, kind in {"crease", "speck", "tear", "missing-piece"}, 20)


def test_the_same_call_draws_the_same_pixels() -> None:
    first = draw("umbrella-for-two-38", (a_fault("stain"),))
    pressing.clean.cache_clear()
    assert draw("umbrella-for-two-38", (a_fault("stain"),)).tobytes() == first.tobytes()


@pytest.mark.parametrize("sheet", SHEETS, ids=lambda sheet: sheet.name)
def test_every_sheet_is_kept_as_large_as_what_it_shows(sheet: Sheet) -> None:
    issue = ISSUES[sheet.key]
    size = opened(read_picture(sheet.name)).size
    if sheet.detail is None:
        assert size[0] == WIDE
        assert abs(size[1] / size[0] - issue.height_mm / issue.width_mm) < 1 / WIDE
    else:
        wide, high = sheet.detail.right - sheet.detail.left, sheet.detail.bottom - sheet.detail.top
        assert abs(size[1] / size[0] - high / wide) < 0.01
        assert size[0] / wide > 5 * WIDE / issue.width_mm


def test_no_kept_picture_holds_anything_but_pixels() -> None:
    # PNG third edition (W3C 2025), 5.6: critical chunks; every ancillary chunk (text, time, profile) is left out.
    for sheet in SHEETS:
        data, at, chunks = read_picture(sheet.name), 8, set()
        while at < len(data):
            (long,) = struct.unpack(">I", data[at : at + 4])
            chunks.add(data[at + 4 : at + 8].decode())
            at += 12 + long
        assert chunks == {"IHDR", "PLTE", "IDAT", "IEND"}, sheet.name


def test_nothing_else_is_kept_and_all_of_it_is_small() -> None:
    kept = {path.name: path.stat().st_size for path in FOLDER.glob("*.*") if path.suffix != ".py"}
    assert set(kept) == {sheet.name for sheet in SHEETS}
    assert sum(kept.values()) < 6_500_000


@pytest.mark.parametrize("name", SAMPLE)
def test_a_kept_picture_is_what_the_code_draws(name: str) -> None:
    sheet = next(each for each in SHEETS if each.name == name)
    assert mean_error(opened(read_picture(name)), drawn(sheet)) < 5


@pytest.mark.parametrize("kind", sorted(DRAWINGS))
def test_a_fault_changes_its_own_place_and_no_other(kind: str) -> None:
    fault = a_fault(kind)
    clean, faulty = draw(KEY), draw(KEY, (fault,))
    changed = ImageChops.difference(clean, faulty)
    box = box_of(fault, clean)
    assert ImageStat.Stat(changed.crop(box)).mean != [0, 0, 0]
    assert max(high for _, high in changed.crop(box).getextrema()) > 16  # type: ignore[misc]
    if kind not in WHOLE_FACE:
        changed.paste((0, 0, 0), box)
        assert changed.getbbox() is None


def test_a_fault_on_the_back_is_not_seen_on_the_front() -> None:
    assert draw(KEY, (Fault("stain", "back", 60, 90, 20, breaks_colour=False),)).tobytes() == draw(KEY).tobytes()


def test_broken_colour_shows_lighter_than_a_line_that_is_not_broken() -> None:
    dark = "crimson-semaphore-3"
    line = Fault("crease", "front", 150, 110, 40, breaks_colour=True, angle=70)
    plain, torn = (draw(dark, (Fault(**{**vars(line), "breaks_colour": breaks}),)) for breaks in (False, True))
    gained = ImageChops.subtract(torn, plain)
    assert (
        ImageStat.Stat(gained.crop((440, 300, 600, 470))).sum[0]
        > 20 * ImageStat.Stat(ImageChops.subtract(plain, torn).crop((440, 300, 600, 470))).sum[0]
    )


def test_a_lamp_at_the_side_shows_a_bend_more_than_daylight_does() -> None:
    bend = Fault("bend", "front", 60, 190, 50, breaks_colour=False, angle=75)
    by_day = mean_error(draw(KEY), draw(KEY, (bend,)))
    raked = mean_error(draw(KEY, light="raking"), draw(KEY, (bend,), light="raking"))
    assert raked > 1.3 * by_day > 0


def test_ultraviolet_shows_colour_touch_that_daylight_hides() -> None:
    touch = Fault("colour-touch", "front", 90, 150, 14, breaks_colour=False)
    key = "dumpling-and-tack-8"
    by_day = mean_error(draw(key), draw(key, (touch,)))
    lit = draw(key, light="ultraviolet")
    assert mean_error(lit, draw(key, (touch,), light="ultraviolet")) > 1.5 * by_day
    red, _, blue = ImageStat.Stat(lit).mean
    assert blue > red


def test_a_tear_starts_at_the_nearest_edge() -> None:
    wear = Wear(draw(KEY), ISSUES[KEY], "front", "normal")
    assert faults_loss.nearest_edge(wear, a_fault("tear")) == ((184, 150), 0)
    assert faults_loss.nearest_edge(wear, Fault("tear", "front", 90, 9, 5, breaks_colour=True))[1] == 270


def test_every_fault_has_the_ledgers_word_or_is_a_mark_or_earlier_work() -> None:
    known = {each.id for each in defect_types()}
    assert set(DRAWINGS) - known == MARKS | EARLIER_WORK
    used = {fault.kind for sheet in SHEETS for fault in sheet.faults}
    assert used <= set(DRAWINGS)


def test_other_words_of_the_trade_draw_the_same_fault() -> None:
    for other, word in (("corner-fold", "fold"), ("arrival-date", "date-mark"), ("miswrap", "bindery-miswrap")):
        assert Fault(other, "front", 1, 1, 1, breaks_colour=False).kind == word
    assert Fault("sun-shadow", "front", 1, 1, 1, breaks_colour=False).kind == "shadow"


def test_no_two_books_are_wrong_in_the_same_way() -> None:
    ways = [
        frozenset((fault.kind, fault.face, fault.breaks_colour) for fault in faults if fault.kind not in MARKS)
        for key in ISSUES
        if (faults := BEFORE.get(key) or AFTER.get(key))
    ]
    assert len(ways) == len(set(ways)) >= 26
    for key in ISSUES:
        for faults in (BEFORE.get(key, ()), AFTER.get(key, ())):
            kinds = [fault.kind for fault in faults]
            assert not (kinds.count("spine-tick") >= 2 and {"crease", "edge-dent"} <= set(kinds)), key


def test_every_book_is_kept_as_it_is_now_and_many_as_they_came() -> None:
    names = [sheet.name for sheet in SHEETS]
    assert len(names) == len(set(names))
    assert {picture_name(key, "after") for key in ISSUES} <= set(names)
    assert sum(name.endswith("-before.png") for name in names) >= 14
    assert sum(sheet.face == "back" for sheet in SHEETS) >= 6
    assert sum(sheet.detail is not None for sheet in SHEETS) >= 6
    assert {sheet.light for sheet in SHEETS} == {"normal", "raking", "ultraviolet"}


def test_a_picture_is_found_by_words_and_the_key_alone_is_the_book_as_it_came() -> None:
    assert read_picture("unlit-stair-4 before") == read_picture("unlit-stair-4-before.png")
    assert read_picture("unlit-stair-4") == read_picture("unlit-stair-4 before")
    assert read_picture("jukebox-hettie-9") == read_picture("jukebox-hettie-9 after")
    with pytest.raises(FileNotFoundError, match=re.escape("jukebox-hettie-9-back.png")):
        read_picture("jukebox-hettie-9 back")


def test_issues_have_names_of_their_own_and_sizes_of_their_time() -> None:
    assert len(ISSUES) >= 26
    printed = {(issue.series, issue.start_year, issue.number) for issue in ISSUES.values()}
    assert len(printed) == len(ISSUES)
    series = {issue.series: issue.publisher for issue in ISSUES.values()}
    assert all(series[issue.series] == issue.publisher for issue in ISSUES.values())
    assert len(series) >= 9
    assert len(set(series.values())) >= 6
    assert not set(series) & set(series.values())
    for key, issue in ISSUES.items():
        year = int(issue.cover_date[:4])
        assert key == issue.key
        assert str(When.parse(issue.cover_date)) == issue.cover_date
        assert issue.start_year <= year
        assert 1939 <= year <= 1979
        # Common practice, no source: covers narrowed in the middle of the fifties.
        assert (issue.width_mm, issue.height_mm) == ((184, 260) if year < 1956 else (171, 260))


def test_every_composition_belongs_to_one_issue() -> None:
    assert sorted(issue.composition for issue in ISSUES.values()) == sorted(COMPOSITIONS)


@pytest.mark.parametrize("ink", [0, 1, 3])
@pytest.mark.parametrize("percent", [12, 25, 50, 75, 90])
def test_dots_cover_as_much_paper_as_the_tint_asks_for(ink: int, percent: int) -> None:
    plane = Image.new("L", (918, 918), percent * 255 // 100)
    assert abs(ImageStat.Stat(broken(plane, ink)).mean[0] / 2.55 - percent) < 1.5


def test_bare_paper_and_full_ink_stay_without_dots() -> None:
    for level in (0, 255):
        assert broken(Image.new("L", (306, 306), level), 1).getextrema() == (level, level)


@pytest.mark.parametrize("face", [GOTHIC, PEN])
def test_lettering_fills_its_frame(face: object) -> None:
    left, top, right, bottom = extent(fitted("HERONS", face, (10, 20, 150, 50)))  # type: ignore[arg-type]
    assert 20 <= top < 21
    assert 49 < bottom <= 50.01
    assert abs(left - 10) < 8
    assert abs(right - 150) < 8


def test_a_smooth_line_goes_through_its_points() -> None:
    points = [(0.0, 0.0), (10.0, 4.0), (20.0, -3.0)]
    path = smooth(points, closed=False)
    assert set(points) <= set(path)
    assert all(abs(b[0] - a[0]) < 3 for a, b in pairwise(path))


def test_a_maze_has_one_way_to_every_place() -> None:
    columns, rows = 9, 7
    walls = {frozenset(wall) for wall in maze_walls(columns, rows, "test")}

    def open_ways(x: int, y: int) -> list[tuple[int, int]]:
        sides = {
            (x, y - 1): ((x, y), (x + 1, y)), (x, y + 1): ((x, y + 1), (x + 1, y + 1)),
            (x - 1, y): ((x, y), (x, y + 1)), (x + 1, y): ((x + 1, y), (x + 1, y + 1)),
        }  # fmt: skip
        inside = {place for place in sides if 0 <= place[0] < columns and 0 <= place[1] < rows}
        return [place for place in inside if frozenset(sides[place]) not in walls]

    met, edge = {(0, 0)}, [(0, 0)]
    while edge:
        for place in open_ways(*edge.pop()):
            if place not in met:
                met.add(place)
                edge.append(place)
    assert len(met) == columns * rows
    assert sum(len(open_ways(x, y)) for x in range(columns) for y in range(rows)) == 2 * (columns * rows - 1)
