"""A look at a book that was begun and is not written yet: held from step to step, so that the phone can be put down.

It lies with the forms that wait, so it goes where they go: no backup has it, and an erasure lets go of it.
"""

from collections.abc import Sequence

from ledger.accounts import LOOK_BYTES, OF_A_LOOK, WAITING_MOST, Accounts, AccountWriter, WaitingForm
from ledger.usecases.waiting import waiting

__all__ = ["begun", "end_look", "hold_look"]


def begun(accounts: Accounts, book: str, person: str) -> WaitingForm | None:
    """The look at that book that this person began; None where there is none, or it was left for too long."""
    return waiting(accounts, f"{OF_A_LOOK}{book}", person=person)


def hold_look(accounts: Accounts, book: str, person: str, fields: Sequence[tuple[str, str]]) -> bool:
    """Whether the look could be held as it stands now; one that is too long is not.

    Keeps: there is one for each book, in place of what was held of it before.
    """
    if sum(len(name.encode()) + len(value.encode()) for name, value in fields) > LOOK_BYTES:
        return False
    path = f"/books/{book}/look"
    now = accounts.clock.now()
    form = WaitingForm(id=f"{OF_A_LOOK}{book}", person=person, back=path, action=path, fields=tuple(fields), held=now)

    def work(writer: AccountWriter) -> None:
        writer.let_go(form.id)
        writer.hold(form, WAITING_MOST)

    accounts.store.write(work)
    return True


def end_look(accounts: Accounts, book: str) -> None:
    """It was written, or is begun anew: nothing of it is held any more."""
    accounts.store.write(lambda writer: writer.let_go(f"{OF_A_LOOK}{book}"))
