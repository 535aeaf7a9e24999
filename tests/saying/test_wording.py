"""The words of a record: each key that is asked for is there, each that is there is asked for, and no hole is shown."""

import ast
import json
import string
from pathlib import Path

import pytest

import ledger.saying
from ledger.saying.wording import FILE, t
from ledger.texts import Counted
from tests.asking import texts_asked

FOLDER = Path(ledger.saying.__file__).parent


def asked() -> dict[str, tuple[bool, frozenset[str] | None]]:
    """Every key in the code, or its beginning up to a point: whether it counts, and the values it is given."""
    found: dict[str, tuple[bool, frozenset[str] | None]] = {}
    for path in FOLDER.glob("*.py"):
        for call, counts in texts_asked(path):
            given = frozenset(each.arg for each in call.keywords if each.arg)
            for key, whole in keys(call.args[0]):
                found[key] = (counts, given if whole else None)
    return found


def keys(node: ast.expr) -> list[tuple[str, bool]]:
    match node:
        case ast.Constant(value=str(key)):
            return [(key, True)]
        case ast.JoinedStr(values=[ast.Constant(value=str(start)), *_]):
            return [(start, False)]
        case ast.IfExp(body=body, orelse=other):
            return [*keys(body), *keys(other)]
        case ast.Name(id="key"):
            return [("map.measured", True), ("map.usual", True)]
        case _:
            raise AssertionError(f"no key can be read in line {node.lineno}")


def forms(key: str) -> tuple[str, ...]:
    text = t.texts[key]
    return (text.one, text.many) if isinstance(text, Counted) else (text,)


def test_every_key_that_is_asked_for_is_there_and_is_given_the_values_it_names() -> None:
    for key, (counts, given) in asked().items():
        if given is None:
            assert any(each.startswith(key) for each in t.texts), key
            continue
        assert isinstance(t.texts[key], Counted) == counts, key
        named = {name for form in forms(key) for _, name, _, _ in string.Formatter().parse(form) if name}
        assert named - ({"count"} if counts else set()) == given, key


def test_every_key_that_is_there_is_asked_for() -> None:
    whole = {key for key, (_, given) in asked().items() if given is not None}
    begun = tuple(key for key, (_, given) in asked().items() if given is None)
    assert [key for key in t.texts if key not in whole and not key.startswith(begun)] == []


def test_the_words_are_plain() -> None:
    for key in t.texts:
        for form in forms(key):
            assert form == " ".join(form.split()), key
            assert form, key
            assert "!" not in form, key
            assert "restored" not in form.casefold() or key == "never", key


def test_the_file_is_spelled_as_such_files_are() -> None:
    text = FILE.read_text("utf-8")
    assert text == json.dumps(json.loads(text), ensure_ascii=False, indent=2) + "\n"


def test_a_hole_is_never_shown() -> None:
    with pytest.raises(KeyError, match=r"no\.such"):
        t("no.such")
    with pytest.raises(KeyError, match="seq"):
        t("entry")
    with pytest.raises(KeyError, match="counts"):
        t("hours")
    with pytest.raises(KeyError, match="does not count"):
        t.n("none", 1)
    assert t.n("hours", 1) == "one hour"
    assert t.n("hours", 0) == "0 hours"
    assert t.n("hours", 1200) == "1,200 hours"
