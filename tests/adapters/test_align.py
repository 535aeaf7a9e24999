"""Before and after line up by themselves: held against ways that are known, and refused where there is none.

The photographs are made by another library than the one that lines them up, and each place's way is known beforehand.
"""

import io
import math
import random
import subprocess
import sys
from functools import cache
from itertools import combinations
from pathlib import Path

import pytest
from PIL import Image

from ledger.adapters import align
from ledger.adapters.align import HIGH_MOST, WIDE_MOST, OpenCvAligner
from ledger.alignment import Affine, Aligned, NotAligned, Reason
from ledger.errors import ConflictError
from seeds.covers.askew import laid
from seeds.covers.condition import AFTER, BEFORE
from seeds.covers.faults import Fault
from seeds.draw import ISSUES, draw, read_picture
from tests.counts import count
from tests.photographed import TABLE, Taken, as_jpeg, at_random, photographed, similarity

ROOT = Path(__file__).resolve().parents[2]
PAIRS = 36
RMS_MOST = 0.5
"""What is asked of it, over the whole cover. Units: px of the earlier photograph."""
KEYS = sorted(ISSUES)
STRAIGHT = (TABLE[0] / 2, TABLE[1] / 2)

pytestmark = pytest.mark.long


@pytest.fixture(scope="module")
def aligner() -> OpenCvAligner:
    return OpenCvAligner()


@cache
def drawn(key: str, faults: tuple[Fault, ...] = ()) -> Image.Image:
    """A front cover as the demo draws it; drawing one takes longer than lining it up, so nobody changes it."""
    return draw(key, faults)


def worn(key: str) -> tuple[Image.Image, Image.Image]:
    """A cover before work and after it; one that was not worked on has at first only the faults it was made with.

    A cover that was wrapped askew lies askew on both; seen on one alone it would be another way than the known one.
    """
    after = tuple(AFTER.get(key, ()))
    before = tuple(BEFORE.get(key, (each for each in after if each.type.startswith("bindery"))))
    return drawn(key, before), drawn(key, after)


def off(found: Aligned | NotAligned, earlier: Taken, later: Taken, size: tuple[int, int]) -> float:
    """How far a grid of places of the cover comes to lie from where it is, as a root mean square. Units: px."""
    assert isinstance(found, Aligned), found
    squares = []
    for across in range(9):
        for along in range(9):
            place = (across / 8 * size[0], along / 8 * size[1])
            (x, y), (u, v) = later.at(*place), earlier.at(*place)
            lies = found.over.of(x / later.size[0], y / later.size[1])
            squares.append((lies[0] * earlier.size[0] - u) ** 2 + (lies[1] * earlier.size[1] - v) ** 2)
    return math.sqrt(sum(squares) / len(squares))


def straight(cover: Image.Image, seed: int = 1) -> Taken:
    """Photographed without being turned."""
    return photographed(cover, similarity(cover.size, 0, 1, STRAIGHT), random.Random(seed))


@pytest.mark.parametrize("number", range(PAIRS))
def test_a_pair_lies_within_half_a_pixel_of_the_known_way(aligner: OpenCvAligner, number: int) -> None:
    chance = random.Random(f"pair {number}")
    key = KEYS[number % len(KEYS)]
    before, after = worn(key)
    earlier, later = at_random(before, chance), at_random(after, chance)
    found = aligner.align(earlier.data, later.data)
    assert off(found, earlier, later, before.size) <= RMS_MOST, (key, found)
    assert isinstance(found, Aligned)
    assert found.agreeing >= align.AGREEING_LEAST
    assert (found.wide_px, 0 <= found.rms_px <= align.NEAR_PX) == (TABLE[0], True)


@pytest.mark.parametrize(("turned", "scale"), [(-12, 0.85), (12, 1.15), (12, 0.85), (-12, 1.15), (0, 1)])
def test_the_ends_of_what_a_hand_does_are_held(aligner: OpenCvAligner, turned: float, scale: float) -> None:
    before, after = worn("raincoat-squad-1")
    later = photographed(after, similarity(after.size, turned, scale, (380, 590)), random.Random(3), light=0.7)
    earlier = straight(before)
    assert off(aligner.align(earlier.data, later.data), earlier, later, before.size) <= RMS_MOST


