"""What a form sent: its fields in order, and the files with it."""

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Final
from urllib.parse import SplitResult, parse_qsl, urlsplit

from ledger.proof.report import MalformedError

__all__ = ["FIELDS_MOST", "FORM", "FORM_WITH_FILES", "Posted", "Upload", "kind_of", "read_form", "split"]

FORM: Final = "application/x-www-form-urlencoded"
FORM_WITH_FILES: Final = "multipart/form-data"
FIELDS_MOST: Final = 2_000
_BOUNDARY: Final = re.compile(r'boundary=(?:"([^"\\]{1,70})"|([^\s;"]{1,70}))', re.IGNORECASE)
_NAME: Final = re.compile(r'(?:^|;)\s*name="([^"]*)"')
_FILE: Final = re.compile(r'(?:^|;)\s*filename="([^"]*)"')
_SAID_APART: Final = {"%22": '"', "%0D": "\r", "%0A": "\n"}
"""What a browser writes in a name in place of these. Source: HTML Living Standard, multipart/form-data encoding."""
_WHAT: Final = "The form"


@dataclass(frozen=True, kw_only=True)
class Upload:
    """One file as it was sent; its name is what the sender calls it and no path here."""

    name: str
    data: bytes = field(repr=False)


@dataclass(frozen=True, kw_only=True)
class Posted:
    """The fields of a form, whether it was just sent or has waited; an empty one for a form that was not filled in."""

    fields: tuple[tuple[str, str], ...] = field(default=(), repr=False)
    uploads: Mapping[str, tuple[Upload, ...]] = field(default_factory=dict, repr=False)
    waiting: str = ""
    """Id under which it waited, empty for none; goes into a hidden field of that name."""
    action: str = ""
    """Path to which it was sent."""

    def __contains__(self, name: object) -> bool:
        """A field of that name was sent, even an empty one."""
        return any(each == name for each, _ in self.fields)

    def get(self, name: str, default: str = "") -> str:
        """The first value of a field, without the space around it."""
        return next((value.strip() for each, value in self.fields if each == name), default)

    def raw(self, name: str) -> str:
        """The first value of a field exactly as typed, for passwords."""
        return next((value for each, value in self.fields if each == name), "")

    def all(self, name: str) -> tuple[str, ...]:
        """Every value of a field, as of boxes that were ticked."""
        return tuple(value.strip() for each, value in self.fields if each == name)

    def files(self, name: str) -> tuple[Upload, ...]:
        """The files of a field; none where nothing was chosen."""
        return self.uploads.get(name, ())


def split(url: str) -> SplitResult:
    """The parts of an address; of one that is none, all empty."""
    try:
        return urlsplit(url)
    except ValueError:
        return urlsplit("")


def kind_of(content_type: str) -> str:
    """The media type without its parameters."""
    return content_type.partition(";")[0].strip().lower()


def read_form(content_type: str, data: bytes) -> Posted:
    """The form in a body; a body of another kind, such as none, has no fields.

    Raises: MalformedError.
    """
    match kind_of(content_type):
        case "application/x-www-form-urlencoded":
            return Posted(fields=_pairs(data))
        case "multipart/form-data":
            found = _BOUNDARY.search(content_type)
            if found is None:
                raise _unread("its parts have no boundary")
            return _parts(data, (found[1] or found[2]).encode())
    return Posted()


def _pairs(data: bytes) -> tuple[tuple[str, str], ...]:
    """Source: URL Living Standard, application/x-www-form-urlencoded parsing."""
    try:
        found = parse_qsl(
            data.decode("ascii"), keep_blank_values=True, errors="strict", max_num_fields=FIELDS_MOST, separator="&"
        )
    except UnicodeDecodeError as error:
        raise _unread("it is not in UTF-8") from error
    except ValueError as error:
        raise _unread(f"it has more than {FIELDS_MOST} fields") from error
    return tuple((_lines(name), _lines(value)) for name, value in found)


def _parts(data: bytes, boundary: bytes) -> Posted:
    """Fields and files of a form with files. Source: RFC 7578 section 4; RFC 2046 section 5.1.1."""
    first, *rest = (b"\r\n" + data).split(b"\r\n--" + boundary)
    if first.strip() or not rest or not rest[-1].startswith(b"--"):
        raise _unread("it ends before its last boundary")
    if len(rest) > FIELDS_MOST:
        raise _unread(f"it has more than {FIELDS_MOST} fields")
    fields: list[tuple[str, str]] = []
    uploads: dict[str, tuple[Upload, ...]] = {}
    for part in rest[:-1]:
        head, apart, body = part.partition(b"\r\n\r\n")
        said = _disposition(head)
        name = _NAME.search(said)
        if not apart or name is None:
            raise _unread("one of its parts has no name")
        file = _FILE.search(said)
        if file is None:
            fields.append((_label(name[1]), _lines(_text(body))))
        elif file[1] or body:
            kept = uploads.get(_label(name[1]), ())
            uploads[_label(name[1])] = (*kept, Upload(name=_label(file[1]), data=body))
    return Posted(fields=tuple(fields), uploads=uploads)


def _disposition(head: bytes) -> str:
    for line in _text(head).split("\r\n"):
        name, _, said = line.partition(":")
        if name.strip().lower() == "content-disposition":
            return said
    return ""


def _label(text: str) -> str:
    return re.sub("%22|%0D|%0A", lambda found: _SAID_APART[found[0]], text)


def _text(data: bytes) -> str:
    try:
        return data.decode("utf-8")
    except UnicodeDecodeError as error:
        raise _unread("it is not in UTF-8") from error


def _lines(text: str) -> str:
    """Line ends as everywhere else; a browser sends both characters."""
    return text.replace("\r\n", "\n")


def _unread(problem: str) -> MalformedError:
    return MalformedError(what=_WHAT, problem=problem, mend="Open the page again and send it from there.")
