"""The way of one book, told as a collector walks it: bought in its holder, opened, worked on, sent, hung and mended."""

import re
from collections.abc import Callable
from dataclasses import dataclass, field
from io import BytesIO
from pathlib import Path
from typing import Final

from PIL import Image
from playwright.sync_api import expect

from tests.browser.collector import PASSWORD, Collector

__all__ = ["SELLER", "Journey"]

TITLE: Final = "Nightshift Bulletin"
NUMBER: Final = "12"
OTHER_KEYS: Final = 8
"""Keys beside those of the words themselves. Source: the goal of this project for a purchase typed by hand."""
SELLER: Final = "Ottoline Farthingale"
BEND: Final = {"type": "bend", "face": "front", "breaks_colour": "no", "size_mm": "40"}
DIRT: Final = {"type": "surface-dirt", "face": "back", "breaks_colour": "no", "share_percent": "15"}
TICK: Final = {"type": "spine-tick", "face": "spine", "breaks_colour": "yes", "count": "2"}


@dataclass
class Journey:
    """The steps in their order; each begins where the one before has ended."""

    who: Collector
    script: bool
    seqs: dict[str, int] = field(default_factory=dict)
    """Numbers of the entries, by what they are."""

    def buy(self) -> None:
        """Four fields from the keyboard; the book is found again after a reload."""
        page = self.who.page
        self.who.window.go("/wall")
        keys = ["n"] if self.script else []
        if self.script:
            page.keyboard.press("n")
        else:
            page.get_by_role("link", name="New purchase").click()
        expect(page.get_by_label("Title")).to_be_focused()
        for number, words in enumerate((TITLE, NUMBER, "3 Mar 2024", "48.50 EUR")):
            if number:
                page.keyboard.press("Tab")
                keys.append("Tab")
            page.keyboard.type(words)
        page.keyboard.press("Enter")
        keys.append("Enter")
        self.seqs["purchase"] = self.who.entry_told()
        assert len(keys) <= OTHER_KEYS, keys
        self.who.book = page.url.rpartition("/")[2]
        page.reload()
        expect(page.get_by_role("heading", level=1)).to_have_text(f"{TITLE} no. {NUMBER}")
        self.find()

    def find(self) -> None:
        """In the collection, by a part of its title."""
        page = self.who.page
        self.who.window.go("/collection")
        if self.script:
            page.keyboard.press("/")
            page.keyboard.type("nightsh")
        else:
            page.get_by_role("searchbox").fill("nightsh")
            page.keyboard.press("Enter")
        row = page.locator("#list tbody tr")
        expect(row).to_have_count(1)
        expect(row.get_by_role("rowheader")).to_contain_text(TITLE)
        page.reload()
        row.get_by_role("rowheader").get_by_role("link").click()
        page.wait_for_url(f"**/books/{self.who.book}")

    def say_it_was_slabbed(self) -> None:
        """What four fields left out is put right: both states stay in sight."""
        answers = {
            "changes.holding": "slabbed",
            "changes.holder_number": "LQ 20 771",
            "changes.expects_arrival": "yes",
            "changes.stated.as_written": "VG/FN",
            "changes.stated.steps": "5.0",
            "changes.stated.opinion_of": "grading service",
            "changes.stated.matched_by": "holder number",
            "changes.seller": SELLER,
            "reason": "Only the four fields were typed on the day.",
        }
        self.seqs["correction"] = self.who.mend(self.seqs["purchase"], "Correct", answers)
        row = self.who.page.locator(f"#entry-{self.seqs['purchase']}")
        expect(row).to_contain_text(f"Corrected by entry {self.seqs['correction']}")
        expect(row.locator("del", has_text="not stated")).to_have_count(1)
        expect(row.locator("ins", has_text="slabbed")).to_have_count(1)

    def receive(self) -> None:
        """It arrives."""
        self.who.enter("Arrival", {"on": "9 Mar 2024", "stage": "arrived", "as_described": "yes"})

    def look_through_the_holder(self) -> None:
        """Two faults are seen before it is opened."""
        faults = self._faults(BEND, DIRT)
        self.who.enter("Examination", {"on": "9 Mar 2024", "through_holder": "yes", "lights": ["normal"], **faults})

    def open(self) -> None:
        """Out of its holder: the stated grade ends."""
        self.who.enter("Opening", {"on": "16 Mar 2024", "condition": "intact"})
        expect(self.who.page.locator(".book-facts")).to_contain_text("none in force")

    def look_closely(self) -> None:
        """Three faults, the third in a row that was asked for."""
        who = self.who
        faults = self._faults(BEND, DIRT, TICK)
        known = {"defects.0.id": "d1", "defects.1.id": "d2", "height_mm": "261", "width_mm": "184.5", "weight_g": "71"}
        first = {"on": "16 Mar 2024", "lights": ["normal", "raking"], "presents_as": "6.0"}
        self.seqs["examination"] = who.enter("Examination", {**first, **faults, **known})
        expect(who.page.locator(f"#entry-{self.seqs['examination']}")).to_contain_text("3 defects, presents as 6.0")

    def work(self) -> None:
        """Cleaned, pressed, and looked at again after a rest."""
        who = self.who
        dry = {
            "technique": "dry-cleaning",
            "worked_defects.1.outcome": "lessened",
            "worked_faces": ["back"],
            "tool": "soft brush",
        }
        who.enter("Intervention", {"on": "17 Mar 2024", **dry})
        heat = {"settings.set_celsius": "65", "settings.hold_minutes": "10", "settings.moisture": "none"}
        press = {"technique": "hot-press-dry", "worked_defects.0.outcome": "gone", "worked_faces": ["front"]}
        who.enter("Intervention", {"on": "20 Mar 2024", **press, **heat})
        expect(who.page.locator(".statement").first).to_contain_text(
            "one dry surface cleaning and one dry hot pressing"
        )
        gone = {f"defects.{number}.id": f"d{number + 1}" for number in range(3)} | {"defects.0.gone": "yes"}
        again = self._faults(BEND, DIRT, TICK)
        rest = {"on": "23 Mar 2024", "rest_hours": "72", "lights": ["normal", "raking"], "presents_as": "8.0"}
        who.enter("Examination", {**rest, **again, **gone})
        expect(who.page.locator(".book-facts")).to_contain_text("after 72 hours of rest")

    def forecast_and_stop(self) -> None:
        """The outlook is written before anybody knows, and the work ends."""
        weights = {
            f"weights.{number}.{name}": value
            for number, pair in enumerate((("7.0", "200"), ("7.5", "500"), ("8.0", "300")))
            for name, value in zip(("grade", "per_mille"), pair, strict=True)
        }
        told = self.who.enter("Outlook", {"on": "24 Mar 2024", "stage": "before sending", "ceiling": "8.0", **weights})
        expect(self.who.page.locator(f"#entry-{told}")).to_contain_text("7.5 most likely, ceiling 8.0")
        ended = self.who.enter("Choice", {"on": "24 Mar 2024", "next": "stop", "why": "The tick stays."})
        expect(self.who.page.locator(f"#entry-{ended}")).to_contain_text("Chose to stop")

    def send_and_receive(self) -> None:
        """To a service, each stage as news of it comes, and back in a new holder."""
        self.who.enter("Submission", {"on": "2 Apr 2024", "stage": "sent", "batch": "spring-24", "asks": "grade"})
        for day, stage in (("9 Apr 2024", "received there"), ("6 May 2024", "shipped back")):
            told = self.who.enter("Submission", {"on": day, "stage": stage, "batch": "spring-24"})
            expect(self.who.page.locator(f"#entry-{told}")).to_contain_text(f"Submission {stage}, batch spring-24")
        graded = {
            "stated.as_written": "7.5",
            "stated.steps": "7.5",
            "stated.opinion_of": "grading service",
            "stated.matched_by": "holder number",
            "holder_number": "LQ 31 002",
            "service": "Quayside Opinions",
        }
        self.who.enter("Outcome of a submission", {"on": "11 May 2024", **graded})
        facts = self.who.page.locator(".book-facts")
        for words in ("7.5", "Quayside Opinions", "LQ 31 002"):
            expect(facts).to_contain_text(words)

    def hang(self) -> None:
        """On the wall, where it is seen at once."""
        where = {"spot": "wall", "place": "Landing, north wall", "x_cm": "40", "y_cm": "150"}
        self.who.enter("Placement", {"on": "18 May 2024", **where})
        self.who.window.go("/wall")
        hung = self.who.page.get_by_role("link", name=re.compile(TITLE)).first
        expect(hung).to_be_visible()
        expect(self.who.page.locator("main")).to_contain_text("Landing, north wall")

    def correct(self) -> None:
        """The height was misread: the old figure stays beside the new one."""
        self.who.mend(self.seqs["examination"], "Correct", {"changes.height_mm": "262", "reason": "Misread the rule."})
        row = self.who.page.locator(f"#entry-{self.seqs['examination']}")
        expect(row.locator("del", has_text="261")).to_have_count(1)
        expect(row.locator("ins", has_text="262")).to_have_count(1)

    def withdraw(self) -> None:
        """A note that was wrong goes out of force and stays in sight."""
        note = self.who.enter("Note", {"on": "19 May 2024", "words": "Staples replaced."})
        self.who.mend(note, "Withdraw", {"reason": "That was another book."})
        row = self.who.page.locator(f"#entry-{note}")
        expect(row).to_contain_text(re.compile(r"Withdrawn by entry \d+"))
        expect(row).to_contain_text("That was another book.")

    def erase(self, ten_minutes_pass: Callable[[], None]) -> None:
        """The seller's name goes for good; the password is asked for again."""
        who = self.who
        who.window.go(f"/ledger/{self.seqs['purchase']}")
        expect(who.page.locator("main")).to_contain_text(SELLER)
        ten_minutes_pass()
        who.page.get_by_role("link", name=re.compile("^Erase")).click()
        expect(who.page.get_by_role("heading", level=1)).to_have_text("Your password, once more")
        who.page.get_by_label("Password").fill(PASSWORD)
        who.press("Go on")
        who.write({"names": ["seller"], "reason": "She asked for it."})
        who.window.go(f"/ledger/{self.seqs['purchase']}")
        expect(who.page.locator("main")).not_to_contain_text(SELLER)
        expect(who.page.locator("main")).to_contain_text("erased")
        who.window.go("/collection?q=Farthingale")
        expect(who.page.locator("main")).to_contain_text("No book fits all of this.")

    def photograph(self, picture: Path) -> None:
        """A real file, shown afterwards as a clean copy of its own size."""
        self.who.enter(
            "Photograph", {"on": "19 May 2024", "shots.0.file": picture, "shots.0.caption": "On the landing"}
        )
        shown = self.who.page.locator(".book-head image").first
        expect(shown).to_be_visible()
        answer = self.who.window.context.request.get(self.who.window.server.at(shown.get_attribute("href") or ""))
        with Image.open(BytesIO(answer.body())) as clean:
            assert clean.height > clean.width > 100
            assert not clean.getexif()

    def buy_another_in_its_holder(self) -> None:
        """A second copy of the run, slabbed and graded from the first day, written on one page."""
        self.who.window.go("/purchase")
        bought = {"issue.title": TITLE, "issue.number": "13", "on": "1 June 2024", "price": "20 EUR"}
        holder = {"holding": "slabbed", "holder_number": "LQ 40 118"}
        grade = {"as_written": "9.0", "steps": "9.0", "opinion_of": "grading service", "matched_by": "holder number"}
        stated = {f"stated.{name}": value for name, value in grade.items()} | {"stated_by": "Quayside Opinions"}
        seq = self.who.write(bought | holder | stated)
        expect(self.who.page.locator(f"#entry-{seq}")).to_contain_text("slabbed, stated grade 9.0")
        expect(self.who.page.locator(".book-facts")).to_contain_text("LQ 40 118")

    def several(self) -> None:
        """Two books at once make one act of two entries."""
        who = self.who
        who.window.go("/collection")
        expect(who.page.locator("#list tbody tr")).to_have_count(2)
        for each in who.page.locator("#list tbody tr input[type=checkbox]").all():
            each.check()
        who.page.locator("main").get_by_role("button", name="New entry").click()
        expect(who.page.locator("main")).to_contain_text("For 2 books")
        who.page.locator(".kind-list").get_by_role("link", name=re.compile("^Count")).first.click()
        who.page.wait_for_url("**kind=count**")
        first = who.write({"on": "2 June 2024", "of.0.result": "found", "of.1.result": "found"})
        who.window.go(f"/ledger/{first}")
        expect(who.page.locator("main")).to_contain_text("one of two")

    def _faults(self, *faults: dict[str, str]) -> dict[str, str]:
        return {
            f"defects.{number}.{name}": value for number, fault in enumerate(faults) for name, value in fault.items()
        }
