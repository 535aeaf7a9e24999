"""What serve says of phones: the code that lets one in, and that the home network can read along."""

import sys

from ledger.errors import InvalidError
from ledger.ports import Ledger
from ledger.settings import Settings
from ledger.usecases.doorbook import Came, note
from ledger.usecases.phones import named
from web.pairing import OPEN_FOR, Pairing
from web.reach import Reach
from web.serving import Listening
from web.wording import t

__all__ = ["code_for", "name_for", "warn_if_open"]


def name_for(settings: Settings, phone: str | None) -> str:
    """The name of the phone that is to be let in, empty for none.

    Raises: ValueError for a name that is none, and where no phone could find this server.
    """
    if phone is None:
        return ""
    if not Reach.of(settings, settings.port).addresses():
        raise ValueError(t("settings.phone.usage"))
    try:
        return named(phone)
    except InvalidError as error:
        raise ValueError(error.problems[0].sentence) from error


def code_for(ledger: Ledger, settings: Settings, listening: Listening, pairing: Pairing, name: str) -> tuple[str, str]:
    """The address that lets in one phone of that name, and how a person is told of it."""
    base = Reach.of(settings, listening.port).addresses()[0]
    address = base + pairing.offer(name)
    note(Came.PHONE_OFFERED)
    minutes = int(OPEN_FOR.total_seconds()) // 60
    words = t.n("settings.phone.terminal", minutes, name=name, address=address)
    code = ledger.codes.in_words(address) if ledger.codes is not None else ""
    return address, f"{code}\n{words}" if _can_show(code) else words


def warn_if_open(settings: Settings) -> None:
    """Says what listening to a network means, to whoever started it."""
    if Reach.of(settings, settings.port).is_open:
        sys.stderr.write(f"{t('settings.phone.plain')} {t('settings.phone.plain_why')}\n")
        sys.stderr.flush()


def _can_show(code: str) -> bool:
    """The terminal has these signs."""
    try:
        code.encode(sys.stdout.encoding or "utf-8")
    except (UnicodeEncodeError, LookupError):
        return False
    return bool(code)
