"""A collector before a window: opens pages, fills in forms by what their fields are called, and reads what is told.

Everything here works with scripts and without; what a collector cannot reach from where they are is not reached.
"""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from playwright.sync_api import Locator, Page, expect

from tests.browser.window import Window

__all__ = ["PASSWORD", "Collector"]

PASSWORD: Final = "nine grey moths by lamplight"
FORM: Final = re.compile(r"/entry/new\?(.*&)?kind=")
Answer = str | Sequence[str] | Path
Answers = Mapping[str, Answer]
"""Field names and what is answered: words for a line, a value for a choice, values for several ticks, a file."""


@dataclass
class Collector:
    """Somebody at a window."""

    window: Window
    book: str = ""
    """Id of the book they are working on."""

    @property
    def page(self) -> Page:
        """What they see."""
        return self.window.page

    @property
    def form(self) -> Locator:
        """The form of the page, not the one of its foot."""
        return self.page.locator("main form").first

    def press(self, name: str) -> None:
        """A button or a link, by its words."""
        either = self.page.get_by_role("button", name=name).or_(self.page.get_by_role("link", name=name))
        either.first.click()

    def fill(self, answers: Answers) -> None:
        """The fields of the form, folds opened on the way."""
        for name, answer in answers.items():
            self._fill(name, answer)

    def write(self, answers: Answers) -> int:
        """Fills in the form and sends it by Enter's own button; the number of the entry it became."""
        self.fill(answers)
        self.page.locator("main .acts button.next").click()
        return self.entry_told()

    def entry_told(self) -> int:
        """The number in the sentence that is told."""
        told = self.page.locator(".told, .faults").first.inner_text()
        number = re.search(r"Written as entr(?:y|ies) ([\d,]+)", told)
        assert number is not None, told
        self.page.wait_for_load_state()  # the page's script forgets the draft that came to its end
        return int(number[1].replace(",", ""))

    def enter(self, kind: str, answers: Answers) -> int:
        """A new entry for the book: from its page to the kind, by its title, and through its form."""
        self.window.go(f"/books/{self.book}")
        self.page.locator("main").get_by_role("link", name="New entry", exact=True).click()
        self.page.locator(".kind-list").get_by_role("link", name=re.compile(f"^{kind}")).first.click()
        self.page.wait_for_url(FORM)
        return self.write(answers)

    def mend(self, seq: int, way: str, answers: Answers) -> int:
        """A correction, a withdrawal or an erasure, from the page of the entry."""
        self.window.go(f"/ledger/{seq}")
        self.page.locator("main").get_by_role("link", name=re.compile(f"^{way}")).click()
        self.page.wait_for_url(FORM)
        return self.write(answers)

    def come_in(self, link: str) -> None:
        """For the first time: the link, its button, a password of one's own."""
        self.page.goto(link)
        self.press("Sign in here")
        self.page.get_by_label("New password").fill(PASSWORD)
        self.press("Set it")
        expect(self.page.locator(".told").first).to_contain_text("Your password is set")

    def sign_in(self) -> None:
        """On the page that asks for the password."""
        self.page.get_by_label("Password").fill(PASSWORD)
        self.page.locator("main button.next").click()

    def _fill(self, name: str, answer: Answer) -> None:
        field = self.form.locator(f'[name="{name}"]')
        if not field.count():
            self._ask_for_a_row(name)
        self._open_folds_around(f'[name="{name}"]')
        if isinstance(answer, Path):
            field.set_input_files(answer)
        elif not isinstance(answer, str):
            for each in answer:
                self.form.locator(f'[name="{name}"][value="{each}"]').check()
        elif field.first.get_attribute("type") in {"radio", "checkbox"}:
            self.form.locator(f'[name="{name}"][value="{answer}"]').check()
        elif field.evaluate("each => each.tagName") == "SELECT":
            field.select_option(answer)
        else:
            field.fill(answer)

    def _ask_for_a_row(self, name: str) -> None:
        """One more row for a field such as `defects.2.type`; what was typed comes back with it."""
        button = f"button[value='add:{name.partition('.')[0]}']"
        self._open_folds_around(button)
        self.form.locator(button).click()
        expect(self.form.locator(f'[name="{name}"]').first).to_be_attached()

    def _open_folds_around(self, what: str) -> None:
        """The outer fold first."""
        closed = self.form.locator("details:not([open])").filter(has=self.page.locator(what))
        while closed.count():
            closed.first.locator("> summary").click()
