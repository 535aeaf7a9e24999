"""Settings: what is chosen, the password, tokens for programs, and the signing key on paper."""

import re

import pytest

from ledger.accounts import Preferences, Theme
from ledger.adapters.keys import open_or_make
from ledger.bootstrap import OWNER
from ledger.ports import Ledger
from ledger.settings import Settings
from ledger.usecases.record import Draft, record
from ledger.usecases.sign_in import own_words
from ledger.usecases.sign_in import signed_in as in_force
from tests.builders import a_purchase, an_issue
from tests.web.browser import PASSWORD, Browser, Home, form_to, text_of

CHOSEN = {"theme": "dark", "currency": "nok", "date_order": "dmy", "marks": "1.234,50"}


def preferences(home: Home, browser: Browser) -> Preferences:
    who = in_force(home.accounts, browser.secret or "")
    assert who is not None
    return who.person.preferences


def test_nothing_is_chosen_at_first(signed_in: Browser, home: Home) -> None:
    assert preferences(home, signed_in) == Preferences()
    form = form_to(signed_in.get("/settings"), "/settings")
    assert form.fields == {"theme": "system", "currency": "", "date_order": "", "marks": "", "waiting": ""}
    assert "data-theme" not in signed_in.get("/settings").text.partition(">")[2].partition("<head>")[0]


def test_what_was_chosen_counts_on_every_page_and_in_every_browser(signed_in: Browser, home: Home) -> None:
    answer = signed_in.post("/settings", CHOSEN)
    page = signed_in.follow(answer)
    assert "Your choices are kept." in text_of(page)
    assert '<html lang="en" data-theme="dark">' in page.text
    other = home.browser().sign_in()
    assert preferences(home, other) == Preferences(theme=Theme.DARK, currency="NOK", date_order="dmy", marks="1.234,50")
    assert '<html lang="en" data-theme="dark">' in other.get("/keys").text
    assert "data-theme" not in home.browser().get("/sign-in").text


@pytest.mark.parametrize(
    ("name", "value", "said"),
    [
        ("currency", "XYZ", "ISO 4217 has no currency 'XYZ'"),
        ("currency", "XAU", "XAU has no smallest unit"),
        ("currency", "<b>", "ISO 4217 has no currency '<B>'"),
        ("theme", "sepia", "Choose one of the palettes shown."),
        ("date_order", "myd", "Choose one of the orders shown."),
        ("marks", "1'234.50", "Choose one of the spellings shown."),
    ],
)
def test_a_choice_that_is_none_comes_back_beside_its_field(
    signed_in: Browser, home: Home, name: str, value: str, said: str
) -> None:
    answer = signed_in.post("/settings", {**CHOSEN, name: value})
    assert answer.status_code == 422
    assert said in text_of(answer).replace("&#39;", "'").replace("&lt;", "<").replace("&gt;", ">")
    assert f'id="{name}-fault"' in answer.text
    assert "<b>" not in answer.text.lower()
    assert preferences(home, signed_in) == Preferences()


# --- password ---------------------------------------------------------------------------------------------------------


def change(browser: Browser, new: str, current: str = PASSWORD) -> tuple[int, str]:
    answer = browser.post("/settings/password", {"current_password": current, "new_password": new})
    return answer.status_code, text_of(answer) if answer.status_code == 422 else ""


def test_with_a_new_password_every_other_session_ends(signed_in: Browser, home: Home) -> None:
    other = home.browser().sign_in()
    before = signed_in.secret
    assert change(signed_in, "forty paper bags in a drawer") == (303, "")
    assert signed_in.secret != before
    assert signed_in.get("/settings").status_code == 200
    assert other.get("/settings").status_code == 303
    assert home.browser().post("/sign-in", {"password": PASSWORD}).status_code == 403
    assert home.browser().post("/sign-in", {"password": "forty paper bags in a drawer"}).status_code == 303


def test_the_password_now_is_asked_for_and_must_be_right(signed_in: Browser) -> None:
    code, said = change(signed_in, "forty paper bags in a drawer", current="not it")
    assert code == 422
    assert "This is not your password." in said


@pytest.mark.parametrize(
    "new", ["x y z u v w r", "q" * 5 + "wpdlrmt", "\N{SNOWMAN}" * 5 + " five men of snow", "z1" * 500]
)
def test_any_password_of_twelve_characters_will_do(signed_in: Browser, new: str) -> None:
    assert 12 <= len(new) <= 1000
    assert change(signed_in, new) == (303, "")


