"""The people of a collection: how they come in, what they chose, and what they left half done."""

from collections.abc import Callable, Mapping
from contextlib import AbstractContextManager
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from enum import StrEnum
from typing import TYPE_CHECKING, Literal, Protocol, TypeVar

if TYPE_CHECKING:
    from ledger.ports import Chance, Clock

T = TypeVar("T")

IDLE_MOST = timedelta(days=30)
SESSION_MOST = timedelta(days=90)
CONFIRMED_FOR = timedelta(minutes=10)
"""How long the password counts as just given."""

WAITING_FOR = timedelta(hours=1)
WAITING_MOST = 20
"""Forms that wait at once."""
WAITING_BYTES = 64 * 1024

LOOK_FOR = timedelta(days=7)
"""How long a look at a book that was begun stays open for its end: it is put down, and taken up the next evening."""
LOOK_BYTES = 256 * 1024
"""Of all that was typed at one look: some hundreds of defects. Our assumption."""
OF_A_LOOK = "look-"
"""Begins the id under which a begun look is held; no other form has a dash in its id."""

DateOrder = Literal["dmy", "mdy", "ymd"]
Marks = Literal["1,234.50", "1.234,50"]


class Theme(StrEnum):
    """Which palette the pages take; the system's own unless the owner chose."""

    SYSTEM = "system"
    LIGHT = "light"
    DARK = "dark"


@dataclass(frozen=True, kw_only=True)
class Preferences:
    """What a person chose for every page; None is asked for where it is needed."""

    theme: Theme = Theme.SYSTEM
    currency: str | None = None
    """ISO 4217 code that an amount is in when it names none."""
    date_order: DateOrder | None = None
    """How numbers alone are read as a date."""
    marks: Marks | None = None
    """How thousands and decimals are set apart in amounts that are typed."""


@dataclass(frozen=True, kw_only=True)
class Person:
    """Somebody who can sign in; the password is kept only as its slow hash, None while none was set."""

    id: str
    created: datetime
    password: str | None = field(default=None, repr=False)
    preferences: Preferences = field(default_factory=Preferences)


@dataclass(frozen=True, kw_only=True)
class Session:
    """One browser that is signed in, known by the hash of a secret which only that browser has."""

    hashed: bytes
    person: str
    started: datetime
    used: datetime
    confirmed: datetime | None = None
    """When the password was last given in it."""
    phone: str | None = None
    """The name the owner gave to a paired phone, which can do bench work only; None for a session that can do all."""

    @property
    def id(self) -> str:
        """A name for it that opens nothing."""
        return self.hashed.hex()[:16]

    def is_live(self, now: datetime) -> bool:
        """It was neither left alone for too long nor begun too long ago."""
        return now < self.used + IDLE_MOST and now < self.started + SESSION_MOST

    def is_confirmed(self, now: datetime) -> bool:
        """The password was given in it only just now."""
        return self.confirmed is not None and now < self.confirmed + CONFIRMED_FOR


@dataclass(frozen=True, kw_only=True)
class SignedIn:
    """A person together with the session they came in by."""

    person: Person
    session: Session


@dataclass(frozen=True, kw_only=True)
class WaitingForm:
    """A form that was sent when its sender had to sign in first; or a look at a book that is not written yet."""

    id: str
    person: str
    back: str
    """Address of the page on which it was filled in."""
    action: str
    """Path to which it was sent."""
    fields: tuple[tuple[str, str], ...] = field(repr=False)
    held: datetime

    def is_fresh(self, now: datetime) -> bool:
        """It has not waited too long."""
        return now < self.held + (LOOK_FOR if self.id.startswith(OF_A_LOOK) else WAITING_FOR)


class AccountReader(Protocol):
    """One unchanging view of the accounts of one collection."""

    def person(self, person: str) -> Person | None: ...
    def session(self, hashed: bytes) -> Session | None: ...
    def sessions(self, person: str) -> "list[Session]": ...
    def waiting(self, form: str) -> WaitingForm | None: ...


class AccountWriter(AccountReader, Protocol):
    """The writer's transaction over accounts: all of it is kept or none.

    Keeps: a session that has ended is not brought back by being used. `hold` lets go of the oldest
    forms of that person beyond `most`.
    """

    def put_person(self, person: Person) -> None: ...
    def add_session(self, session: Session) -> None: ...
    def use_session(self, hashed: bytes, when: datetime) -> None: ...
    def end_session(self, hashed: bytes) -> None: ...
    def end_sessions(self, person: str, *, but: bytes | None = None) -> None: ...
    def hold(self, form: WaitingForm, most: int) -> None: ...
    def let_go(self, form: str) -> None: ...
    def let_go_of_all(self) -> None: ...
    def sweep(self, *, started: datetime, used: datetime, held: datetime, looked: datetime) -> None:
        """Sessions begun or last used before these moments are gone, and so are forms and looks held before theirs."""
        ...


class AccountStore(Protocol):
    """Where accounts are kept; what `write` returned is durable.

    Raises: StoreError, ClosedError.
    """

    def read(self) -> AbstractContextManager[AccountReader]: ...
    def write(self, work: Callable[[AccountWriter], T]) -> T: ...


class Passwords(Protocol):
    """Slow hashes of passwords.

    Keeps: `fits` takes as long for None, and says no.
    """

    def hashed(self, password: str) -> str: ...
    def fits(self, kept: str | None, password: str) -> bool: ...
    def is_outdated(self, kept: str) -> bool: ...


@dataclass(frozen=True, kw_only=True)
class Accounts:
    """Everything that signing in needs; made by `ledger.bootstrap.open_ledger`."""

    owner: str
    """Id of the one person there is for now."""
    store: AccountStore
    passwords: Passwords
    clock: "Clock"
    chance: "Chance"


def preferences_of(plain: Mapping[str, object]) -> Preferences:
    """Preferences from what was kept; what this program does not know is left as not chosen."""
    theme, currency = plain.get("theme"), plain.get("currency")
    order, marks = plain.get("date_order"), plain.get("marks")
    return Preferences(
        theme=next((each for each in Theme if each == theme), Theme.SYSTEM),
        currency=currency if isinstance(currency, str) else None,
        date_order=next((each for each in DATE_ORDERS if each == order), None),
        marks=next((each for each in MARKS if each == marks), None),
    )


DATE_ORDERS: tuple[DateOrder, ...] = ("dmy", "mdy", "ymd")
MARKS: tuple[Marks, ...] = ("1,234.50", "1.234,50")
