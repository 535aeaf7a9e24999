"""Coming in and going out: by password, by the one-time link, and out everywhere at once."""

import re
import unicodedata
from collections.abc import Iterable
from dataclasses import replace
from datetime import timedelta
from typing import Final

from ledger.accounts import (
    IDLE_MOST,
    LOOK_FOR,
    SESSION_MOST,
    WAITING_FOR,
    Accounts,
    AccountWriter,
    Person,
    Session,
    SignedIn,
)
from ledger.actor import Actor, Permission
from ledger.errors import InvalidError, Problem
from ledger.ports import Ledger
from ledger.usecases.secret import hash_of, new_secret

__all__ = [
    "ON_A_PHONE",
    "PASSWORD_LEAST",
    "PASSWORD_MOST",
    "actor_of",
    "begin",
    "change_password",
    "enter",
    "has_password",
    "own_words",
    "sign_in",
    "sign_out",
    "signed_in",
    "sweep",
]

ON_A_PHONE: Final = frozenset({Permission.READ, Permission.BENCH})
"""What a paired phone lets through."""
PASSWORD_LEAST: Final = 12
PASSWORD_MOST: Final = 1000
"""Characters; a longer text is a mistake, not a password."""
_LEFT_LEAST: Final = 6
"""Characters a password has beside the words that anybody would try first."""
_WORD_LEAST: Final = 4
_TITLES_MOST: Final = 2_000
_USED_EVERY: Final = timedelta(hours=1)
"""A session is noted as used no more often than this, for noting it is a write."""
_TRIED_FIRST: Final = (
    *("slipsheet", "password", "passphrase", "collection", "comic", "comics", "books", "ledger", "letmein"),
    *("welcome", "qwertyuiop", "qwerty", "asdfgh", "0123456789", "1234567890", "123456", "abcdef", "111111", "000000"),
)
"""Our assumption: what somebody who knows the program would try, and keys that lie side by side."""


def sign_in(accounts: Accounts, password: str, *, old: str | None = None) -> str | None:
    """The secret of a new session, or None where the password is another one; the session `old` ends with it.

    Keeps: a password whose hash was made with other settings than today's is hashed anew.
    """
    person = _owner(accounts)
    typed = _as_kept(password)
    if not accounts.passwords.fits(person.password, typed) or person.password is None:
        return None
    fresh = accounts.passwords.hashed(typed) if accounts.passwords.is_outdated(person.password) else None

    def work(writer: AccountWriter) -> str:
        if fresh is not None:
            writer.put_person(replace(_owner_now(accounts, writer), password=fresh))
        return begin(accounts, writer, old=old, confirmed=True)

    return accounts.store.write(work)


def enter(accounts: Accounts, *, old: str | None = None, forgotten: bool = False) -> str:
    """The secret of a session for somebody who came in by the one-time link.

    `forgotten` ends the password that was set before, and every session with it.
    Requires: the link was used up just before.
    """

    def work(writer: AccountWriter) -> str:
        if forgotten:
            writer.put_person(replace(_owner_now(accounts, writer), password=None))
            writer.end_sessions(accounts.owner)
        return begin(accounts, writer, old=old, confirmed=False)

    return accounts.store.write(work)


def begin(
    accounts: Accounts, writer: AccountWriter, *, old: str | None, confirmed: bool, phone: str | None = None
) -> str:
    """The secret of a new session; the one before it in the same browser ends."""
    if old is not None:
        writer.end_session(hash_of(old))
    now = accounts.clock.now()
    writer.put_person(_owner_now(accounts, writer))
    secret = new_secret(accounts.chance)
    writer.add_session(
        Session(
            hashed=hash_of(secret),
            person=accounts.owner,
            started=now,
            used=now,
            confirmed=now if confirmed else None,
            phone=phone,
        )
    )
    return secret


def signed_in(accounts: Accounts, secret: str) -> SignedIn | None:
    """Who a session's secret belongs to, while the session is in force."""
    now, hashed = accounts.clock.now(), hash_of(secret)
    with accounts.store.read() as reader:
        session = reader.session(hashed)
        person = reader.person(session.person) if session else None
    if session is None or person is None or not session.is_live(now):
        return None
    if now - session.used >= _USED_EVERY:
        accounts.store.write(lambda writer: writer.use_session(hashed, now))
    return SignedIn(person=person, session=session)


