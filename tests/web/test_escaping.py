"""What a template writes out is escaped as the template engine itself would, whatever it is."""

from enum import StrEnum
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from jinja2 import Environment, StrictUndefined, UndefinedError
from jinja2.filters import do_mark_safe
from markupsafe import Markup, escape

from tests.builders import usd
from web.escaping import QuickEnvironment, escaped
from web.render import TEMPLATES, environment


class Tagged(StrEnum):
    """A text that is not quite a text."""

    ONE = "<one> & 'two'"


class Drawn:
    """Something that says of itself how it stands in a page."""

    def __html__(self) -> str:
        return "<b>drawn</b>"


class Text(str):
    """A text of another class."""

    __slots__ = ()


VALUES = st.one_of(
    st.text(),
    st.text(alphabet="<>&'\"a ;"),
    st.integers(),
    st.floats(),
    st.booleans(),
    st.none(),
    st.text().map(Markup),
    st.text().map(Text),
    st.lists(st.text(alphabet="<&\"'b")),
    st.sampled_from([Tagged.ONE, Drawn(), usd("1.50"), b"<bytes>", do_mark_safe("<i>")]),
)


@given(VALUES)
def test_every_value_is_escaped_as_the_engine_escapes_it(value: Any) -> None:
    assert escaped(value) == str(escape(value))


TEMPLATE = (
    '{% macro shown(of) %}<i title="{{ of }}">{{ of }}</i>{% endmacro %}'
    "{% set kept %}{{ value }}{% endset %}{{ kept }}{{ shown(value) }}{{ value ~ value }}{{ value|string|upper }}"
    "{% for each in (value, 1, 2.5) %}{{ each }}{% endfor %}{% call(x) wrap() %}{{ value }}{% endcall %}"
)


@given(VALUES)
def test_a_whole_template_gives_what_the_engine_makes_of_it(value: Any) -> None:
    made = []
    for kind in (Environment, QuickEnvironment):
        made_by = kind(autoescape=True)
        made_by.globals["wrap"] = lambda caller: caller(None)
        made.append(made_by.from_string(TEMPLATE).render(value=value))
    assert made[0] == made[1]


def test_what_is_not_there_is_still_refused() -> None:
    strict = QuickEnvironment(autoescape=True, undefined=StrictUndefined)
    with pytest.raises(UndefinedError, match="lost"):
        strict.from_string("{{ lost }}").render()


def test_the_pages_are_written_out_that_way() -> None:
    code = environment().compile((TEMPLATES / "book_entries.html").read_text("utf-8"), raw=True)
    assert "environment.escaped(" in code
    assert " escape(" not in code
