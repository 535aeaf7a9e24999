"""The dose of heat in words: about so many days, from the least to the most, and what is not in it."""

from ledger.dose import Dose, Heat, dose_of
from ledger.events import Event
from ledger.events.intervention import Intervention
from ledger.rules.ageing import Band
from ledger.saying.spelling import rounded
from web.book_facts import Fact
from web.wording import t

__all__ = ["band_words", "days", "dose_words", "heat_fact"]


def days(value: float) -> str:
    """A number of days to two figures; what is less than a hundredth is said as that."""
    if 0 < value < 0.01:  # noqa: PLR2004 - a hundredth of a day is a quarter of an hour
        return t("dose.least")
    return rounded(value)


def band_words(band: Band) -> str:
    """The middle, and in brackets the band."""
    return t("dose.band", middle=days(band.middle), low=days(band.low), high=days(band.high))


def heat_fact(heat: Heat) -> Fact | None:
    """The fact for the head of a book's page; None where it was never heated here."""
    if not heat.sessions:
        return None
    told = heat.sessions - heat.untold
    value = band_words(heat.band) if told else t("frame.not_known")
    beside = [t.n("dose.sessions", heat.sessions)]
    beside += [t.n("dose.untold", heat.untold)] if heat.untold else []
    beside += [t.n("dose.without_cooling", heat.without_cooling)] if heat.without_cooling else []
    return Fact(t("dose.so_far"), value, " ".join([*beside, t("dose.index")]))


def dose_words(event: Event) -> tuple[str, ...]:
    """The dose of one entry in sentences; nothing for an entry that tells of no heat."""
    dose = dose_of(event) if isinstance(event, Intervention) else None
    return () if dose is None else tuple(_sentences(dose))


def _sentences(dose: Dose) -> list[str]:
    if dose.band is None:
        return [t(f"dose.missing.{dose.missing[0] if len(dose.missing) == 1 else 'both'}")]
    said = [t("dose.adds", band=band_words(dose.band))]
    said += [t("dose.from_the_dial")] if dose.from_the_dial else []
    said += [t("dose.cooling_left_out")] if dose.cooling_left_out else []
    return [*said, t("dose.limits")]
