"""What a schema reader finds is told in sentences of ours, whatever it is; its own words go nowhere."""

import json
from collections.abc import Iterator
from typing import get_args

import pytest
from pydantic_core import ValidationError
from pydantic_core.core_schema import ErrorType

from ledger._unfit import sentence
from ledger.errors import InvalidError
from ledger.events import KINDS
from ledger.proof.canonical import Plain
from ledger.store.codec import EventCodec, adapter

JUNK: list[Plain] = [None, True, 0, -1, 10**9, "", " ", "x", "x" * 9000, [], [1], {}, {"a": 1}]
READERS_WORDS = ("Input should", "Value error", "valid ", "validation", "unable to", "instance of", "Field required")


def with_junk(kind: str) -> Iterator[dict[str, Plain]]:
    """That kind's plain data with something else in the place of each field, one at a time."""
    schema = adapter(KINDS[kind]).json_schema()
    for name in schema["properties"]:
        for each in JUNK:
            yield {name: each}


@pytest.mark.parametrize("kind", KINDS)
def test_nothing_that_a_kind_refuses_is_told_in_the_readers_words(kind: str) -> None:
    refused = 0
    for plain in with_junk(kind):
        try:
            EventCodec().read(kind, plain)
        except InvalidError as error:
            refused += 1
            for problem in error.problems:
                assert problem.sentence.endswith("."), (plain, problem)
                assert not any(words in problem.sentence for words in READERS_WORDS), (plain, problem)
    assert refused


@pytest.mark.parametrize("name", get_args(ErrorType))
def test_every_error_the_reader_knows_has_a_sentence_of_ours(name: str) -> None:
    # Source: pydantic_core.core_schema.ErrorType, the names of all that this reader can find.
    context = {
        "expected": "'a' or 'b'",
        "pattern": "^a$",
        "ge": 1,
        "le": 2,
        "min_length": 1,
        "max_length": 2,
        "error": "no",
    }
    told = sentence("price", {"type": name, "msg": "Input should be otherwise", "ctx": context})
    assert "price" in told
    assert told.endswith(".")
    assert "Input" not in told


def test_what_a_value_refuses_by_itself_is_told_at_the_member_that_is_wrong() -> None:
    plain = json.loads(
        '{"issue": {"title": "A", "number": "1"}, "price": {"minor": 1, "currency": "ZZZ", "exponent": 2}}'
    )
    with pytest.raises(InvalidError) as caught:
        EventCodec().read("purchase", plain)
    assert [each.field for each in caught.value.problems] == ["price.currency"]
    assert isinstance(caught.value.__cause__, ValidationError)
