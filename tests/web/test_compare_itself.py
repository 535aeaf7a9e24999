"""Before and after lined up without points: what is drawn, what is said of it, and what is said where it fails."""

import io
import random
from dataclasses import replace
from pathlib import Path
from urllib.parse import urlencode

import pytest
from PIL import Image

from ledger.adapters.pictures import FilePictures
from ledger.bootstrap import OWNER
from ledger.events._parts import Face
from ledger.events.photograph import Crop
from ledger.ports import Ledger
from ledger.usecases.photograph import Shot, photograph
from ledger.usecases.record import Draft, record
from seeds.draw import draw
from tests.builders import a_purchase, on
from tests.fakes import FakeClock
from tests.photographed import TABLE, Taken, as_jpeg, photographed, similarity
from tests.web.browser import Browser, Home, text_of
from tests.web.markup import Element, read_page
from web.compared import POINTS

pytestmark = pytest.mark.long
Numbers = tuple[float, ...]
MIDDLE = (TABLE[0] / 2, TABLE[1] / 2)
BLANK = Image.new("L", TABLE, 220)


@pytest.fixture
def ledger(ledger: Ledger, tmp_path: Path) -> Ledger:
    """With photographs as files, so that parts and small copies are what the program makes of them."""
    return replace(ledger, pictures=FilePictures(tmp_path / "pictures"))


@pytest.fixture
def book(ledger: Ledger) -> str:
    return record(ledger, OWNER, [Draft(event=a_purchase(), new_book=True)]).entries[0].book or ""


def taken(ledger: Ledger, book: str, data: bytes, day: str, region: Crop | None = None) -> int:
    """The entry of a photograph of the front."""
    said = {"on": on(day), "face": Face.FRONT, "region": region}
    return photograph(ledger, OWNER, book, [Shot(data=data, said=said)]).entries[0].seq


def turned(degrees: float, scale: float = 1.0) -> Taken:
    """One cover, photographed so."""
    cover = draw("harbor-lamp-31")
    return photographed(cover, similarity(cover.size, degrees, scale, MIDDLE), random.Random(f"{degrees} {scale}"))


def asked(pair: tuple[int, int], **more: str) -> str:
    return urlencode({"before": pair[0], "after": pair[1], "align": "itself", **more})


def lined(browser: Browser, book: str, pair: tuple[int, int], **more: str) -> Element:
    answer = browser.get(f"/books/{book}/compare?{asked(pair, **more)}")
    assert answer.status_code == 200, text_of(answer)
    return read_page(answer.text)


def drawn(page: Element) -> Numbers:
    """The six numbers by which the later one is drawn over the earlier one."""
    matrix = page.one("svg", class_="laid-over").one("g").one("image").attrs["transform"]
    return tuple(float(each) for each in matrix.removeprefix("matrix(").removesuffix(")").split())


def test_the_later_one_is_drawn_where_the_known_way_takes_it_and_that_is_said(
    signed_in: Browser, ledger: Ledger, book: str
) -> None:
    earlier, later = turned(0), turned(5, 0.9)
    pair = (taken(ledger, book, earlier.data, "2024-05-01"), taken(ledger, book, later.data, "2025-05-01"))
    before = read_page(signed_in.get(f"/books/{book}/compare").text)
    assert not before.all("svg", class_="laid-over"), "nothing is lined up unless it is asked for"
    (offer,) = [each for each in before.one("section", id="itself").all("button") if each.attrs.get("name") == "align"]
    assert offer.attrs["value"] == "itself"
    page = lined(signed_in, book, pair)
    a, b, c, d, right, down = drawn(page)
    for place in ((0, 0), (640, 0), (0, 904), (640, 904), (320, 452)):
        # Both pictures are 800 px wide and drawn 100 wide.
        (u, v), (x, y) = ((each / 8 for each in taken.at(*place)) for taken in (later, earlier))
        assert (a * u + c * v + right, b * u + d * v + down) == pytest.approx((x, y), abs=0.5 / 8)
    said = page.one("section", id="over").text
    assert "Aligned without points, from " in said
    assert "turned anticlockwise by 5.0 degrees and shown 1.111 times as large" in said
    assert "on a picture 800 px wide (root mean square)" in said
    assert "by two points" not in said
    assert "aligned without points" in page.one("svg", class_="laid-over").attrs["aria-label"]
    assert page.one("section", id="over").one("div", class_="over-tools").all("button"), "slider and blink work over it"
    assert len(page.all("figure", class_="compared")) == 2, "the originals stay in sight"


