"""At which addresses a phone finds the server, and when there is none."""

import pytest
from starlette.requests import Request

from ledger.settings import Settings
from web.reach import Reach


def asked(host: str, scheme: str = "http") -> Request:
    return Request(
        {"type": "http", "scheme": scheme, "path": "/", "query_string": b"", "headers": [(b"host", host.encode())]}
    )


@pytest.mark.parametrize(
    ("host", "hosts", "addresses"),
    [
        ("127.0.0.1", (), ()),
        ("127.8.9.1", ("bench.example",), ()),
        ("::1", (), ()),
        ("localhost", (), ()),
        ("books.localhost", (), ()),
        ("192.0.2.7", (), ("http://192.0.2.7:8450",)),
        ("2001:db8::7", (), ("http://[2001:db8::7]:8450",)),
        ("0.0.0.0", (), ()),
        ("::", (), ()),
        (
            "0.0.0.0",
            ("bench.example", "localhost", "192.0.2.7"),
            ("http://bench.example:8450", "http://192.0.2.7:8450"),
        ),
        ("192.0.2.7", ("192.0.2.7", "[2001:db8::7]"), ("http://192.0.2.7:8450", "http://[2001:db8::7]:8450")),
    ],
)
def test_where_another_device_finds_the_server(host: str, hosts: tuple[str, ...], addresses: tuple[str, ...]) -> None:
    assert Reach.of(Settings(host=host, hosts=hosts), 8450).addresses() == addresses


def test_the_address_by_which_a_page_was_asked_for_comes_first() -> None:
    reach = Reach(host="192.0.2.7", port=8450, hosts=("bench.example",))
    both = ("http://bench.example:8450", "http://192.0.2.7:8450")
    assert reach.offered(asked("192.0.2.7:8450")) == both[::-1]
    assert reach.offered(asked("127.0.0.1:8450")) == both
    assert reach.base(asked("localhost:8450")) == both[0]


def test_behind_a_proxy_its_own_address_is_the_one() -> None:
    reach = Reach(host="127.0.0.1", port=8450, hosts=("books.example",))
    assert reach.offered(asked("books.example", "https")) == ("https://books.example",)
    assert reach.base(asked("books.example", "https")) == "https://books.example"


def test_where_nobody_else_finds_it_its_own_address_is_left() -> None:
    assert Reach().offered(asked("localhost:8450")) == ()
    assert Reach().base(asked("localhost:8450")) == "http://localhost:8450"
