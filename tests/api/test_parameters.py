"""Parameters of an address: each known to its route, and given once unless it may be repeated."""

import pytest

from tests.api.door import Door, fields, problem
from tests.api.needed import NEEDS
from tests.api.test_tokens import all_but, path_of, routes

ROUTES = sorted(routes())


def asked(door: Door, method: str, path: str, query: str) -> list[str]:
    """The fields that the answer to such a request names; it is refused, and nothing is written."""
    before = door.size
    told = problem(door.client.request(method, f"{path_of(path)}?{query}"), 400)
    assert told["type"].endswith(":bad-request")
    assert door.size == before
    return fields(told)


@pytest.mark.parametrize(("method", "path"), ROUTES)
def test_a_parameter_that_a_route_does_not_know_is_refused_with_its_name(door: Door, method: str, path: str) -> None:
    assert asked(door, method, path, "colour=red") == ["colour"]
    assert asked(door, method, path, "%C3%A9=") == ["é"]


@pytest.mark.parametrize(
    ("path", "query", "name"),
    [
        ("/books", "limit=1&limit=2", "limit"),
        ("/books", "limit=1&limit=1", "limit"),
        ("/books", "q=a&sort=title&q=b", "q"),
        ("/events", "kind=note&kind=sale&after=1&after=2", "after"),
        ("/books/{book}/events", "order=recorded&order=happened", "order"),
        ("/proofs/inclusion", "seq=1&seq=2", "seq"),
        ("/proofs/consistency", "first=1&second=2&second=3", "second"),
        ("/proofs/head", "book=a&book=b", "book"),
        ("/photographs/alignment", "before=1&after=2&after=3", "after"),
    ],
)
def test_a_parameter_that_is_given_twice_is_refused_with_its_name(door: Door, path: str, query: str, name: str) -> None:
    assert asked(door, "GET", path, query) == [name]


def test_the_mend_is_told(door: Door) -> None:
    told = problem(door.get("/books?limit=1&limit=2"), 400)["errors"]
    assert told[0]["sentence"] == "limit is given more than once. Give it once."
    told = problem(door.get("/checkpoint?limit=1"), 400)["errors"]
    assert told[0]["sentence"] == "There is no parameter limit here. Leave it out."


def test_what_may_be_repeated_is(door: Door) -> None:
    book = door.a_book()
    door.an_event(book, "note", words="a")
    kinds = [each["kind"] for each in door.get("/events?kind=note&kind=purchase").json()["entries"]]
    assert kinds == ["purchase", "note"]


@pytest.mark.parametrize(("method", "path"), [each for each in ROUTES if each != ("GET", "/health")])
def test_nobody_without_a_token_is_told_which_parameters_there_are(door: Door, method: str, path: str) -> None:
    asking = f"{path_of(path)}?colour=red"
    problem(door.client.request(method, asking, headers={"Authorization": ""}), 401)
    problem(door.as_other(*all_but(NEEDS[f"{method} {path}"])).client.request(method, asking), 403)


def test_a_parameter_that_cannot_be_read_is_told_in_words_of_ours(door: Door) -> None:
    told = problem(door.get("/books?on_bench=maybe"), 400)["errors"]
    assert told[0]["sentence"] == "on_bench is true or false. Write one of them."
