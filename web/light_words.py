"""The light of a book in words: figures no finer than they are, each with its band, and what is not known said as that."""

from typing import Final

from ledger.events._parts import Answer
from ledger.light_share import Bounds, Faded, Light, Prospect, Standing
from ledger.light_spot import DayLight
from ledger.rules.light import DAYS, Extent, LightRules, Sensitivity
from ledger.saying.spelling import rounded
from ledger.when import When
from web.book_facts import Fact
from web.wording import t

__all__ = [
    "band",
    "class_words",
    "days_words",
    "faded_words",
    "figure",
    "how_far",
    "light_fact",
    "prospect_facts",
    "share",
    "so_far",
    "standing_words",
    "years_words",
]

Facts = list[tuple[str, str]]

LEAST: Final = 0.01
WHOLE_FROM: Final = 10
TENS_FROM, HUNDREDS_FROM = 20, 100
PERCENT: Final = 100.0
ANSWERS: Final = {Answer.YES: "yes", Answer.NO: "no", Answer.UNSURE: "unsure"}


def figure(value: float) -> str:
    """A number to two figures, written out."""
    if 0 < value < LEAST:
        return t("light.least")
    return rounded(value)


def band(of: Extent) -> str:
    """The middle, and in brackets the least and the most."""
    low, middle, high = (figure(each) for each in (of.low, of.middle, of.high))
    return middle if low == high else t("light.band", low=low, middle=middle, high=high)


def share(of: Extent) -> str:
    """The same in per cent."""
    low, middle, high = (figure(each * PERCENT) for each in (of.low, of.middle, of.high))
    return t("light.share", middle=middle) if low == high else t("light.shares", low=low, middle=middle, high=high)


def years_words(of: Bounds | None) -> str:
    """Years in a band; a year that is far off is told to the next ten, for nobody knows it better."""
    if of is None:
        return t("light.years.none")
    low, middle, high = (
        t("light.years.never") if each is None else _years(each) for each in (of.low, of.middle, of.high)
    )
    return t("light.years.band", low=low, middle=middle, high=high)


def days_words(of: Bounds | None) -> str:
    """Days a year that the limit allows, in a band."""
    if of is None:
        return t("frame.not_known")
    low, middle, high = (_days(each) for each in (of.low, of.middle, of.high))
    return middle if low == high else t("light.days.band", low=low, middle=middle, high=high)


def faded_words(of: Faded | None) -> str:
    """Which part of a just noticeable fade it is, in per cent."""
    return t("light.nothing") if of is None else t("light.per_cent", share=share(of.known))


def class_words(of: Sensitivity) -> str:
    """A class with its blue wool steps."""
    name = t(f"light.classes.{of.light_class.value}")
    return name if of.steps is None else t("light.class_of", name=name, first=of.steps[0], last=of.steps[2])


def standing_words(of: Standing) -> str:
    """What it is taken for, and who says so."""
    if of.chosen:
        by = t("light.by.why", why=of.why) if of.why else t("light.by.you")
    else:
        by = t("light.by.date") if of.dated else t("light.by.no_date")
    return f"{class_words(of.book)}. {by}"


def so_far(of: Light) -> Facts:
    """What it had here and what that was."""
    total, faded = of.total, of.faded
    since = _day(of.since) if of.since is not None else t("frame.not_known")
    counted = t("light.since_open", since=since) if of.since_open else since
    if not total.days:
        unknown = t("light.no_day")
    elif not total.unknown_days:
        unknown = t("light.all_known")
    else:
        unknown = t("light.unknown", unknown=f"{total.unknown_days:,}", days=f"{total.days:,}")
    facts = [
        (t("light.facts.earlier"), t("light.earlier")),
        (t("light.facts.since"), counted),
        (t("light.facts.sum"), _sum(of)),
        (t("light.facts.unknown"), unknown),
    ]
    if not of.known:
        return facts
    facts.append((t("light.facts.faded"), faded_words(faded)))
    if faded is not None:
        columns = (("with_uv", faded.with_uv), ("without_uv", faded.without_uv))
        facts += [(t(f"light.facts.{name}"), t("light.per_cent", share=share(each))) for name, each in columns]
    by = t("light.by.you") if of.standing.signature_chosen else t("light.by.assumed")
    signature = f"{faded_words(of.signature)}. {class_words(of.standing.signature)}. {by}"
    return [*facts, (t("light.facts.signature"), signature)]


