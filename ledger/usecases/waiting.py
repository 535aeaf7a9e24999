"""Forms that were sent when their sender had to sign in first: held for an hour, and handed back filled in."""

from collections.abc import Sequence

from ledger.accounts import WAITING_BYTES, WAITING_MOST, Accounts, AccountWriter, Person, WaitingForm
from ledger.usecases.record import random_id

__all__ = ["hold", "let_go", "waiting"]


def hold(accounts: Accounts, *, back: str, action: str, fields: Sequence[tuple[str, str]]) -> str | None:
    """The id under which the form waits for the owner; None when it is too long to be held.

    Keeps: the newest forms; of more than a few the oldest goes.
    """
    if sum(len(name.encode()) + len(value.encode()) for name, value in fields) > WAITING_BYTES:
        return None
    now = accounts.clock.now()
    form = WaitingForm(
        id=random_id(accounts.chance), person=accounts.owner, back=back, action=action, fields=tuple(fields), held=now
    )

    def work(writer: AccountWriter) -> None:
        if writer.person(form.person) is None:
            writer.put_person(Person(id=form.person, created=now))
        writer.hold(form, WAITING_MOST)

    accounts.store.write(work)
    return form.id


def waiting(accounts: Accounts, form: str, *, person: str | None = None) -> WaitingForm | None:
    """The form that waits under this id, for that person if one is named; None once it is gone or has waited too long."""
    with accounts.store.read() as reader:
        found = reader.waiting(form)
    if found is None or not found.is_fresh(accounts.clock.now()) or person not in {None, found.person}:
        return None
    return found


def let_go(accounts: Accounts, form: str, *, action: str) -> None:
    """The form was sent again to where it was meant for: what had been typed into it is deleted here."""
    found = waiting(accounts, form)
    if found is not None and found.action == action:
        accounts.store.write(lambda writer: writer.let_go(form))
