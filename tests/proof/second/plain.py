"""FORMAT.md section 1: JSON in its one byte form, read letter by letter so that nothing else passes."""

import re
import unicodedata
from typing import Any, NoReturn

GREATEST = 9007199254740991
DEEPEST = 64
NUMBER = re.compile(r"-?(?:0|[1-9][0-9]*)")
PLAIN = re.compile(r'[^"\\\x00-\x1f]*')
SHORT = {'"': '"', "\\": "\\", "b": "\b", "f": "\f", "n": "\n", "r": "\r", "t": "\t"}
LONG = re.compile(r"u00([01][0-9a-f])")


class WrongError(Exception):
    """Something is not as the page says."""


def wrong(what: str) -> NoReturn:
    """It is not as the page says."""
    raise WrongError(what)


def units(name: str) -> bytes:
    """What names are sorted by."""
    return name.encode("utf-16-be")


class Reader:
    """Reads one text from its first letter to its last."""

    def __init__(self, text: str) -> None:
        self.text = text
        self.at = 0

    def value(self, depth: int = 0) -> Any:
        """The value that stands here."""
        letter = self.text[self.at : self.at + 1]
        if letter in ("{", "["):
            if depth == DEEPEST:
                wrong("too deep")
            return self.members(depth) if letter == "{" else self.items(depth)
        if letter == '"':
            return self.string()
        for word, value in (("true", True), ("false", False), ("null", None)):
            if self.text.startswith(word, self.at):
                self.at += len(word)
                return value
        return self.number()

    def take(self, letter: str) -> bool:
        """Whether this letter stands here; then it is passed."""
        found = self.text.startswith(letter, self.at)
        self.at += len(letter) if found else 0
        return found

    def members(self, depth: int) -> dict[str, Any]:
        """An object; each name comes after the one before."""
        self.at += 1
        found: dict[str, Any] = {}
        last: bytes | None = None
        while not self.take("}"):
            if last is not None and not self.take(","):
                wrong("a comma is missing")
            name = self.string()
            if (last is not None and units(name) <= last) or not self.take(":"):
                wrong("names are out of order")
            last = units(name)
            found[name] = self.value(depth + 1)
        return found

    def items(self, depth: int) -> list[Any]:
        """A list."""
        self.at += 1
        found: list[Any] = []
        while not self.take("]"):
            if found and not self.take(","):
                wrong("a comma is missing")
            found.append(self.value(depth + 1))
        return found

    def string(self) -> str:
        """Text with its shortest escapes."""
        if not self.take('"'):
            wrong("no text")
        parts: list[str] = []
        while not self.take('"'):
            if run := PLAIN.match(self.text, self.at):
                parts.append(run[0])
                self.at = run.end()
            if self.take("\\"):
                parts.append(self.escape())
            elif not self.text.startswith('"', self.at):
                wrong("text without its end")
        return need_text("".join(parts))

    def escape(self) -> str:
        """What stands behind a backslash."""
        letter = self.text[self.at : self.at + 1]
        if letter in SHORT:
            self.at += 1
            return SHORT[letter]
        match = LONG.match(self.text, self.at)
        if match is None or chr(int(match[1], 16)) in SHORT.values():
            wrong("an escape that is not the shortest")
        self.at = match.end()
        return chr(int(match[1], 16))

    def number(self) -> int:
        """A whole number."""
        match = NUMBER.match(self.text, self.at)
        if match is None or match[0] == "-0" or len(match[0]) > 17 or abs(int(match[0])) > GREATEST:
            wrong("no number")
        self.at = match.end()
        return int(match[0])


def need_text(text: str) -> str:
    """Text in NFC, without surrogates and noncharacters."""
    if text.isascii():
        return text
    for letter in text:
        code = ord(letter)
        if 0xD800 <= code <= 0xDFFF or 0xFDD0 <= code <= 0xFDEF or code & 0xFFFE == 0xFFFE:
            wrong("no character")
    if unicodedata.normalize("NFC", text) != text:
        wrong("text has a twin")
    return text


def read(data: bytes) -> Any:
    """The value of bytes in their one form."""
    try:
        reader = Reader(data.decode("utf-8"))
    except UnicodeDecodeError:
        wrong("no UTF-8")
    value = reader.value()
    if reader.at != len(reader.text):
        wrong("something stands behind the value")
    return value


def write(value: Any) -> bytes:
    """The one form of a value."""
    return written(value).encode("utf-8")


def written(value: Any) -> str:
    """The same as text."""
    if isinstance(value, dict):
        return "{" + ",".join(f"{written(name)}:{written(value[name])}" for name in sorted(value, key=units)) + "}"
    if isinstance(value, list):
        return "[" + ",".join(written(each) for each in value) + "]"
    if isinstance(value, str):
        back = {letter: f"\\{name}" for name, letter in SHORT.items()}
        return '"' + "".join(back.get(each) or (f"\\u{ord(each):04x}" if each < " " else each) for each in value) + '"'
    return (
        {True: "true", False: "false", None: "null"}[value]
        if value is None or value is True or value is False
        else str(value)
    )


def named(value: Any, *names: str) -> dict[str, Any]:
    """An object with exactly these names."""
    if not isinstance(value, dict) or set(value) != set(names):
        wrong(f"not the names {names}")
    return value


def texts(value: Any) -> list[str]:
    """A list of texts."""
    if not isinstance(value, list) or not all(isinstance(each, str) for each in value):
        wrong("no list of texts")
    return value


def whole(value: Any, least: int = 0) -> int:
    """A whole number from `least` on."""
    if type(value) is not int or value < least:
        wrong("no such number")
    return value


def matching(value: Any, pattern: str) -> str:
    """Text of one shape."""
    if not isinstance(value, str) or re.fullmatch(pattern, value, re.ASCII) is None:
        wrong(f"not {pattern}")
    return value
