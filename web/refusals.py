"""What the pages' own door refuses, or asks for first, before anything reaches the ledger."""

from dataclasses import dataclass
from typing import ClassVar

from ledger.errors import ForbiddenError, LedgerError

__all__ = [
    "AskFirstError",
    "AtTheComputerError",
    "ConfirmNeededError",
    "PasswordNeededError",
    "SignInNeededError",
    "TooLargeError",
    "TooLongToHoldError",
    "TooManyTriesError",
]


@dataclass(eq=False, kw_only=True)
class AskFirstError(LedgerError):
    """Something is asked for before this goes on; what was typed is held meanwhile."""

    ask: ClassVar[str]
    """Path of the page that asks."""

    def __str__(self) -> str:
        return "Sign in first."


@dataclass(eq=False, kw_only=True)
class SignInNeededError(AskFirstError):
    """Nobody is signed in."""

    ask: ClassVar[str] = "/sign-in"


@dataclass(eq=False, kw_only=True)
class ConfirmNeededError(AskFirstError):
    """The password has not been given for a while, and this needs it."""

    ask: ClassVar[str] = "/confirm"

    def __str__(self) -> str:
        return "Give your password again first."


@dataclass(eq=False, kw_only=True)
class PasswordNeededError(AskFirstError):
    """The password would have to be given, and none was set yet."""

    ask: ClassVar[str] = "/settings/password"

    def __str__(self) -> str:
        return "Set a password first."


@dataclass(eq=False, kw_only=True)
class AtTheComputerError(ForbiddenError):
    """A paired phone asked for what is done at the computer."""

    needs: str = "do more than bench work"

    def __str__(self) -> str:
        return (
            "This phone was paired for bench work: it reads, photographs, examines, notes, chooses, and tells what was done. "
            "Keys, erasing, export, tokens, money and settings are not for it."
        )


@dataclass(eq=False, kw_only=True)
class TooLargeError(LedgerError):
    """More was sent than this address takes."""

    most: int

    def __str__(self) -> str:
        return f"This takes at most {self.most:,} bytes at once."


@dataclass(eq=False, kw_only=True)
class TooLongToHoldError(ForbiddenError):
    """A form came without a session and is too long to be held until its sender has signed in."""

    needs: str = "write"

    def __str__(self) -> str:
        return (
            "You were signed out, and what you typed is too long to be held here. "
            "Sign in on another page of this browser, then go back to this one and send it again."
        )


@dataclass(eq=False, kw_only=True)
class TooManyTriesError(LedgerError):
    """The password or the link was tried too often.

    Units: `wait` in seconds.
    """

    wait: int

    def __str__(self) -> str:
        minutes = -(-self.wait // 60)
        unit = "minute" if minutes == 1 else "minutes"
        return f"That was tried too often. Try again in {minutes} {unit}."
