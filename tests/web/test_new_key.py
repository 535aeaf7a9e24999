"""A new signing key from its page: what is asked, what is done, and which keys are shown afterwards."""

import re
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest
from httpx2 import Response

from ledger.adapters.key_ring import KeyRing
from ledger.adapters.keys import NoKey, key_path, open_or_make, signer_of
from ledger.bootstrap import OWNER
from ledger.events.key import Action, Key
from ledger.ports import Ledger
from ledger.settings import Settings
from ledger.usecases.record import Draft, record
from ledger.usecases.rotate import keys_on_record
from ledger.usecases.verify import verify_ledger
from ledger.when import When
from tests.fakes import FakeClock
from tests.web.browser import PASSWORD, Browser, Home, form_to, text_of
from tests.web.markup import Element, read_page
from tests.web.typed import last, size

PATH = "/settings/key/new"
HANDS_OVER = {"action": "rotate", "stolen_since": "", "remark": ""}


def sent(browser: Browser, **fields: str) -> Response:
    form = form_to(browser.get(PATH), PATH)
    return browser.post(PATH, {**form.fields, **HANDS_OVER, **fields})


def said(ledger: Ledger) -> Key:
    event = last(ledger).event
    assert isinstance(event, Key)
    return event


def listed(browser: Browser) -> list[str]:
    """What is said of each key, the newest first."""
    page = read_page(browser.get("/settings/key").text)
    return [re.sub(r" ([,:])", r"\1", each.text) for each in page.one("ol", class_="key-list").all("li")]


def marked_wrong(answer: Response, name: str) -> str:
    page = read_page(answer.text)
    found: Element = next(each for each in page.walk() if each.attrs.get("id") == f"{name}-fault")
    return found.text


# --- what is done -----------------------------------------------------------------------------------------------------


def test_a_new_key_is_started_and_the_old_one_hands_over(signed_in: Browser, ledger: Ledger) -> None:
    old = ledger.signer.verifier.vkey
    answer = sent(signed_in, remark="the old machine was sold")
    assert answer.headers["location"] == "/settings/key"
    told = text_of(signed_in.follow(answer))
    assert "Written as entry 2. Key rotated, signed by the old key. Print the new paper copy" in told
    event, new = said(ledger), ledger.signer.verifier.vkey
    assert (event.action, event.vkey, str(event.on), event.remark.value) == (
        Action.ROTATE,
        new,
        "2026-01-02",
        "the old machine was sold",
    )
    assert event.handover is not None
    assert old != new
    assert verify_ledger(ledger, OWNER).findings == []


def test_the_page_shows_every_key_that_signed_since_when_and_its_line(signed_in: Browser, ledger: Ledger) -> None:
    first = ledger.signer.verifier.vkey
    assert listed(signed_in) == [
        f"Since 2 January 2026, entry 1: the first key of this ledger. In use: it signs now. {first}"
    ]
    sent(signed_in)
    second = ledger.signer.verifier.vkey
    sent(signed_in, action="stolen", stolen_since="Nov 2025")
    third = ledger.signer.verifier.vkey
    sent(signed_in, action="lost")
    fourth = ledger.signer.verifier.vkey
    day = "2 January 2026"
    kept = "what it signed counts where somebody has kept it since before then."
    began = (
        "a break, for the key before it was lost.",
        "a break, for somebody else may have had the key before it.",
        "the key before it signed that it hands over.",
        "the first key of this ledger.",
    )
    ended = (
        "In use: it signs now.",
        f"Until {day}, entry 4: lost; {kept}",
        f"Until {day}, entry 3: somebody else may have had it since November 2025; {kept}",
        f"Until {day}, entry 2: it handed over, and what it signed stays good.",
    )
    keys = (fourth, third, second, first)
    assert listed(signed_in) == [
        f"Since {day}, entry {4 - place}: {began[place]} {ended[place]} {keys[place]}" for place in range(4)
    ]
    page = read_page(signed_in.get("/settings/key").text)
    assert page.one("code", id="vkey").text == fourth


