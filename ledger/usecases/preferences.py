"""What a person chooses once for every page: palette, home currency, how dates and amounts are read."""

from collections.abc import Mapping
from dataclasses import replace

from ledger.accounts import DATE_ORDERS, MARKS, Accounts, AccountWriter, Preferences, SignedIn, Theme
from ledger.errors import InvalidError, Problem
from ledger.rules.currencies import CurrencyError, currency

__all__ = ["choose", "preferences_from"]


def preferences_from(given: Mapping[str, str]) -> Preferences:
    """Preferences as they were typed and ticked; what is left empty is not chosen.

    Raises: InvalidError with every field that cannot be so.
    """
    code, problems = given.get("currency", "").strip().upper() or None, []
    theme = next((each for each in Theme if each == given.get("theme", Theme.SYSTEM)), None)
    order = next((each for each in DATE_ORDERS if each == given.get("date_order")), None)
    marks = next((each for each in MARKS if each == given.get("marks")), None)
    if theme is None:
        problems.append(Problem(field="theme", sentence="Choose one of the palettes shown."))
    if order is None and given.get("date_order"):
        problems.append(Problem(field="date_order", sentence="Choose one of the orders shown."))
    if marks is None and given.get("marks"):
        problems.append(Problem(field="marks", sentence="Choose one of the spellings shown."))
    try:
        if code is not None:
            currency(code)
    except CurrencyError as error:
        problems.append(Problem(field="currency", sentence=f"{error.problem}. {error.mend}"))
    if problems or theme is None:
        raise InvalidError(problems=tuple(problems))
    return Preferences(theme=theme, currency=code, date_order=order, marks=marks)


def choose(accounts: Accounts, who: SignedIn, preferences: Preferences) -> None:
    """From now on every page keeps to these preferences."""

    def work(writer: AccountWriter) -> None:
        writer.put_person(replace(writer.person(who.person.id) or who.person, preferences=preferences))

    accounts.store.write(work)