def prospect_facts(of: Prospect, sensitivity: Sensitivity) -> Facts:
    """A year at a spot."""
    light = of.light
    known = t(f"light.known.{light.known.value}")
    if light.away_cm is not None:
        known = f"{known} {t('light.away', cm=light.away_cm)}"
    facts = [(t("light.facts.known"), known)]
    if light.lux_hours is not None and of.a_year is not None:
        facts += [
            (t("light.facts.a_day"), t("light.lux_hours", sum=band(light.lux_hours))),
            (t("light.facts.a_year"), t("light.lux_hours", sum=band(of.a_year))),
        ]
    facts += [
        (t("light.facts.uv"), _uv(light)),
        (t("light.facts.against"), _against(of, sensitivity)),
        (t("light.facts.days"), days_words(of.days)),
    ]
    if light.lux_hours is not None:
        facts.append((t("light.facts.others"), _others(of)))
    if of.copies is not None:
        facts.append((t("light.facts.copies"), t.n("light.copies", of.copies)))
    if light.lux_hours is not None:
        facts.append((t("light.facts.years"), years_words(of.years)))
    return facts


def how_far(rules: LightRules) -> tuple[str, ...]:
    """How far the figures go, sentence by sentence, as the table stands here."""
    numbers = rules.number
    return (
        t("light.how.doses", factor=numbers("doubt", "factor")),
        t("light.how.total", fades=rules.total_fade()),
        t("light.how.inks"),
        t(
            "light.how.near",
            near=numbers("reading", "near_cm"),
            least=numbers("off-hours", "least_lux"),
            most=numbers("off-hours", "most_lux"),
        ),
        t(
            "light.how.uv",
            filtered=numbers("ultraviolet", "filtered_to"),
            unfiltered=numbers("ultraviolet", "unfiltered_over"),
            most=numbers("ultraviolet-absolute", "most_milliwatts"),
            strict=numbers("ultraviolet-absolute", "strict_milliwatts"),
        ),
        t("light.how.led"),
        t("light.how.paper"),
    )


def _others(of: Prospect) -> str:
    """A year beside limits that were published for other things."""
    return " ".join(
        t(f"light.others.{each.against.value}", limit=f"{each.limit:,}", title=each.title) for each in of.others
    )


def light_fact(of: Light) -> Fact | None:
    """The fact for the head of a book's page; None for a book that was never here."""
    if of.since is None:
        return None
    unknown = [t.n("light.fact.unknown", of.total.unknown_days)] if of.total.unknown_days else []
    faded = [] if of.faded is None or not of.known else [t("light.fact.share", share=share(of.faded.known))]
    beside = " ".join([*faded, *unknown, t("light.fact.before")])
    return Fact(t("light.fact.name"), _sum(of), beside)


def _sum(of: Light) -> str:
    """What is known of its light; where nothing is, that."""
    if not of.known:
        return t("frame.not_known")
    said = t("light.lux_hours", sum=band(of.total.extent))
    return t("light.as_far", said=said) if of.total.unknown_days else said


def _uv(of: DayLight) -> str:
    """Whether it is filtered, and what was measured of it."""
    said = t(f"light.uv.{ANSWERS[of.filtered]}")
    if of.uv_milliwatts is None:
        return said
    return f"{said} {t('light.uv_measured', milliwatts=figure(of.uv_milliwatts))}"


def _against(of: Prospect, sensitivity: Sensitivity) -> str:
    """A year beside the limit, as a label; and whether it is too bright at times."""
    limit, most = sensitivity.most_lux_hours_a_year, sensitivity.most_lux
    said = t(f"light.against.{of.against.value}", limit="" if limit is None else f"{limit:,}")
    if of.brighter is None or most is None:
        return said
    return f"{said} {t('light.brighter' if of.brighter else 'light.not_brighter', lux=most)}"


def _years(value: float) -> str:
    if value < TENS_FROM or value >= HUNDREDS_FROM:
        return figure(value)
    return f"{round(value, -1):.0f}"


def _days(value: float | None) -> str:
    if value is None or value >= DAYS:
        return t("light.days.every")
    return figure(value) if value < WHOLE_FROM else f"{int(value)}"


def _day(day: object) -> str:
    return When.parse(str(day)).label()