@pytest.mark.parametrize(
    ("new", "said"),
    [
        ("", "at least 12 characters; this has 0"),
        ("eleven char", "at least 12 characters; this has 11"),
        ("e\N{COMBINING ACUTE ACCENT}leven char", "at least 12 characters; this has 11"),
        ("x" * 1001, "at most 1000 characters; this has 1001"),
        ("passwordpassword", "words that others would try first"),
        ("Slipsheet-2026", "words that others would try first"),
        ("123456789012", "words that others would try first"),
        ("The Copper Lantern", "words that others would try first"),
        ("the COPPER lantern 14", "words that others would try first"),
    ],
)
def test_a_password_that_others_would_try_first_is_refused_with_the_mend(
    signed_in: Browser, ledger: Ledger, new: str, said: str
) -> None:
    record(ledger, OWNER, [Draft(event=a_purchase(issue=an_issue(title="The Copper Lantern")), new_book=True)])
    assert own_words(ledger) == {"The Copper Lantern"}
    code, text = change(signed_in, new)
    assert code == 422
    assert said in text


# --- tokens -----------------------------------------------------------------------------------------------------------


def make(browser: Browser, **changes: object) -> str:
    sent = {"label": "shelf scanner", "permissions": ["read"], "days": "30", **changes}
    answer = browser.post("/settings/tokens", sent)  # type: ignore[arg-type]
    assert answer.status_code == 201, text_of(answer)
    found = re.search(r'<code class="digits block" id="secret">([^<]+)</code>', answer.text)
    assert found
    return found[1]


def test_a_token_is_made_and_its_secret_shown_once(signed_in: Browser, home: Home) -> None:
    secret = make(signed_in)
    assert secret.startswith("slip_")
    answer = signed_in.client.get("/api/v1/books", headers={"Authorization": f"Bearer {secret}"})
    assert answer.status_code == 200
    page = signed_in.get("/settings/tokens")
    assert "shelf scanner" in page.text
    assert secret not in page.text
    assert home.browser().client.get("/api/v1/books").status_code == 401


def test_a_token_that_was_ended_lets_nothing_through(signed_in: Browser) -> None:
    secret = make(signed_in)
    action = re.search(r'action="(/settings/tokens/[^/"]+/end)"', signed_in.get("/settings/tokens").text)
    assert action
    page = signed_in.follow(signed_in.post(action[1]))
    assert "The token has ended." in text_of(page)
    assert action[1] not in page.text
    answer = signed_in.client.get("/api/v1/books", headers={"Authorization": f"Bearer {secret}"})
    assert answer.status_code == 401
    assert signed_in.post("/settings/tokens/nothing/end").status_code == 404


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"label": "  "}, "label"),
        ({"permissions": []}, "permissions"),
        ({"permissions": ["read", "fly"]}, "permissions"),
        ({"days": "0"}, "days"),
        ({"days": "367"}, "days"),
        ({"days": "9" * 5000}, "days"),
        ({"days": "\N{ARABIC-INDIC DIGIT THREE}"}, "days"),
        ({"days": ""}, "days"),
    ],
)
def test_a_token_that_cannot_be_so_comes_back_with_what_was_typed(
    signed_in: Browser, changes: dict[str, object], field: str
) -> None:
    sent = {"label": "shelf scanner", "permissions": ["read"], "days": "30", **changes}
    answer = signed_in.post("/settings/tokens", sent)  # type: ignore[arg-type]
    assert answer.status_code == 422
    assert f'id="{field}-fault"' in answer.text
    assert form_to(answer, "/settings/tokens").fields["label"] == str(sent["label"]).strip()


# --- key --------------------------------------------------------------------------------------------------------------


def test_the_verifier_key_is_there_to_be_given_away(signed_in: Browser, ledger: Ledger) -> None:
    page = signed_in.get("/settings/key")
    assert ledger.signer.verifier.vkey in page.text.replace("&#43;", "+")


def test_the_paper_copy_typed_into_a_key_file_is_the_key_again(
    signed_in: Browser, ledger: Ledger, settings: Settings, tmp_path_factory: pytest.TempPathFactory
) -> None:
    page = signed_in.get("/settings/key/paper")
    paper = re.search(r'<pre class="key-lines" id="paper"[^>]*>(.*?)</pre>', page.text, re.DOTALL)
    assert paper
    assert f"{ledger.collection}.key" in page.text
    folder = tmp_path_factory.mktemp("typed")
    (folder / f"{ledger.collection}.key").write_text(paper[1].upper().replace("  ", " "))
    typed = open_or_make(folder, ledger.collection, data_folder=folder / "data", seed=None)
    assert typed.verifier == ledger.signer.verifier
