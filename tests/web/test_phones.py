"""A phone comes to the bench: the owner shows a code, the phone uses it up, and the owner ends it."""

from concurrent.futures import ThreadPoolExecutor
from datetime import timedelta

import pytest

from ledger.codes import Code
from ledger.ports import Ledger
from tests.fakes import FakeClock
from tests.scanning import drawn, scanned, squares
from tests.web.browser import HOST, PASSWORD, Browser, Home, form_to, is_in, text_of
from tests.web.markup import Element, read_page
from tests.web.phones import BENCH, NAME, NEAR, SETTINGS, is_at_the_bench, joined, offered
from web.pairing import OPEN_FOR, Pairing

SECOND = timedelta(seconds=1)
TRIES = 10
"""As many as one address has in ten minutes."""


@pytest.fixture
def home(ledger: Ledger, clock: FakeClock) -> Home:
    """Pages that a home network reaches."""
    return Home.of(ledger, clock, reach=NEAR)


def lines(browser: Browser) -> list[Element]:
    """The phones that are in, as the list shows them."""
    return read_page(browser.get(SETTINGS).text).one("section", id="list").all("tbody")


# --- coming in --------------------------------------------------------------------------------------------------------


def test_the_code_that_is_drawn_is_the_address_that_stands_beside_it(signed_in: Browser) -> None:
    answer = signed_in.post(SETTINGS, {"name": NAME, "address": BENCH})
    page = read_page(answer.text)
    (code,) = page.all("svg", class_="code")
    made = Code(side=int(code.attrs["viewbox"].split()[2]), path=code.all("path")[0].attrs["d"])
    assert scanned(drawn(squares(made))) == page.one("code", id="link").text
    assert "style=" not in answer.text
    assert answer.headers["cache-control"] == "no-store"


def test_a_phone_that_presses_the_button_stands_at_the_bench(signed_in: Browser, home: Home) -> None:
    phone = joined(home, offered(signed_in))
    said = text_of(phone.get("/bench"))
    assert f"{NAME} is at the bench." in said
    assert f"{NAME}, for bench work" in text_of(phone.get("/collection"))
    assert is_in(signed_in), "the owner stays in"


def test_looking_at_the_code_uses_nothing_up(signed_in: Browser, home: Home) -> None:
    path, looking = offered(signed_in), home.browser()
    for _ in range(3):
        page = looking.get(path)
        assert (page.status_code, "set-cookie" in page.headers) == (200, False)
    assert not is_at_the_bench(looking)
    assert is_at_the_bench(joined(home, path))


def test_the_code_works_once(signed_in: Browser, home: Home) -> None:
    path = offered(signed_in)
    joined(home, path)
    second = home.browser()
    assert second.get(path).status_code == 410
    assert second.post(path).status_code == 410
    assert second.secret is None
    assert "This code lets nobody in any more" in text_of(second.get(path))


@pytest.mark.parametrize("how_many", [2, 8])
def test_of_many_who_press_at_the_same_moment_one_comes_in(signed_in: Browser, home: Home, how_many: int) -> None:
    path = offered(signed_in)
    phones = [home.browser() for _ in range(how_many)]
    with ThreadPoolExecutor(how_many) as pool:
        answers = list(pool.map(lambda phone: phone.post(path).status_code, phones))
    assert sorted(answers) == [303, *[410] * (how_many - 1)]
    assert sum(phone.secret is not None for phone in phones) == 1


def test_after_its_minutes_the_code_is_dead(signed_in: Browser, home: Home) -> None:
    path = offered(signed_in)
    home.clock.time += OPEN_FOR - timedelta(minutes=1)
    assert home.browser().get(path).status_code == 200
    home.clock.time += timedelta(minutes=1)
    late = home.browser()
    assert (late.get(path).status_code, late.post(path).status_code, late.secret) == (410, 410, None)


def test_the_minutes_end_on_the_second(home: Home) -> None:
    pairing = Pairing(home.clock)
    secret = pairing.offer(NAME).rpartition("/")[2]
    # The clock of the tests moves on by one second each time it is read.
    home.clock.time += OPEN_FOR - 2 * SECOND
    assert pairing.fits(secret)
    assert not pairing.fits(secret)
    assert pairing.use(secret) is None


def test_another_code_of_the_same_shape_is_none_and_uses_nothing_up(signed_in: Browser, home: Home) -> None:
    path, wrong = offered(signed_in), home.browser()
    other = Pairing(home.clock).offer(NAME)
    assert len(other) == len(path)
    for tried in (other, "/join/x", "/join/%F0%9F%90%9F", path[:-1], f"{path}A"):
        assert (wrong.get(tried).status_code, wrong.post(tried).status_code) == (410, 410), tried
    assert wrong.secret is None
    assert is_at_the_bench(joined(home, path))


def test_a_code_is_of_256_random_bits_and_never_the_same(home: Home) -> None:
    made = {Pairing(home.clock).offer(NAME) for _ in range(20)}
    # 256 bits in base64 are 43 signs. Source: RFC 4648 section 4.
    assert {len(each) for each in made} == {len("/join/") + 43}
    assert len(made) == 20


