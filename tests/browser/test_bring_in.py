"""A messy list in a browser: chosen, its days asked for once, two rows mended, and all of it brought in; no script needed."""

from collections.abc import Callable
from pathlib import Path

import pytest
from playwright.sync_api import Browser, expect

from seeds.messy import MESSY_NAME, MESSY_ROWS, UNREADABLE, messy_table
from tests.browser.axe import violations
from tests.browser.conftest import come_in
from tests.browser.server import Server
from tests.browser.shots import keep
from tests.browser.window import Window

pytestmark = pytest.mark.long
NARROW = 390


@pytest.mark.parametrize(("script", "width"), [(True, 1440), (False, NARROW)])
def test_a_messy_list_is_brought_in(
    browser: Browser, first_start: Server, windows: Callable[..., Window], tmp_path: Path, *, script: bool, width: int
) -> None:
    come_in(browser, first_start)
    file = tmp_path / MESSY_NAME
    file.write_bytes(messy_table())
    page = windows(first_start, width=width, script=script).go("/bring-in")
    keep(page, f"bring in {width}")
    page.locator("[name='file']").set_input_files(file)
    page.get_by_role("button", name="Read the file").click()
    expect(page.locator("select[name='column.0']")).to_have_value("title_number")
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    keep(page, f"bring in columns {width}")

    page.get_by_role("button", name="Try every row").click()
    expect(page.locator("#found")).to_contain_text("Which number is the day?")
    keep(page, f"bring in asked {width}")
    page.locator("[name='asked.order']").select_option("dmy")
    page.get_by_role("button", name="Read them so").click()
    expect(page.locator("#problems")).to_contain_text("2 rows have a problem")
    keep(page, f"bring in problems {width}")
    if script:
        assert not violations(page)

    grade, price = UNREADABLE
    page.locator(f"[name='row.{grade}.grade']").fill("VG+")
    page.locator(f"[name='row.{price}.price']").fill("18,50")
    page.get_by_role("button", name="Keep what was mended").click()
    expect(page.locator(".told")).to_contain_text("2 rows are in order now.")
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    page.get_by_role("button", name=f"Bring in {MESSY_ROWS} books").click()
    expect(page.locator("main")).to_contain_text(f"{MESSY_ROWS} books were brought in.")
    keep(page, f"bring in done {width}")
    page.get_by_role("link", name="To the collection").click()
    expect(page.locator("main")).to_contain_text("Distant Orchard Tales")
