"""One meaning, one spelling: published documents, and everything that two readers could take differently."""

import json
import math
import unicodedata
from decimal import Decimal
from enum import IntEnum
from typing import Any

import pytest
import rfc8785
from hypothesis import given, settings
from hypothesis import strategies as st

from ledger.proof import canonical
from ledger.proof.canonical import DEEPEST, GREATEST, VALUES_MOST, Plain, decode, encode, read
from ledger.proof.report import MalformedError
from tests.proof.vectors import each_in, each_of


def allowed(text: str) -> bool:
    return not any(ord(letter) & 0xFFFE == 0xFFFE or 0xFDD0 <= ord(letter) <= 0xFDEF for letter in text)


TEXTS = st.text(max_size=12).map(lambda text: unicodedata.normalize("NFC", text)).filter(allowed)
NUMBERS = st.integers(-GREATEST, GREATEST)
PLAIN = st.recursive(
    st.none() | st.booleans() | NUMBERS | TEXTS,
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(TEXTS, inner, max_size=4),
    max_leaves=20,
)


def refused(given_value: object) -> MalformedError:
    with pytest.raises(MalformedError) as caught:
        encode(given_value)  # type: ignore[arg-type]  # what is not plain data is what this refuses
    return caught.value


@pytest.mark.parametrize("case", each_of("canonical/documents.json", None))
def test_a_published_document_is_written_as_it_is_published(case: Any) -> None:
    expected = bytes.fromhex(case["output_hex"])
    assert encode(read(case["input"])) == expected
    assert encode(read(case["input"].encode())) == expected
    assert encode(decode(expected)) == expected


@pytest.mark.parametrize("case", each_of("canonical/writer.json", None))
def test_the_writer_sorts_by_utf_16_and_the_reader_refuses_a_letter_outside_nfc(case: Any) -> None:
    expected = bytes.fromhex(case["output_hex"])
    assert rfc8785.dumps(json.loads(case["input"])) == expected
    with pytest.raises(MalformedError) as caught:
        read(case["input"])
    assert caught.value.where == '["\\ufb33"]'


@pytest.mark.parametrize("case", each_of("canonical/strings.json", None))
def test_a_text_is_escaped_where_json_must_and_nowhere_else(case: Any) -> None:
    text = "".join(chr(int(point.removeprefix("U+"), base=16)) for point in case["code_points"])
    assert encode(text).hex() == case["output_hex"]
    assert decode(bytes.fromhex(case["output_hex"])) == text


@pytest.mark.parametrize("case", each_in("canonical/refused"))
def test_input_with_two_meanings_is_refused_with_its_place(case: Any) -> None:
    for given_bytes in [case["text"], case["text"].encode()] if "text" in case else [bytes.fromhex(case["hex"])]:
        with pytest.raises(MalformedError) as caught:
            read(given_bytes, what="The page")
        assert caught.value.what == "The page"
        assert caught.value.problem.startswith(case["problem"])
        assert caught.value.mend
        if "where" in case:
            assert caught.value.where == case["where"]


@pytest.mark.parametrize("case", each_of("canonical/respelled.json", None))
def test_bytes_in_another_spelling_are_read_but_are_not_the_one_form(case: Any) -> None:
    data = bytes.fromhex(case["hex"])
    assert encode(read(data)).hex() == case["one_form_hex"]
    with pytest.raises(MalformedError) as caught:
        decode(data)
    assert caught.value.problem == "the bytes are not the one form of what they say"


@pytest.mark.parametrize("value", [0.0, 1.0, -0.0, 0.1, 1e30, math.inf, -math.inf, math.nan])
def test_a_fraction_is_never_written(value: float) -> None:
    error = refused({"body": {"price": [{"minor": value}]}})
    assert error.where == "body.price[0].minor"
    assert error.problem == "a number with a fraction or an exponent is not exact"
    assert error.mend == "Write it as a string."


@pytest.mark.parametrize("value", [GREATEST + 1, -GREATEST - 1, 2**64, 10**400])
def test_a_number_beyond_exact_ones_is_never_written(value: int) -> None:
    assert refused([0, value]).where == "[1]"
    assert encode([GREATEST, -GREATEST, 0]) == b"[9007199254740991,-9007199254740991,0]"


@pytest.mark.parametrize("value", [b"bytes", Decimal(1), (1, 2), {1}, object(), range(2)])
def test_what_is_not_plain_data_is_never_written(value: object) -> None:
    error = refused({"a b": value})
    assert error.where == '["a b"]'
    assert type(value).__name__ in error.problem


def test_a_name_that_is_no_text_is_never_written() -> None:
    error = refused({"body": {1: "one"}})
    assert (error.where, error.problem) == ("body", "the name 1 is no text")


@pytest.mark.parametrize(
    ("value", "where"),
    [
        ("\ud800", ""),
        ({"a": ["x", "\udfff"]}, "a[1]"),
        ({"\ud800": 1}, '["\\ud800"]'),
        ("\ufffe", ""),
        ("A\u030a", ""),
        ({"e\u0301": 1}, '["e\\u0301"]'),
    ],
)
def test_text_that_has_a_twin_or_is_no_text_is_never_written(value: Plain, where: str) -> None:
    assert refused(value).where == where


def test_truth_values_and_named_numbers_are_written_as_what_they_are() -> None:
    class Step(IntEnum):
        FINE = 25

    assert encode([True, False, None, Step.FINE]) == b"[true,false,null,25]"