def test_a_new_code_takes_the_place_of_the_one_before(signed_in: Browser, home: Home) -> None:
    first, second = offered(signed_in), offered(signed_in, name="Other phone")
    assert home.browser().post(first).status_code == 410
    joined(home, second)
    assert ["Other phone" in each.text for each in lines(signed_in)] == [True]


def test_after_a_restart_no_code_is_open(signed_in: Browser, home: Home) -> None:
    path = offered(signed_in)
    again = Home.of(home.ledger, home.clock, reach=NEAR)
    assert again.browser().post(path).status_code == 410


@pytest.mark.parametrize("site", ["cross-site", "same-site"])
def test_another_site_cannot_press_the_button(signed_in: Browser, home: Home, site: str) -> None:
    path, phone = offered(signed_in), home.browser()
    assert phone.post(path, Sec_Fetch_Site=site).status_code == 403
    assert phone.post(path, Sec_Fetch_Site="", Origin="http://elsewhere.example").status_code == 403
    assert phone.secret is None
    answer = phone.post(path, Sec_Fetch_Site="", Origin=f"http://{HOST}")
    assert answer.status_code == 303, "over plain http a browser names only where it comes from"


def test_wrong_codes_are_counted_like_wrong_passwords(signed_in: Browser, home: Home) -> None:
    path, guessing = offered(signed_in), home.browser(address="192.0.2.99")
    answers = [guessing.post("/join/wrong").status_code for _ in range(TRIES + 2)]
    assert answers == [410] * TRIES + [429, 429]
    assert guessing.post(path).status_code == 429, "not even the right one, from there"
    assert is_at_the_bench(joined(home, path, address="192.0.2.30"))


# --- who may show a code ----------------------------------------------------------------------------------------------


def test_the_password_is_asked_for_unless_it_was_given_just_now(signed_in: Browser, home: Home) -> None:
    home.clock.time += timedelta(minutes=10)
    signed_in.page = SETTINGS
    answer = signed_in.post(SETTINGS, {"name": NAME, "address": BENCH})
    assert answer.status_code == 303
    assert answer.headers["location"].startswith("/confirm?waiting=")
    form = form_to(signed_in.follow(answer), "/confirm")
    back = signed_in.follow(signed_in.post("/confirm", {**form.fields, "password": PASSWORD}))
    assert form_to(back, SETTINGS).fields["name"] == NAME
    assert offered(signed_in)


@pytest.mark.parametrize(
    ("fields", "said"),
    [
        ({"name": "   "}, "Give the phone a name of 1 to 40 characters"),
        ({"name": "x" * 41}, "Give the phone a name of 1 to 40 characters"),
        ({"address": "http://elsewhere.example"}, "Choose one of the addresses that are shown here."),
        ({"address": "http://localhost:8450"}, "Choose one of the addresses that are shown here."),
    ],
)
def test_what_is_no_name_or_no_address_comes_back_with_the_mend(
    signed_in: Browser, fields: dict[str, str], said: str
) -> None:
    answer = signed_in.post(SETTINGS, {"name": NAME, "address": BENCH, **fields})
    assert answer.status_code == 422
    assert said in text_of(answer)
    assert read_page(answer.text).all("svg", class_="code") == []


def test_a_name_is_shown_as_it_is_and_never_runs(signed_in: Browser, home: Home) -> None:
    phone = joined(home, offered(signed_in, name="<b>Zoë's</b>"))
    for answer in (phone.get("/bench"), signed_in.get(SETTINGS)):
        assert "<b>" not in answer.text
        assert "&lt;b&gt;Zoë&#39;s&lt;/b&gt;" in answer.text


def test_the_page_offers_every_address_there_is_and_says_who_can_read_along(signed_in: Browser) -> None:
    answer = signed_in.get(SETTINGS)
    options = [each.attrs["value"] for each in read_page(answer.text).one("select", id="address").all("option")]
    assert options == [BENCH, "http://192.0.2.7:8450"]
    said = text_of(answer)
    assert "Everybody in the home network can read along." in said
    assert "a certificate of its own" in said
    assert "It reads all that you read, prices and places among it." in said
    assert "It has no way to keys, erasing, export, tokens, settings, purchases, sales or corrections." in said


def test_a_server_that_hears_only_this_machine_says_how_to_open_it(ledger: Ledger, clock: FakeClock) -> None:
    home = Home.of(ledger, clock)
    home.set_password()
    browser = home.browser().sign_in()
    said = text_of(browser.get(SETTINGS))
    assert "slipsheet serve --host 192.168.1.20" in said
    assert "SLIPSHEET_HOSTS" in said
    answer = browser.post(SETTINGS, {"name": NAME})
    assert answer.status_code == 422
    assert "This program listens to this computer alone." in text_of(answer)


def test_behind_a_certificate_the_way_is_said_to_be_encrypted(ledger: Ledger, clock: FakeClock) -> None:
    home = Home.of(ledger, clock, hosts=["books.example"])
    home.set_password()
    browser = home.browser(host="books.example", scheme="https").sign_in()
    answer = browser.post(SETTINGS, {"name": NAME})
    assert read_page(answer.text).one("code", id="link").text.startswith("https://books.example/join/")
    said = text_of(answer)
    assert "is encrypted" in said
    assert "read along" not in said + text_of(browser.get(SETTINGS))
