"""Barcodes in pictures: small and large, turned, with and without digits beside them, and pictures that are none."""

import io

import pytest
from PIL import Image, ImageFilter, ImageOps

from ledger.adapters.bars import LONGEST, ZxingBars
from ledger.errors import MalformedError
from tests.barred import GS1, a_barcode, bars_of, on_a_page
from tests.pictures import a_picture

UPC = "614141000036"


def codes(data: bytes) -> list[str]:
    return [each.code for each in ZxingBars().read(data)]


def photographed(code: Image.Image, *, turned: float = 0, blur: float = 0, light: tuple[int, int] = (0, 255)) -> bytes:
    """The code on a cover as a phone takes it: askew with soft edges, out of focus, between that dark and that bright."""
    dark, bright = light
    bars = code.point([dark + (bright - dark) * each // 255 for each in range(256)])
    label = ImageOps.expand(bars, 12, bright)
    mask = Image.new("L", label.size, 255).rotate(turned, Image.Resampling.BICUBIC, expand=True)
    page = Image.effect_noise((1500, 2000), 60).point([min(each, bright) for each in range(256)])
    page.paste(label.rotate(turned, Image.Resampling.BICUBIC, expand=True), (300, 700), mask)
    out = io.BytesIO()
    page.filter(ImageFilter.GaussianBlur(blur)).convert("RGB").save(out, "JPEG", quality=85)
    return out.getvalue()


def test_the_bars_that_are_drawn_are_the_published_ones() -> None:
    for words, bars in GS1["module_strings"].items():
        number, add_on = words.removesuffix(" add-on").split("+")
        assert bars_of(number, add_on).strip("0") == bars_of(number).strip("0") + "0" * 9 + bars.rstrip("0")


@pytest.mark.parametrize("row", GS1["ean5"] + GS1["ean2"], ids=lambda row: row["digits"])
def test_every_published_add_on_is_read_as_text(row: dict[str, str]) -> None:
    assert codes(on_a_page(a_barcode(UPC, row["digits"]))) == [f"{UPC}-{row['digits']}"]


@pytest.mark.parametrize("turned", [0, 90, 180, 270, 4])
def test_a_code_is_read_however_the_cover_was_held(turned: float) -> None:
    assert codes(on_a_page(a_barcode(UPC, "01411"), turned=turned)) == [f"{UPC}-01411"]


@pytest.mark.parametrize("turned", [-17, 15, 20, 30, 45, 60, 163, 200])
def test_a_code_held_askew_in_a_photograph_is_read_with_the_digits_beside_it(turned: float) -> None:
    assert codes(photographed(a_barcode(UPC, "01411", module=5), turned=turned)) == [f"{UPC}-01411"]


@pytest.mark.parametrize(
    ("module", "blur", "light"),
    [(5, 2.0, (0, 255)), (5, 0.8, (110, 165)), (3, 1.0, (60, 200))],
    ids=["out of focus", "pale", "small and dull"],
)
def test_a_blurred_a_pale_and_a_small_code_are_read(module: int, blur: float, light: tuple[int, int]) -> None:
    data = photographed(a_barcode(UPC, "01411", module=module), turned=6, blur=blur, light=light)
    assert codes(data) == [f"{UPC}-01411"]


def test_a_code_that_is_too_blurred_is_not_guessed() -> None:
    assert codes(photographed(a_barcode(UPC, "01411", module=4), blur=9)) == []


def test_a_code_without_digits_beside_it_is_a_code() -> None:
    assert codes(on_a_page(a_barcode(UPC))) == [UPC]


def test_a_code_that_is_a_small_part_of_a_large_picture_is_found() -> None:
    data = on_a_page(a_barcode(UPC, "01411", module=3), size=(4800, 6400), at=(3900, 5700))
    assert max(Image.open(io.BytesIO(data)).size) > 3 * LONGEST
    assert codes(data) == [f"{UPC}-01411"]


def test_two_codes_of_one_picture_are_both_told_those_with_digits_beside_them_first() -> None:
    page = Image.open(io.BytesIO(on_a_page(a_barcode("012345678905"))))
    page.paste(a_barcode(UPC, "01411").convert("RGB"), (60, 700))
    out = io.BytesIO()
    page.save(out, "PNG")
    assert codes(out.getvalue()) == [f"{UPC}-01411", "012345678905"]


def test_a_picture_without_a_code_has_none() -> None:
    assert codes(a_picture(size=(300, 400))) == []
    assert codes(a_picture(size=(2400, 3000), kind="JPEG")) == []


@pytest.mark.parametrize("data", [b"", b"GIF89a" + bytes(40), b"\xff\xd8\xff" + bytes(100), b"%PDF-1.7"])
def test_a_file_that_is_no_picture_is_refused_as_any_photograph_is(data: bytes) -> None:
    with pytest.raises(MalformedError):
        codes(data)