@pytest.mark.parametrize("left", ["[", '{"a":', '[{"a":', '["\\"]",['])
def test_a_nest_of_any_depth_is_refused_and_never_uses_up_the_stack(left: str) -> None:
    for text in (left * 200_000, left * 200_000 + "1"):
        with pytest.raises(MalformedError) as caught:
            read(text)
        assert caught.value.problem == f"lists and objects stand more than {DEEPEST} deep"


def test_64_deep_is_read_and_written_and_65_is_neither() -> None:
    deep: Plain = []
    for _ in range(DEEPEST - 1):
        deep = [deep]
    data = b"[" * DEEPEST + b"]" * DEEPEST
    assert encode(deep) == data
    assert decode(data) == deep
    assert refused([deep]).problem == f"lists and objects stand more than {DEEPEST} deep"


def test_brackets_inside_texts_and_side_by_side_make_no_depth() -> None:
    assert read('["' + "[" * 1000 + '\\"[[["]') == ["[" * 1000 + '"[[[']
    assert read("[" + ",".join(["[]"] * 1000) + "]") == [[]] * 1000


def test_more_values_than_may_be_are_refused_before_one_is_made(monkeypatch: pytest.MonkeyPatch) -> None:
    """A text of 64 MiB could hold twenty million values, which take more memory than a machine may have."""
    monkeypatch.setattr(canonical, "_READER", None)
    many = b"[" + b"[]," * (VALUES_MOST // 2) + b"[]]"
    with pytest.raises(MalformedError, match=f"more than {VALUES_MOST} values"):
        read(many)


def test_as_many_values_as_may_be_are_read_and_commas_inside_texts_are_none(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(canonical, "VALUES_MOST", 5)
    assert read(b"[1,2,3,4]") == [1, 2, 3, 4]
    assert read(b'[",,,,,,[{\\"[[",{}]') == [',,,,,,[{"[[', {}]
    with pytest.raises(MalformedError, match="more than 1000000 values"):
        read(b"[1,2,3,4,5]")


def test_a_long_entry_is_read_by_the_strict_reader_alone(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(canonical, "_QUICK", None)
    long = b'{"a":"' + b"x" * (1024 * 1024) + b'"}'
    assert decode(long) == {"a": "x" * (1024 * 1024)}


def test_a_million_digits_are_refused_without_being_counted() -> None:
    with pytest.raises(MalformedError) as caught:
        read("[" + "9" * 1_000_000 + "]")
    assert caught.value.where == "[0]"


@settings(deadline=None)  # a busy machine is slow, not wrong
@given(PLAIN)
def test_what_is_written_is_read_back_and_is_what_the_library_writes(value: Any) -> None:
    data = encode(value)
    assert data == rfc8785.dumps(value)
    assert decode(data) == value
    assert read(data) == value


@settings(deadline=None)
@given(PLAIN, st.booleans(), st.sampled_from([None, 0, 3]))
def test_spacing_and_escapes_change_nothing_of_what_is_said(value: Any, escaped: bool, indent: int | None) -> None:  # noqa: FBT001
    text = json.dumps(value, ensure_ascii=escaped, indent=indent)
    assert encode(read(text)) == encode(value)


@settings(deadline=None)
@given(PLAIN, st.data())
def test_a_flipped_bit_never_reads_as_the_same_data(value: Any, data: st.DataObject) -> None:
    whole = bytearray(encode(value))
    place = data.draw(st.integers(0, len(whole) * 8 - 1))
    whole[place // 8] ^= 1 << place % 8
    try:
        said = decode(bytes(whole))
    except MalformedError:
        return
    assert encode(said) == bytes(whole) != encode(value)


CRUMBS = ["{", "}", "[", "]", ",", ":", '"a"', '"b"', "0", "-0", "-1", "1.5", "1e3", "NaN", "Infinity", "true", "null",
          "9007199254740991", "9007199254740992", '"\\u00e9"', '"\\u0061"', '"\\ud800"', '"\\/"', '"\x7f"', '"\\t"', " ", "\n"]  # fmt: skip


@settings(deadline=None, max_examples=300)
@given(
    st.lists(st.tuples(st.sampled_from(['"a"', '"b"', '"\\u0061"']), st.sampled_from(CRUMBS)), max_size=4), st.data()
)
def test_an_object_is_taken_at_the_first_look_only_if_the_strict_reader_takes_it(
    pairs: list[tuple[str, str]], data: st.DataObject
) -> None:
    text = "{" + ",".join(f"{name}:{crumb}" for name, crumb in pairs) + "}"
    place = data.draw(st.integers(0, len(text)))
    given_bytes = (text[:place] + data.draw(st.sampled_from(["", "", *CRUMBS])) + text[place:]).encode("utf-8")
    try:
        said = decode(given_bytes)
    except MalformedError:
        return
    assert read(given_bytes) == said
    assert rfc8785.dumps(said) == given_bytes


@pytest.mark.parametrize("crumb", ["1.5", "1e3", "NaN", "-0", "9007199254740992", '"\\u0061"', '1,"a":2', " 1"])
def test_an_object_that_only_the_quick_reader_would_take_is_refused(crumb: str) -> None:
    with pytest.raises(MalformedError):
        decode(f'{{"a":{crumb}}}'.encode())