def test_the_paper_copy_is_that_of_the_new_key(
    signed_in: Browser, ledger: Ledger, tmp_path_factory: pytest.TempPathFactory
) -> None:
    sent(signed_in)
    page = signed_in.get("/settings/key/paper")
    paper = re.search(r'<pre class="key-lines" id="paper"[^>]*>(.*?)</pre>', page.text, re.DOTALL)
    assert paper
    folder = tmp_path_factory.mktemp("typed")
    key_path(folder, ledger.collection).write_text(paper[1])
    typed = open_or_make(folder, ledger.collection, data_folder=folder / "data", seed=None)
    assert typed.verifier == ledger.signer.verifier


@pytest.mark.parametrize(
    ("typed", "since"), [("3 Oct 2025", "2025-10-03"), ("2024", "2024"), ("2 Jan 2026", "2026-01-02")]
)
def test_since_when_it_was_stolen_is_read_as_people_write_it(
    signed_in: Browser, ledger: Ledger, typed: str, since: str
) -> None:
    assert sent(signed_in, action="stolen", stolen_since=typed).status_code == 303
    assert (said(ledger).action, said(ledger).stolen_since) == (Action.STOLEN, When(since))
    assert said(ledger).handover is None


def test_the_same_form_sent_twice_starts_one_key(signed_in: Browser, ledger: Ledger, settings: Settings) -> None:
    form = form_to(signed_in.get(PATH), PATH)
    for _ in range(2):
        assert signed_in.post(PATH, {**form.fields, **HANDS_OVER}).headers["location"] == "/settings/key"
    assert len(keys_on_record(ledger, OWNER)) == 2
    assert len(list(Path(settings.keys).glob("*.key"))) == 3
    answer = signed_in.post(PATH, {**form.fields, **HANDS_OVER, "action": "lost"})
    assert answer.status_code == 409
    assert form_to(answer, PATH).fields["key"] != form.fields["key"]


# --- what is refused --------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("fields", "name", "words"),
    [
        ({"action": "stolen"}, "stolen_since", "Say since when somebody else may have had it"),
        ({"action": "stolen", "stolen_since": "3 Jan 2026"}, "stolen_since", "This day is still to come."),
        ({"action": "stolen", "stolen_since": "soon"}, "stolen_since", "cannot be read as a date"),
        ({"action": "lost", "stolen_since": "2025"}, "stolen_since", "A day is named only for a key"),
        ({"stolen_since": "2025"}, "stolen_since", "A day is named only for a key"),
        ({"action": "start"}, "action", "This is not one of the answers here."),
        ({"action": ""}, "action", "This is needed."),
        ({"remark": "x" * 4001}, "remark", "4,000 is the most"),
    ],
)
def test_what_cannot_stand_is_told_at_its_field_and_makes_no_key(
    signed_in: Browser,
    ledger: Ledger,
    settings: Settings,
    fields: dict[str, str],
    name: str,
    words: str,
) -> None:
    before = ledger.signer.verifier
    answer = sent(signed_in, **fields)
    assert answer.status_code == 422
    assert words in marked_wrong(answer, name)
    back = form_to(answer, PATH).fields
    assert {each: back[each] for each in fields if each != "action"} == {
        each: value for each, value in fields.items() if each != "action"
    }
    assert (size(ledger), ledger.signer.verifier) == (1, before)
    assert len(list(Path(settings.keys).glob("*.key"))) == 1


def test_a_field_that_is_not_of_this_form_is_refused(signed_in: Browser, ledger: Ledger) -> None:
    answer = sent(signed_in, vkey="somebody+00000000+AAAA")
    assert answer.status_code == 422
    assert "There is no field vkey in this form." in text_of(answer)
    assert size(ledger) == 1


