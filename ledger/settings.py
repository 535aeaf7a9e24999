"""Settings: where things lie and who may knock, read from a mapping such as the environment."""

from collections.abc import Mapping
from dataclasses import dataclass, field, fields
from typing import Any

PREFIX = "SLIPSHEET_"
PORT_MOST = 65535


def setting(help_text: str, default: Any) -> Any:  # noqa: ANN401
    """A field with its help text, which is also what the documents say of it."""
    return field(default=default, metadata={"help": help_text})


@dataclass(frozen=True, kw_only=True)
class Settings:
    """Everything that may differ from one start to another; each has an environment variable `SLIPSHEET_` and its name."""

    folder: str = setting("Folder of the ledger and its photographs.", "slipsheet")
    database: str = setting(
        "Address of a PostgreSQL database that holds the ledger; left out, it lies in the folder.", ""
    )
    collection: str = setting("Which collection of a database that holds several.", "")
    keys: str = setting("Folder of the signing key; must not lie inside the data folder.", "slipsheet-keys")
    host: str = setting("Address to listen on; loopback unless you say otherwise.", "127.0.0.1")
    port: int = setting("Port to listen on; 0 takes a free one.", 8450)
    hosts: tuple[str, ...] = setting("Names the service answers to, separated by commas; others are refused.", ())

    @classmethod
    def read(cls, given: Mapping[str, str], **options: Any) -> "Settings":  # noqa: ANN401
        """Settings from a mapping, in which an empty text counts as not given; options that are not None win over it.

        Raises: ValueError naming the variable that cannot be read.
        """
        values: dict[str, Any] = {}
        for each in fields(cls):
            text = given.get(PREFIX + each.name.upper())
            if text:
                values[each.name] = _read(each.name, text)
        values.update({name: value for name, value in options.items() if value is not None})
        return cls(**values)

    @property
    def place(self) -> str:
        """Where the ledger lies, in words that hold no password."""
        return "the database named with --database" if self.database else self.folder

    @property
    def names(self) -> tuple[str, ...]:
        """Every host name the service answers to, as a request spells it. Source: RFC 3986 section 3.2.2."""
        own = f"[{self.host}]" if ":" in self.host else self.host
        return (*self.hosts, own, "localhost", "127.0.0.1", "[::1]")


def _read(name: str, text: str) -> object:
    match name:
        case "port":
            if not (text.isascii() and text.isdecimal()) or int(text) > PORT_MOST:
                raise ValueError(f"{PREFIX}PORT is {text!r}; it must be a number from 0 to {PORT_MOST}")
            return int(text)
        case "hosts":
            return tuple(part.strip() for part in text.split(",") if part.strip())
        case _:
            return text