def note_use(accounts: Accounts, session: Session) -> None:
    """The session is noted as used now, so that for an hour none of its requests has to write, and to wait for a writer."""
    now = accounts.clock.now()
    accounts.store.write(lambda writer: writer.use_session(session.hashed, now))


def sign_out(accounts: Accounts, person: str) -> None:
    """Every session of that person has ended, in every browser."""
    accounts.store.write(lambda writer: writer.end_sessions(person))


def change_password(accounts: Accounts, who: SignedIn, *, current: str, new: str, avoid: Iterable[str]) -> str:
    """The secret of the one session that goes on; with the old password all sessions end.

    `avoid` are words of the collection itself, which others know.
    Raises: InvalidError for the fields `current` and `new`.
    """
    kept, typed = who.person.password, _as_kept(new)
    if kept is not None and not accounts.passwords.fits(kept, _as_kept(current)):
        raise InvalidError(problems=(Problem(field="current", sentence="This is not your password. Type it again."),))
    flaw = _flaw(typed, avoid)
    if flaw:
        raise InvalidError(problems=(Problem(field="new", sentence=flaw),))
    hashed = accounts.passwords.hashed(typed)

    def work(writer: AccountWriter) -> str:
        person = writer.person(who.person.id) or who.person
        writer.put_person(replace(person, password=hashed))
        writer.end_sessions(person.id)
        return begin(accounts, writer, old=None, confirmed=True)

    return accounts.store.write(work)


def has_password(accounts: Accounts) -> bool:
    """The owner can sign in with a password."""
    return _owner(accounts).password is not None


def actor_of(who: SignedIn) -> Actor:
    """The person as one who acts; from a paired phone they read, and work at the bench."""
    return Actor(id=who.person.id, scopes=None if who.session.phone is None else ON_A_PHONE)


def sweep(accounts: Accounts) -> None:
    """What has run out is deleted: sessions, forms that waited too long, and looks that were begun and left."""
    now = accounts.clock.now()
    accounts.store.write(
        lambda writer: writer.sweep(
            started=now - SESSION_MOST, used=now - IDLE_MOST, held=now - WAITING_FOR, looked=now - LOOK_FOR
        )
    )


def own_words(ledger: Ledger) -> set[str]:
    """Titles that stand in the collection, for a password is not to be one of them."""
    found: set[str] = set()
    with ledger.log.read() as reader:
        for listing in reader.listings():
            found.add(listing.row.title)
            if len(found) >= _TITLES_MOST:
                break
    return found


def _flaw(password: str, avoid: Iterable[str]) -> str:
    """What is wrong with a new password, with the mend; empty when nothing is."""
    if len(password) < PASSWORD_LEAST:
        return f"A password has at least {PASSWORD_LEAST} characters; this has {len(password)}. A sentence will do."
    if len(password) > PASSWORD_MOST:
        return f"A password has at most {PASSWORD_MOST} characters; this has {len(password)}. Make it shorter."
    left, words = _letters(password), {_letters(each) for each in (*_TRIED_FIRST, *avoid)}
    for word in sorted(words, key=len, reverse=True):
        left = left.replace(word, "") if len(word) >= _WORD_LEAST else left
    if len(left) < min(_LEFT_LEAST, len(_letters(password))):
        return "This is made of words that others would try first. Add some that have nothing to do with it."
    return ""


def _letters(text: str) -> str:
    """Letters and digits alone, whatever their case."""
    return re.sub(r"[\W_]", "", text.casefold())


def _as_kept(password: str) -> str:
    """The same text however the keyboard composed it. Source: Unicode Standard Annex 15, form C."""
    return unicodedata.normalize("NFC", password)


def _owner(accounts: Accounts) -> Person:
    with accounts.store.read() as reader:
        return reader.person(accounts.owner) or _newcomer(accounts)


def _owner_now(accounts: Accounts, writer: AccountWriter) -> Person:
    return writer.person(accounts.owner) or _newcomer(accounts)


def _newcomer(accounts: Accounts) -> Person:
    return Person(id=accounts.owner, created=accounts.clock.now())