def test_the_password_is_asked_for_again_and_what_was_typed_waits(
    signed_in: Browser, ledger: Ledger, clock: FakeClock
) -> None:
    form = form_to(signed_in.get(PATH), PATH)
    clock.time += timedelta(minutes=11)
    assert signed_in.get(PATH).headers["location"].startswith("/confirm?")
    signed_in.page = PATH
    answer = signed_in.post(PATH, {**form.fields, **HANDS_OVER, "action": "stolen", "stolen_since": "May 2025"})
    asked = signed_in.follow(answer)
    assert size(ledger) == 1
    back = signed_in.follow(signed_in.post("/confirm", {**form_to(asked, "/confirm").fields, "password": PASSWORD}))
    fields = form_to(back, PATH).fields
    assert (fields["action"], fields["stolen_since"]) == ("stolen", "May 2025")
    assert signed_in.post(PATH, fields).status_code == 303
    assert said(ledger).stolen_since == When("2025-05")


def test_nobody_who_is_not_signed_in_starts_a_key(visitor: Browser, ledger: Ledger) -> None:
    assert visitor.get(PATH).headers["location"].startswith("/sign-in")
    assert visitor.post(PATH, HANDS_OVER).headers["location"].startswith("/sign-in")
    assert size(ledger) == 1


# --- a key that is not at hand, or not in use -------------------------------------------------------------------------


@pytest.fixture
def lost(ledger: Ledger, settings: Settings, clock: FakeClock) -> tuple[Browser, Ledger]:
    """A browser before pages that were opened without the key file."""
    ring = KeyRing(ledger.collection, NoKey(ledger.signer.verifier), Path(settings.keys))
    without = replace(ledger, signer=ring, key_claimed=True)
    home = Home.of(without, clock)
    home.set_password()
    return home.browser().sign_in(), without


def test_without_the_key_file_the_page_says_so_and_a_new_one_can_be_started(lost: tuple[Browser, Ledger]) -> None:
    browser, ledger = lost
    page = browser.get("/settings/key")
    assert "The key file is not at hand, so nothing can be signed." in text_of(page)
    assert "/settings/key/paper" not in page.text
    assert "In use, and not at hand." in listed(browser)[0]
    assert browser.get("/settings/key/paper").status_code == 409
    form = browser.get(PATH)
    assert 'value="rotate"' not in form.text
    assert "cannot hand over to a new one" in text_of(form)
    assert sent(browser, action="rotate").status_code == 422
    assert form_to(form, PATH).fields["action"] == "lost"
    assert sent(browser, action="lost").status_code == 303
    assert (ledger.signer.at_hand, said(ledger).action) == (True, Action.LOST)
    assert verify_ledger(ledger, OWNER).findings == []
    assert "not at hand" not in text_of(browser.get("/settings/key"))


def test_another_key_than_the_ledger_names_is_told_and_hands_nothing_over(signed_in: Browser, ledger: Ledger) -> None:
    elsewhere = signer_of(ledger.collection, b"\x05" * 32).verifier.vkey
    record(ledger, OWNER, [Draft(event=Key(action=Action.ROTATE, vkey=elsewhere))])
    page = signed_in.get("/settings/key")
    assert "The key at hand is not the key this ledger names" in text_of(page)
    assert read_page(page.text).one("code", id="vkey").text == elsewhere
    first, second = listed(signed_in)
    assert "a break, for the key before it did not sign that it hands over" in first
    assert "changed without its word" in second
    assert sent(signed_in).status_code == 422
    assert sent(signed_in, action="lost").status_code == 303
    assert "The key at hand is not" not in text_of(signed_in.get("/settings/key"))


def test_a_new_key_that_cannot_sign_yet_says_why(
    signed_in: Browser, ledger: Ledger, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(KeyRing, "use", lambda _self, _vkey: False)
    told = text_of(signed_in.follow(sent(signed_in)))
    assert "Written as entry 2." in told
    assert "The new key could not sign yet: The key file at hand is not the key in use." in told
    assert said(ledger).action is Action.ROTATE