def test_a_larger_photograph_lies_over_a_smaller_one(aligner: OpenCvAligner) -> None:
    before, after = worn("harbor-lamp-14")
    size = (2400, 3360)
    later = photographed(after, similarity(after.size, 4, 2.9, (1210, 1700)), random.Random(4), size=size)
    earlier = straight(before)
    assert off(aligner.align(earlier.data, later.data), earlier, later, before.size) <= RMS_MOST


@pytest.mark.parametrize("path", sorted((ROOT / "seeds" / "pictures").glob("*-before.png")), ids=lambda path: path.stem)
def test_before_and_after_of_the_demo_line_up_as_they_were_drawn(aligner: OpenCvAligner, path: Path) -> None:
    """The one before is turned and smaller by what its name gives, about its middle; the one after is as it was drawn."""
    pair = [read_picture(name) for name in (path.name, path.name.replace("-before", "-after"))]
    before, after = (Image.open(io.BytesIO(each)) for each in pair)
    against_the_clock, smaller = laid(path.name)
    wide, high = before.size
    way = similarity(before.size, -against_the_clock, smaller, (wide / 2, high / 2))
    earlier, later = Taken(as_jpeg(before), before.size, way), Taken(as_jpeg(after), after.size, (1, 0, 0, 0, 1, 0))
    assert abs(against_the_clock) >= 0.5
    assert smaller < 0.96
    assert off(aligner.align(earlier.data, later.data), earlier, later, before.size) <= RMS_MOST


def test_a_picture_lies_over_itself(aligner: OpenCvAligner) -> None:
    taken = straight(drawn("unlit-stair-13"))
    found = aligner.align(taken.data, taken.data)
    assert off(found, taken, taken, (640, 904)) <= 0.01
    assert isinstance(found, Aligned)
    assert (found.rms_px, found.likeness) == pytest.approx((0, 1), abs=1e-3)


def test_the_same_pair_gives_the_same_numbers_every_time(aligner: OpenCvAligner) -> None:
    chance = random.Random(9)
    before, after = (at_random(each, chance).data for each in worn("dumpling-and-tack-8"))
    assert len({aligner.align(before, after) for _ in range(3)} | {OpenCvAligner().align(before, after)}) == 1


def test_no_two_covers_of_different_issues_are_ever_aligned(aligner: OpenCvAligner) -> None:
    """Those with the same lettering of the title in every run, and others beside; in a full run all pairs there are."""
    chance = random.Random(21)
    seen = {key: at_random(worn(key)[1], chance).data for key in KEYS}
    alike: list[tuple[str, str]] = []
    others: list[tuple[str, str]] = []
    for pair in combinations(KEYS, 2):
        (alike if len({key.rstrip("0123456789-") for key in pair}) == 1 else others).append(pair)
    assert len(alike) > 15
    tried = alike + chance.sample(others, count(25, len(others)))
    wrong = [pair for pair in tried if isinstance(aligner.align(seen[pair[0]], seen[pair[1]]), Aligned)]
    assert not wrong


def test_front_and_back_are_not_aligned(aligner: OpenCvAligner) -> None:
    for key in ("raincoat-squad-1", "harbor-lamp-14", "bold-sextant-33"):
        front, back = straight(drawn(key)), straight(draw(key, face="back"), 2)
        assert isinstance(aligner.align(front.data, back.data), NotAligned)


def noise(seed: int, size: tuple[int, int] = (600, 800)) -> Image.Image:
    return Image.frombytes("L", size, random.Random(seed).randbytes(size[0] * size[1]))


def stripes(size: tuple[int, int] = (600, 800)) -> Image.Image:
    """A pattern that lies over itself in many places."""
    tile = Image.new("L", size, 255)
    for left in range(0, size[0], 20):
        tile.paste(0, (left, 0, left + 10, size[1]))
    return tile


NOTHING = {
    "blank": Image.new("L", (600, 800), 200),
    "one pixel": Image.new("L", (1, 1)),
    "thin": noise(5, (20, 900)),
    "noise": noise(1),
    "other noise": noise(2),
    "stripes": stripes(),
}


@pytest.mark.parametrize(("one", "other"), [*combinations(NOTHING, 2), ("blank", "blank"), ("one pixel", "one pixel")])
def test_pictures_that_show_nothing_in_common_are_not_aligned(aligner: OpenCvAligner, one: str, other: str) -> None:
    found = aligner.align(as_jpeg(NOTHING[one]), as_jpeg(NOTHING[other]))
    assert isinstance(found, NotAligned)
    assert found.agreeing < align.AGREEING_LEAST or found.reason is not Reason.FEW


