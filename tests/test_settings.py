"""Settings come from a mapping and from options, which win; each says what it is for."""

from dataclasses import fields

import pytest

from ledger.settings import PORT_MOST, PREFIX, Settings


def test_what_is_not_given_is_as_it_comes() -> None:
    assert Settings.read({}) == Settings()
    assert Settings().host == "127.0.0.1"


def test_each_has_a_variable_of_its_name() -> None:
    given = {
        "SLIPSHEET_FOLDER": "books",
        "SLIPSHEET_KEYS": "keys",
        "SLIPSHEET_DATABASE": "postgresql://app@host/books",
        "SLIPSHEET_COLLECTION": "abc",
        "SLIPSHEET_HOST": "0.0.0.0",
        "SLIPSHEET_PORT": "80",
        "SLIPSHEET_HOSTS": "books.example, shelf.example,,",
        "PATH": "elsewhere",
    }
    read = Settings.read(given)
    assert {f"{PREFIX}{each.name.upper()}" for each in fields(Settings)} <= given.keys()
    assert (read.folder, read.keys, read.host, read.port) == ("books", "keys", "0.0.0.0", 80)
    assert read.hosts == ("books.example", "shelf.example")


def test_an_option_wins_over_the_mapping_and_none_is_no_option() -> None:
    given = {"SLIPSHEET_PORT": "80", "SLIPSHEET_FOLDER": "books"}
    read = Settings.read(given, port=0, folder=None)
    assert (read.port, read.folder) == (0, "books")


@pytest.mark.parametrize("name", ["FOLDER", "KEYS", "HOST", "PORT", "HOSTS"])
def test_an_empty_variable_counts_as_not_given(name: str) -> None:
    assert Settings.read({PREFIX + name: ""}) == Settings()


@pytest.mark.parametrize("text", ["eighty", "-1", "80.5", " 80", str(PORT_MOST + 1), "\u0668\u0660", "1e3", "0x50"])
def test_a_port_that_is_none_is_refused_by_the_name_of_its_variable(text: str) -> None:
    with pytest.raises(ValueError, match="SLIPSHEET_PORT") as caught:
        Settings.read({"SLIPSHEET_PORT": text})
    assert f"{text!r}" in str(caught.value)
    assert f"from 0 to {PORT_MOST}" in str(caught.value)


@pytest.mark.parametrize("text", ["0", "1", str(PORT_MOST)])
def test_every_port_there_is_can_be_named(text: str) -> None:
    # Source: RFC 9293 section 3.1: a port has 16 bits.
    assert PORT_MOST == 2**16 - 1
    assert Settings.read({"SLIPSHEET_PORT": text}).port == int(text)


def test_the_service_answers_to_this_machine_and_to_the_names_it_is_given() -> None:
    names = Settings.read({"SLIPSHEET_HOSTS": "books.example", "SLIPSHEET_HOST": "192.0.2.7"}).names
    assert set(names) == {"books.example", "192.0.2.7", "localhost", "127.0.0.1", "[::1]"}
    assert "[2001:db8::7]" in Settings(host="2001:db8::7").names


def test_each_setting_says_in_a_sentence_what_it_is_for() -> None:
    for each in fields(Settings):
        words = each.metadata["help"]
        assert words[0].isupper()
        assert words.endswith(".")
