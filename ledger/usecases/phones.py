"""Phones at the bench: each has a session of its own, which can do bench work only and is ended by itself."""

from typing import Final

from ledger.accounts import Accounts, AccountWriter, Session
from ledger.actor import Actor, Permission
from ledger.errors import InvalidError, NotFoundError, Problem
from ledger.usecases.doorbook import Came, note
from ledger.usecases.sign_in import begin

__all__ = ["NAME_MOST", "end_phone", "end_phones", "join", "named", "phones"]

NAME_MOST: Final = 40
"""Characters of the name of a phone."""


def named(text: str) -> str:
    """The name under which a phone is to be known.

    Raises: InvalidError.
    """
    name = " ".join(text.split())
    if not 1 <= len(name) <= NAME_MOST or not name.isprintable():
        sentence = f"Give the phone a name of 1 to {NAME_MOST} characters by which you will know it."
        raise InvalidError(problems=(Problem(field="name", sentence=sentence),))
    return name


def join(accounts: Accounts, name: str, *, old: str | None = None) -> str:
    """The secret of a new session of a phone of that name; the session `old` of the same browser ends.

    Requires: the pairing that the owner made for it was used up just before.
    """
    return accounts.store.write(lambda writer: begin(accounts, writer, old=old, confirmed=False, phone=name))


def phones(accounts: Accounts, actor: Actor) -> list[Session]:
    """The sessions of phones that are in force, the oldest first."""
    actor.require(Permission.TOKENS)
    now = accounts.clock.now()
    with accounts.store.read() as reader:
        return [each for each in reader.sessions(actor.id) if each.phone is not None and each.is_live(now)]


def end_phone(accounts: Accounts, actor: Actor, phone: str) -> Session:
    """The phone of that id, which is out from now on.

    Raises: NotFoundError.
    """
    found = next((each for each in phones(accounts, actor) if each.id == phone), None)
    if found is None:
        raise NotFoundError(what="paired phone", name=phone)
    accounts.store.write(lambda writer: writer.end_session(found.hashed))
    note(Came.PHONE_ENDED, who=actor.id, phone=found.id)
    return found


def end_phones(accounts: Accounts, actor: Actor) -> int:
    """How many phones were in, all of which are out from now on."""
    found = phones(accounts, actor)

    def work(writer: AccountWriter) -> None:
        for each in found:
            writer.end_session(each.hashed)

    accounts.store.write(work)
    for each in found:
        note(Came.PHONE_ENDED, who=actor.id, phone=each.id)
    return len(found)
