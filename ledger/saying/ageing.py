"""The air a book was in, as far as climate logs know it: what it did to the paper, and from which files that follows."""

from collections.abc import Iterator
from typing import Final

from ledger.ageing_of_book import Ageing, Air, LogUsed
from ledger.proof.sheet import Table
from ledger.saying.steps import band
from ledger.saying.wording import t

__all__ = ["ageing", "logs"]

DAY: Final = 86_400
_HEAD: Final = ("log", "where", "channel", "read_as", "file")


def ageing(of: Ageing | None) -> Iterator[tuple[str, str]]:
    """The facts; none where nobody counted it, or the book was never here."""
    if of is None or of.since is None:
        return
    yield t("ageing.wall"), _air(of.wall)
    yield t("ageing.storage"), _air(of.storage)
    yield t("ageing.unknown"), " ".join(_unknown(of))
    if of.logs:
        yield t("ageing.how"), t("ageing.index")


def logs(of: Ageing | None) -> Table | None:
    """Every file from which the figures follow, by its digest; None where they follow from none."""
    if of is None or not of.logs:
        return None
    return Table(tuple(t(f"ageing.{name}") for name in _HEAD), tuple(tuple(_log(each)) for each in of.logs))


def _air(air: Air) -> str:
    """Of how much of it logs know, and what that much did; what they do not know adds nothing."""
    if not air.lasted:
        return t("ageing.never")
    lasted, known = (_days(each) for each in (air.lasted, air.known))
    if not air.known:
        return t("ageing.not_known", lasted=lasted)
    said = t("ageing.said", known=known, lasted=lasted, band=band(air.equivalent))
    return said if air.known == air.lasted else f"{said} {t('ageing.rest')}"


def _unknown(of: Ageing) -> Iterator[str]:
    if of.elsewhere:
        yield t("ageing.elsewhere", days=_days(of.elsewhere))
    yield t("ageing.before")


def _log(log: LogUsed) -> Iterator[str]:
    yield t("ageing.entry", seq=log.entry)
    yield t("ageing.at_wall", room=log.room, wall=log.wall) if log.wall else t("ageing.in_room", room=log.room)
    yield str(log.channel)
    yield t("ageing.read", unit=log.unit, dates=log.dates)
    yield log.file


def _days(seconds: int) -> str:
    """Days, with a tenth where they are not whole."""
    return f"{seconds // DAY:,}" if seconds % DAY == 0 else f"{seconds / DAY:,.1f}"