def test_a_cover_and_a_blank_sheet_say_that_too_few_places_agree(aligner: OpenCvAligner) -> None:
    cover = straight(drawn("jukebox-hettie-9"))
    found = aligner.align(cover.data, as_jpeg(NOTHING["blank"]))
    assert found == NotAligned(Reason.FEW)


def test_a_corner_in_common_is_not_enough(aligner: OpenCvAligner) -> None:
    """Two covers of which only one corner is the same: the rest would be laid by a guess."""
    one, other = drawn("harbor-lamp-14"), drawn("unlit-stair-4").copy()
    other.paste(one.crop((0, 0, 200, 240)))
    found = aligner.align(as_jpeg(one), as_jpeg(other))
    assert isinstance(found, NotAligned)
    assert found.reason is Reason.GATHERED


def test_a_mirrored_or_stretched_cover_is_not_aligned(aligner: OpenCvAligner) -> None:
    cover = drawn("harbor-lamp-31")
    for changed in (
        cover.transpose(Image.Transpose.FLIP_LEFT_RIGHT),
        cover.resize((cover.width, cover.height * 4 // 5)),
    ):
        assert isinstance(aligner.align(as_jpeg(cover), as_jpeg(changed)), NotAligned)


def test_what_is_no_picture_is_told_and_does_no_harm(aligner: OpenCvAligner) -> None:
    cover = as_jpeg(drawn("harbor-lamp-31"))
    png = io.BytesIO()
    Image.new("L", (600, 800)).save(png, "PNG")
    for broken in (b"", b"\xff\xd8\xff", cover[: len(cover) // 2], png.getvalue(), b"P5 9 9 255 "):
        assert aligner.align(cover, broken) == NotAligned(Reason.UNREADABLE)
        assert aligner.align(broken, cover) == NotAligned(Reason.UNREADABLE)


def test_however_large_a_picture_is_it_is_looked_at_no_larger_than_that(
    aligner: OpenCvAligner, monkeypatch: pytest.MonkeyPatch
) -> None:
    looked: list[tuple[int, ...]] = []
    whole = align._matched

    def looking(below: align.Grey, above: align.Grey, *rest: object) -> object:
        looked.extend((below.shape, above.shape))
        return whole(below, above, *rest)

    monkeypatch.setattr(align, "_matched", looking)
    aligner.align(as_jpeg(NOTHING["blank"].resize((1200, 20_000))), as_jpeg(NOTHING["blank"].resize((5000, 4000))))
    assert len(looked) == 2
    assert all(high <= HIGH_MOST and wide <= WIDE_MOST for high, wide in looked)


def test_where_it_is_not_installed_it_says_so(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(align, "find_spec", lambda name: None)
    assert not OpenCvAligner().at_hand
    with pytest.raises(ConflictError, match="not installed"):
        OpenCvAligner().align(b"", b"")


def test_the_program_starts_without_asking_for_it() -> None:
    asked = "import sys, web.app, ledger.bootstrap; sys.exit(bool({'cv2', 'numpy'} & set(sys.modules)))"
    assert subprocess.run([sys.executable, "-c", asked], cwd=ROOT, check=False).returncode == 0


# Worked by hand, in pictures 100 wide and 150 or 200 high when they are 100 wide.
def test_shares_become_places_in_pictures_that_are_a_hundred_wide() -> None:
    still = Affine(1, 0, 0, 1, 0, 0).in_pictures(150, 150)
    assert still.rows == ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0))
    moved = Affine(1, 0, 0, 1, 0.1, 0.2).in_pictures(150, 150)
    assert moved.rows == ((1.0, 0.0, 10.0), (0.0, 1.0, 30.0))
    # A quarter of a turn to the right: the right edge of the later one becomes the foot of the earlier one.
    quarter = Affine(0, 1, -1, 0, 1, 0).in_pictures(100, 100)
    assert quarter.rows == ((0.0, -1.0, 100.0), (1.0, 0.0, 0.0))
    assert (quarter.turned, quarter.scale, quarter.stretched) == (90, 1, 1)
    assert Affine(2, 0, 0, 1, 0, 0).stretched == 2
    assert Affine(1, 0, 0, 1, 0, 0).in_pictures(100, 200).of(50, 50) == (50, 100)
