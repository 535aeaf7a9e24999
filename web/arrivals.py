"""What a browser is told of a file on its way, and what a form says of files that came before it."""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from ledger.errors import NotFoundError
from ledger.ports import Ledger
from web.form_reading import Typed
from web.posted import Posted, Upload
from web.wording import t

__all__ = ["KEPT", "Arriving", "Kept", "arrive_words", "kept_files", "kept_of"]

KEPT: Final = "kept"
"""In a row of the form: the digest of a file that came before the form, and its name."""
_VALUE: Final = re.compile(r"([0-9a-f]{64}) ?(.{0,300})", re.DOTALL)


@dataclass(frozen=True, kw_only=True)
class Arriving:
    """What the form's script is told: where files go, and in which words it speaks."""

    words: Mapping[str, str]


def arrive_words() -> Mapping[str, str]:
    """As attributes of the form."""
    return {
        "data-arrive": "/photographs/arriving",
        "data-arrive-all": t("new_entry.arrive.all", kept="{kept}", files="{files}", share="{share}"),
        "data-arrive-going": t("new_entry.arrive.going", name="{name}", share="{share}"),
        "data-arrive-here": t("new_entry.arrive.here", name="{name}"),
        "data-arrive-cut": t("new_entry.arrive.cut"),
        "data-arrive-wait": t("new_entry.arrive.wait"),
        "data-arrive-go-on": t("new_entry.arrive.go_on"),
    }


@dataclass(frozen=True, kw_only=True)
class Kept:
    """A file that is here already, as the form shows it again."""

    name: str
    """Of the field."""
    value: str
    words: str


def kept_of(typed: Typed, name: str) -> tuple[Kept, ...]:
    """The files of one row that came before the form."""
    matches = filter(None, map(_VALUE.fullmatch, typed.get(name, ())))
    return tuple(
        Kept(name=name, value=each[0], words=t("new_entry.arrive.here", name=each[2] or each[1][:8]))
        for each in matches
    )


def kept_files(ledger: Ledger, posted: Posted, name: str) -> tuple[Upload, ...]:
    """The files of a field that came before the form, read from where they are kept.

    Raises: NotFoundError for one that is not.
    """
    files = []
    for value in posted.all(name):
        match = _VALUE.fullmatch(value)
        if match is None:
            raise NotFoundError(what="photograph", name=value[:80])
        files.append(Upload(name=match[2].strip(), data=ledger.pictures.read(match[1])))
    return tuple(files)
