"""What the tests of phones share: a house with a network, the owner's code, a phone that comes in by it."""

from urllib.parse import urlsplit

from tests.web.browser import Browser, Home, form_to, text_of
from tests.web.markup import read_page
from web.reach import Reach

__all__ = ["BENCH", "NAME", "NEAR", "SETTINGS", "ends", "is_at_the_bench", "joined", "offered"]

SETTINGS = "/settings/phone"
NAME = "Grey phone"
BENCH = "http://bench.example:8450"
NEAR = Reach(host="192.0.2.7", port=8450, hosts=("bench.example",))


def offered(browser: Browser, **fields: str) -> str:
    """The path of the code that is shown."""
    answer = browser.post(SETTINGS, {"name": NAME, "address": BENCH, **fields})
    assert answer.status_code == 201, text_of(answer)
    address = read_page(answer.text).one("code", id="link").text
    assert address.startswith(f"{BENCH}/join/")
    return urlsplit(address).path


def joined(home: Home, path: str, address: str = "192.0.2.30") -> Browser:
    """A phone that came in by that path."""
    phone = home.browser(address=address)
    page = phone.get(path)
    assert page.status_code == 200
    assert form_to(page, path).method == "post"
    answer = phone.post(path)
    assert (answer.status_code, answer.headers["location"]) == (303, "/bench")
    return phone


def is_at_the_bench(phone: Browser) -> bool:
    answer = phone.get("/bench")
    assert answer.status_code in {200, 303}
    return answer.status_code == 200


def ends(browser: Browser) -> list[str]:
    return [
        each.attrs["action"]
        for each in read_page(browser.get(SETTINGS).text).all("form")
        if each.attrs["action"].endswith("/end") and each.attrs["action"] != f"{SETTINGS}/end"
    ]
