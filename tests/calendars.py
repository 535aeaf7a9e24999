"""A calendar held against RFC 5545, line by line and with nothing of the library that writes it."""

import re
from collections.abc import Iterator
from dataclasses import dataclass, field

__all__ = ["Component", "flaws", "read"]

_LINE = re.compile(
    r'([A-Z0-9-]+)((?:;[A-Z0-9-]+=(?:"[^"\x00-\x1f]*"|[^";:,\x00-\x1f]*))*):([^\x00-\x08\x0a-\x1f\x7f]*)'
)
"""A content line. Source: RFC 5545 section 3.1."""
_DAY = re.compile(r"\d{8}")
_MOMENT = re.compile(r"\d{8}T([01]\d|2[0-3])[0-5]\d[0-5]\dZ")
"""A day, and a moment in UTC. Source: RFC 5545 sections 3.3.4 and 3.3.5, form 2."""
_LENGTH = re.compile(r"[+-]?P(\d+W|\d+D(T\d+[HMS])?|T(\d+H)?(\d+M)?(\d+S)?)")
"""Source: RFC 5545 section 3.3.6."""
_TEXT = re.compile(r"(?:[^\\;,]|\\[\\;,Nn])*")
"""Text with what must be escaped. Source: RFC 5545 section 3.3.11."""
_LINE_MOST = 75
"""Octets of a line without its end. Source: RFC 5545 section 3.1."""


@dataclass
class Component:
    """What stands between a BEGIN and its END: lines as (name, parameters, value), and the components within."""

    name: str
    lines: list[tuple[str, str, str]] = field(default_factory=list)
    inner: list["Component"] = field(default_factory=list)

    def all(self, name: str) -> list[tuple[str, str]]:
        """Parameters and value of every line of that name."""
        return [(given, value) for each, given, value in self.lines if each == name]

    def value(self, name: str) -> str:
        """The value of the only line of that name."""
        ((_, value),) = self.all(name)
        return value

    def walk(self) -> Iterator["Component"]:
        """It and all within it."""
        yield self
        for each in self.inner:
            yield from each.walk()


def read(calendar: bytes) -> Component:
    """The one calendar; AssertionError where its lines are not well formed."""
    text = calendar.decode("utf-8")
    assert text.endswith("\r\n"), "the last line has no end"
    assert "\n" not in text.replace("\r\n", ""), "a bare line feed"
    root, path = Component(""), [Component("")]
    path = [root]
    for line in text.replace("\r\n ", "").replace("\r\n\t", "").split("\r\n")[:-1]:
        found = _LINE.fullmatch(line)
        assert found, line
        name, given, value = found.groups()
        if name == "BEGIN":
            path[-1].inner.append(Component(value))
            path.append(path[-1].inner[-1])
        elif name == "END":
            assert path.pop().name == value
        else:
            path[-1].lines.append((name, given, value))
    assert path == [root]
    (calendar_read,) = root.inner
    return calendar_read


def flaws(calendar: bytes) -> list[str]:
    """All that RFC 5545 asks of such a calendar and this one lacks; empty where it lacks nothing."""
    found = [f"a line of {len(line)} octets" for line in calendar.split(b"\r\n") if len(line) > _LINE_MOST]
    try:
        root = read(calendar)
    except (AssertionError, UnicodeDecodeError) as error:
        return [*found, f"lines: {error}"]
    found += [f"VCALENDAR has not one {name}" for name in ("PRODID", "VERSION") if len(root.all(name)) != 1]
    if not root.inner:
        found.append("no component (section 3.6)")
    for each in root.walk():
        found += {"VEVENT": _event, "VALARM": _alarm, "VTODO": _todo}.get(each.name, lambda _: [])(each)
    names = [each.value("UID") for each in root.inner if len(each.all("UID")) == 1]
    return found + (["a UID twice"] if len(names) != len(set(names)) else [])


def _once(of: Component, *names: str) -> list[str]:
    return [f"{of.name} has not one {name}" for name in names if len(of.all(name)) != 1]


def _event(of: Component) -> list[str]:
    """Source: RFC 5545 section 3.6.1."""
    found = _once(of, "UID", "DTSTAMP", "DTSTART") + _times(of, "DTSTAMP", "LAST-MODIFIED")
    if of.all("DTEND") and of.all("DURATION"):
        found.append("DTEND beside DURATION")
    found += [f"{name} more than once" for name in ("SUMMARY", "SEQUENCE", "CLASS", "TRANSP") if len(of.all(name)) > 1]
    for name in ("DTSTART", "DTEND"):
        for given, value in of.all(name):
            form = _DAY if given == ";VALUE=DATE" else _MOMENT
            if not form.fullmatch(value):
                found.append(f"{name}{given}:{value}")
    starts, ends = of.all("DTSTART"), of.all("DTEND")
    if starts and ends and (starts[0][0] != ends[0][0] or starts[0][1] >= ends[0][1]):
        found.append("DTEND is of another kind than DTSTART, or not behind it")
    texts = of.all("SUMMARY")
    return found + [f"not escaped: {value}" for _, value in texts if not _TEXT.fullmatch(value)]


def _todo(of: Component) -> list[str]:
    """Source: RFC 5545 section 3.6.2; of an alarm that hangs on a start that is not there, 3.8.6.3."""
    hanging = [
        "an alarm before a start that is not there"
        for alarm in of.inner
        for given, _ in alarm.all("TRIGGER")
        if "RELATED=END" not in given and not of.all("DTSTART")
    ]
    return _once(of, "UID", "DTSTAMP") + _times(of, "DTSTAMP", "DUE") + hanging


def _alarm(of: Component) -> list[str]:
    """Source: RFC 5545 section 3.6.6, an alarm that shows a text."""
    found = _once(of, "ACTION", "TRIGGER", "DESCRIPTION")
    return found + [f"TRIGGER {value}" for _, value in of.all("TRIGGER") if not _LENGTH.fullmatch(value)]


def _times(of: Component, *names: str) -> list[str]:
    lines = [(name, *line) for name in names for line in of.all(name)]
    return [f"{name}{given}:{value}" for name, given, value in lines if given or not _MOMENT.fullmatch(value)]
