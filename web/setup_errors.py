"""Why no environment could be made, each reason with its mend."""

from dataclasses import dataclass
from pathlib import Path


class SetupError(Exception):
    """The environment could not be made; nothing half made is ever taken for done."""


@dataclass(eq=False, kw_only=True)
class VenvMissingError(SetupError):
    """The Python at hand cannot make environments."""

    version: tuple[int, int]

    def __str__(self) -> str:
        return (
            "This Python {}.{} comes without venv, which makes environments.\n"
            "On Debian and Ubuntu install it with: apt install python3-venv"
        ).format(*self.version)


@dataclass(eq=False, kw_only=True)
class ForeignFolderError(SetupError):
    """Something that is no environment has the environment's name, and is left alone."""

    folder: Path

    def __str__(self) -> str:
        return f"{self.folder} is there already and is no Python environment.\nMove it away, then start again."


@dataclass(eq=False, kw_only=True)
class UnwritableError(SetupError):
    """The disk would not take the environment."""

    folder: Path
    problem: str

    def __str__(self) -> str:
        return (
            f"The environment in {self.folder} could not be written: {self.problem}.\n"
            "Free what stands in the way, or copy the project to a folder of yours, then start again."
        )


UNREACHABLE = (
    "The package index could not be reached. Connect this machine, or tell pip the way "
    "(HTTPS_PROXY for a proxy, `pip config` for an index of your own), then start again."
)
SIGNS = {
    "DO NOT MATCH THE HASHES": (
        "A package is not the one that this project was tested with, and was not installed. "
        "A broken download is gone at the next start; if this stays, do not go on, and tell the project."
    ),
    "No space left on device": "The disk is full. Free about 500 MB, then start again.",
    "Failed to establish a new connection": UNREACHABLE,
    "Temporary failure in name resolution": UNREACHABLE,
    "Name or service not known": UNREACHABLE,
    "ConnectTimeoutError": UNREACHABLE,
    "ReadTimeoutError": UNREACHABLE,
    "ProxyError": UNREACHABLE,
    "SSLError": UNREACHABLE,
    "No matching distribution found": (
        "The package index has no build of a package for this Python and this machine. "
        "Try another Python from 3.11 on, or ask whoever keeps the index."
    ),
}
"""What pip prints -> what that means to the reader; the first that fits counts."""
UNKNOWN = "The lines above say why. Once that is mended, start again: the set-up begins anew."


@dataclass(eq=False, kw_only=True)
class InstallError(SetupError):
    """A step of the set-up failed: which one, with what exit code, and all that it printed."""

    step: str
    code: int
    output: str

    @property
    def meaning(self) -> str:
        """The likely reason, and the mend."""
        return next((meaning for sign, meaning in SIGNS.items() if sign in self.output), UNKNOWN)

    @property
    def last_words(self) -> list[str]:
        """The end of what was printed, warnings aside when something else was said."""
        lines = self.output.strip().splitlines()
        return ([line for line in lines if not line.startswith("WARNING")] or lines)[-6:]

    def __str__(self) -> str:
        last = "\n".join(f"  {line[:200]}" for line in self.last_words)
        return f'The set-up stopped at the step "{self.step}" (exit code {self.code}):\n{last}\n{self.meaning}'
