"""A record at a secret address: light to read, bounded in what it takes in, and with words for somebody who knows nobody here.

The limits are our own assumptions; their reasons stand beside them.
"""

import re
from dataclasses import dataclass, field, replace
from typing import Any

import pytest

from ledger.handing import KeptRecord
from ledger.ports import Ledger
from tests.web.browser import PASSWORD, Browser, Home, text_of
from tests.web.markup import read_page
from tests.web.test_records import book as book  # noqa: PLC0414 - a fixture
from tests.web.test_records import link_to, made, ticked
from web.pages import handed

WRONG = "/handed/" + "x" * 43


@dataclass
class Counted:
    """The store of pictures, and which of them were read."""

    inner: Any
    reads: list[str] = field(default_factory=list)

    def read(self, sha256: str) -> bytes:
        """As the store."""
        self.reads.append(sha256)
        return bytes(self.inner.read(sha256))

    def __getattr__(self, name: str) -> Any:
        return getattr(self.inner, name)


@pytest.fixture
def record(signed_in: Browser, ledger: Ledger, book: str) -> KeptRecord:
    return made(signed_in, ledger, book)


@pytest.fixture
def address(signed_in: Browser, record: KeptRecord) -> str:
    return link_to(signed_in, record)


@pytest.fixture
def reader(home: Home) -> Browser:
    return home.browser(address="192.0.2.7")


def counting(home: Home) -> Counted:
    counted = Counted(home.app.state.ledger.pictures)
    home.app.state.ledger = replace(home.app.state.ledger, pictures=counted)
    return counted


def pictures_of(page: str) -> list[str]:
    return [str(each.attrs["src"]) for each in read_page(page).all("img")]


def test_a_photograph_is_read_alone_and_the_page_and_the_comparison_read_none(
    home: Home, signed_in: Browser, record: KeptRecord, address: str, reader: Browser
) -> None:
    counted = counting(home)
    one, other = pictures_of(reader.get(address).text)
    reader.get(f"{address}/compare")
    assert counted.reads == []
    assert reader.get(one).status_code == 200
    assert counted.reads == [one.rpartition("/")[2]]
    counted.reads.clear()
    own = f"/records/{record.sha256}/photographs/{other.rpartition('/')[2]}"
    assert signed_in.get(own).status_code == 200
    assert signed_in.get(f"/records/{record.sha256}").status_code == 200
    assert counted.reads == [other.rpartition("/")[2]]


def test_a_photograph_that_is_not_what_its_name_says_is_never_given(home: Home, address: str, reader: Browser) -> None:
    one, _ = pictures_of(reader.get(address).text)

    class Changed(Counted):
        def read(self, sha256: str) -> bytes:
            return super().read(sha256) + b"x"

    home.app.state.ledger = replace(home.app.state.ledger, pictures=Changed(home.app.state.ledger.pictures))
    answer = reader.get(one)
    assert answer.status_code == 500
    assert answer.headers["content-type"].startswith("text/html")


@pytest.mark.parametrize("path", [WRONG, "/calendar/" + "x" * 43 + ".ics"])
def test_wrong_secret_addresses_keep_nobody_from_signing_in(home: Home, visitor: Browser, path: str) -> None:
    """Another site's page can make the owner's own browser ask for them, as for pictures."""
    there = {"Sec-Fetch-Site": "cross-site", "Sec-Fetch-Dest": "image"}
    assert [visitor.client.get(path, headers=there).status_code for _ in range(12)] == [404] * 10 + [429] * 2
    for number in range(11):
        other = home.browser(address=f"198.51.100.{number}")
        assert [other.get(path).status_code for _ in range(10)] == [404] * 10
    assert visitor.post("/sign-in", {"password": PASSWORD}).status_code == 303


def test_a_right_address_opens_however_many_wrong_ones_were_asked_for(address: str, reader: Browser) -> None:
    for _ in range(12):
        reader.get(WRONG)
    assert reader.get(WRONG).status_code == 429
    assert reader.get(address).status_code == 200


HEADERS = {"referrer-policy": "no-referrer", "x-robots-tag": "noindex, nofollow", "cache-control": "no-store"}


def test_every_answer_below_an_address_keeps_it_out_of_referrers_indexes_and_caches(
    home: Home, address: str, reader: Browser, monkeypatch: pytest.MonkeyPatch
) -> None:
    answers = {
        "page": (reader.get(address), 200),
        "photograph": (reader.get(pictures_of(reader.get(address).text)[0]), 200),
        "file": (reader.get(f"{address}/file"), 200),
        "stranger": (reader.get(f"{address}/photographs/{'0' * 64}"), 404),
        "form": (reader.get(f"{address}/nothing"), 404),
        "query": (reader.get(f"{address}/file?held=x"), 400),
        "deeper": (reader.get(f"{address}/a/b/c"), 404),
        "method": (reader.post(address), 405),
        "other site": (reader.post(address, Origin="https://elsewhere.example", Sec_Fetch_Site="cross-site"), 403),
        "other name": (reader.get(address, Host="elsewhere.example"), 421),
        "head": (reader.client.head(address), 200),
        "wrong": (reader.get(WRONG), 404),
    }
    for _ in range(12):
        answers["often"] = (reader.get(WRONG), 429)
    monkeypatch.setattr(handed, "count_opening", None)
    answers["failed"] = (reader.get(address), 500)
    for name, (answer, status) in answers.items():
        assert answer.status_code == status, name
        assert {each: answer.headers.get(each) for each in HEADERS} == HEADERS, name
        assert "set-cookie" not in answer.headers, name


def test_a_stranger_is_told_what_to_do_and_never_of_a_collection(address: str, reader: Browser) -> None:
    for path in (f"{address}/nothing", f"{address}/photographs/{'0' * 64}", WRONG):
        answer = reader.get(path)
        assert answer.status_code == 404
        assert "ask them for another" in text_of(answer)
        links = [str(each.attrs.get("href")) for each in read_page(answer.text).all("a")]
        assert [each for each in links if each.startswith(("/collection", "/books", "/check"))] == []


def test_a_record_of_one_photograph_says_that_there_is_nothing_to_hold_it_against(
    signed_in: Browser, ledger: Ledger, book: str, reader: Browser
) -> None:
    first = ticked(signed_in, book)["shot"][:1]
    address = link_to(signed_in, made(signed_in, ledger, book, shot=first))
    assert "/compare" not in reader.get(address).text
    answer = reader.get(f"{address}/compare")
    assert answer.status_code == 404
    assert "there are no two to hold against each other" in text_of(answer)
    main = answer.text.partition("<main")[2].partition("</main>")[0]
    assert set(re.findall(r'href="([^"]*)"', main)) == {address}


def test_photographs_are_shown_large_and_laid_over_each_other(address: str, reader: Browser) -> None:
    page = read_page(reader.get(address).text)
    large = [str(each.attrs["href"]) for each in page.all("a") if "/photographs/" in str(each.attrs.get("href"))]
    assert large == pictures_of(reader.get(address).text)
    assert [f"{address}/compare"] == [
        each.attrs["href"] for each in page.all("a") if each.attrs["href"].endswith("/compare")
    ]
    compared = read_page(reader.get(f"{address}/compare").text)
    over = [str(each.attrs["href"]) for each in compared.all("image")]
    assert over == large
    assert [str(each.attrs["src"]) for each in compared.all("img")] == large
    turned = read_page(reader.get(f"{address}/compare?before={large[1][-64:]}&after={large[0][-64:]}").text)
    assert [str(each.attrs["href"]) for each in turned.all("image")] == large[::-1]