def test_points_that_are_set_by_hand_go_before(signed_in: Browser, ledger: Ledger, book: str) -> None:
    pair = (taken(ledger, book, turned(0).data, "2024-05-01"), taken(ledger, book, turned(3).data, "2025-05-01"))
    points = dict(zip(POINTS, ("10", "10", "90", "10", "10", "20", "50", "20"), strict=True))
    assert "Aligned by two points set by hand" in lined(signed_in, book, pair, **points).text


def test_too_few_places_say_so_and_the_points_are_offered(signed_in: Browser, ledger: Ledger, book: str) -> None:
    pair = (taken(ledger, book, turned(0).data, "2024-05-01"), taken(ledger, book, as_jpeg(BLANK), "2025-05-01"))
    page = lined(signed_in, book, pair)
    assert "Not aligned: too few places agree" in page.one("section", id="itself").text
    assert not page.all("svg", class_="laid-over")
    assert page.one("section", id="itself").one("p", class_="fault").one("a").attrs["href"] == "#points"
    assert page.one("input", id="b1x")


def test_a_photograph_that_is_gone_is_told_in_place(
    signed_in: Browser, ledger: Ledger, book: str, tmp_path: Path
) -> None:
    pair = (taken(ledger, book, turned(0).data, "2024-05-01"), taken(ledger, book, turned(2).data, "2025-05-01"))
    for path in (tmp_path / "pictures").glob("??/*"):
        path.unlink()
    assert "cannot be read here" in lined(signed_in, book, pair).one("section", id="itself").text


def test_of_a_group_picture_only_the_part_of_this_book_is_lined_up(
    signed_in: Browser, ledger: Ledger, book: str
) -> None:
    """The other book in the picture did not move; looked at whole, the picture would lie still."""
    group = Image.new("RGB", (1800, 1200), "#888")
    other = draw("unlit-stair-4")
    group.paste(other, (1100, 150))
    later = photographed(draw("harbor-lamp-31"), (1.0, 0.0, 40.0, 0.0, 1.0, 30.0), random.Random(1), size=(720, 960))
    after = group.copy()
    group.paste(draw("harbor-lamp-31"), (100, 100))
    with Image.open(io.BytesIO(later.data)) as cut:
        after.paste(cut, (100, 100))
    part = Crop(x_percent=4, y_percent=6, width_percent=44, height_percent=88)
    days = ("2024-05-01", "2025-05-01")
    pair = [taken(ledger, book, as_jpeg(each), day, part) for each, day in zip((group, after), days, strict=True)]
    page = lined(signed_in, book, (pair[0], pair[1]))
    a, b, c, d, right, down = drawn(page)
    # The part is 44 % of 1800 px, so 792 px, drawn 100 wide; the cover moved by 40 and 30 px.
    assert (a, b, c, d) == pytest.approx((1, 0, 0, 1), abs=0.002)
    assert (right, down) == pytest.approx((-40 / 7.92, -30 / 7.92), abs=0.5 / 7.92)
    assert all("part=4,6,44,88" in each.attrs["href"] for each in page.one("svg", class_="laid-over").all("image"))


def test_nothing_is_stored_and_no_photograph_changes(signed_in: Browser, ledger: Ledger, book: str) -> None:
    pair = (taken(ledger, book, turned(0).data, "2024-05-01"), taken(ledger, book, turned(2).data, "2025-05-01"))
    stored = {each: ledger.pictures.digest(each) for each in ledger.pictures.stored()}
    with ledger.log.read() as reader:
        size = reader.head().size
    lined(signed_in, book, pair)
    assert {each: ledger.pictures.digest(each) for each in ledger.pictures.stored()} == stored
    with ledger.log.read() as reader:
        assert reader.head().size == size


def test_where_it_is_not_installed_the_page_says_how_to_get_it(ledger: Ledger, book: str, clock: FakeClock) -> None:
    pair = (taken(ledger, book, as_jpeg(BLANK), "2024-05-01"), taken(ledger, book, turned(2).data, "2025-05-01"))
    home = Home.of(replace(ledger, aligner=None), clock)
    try:
        home.set_password()
        page = lined(home.browser().sign_in(), book, pair)
        assert 'python -m pip install "opencv-python-headless>=5"' in page.one("section", id="itself").text
        assert not page.one("section", id="itself").all("form")
        assert page.one("input", id="b1x")
    finally:
        home.app.state.works.stop()


def test_another_way_than_by_itself_is_refused(signed_in: Browser, ledger: Ledger, book: str) -> None:
    taken(ledger, book, turned(0).data, "2024-05-01")
    assert signed_in.get(f"/books/{book}/compare?align=x").status_code == 400
