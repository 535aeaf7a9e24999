"""What a form sent, read from its bytes: fields in order, files, and what is no form."""

import pytest

from ledger.proof.report import MalformedError
from web.posted import FIELDS_MOST, FORM, FORM_WITH_FILES, Posted, Upload, read_form

BOUNDARY = "xYz'()+_,-./:=?"
"""Signs that a boundary may hold. Source: RFC 2046 section 5.1.1."""
WITH_FILES = f'{FORM_WITH_FILES}; boundary="{BOUNDARY}"'


def parts(*each: bytes) -> bytes:
    """A body of parts, as RFC 7578 section 4 lays them out."""
    mark = f"--{BOUNDARY}".encode()
    return b"".join(mark + b"\r\n" + part + b"\r\n" for part in each) + mark + b"--\r\n"


def part(name: str, data: bytes, file: str | None = None) -> bytes:
    named = f'Content-Disposition: form-data; name="{name}"' + (f'; filename="{file}"' if file is not None else "")
    kind = "\r\nContent-Type: image/jpeg" if file is not None else ""
    return f"{named}{kind}\r\n\r\n".encode() + data


@pytest.mark.parametrize(
    ("data", "fields"),
    [
        # The example of the URL Living Standard, section 5.1, and its rules: plus is a space, a name can be empty.
        (b"key=730d67", (("key", "730d67"),)),
        (b"a=1&b=2&a=3", (("a", "1"), ("b", "2"), ("a", "3"))),
        (b"a+b=c+d&e=%2B", (("a b", "c d"), ("e", "+"))),
        (b"a=&b", (("a", ""), ("b", ""))),
        (b"a=1;b=2", (("a", "1;b=2"),)),
        (b"title=caf%C3%A9", (("title", "caf\N{LATIN SMALL LETTER E WITH ACUTE}"),)),
        (b"text=one%0D%0Atwo", (("text", "one\ntwo"),)),
        (b"", ()),
    ],
)
def test_a_plain_form_is_its_fields_in_order(data: bytes, fields: tuple[tuple[str, str], ...]) -> None:
    assert read_form(f"{FORM}; charset=UTF-8", data) == Posted(fields=fields)


@pytest.mark.parametrize("data", [b"a=%FF", b"a=%ED%A0%80", "a=\N{SNOWMAN}".encode(), b"a=1&" * (FIELDS_MOST + 1)])
def test_a_plain_form_that_cannot_be_read_is_refused(data: bytes) -> None:
    with pytest.raises(MalformedError):
        read_form(FORM, data)


def test_a_form_with_files_has_both() -> None:
    picture = b"\xff\xd8\r\n--not the boundary\r\n\x00\xd9"
    data = parts(
        part("title", "caf\N{LATIN SMALL LETTER E WITH ACUTE}".encode()),
        part("front", picture, "front %22a%22.jpg"),
        part("front", b"second", ""),
        part("back", b"", ""),
        part("title", b""),
    )
    read = read_form(WITH_FILES, data)
    assert read.fields == (("title", "caf\N{LATIN SMALL LETTER E WITH ACUTE}"), ("title", ""))
    assert read.files("front") == (Upload(name='front "a".jpg', data=picture), Upload(name="", data=b"second"))
    assert read.files("back") == (), "nothing was chosen there"


@pytest.mark.parametrize(
    "data",
    [
        b"",
        b"no boundary at all",
        parts(part("a", b"1"))[:-6],
        parts(b"no head"),
        parts(b"Content-Type: text/plain\r\n\r\nno name"),
        parts(part("a", b"\xff")),
        b"before\r\n" + parts(part("a", b"1")),
        parts(*[part("a", b"")] * (FIELDS_MOST + 1)),
    ],
)
def test_a_form_with_files_that_cannot_be_read_is_refused(data: bytes) -> None:
    with pytest.raises(MalformedError):
        read_form(WITH_FILES, data)


def test_a_form_with_files_names_its_boundary() -> None:
    with pytest.raises(MalformedError, match="no boundary"):
        read_form(FORM_WITH_FILES, b"")


def test_what_is_no_form_has_no_fields() -> None:
    assert read_form("application/json", b'{"a": 1}') == Posted()
    assert read_form("", b"") == Posted()


def test_fields_are_asked_for_by_name() -> None:
    posted = Posted(fields=(("a", " one "), ("a", "two"), ("b", "")))
    assert (posted.get("a"), posted.raw("a"), posted.all("a")) == ("one", " one ", ("one", "two"))
    assert (posted.get("c", "none"), posted.raw("c"), posted.all("c")) == ("none", "", ())
    assert "b" in posted
    assert "c" not in posted
    assert "one" not in repr(posted), "what somebody typed does not get into a log"
