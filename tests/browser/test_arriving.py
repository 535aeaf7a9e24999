"""Photographs sent while the form is filled in: several at once, dropped or chosen, over a connection that is cut."""

import base64
import hashlib
import json
import re
import sqlite3
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pytest
from playwright.sync_api import Page, Route, expect

from tests.browser.looking import look_closely
from tests.browser.server import Server
from tests.browser.window import Window
from tests.hostile import drawn, written

pytestmark = pytest.mark.long
Windows = Callable[..., Window]
TURNS_MOST = 200
"""How often it is looked whether the last try is over: for 20 s at least."""
EVERYWHERE = frozenset({(1440, "light"), (1440, "dark"), (390, "light"), (390, "dark")})
DROP = """(form, files) => {
  const data = new DataTransfer();
  for (const [name, text] of files) {
    data.items.add(new File([Uint8Array.from(atob(text), (each) => each.charCodeAt(0))], name, { type: "image/png" }));
  }
  form.dispatchEvent(new DragEvent("dragover", { dataTransfer: data, bubbles: true, cancelable: true }));
  form.dispatchEvent(new DragEvent("drop", { dataTransfer: data, bubbles: true, cancelable: true }));
}"""


def three(more: int = 0) -> list[tuple[str, bytes]]:
    """Pictures of several pieces each, no two alike; wider ones are others."""
    sizes = {"front.png": (640 + more, 500), "back.png": (500 + more, 640), "spine.png": (900 + more, 700)}
    return [(name, written(drawn(size), "PNG")) for name, size in sizes.items()]


def open_form(window: Window) -> Page:
    """The form for a photograph of the first book of the list."""
    page = window.go("/collection")
    href = page.locator("#list a[href^='/books/']").first.get_attribute("href") or ""
    page = window.go(f"/entry/new?kind=photograph&book={href.rpartition('/')[2].partition('?')[0]}")
    expect(page.get_by_role("heading", level=1)).to_have_text("Photograph")
    return page


def write_it(page: Page) -> None:
    page.locator("main .acts button.next").click()
    expect(page.locator(".told, .faults").first).to_contain_text("Written as entries")


def originals(told: Server) -> list[str]:
    """The digests that the last entries name, the last first."""
    store = next(told.folder.rglob("slipsheet.sqlite3"))
    with closing(sqlite3.connect(store)) as ledger:
        rows = ledger.execute("SELECT bytes FROM entry ORDER BY seq DESC LIMIT 3").fetchall()
    bodies = [json.loads(data)["body"] for (data,) in rows]
    return [body["original"] for body in bodies if "original" in body]


def test_three_dropped_files_are_kept_over_a_cut_and_written_by_their_digests(told: Server, windows: Windows) -> None:
    window = windows(told)
    page = open_form(window)
    cuts: list[str] = []

    def cut_the_second(route: Route) -> None:
        if route.request.method == "PATCH" and len(cuts) < 2 and route.request.headers["upload-offset"] != "0":
            cuts.append(route.request.url)
            route.abort("connectionreset")
        else:
            route.continue_()

    page.route("**/photographs/arriving/**", cut_the_second)
    said: list[str] = []
    page.expose_function("heard", lambda words: said.append(words))  # noqa: PLW0108 - it must be a Python function
    page.evaluate(
        "new MutationObserver(() => heard(document.querySelector('[data-arrive-line]').textContent))"
        ".observe(document.querySelector('[data-arrive-line]'), { childList: true })"
    )
    files = three()
    page.locator("#entry-form").evaluate(DROP, [(name, base64.b64encode(data).decode()) for name, data in files])
    expect(page.locator("[data-arrive-line]")).to_have_text("3 of 3 kept; 100 %", timeout=20_000)
    assert len(cuts) == 2
    forget_cuts(window, len(cuts))
    assert any(re.fullmatch(r"[0-2] of 3 kept; [1-9]?\d %", each) for each in said), said
    for row, (name, _) in enumerate(files):
        expect(page.locator(f"[data-arrive-row='shots.{row}']")).to_contain_text(f"{name} is kept.")
    write_it(page)
    assert originals(told) == [hashlib.sha256(data).hexdigest() for _, data in reversed(files)]


def test_a_connection_that_stays_cut_is_said_and_goes_on_when_asked_or_chosen_again(
    told: Server, windows: Windows, tmp_path: Path
) -> None:
    window = windows(told)
    page = open_form(window)
    path = tmp_path / "raking.png"
    path.write_bytes(written(drawn((1100, 700)), "PNG"))
    page.clock.install()
    page.route("**/photographs/arriving/**", lambda route: route.abort() if is_late(route) else route.continue_())
    page.locator("[name='shots.0.file']").set_input_files([path])
    row = page.locator("[data-arrive-row='shots.0']")
    cut = "raking.png: the connection was cut. What came is held for a day."
    for _ in range(TURNS_MOST):  # each try takes a busy machine as long as it takes; the pauses between them take none
        if cut in (row.text_content() or ""):
            break
        page.wait_for_timeout(100)
        page.clock.run_for(20_000)
    expect(row).to_contain_text(cut)
    page.unroute("**/photographs/arriving/**")
    forget_cuts(window)
    asked: list[str] = []
    page.on(
        "request", lambda each: asked.append(each.headers.get("upload-offset", "")) if each.method == "PATCH" else None
    )
    page.reload()
    page.locator("[name='shots.0.file']").set_input_files([path])
    expect(page.locator("[data-arrive-row='shots.0']")).to_contain_text("raking.png is kept.")
    assert asked
    assert "0" not in asked


def forget_cuts(window: Window, count: int | None = None) -> None:
    """What the browser says on its console of a connection that was cut, once there and once for the request; nothing else."""
    cuts = [each for each in window.wrong if "net::ERR_" in each]
    assert count is None or len(cuts) == 2 * count, window.wrong
    window.wrong[:] = [each for each in window.wrong if each not in cuts]


def is_late(route: Route) -> bool:
    """Any piece but the first, and nothing else."""
    return route.request.method == "PATCH" and route.request.headers["upload-offset"] != "0"


def test_without_scripts_the_form_sends_its_files_itself(told: Server, windows: Windows, tmp_path: Path) -> None:
    page = open_form(windows(told, script=False))
    files = three(more=7)[:2]
    for name, data in files:
        (tmp_path / name).write_bytes(data)
    page.locator("[name='shots.0.file']").set_input_files([tmp_path / name for name, _ in files])
    write_it(page)
    assert originals(told)[:2] == [hashlib.sha256(data).hexdigest() for _, data in reversed(files)]


def test_the_form_looks_right_while_files_come_and_after(told: Server, windows: Windows, tmp_path: Path) -> None:
    window = windows(told)
    page = open_form(window)
    for name, data in three():
        (tmp_path / name).write_bytes(data + b"0")
    page.locator("[name='shots.1.file']").set_input_files([tmp_path / name for name, _ in three()])
    expect(page.locator("[data-arrive-line]")).to_have_text("3 of 3 kept; 100 %", timeout=20_000)
    assert list(look_closely(window, "photographs kept", EVERYWHERE)) == []
    page.route("**/photographs/arriving/**", lambda route: route.abort() if is_late(route) else route.continue_())
    (tmp_path / "late.png").write_bytes(written(drawn((1300, 700)), "PNG"))
    page.locator("[name='shots.0.file']").set_input_files([tmp_path / "late.png"])
    expect(page.locator(".arriving")).to_contain_text(re.compile(r"late.png: [1-9]\d? %"))
    assert list(look_closely(window, "photographs arriving", EVERYWHERE)) == []
    page.goto("about:blank")
    forget_cuts(window)
