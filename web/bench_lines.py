"""What the bench shows of each load: its step in words, how long, until when, and its bar on the scale of days."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, time, timedelta
from typing import Final

from ledger.bench import Load, Step
from ledger.rules.cautions import Caution
from ledger.rules.headings import Heading
from ledger.rules.techniques import Technique, techniques
from ledger.usecases.bench import Bench
from ledger.when import When
from web.ticks import month
from web.wording import t

__all__ = ["Bar", "BookLink", "LoadLine", "Scale", "Tick", "line_of", "scale_of", "spent", "step_words", "technique_of"]

_DAY: Final = timedelta(days=1)
_HOUR: Final = 60
_MARGIN: Final = 0.04
"""Of the scale, kept free behind the last end."""
_LEAST_HOURS: Final = 12
_TICKS_MOST: Final = 5
"""So many stand beside one another on a phone."""
_WHOLE: Final = 100.0


@dataclass(frozen=True, kw_only=True)
class BookLink:
    """A book by its name, and its page."""

    name: str
    href: str
    heat: str = ""
    """How much it had so far, where that is told."""


@dataclass(frozen=True, kw_only=True)
class Bar:
    """How far a load reaches on the scale. Units: per cent of its width."""

    left: float
    width: float
    planned: float
    """Where it is to end; the same as its right end where that was left open."""
    hot: float = 0.0
    """How far the heat reaches by the plan; nothing where none is planned."""


@dataclass(frozen=True, kw_only=True)
class Tick:
    """The beginning of a day on the scale, and its words."""

    at: float
    words: str


@dataclass(frozen=True, kw_only=True)
class Scale:
    """From when to when the bars are drawn, the days between, and where now is."""

    first: datetime
    last: datetime
    ticks: tuple[Tick, ...]
    now: float

    def place(self, moment: datetime) -> float:
        """A moment on it. Units: per cent."""
        share = (moment - self.first) / (self.last - self.first)
        return max(0.0, min(_WHOLE, share * _WHOLE))


@dataclass(frozen=True, kw_only=True)
class LoadLine:
    """One load as the page shows it."""

    id: str
    title: str
    heading: Heading | None
    settings: str
    """Temperature, and how long it is in the press and how long of that it is hot."""
    tool: str
    books: tuple[BookLink, ...]
    began: str
    stands: str
    """How it stands now: until when, or that it is over, or stopped."""
    phase: str
    """Hot, cooling or cooled, by the plan; empty where no heat is planned, or it has come out."""
    due: bool
    """Somebody has to do something."""
    stopped: bool
    bar: Bar
    recipe: str
    """Name of the recipe and number of the step, empty for none."""
    follows: str
    """The step that follows by the recipe."""
    goes_on: str
    """The same as a button says it; empty where its books are in a load that follows already."""
    caution: Caution | None


def line_of(load: Load, bench: Bench, names: Mapping[str, str], scale: Scale, now: datetime) -> LoadLine:
    """A load in words; `names` are those of books by their ids."""
    row, recipe, after = technique_of(load.step), bench.recipe_of(load), bench.next_of(load)
    end = load.stopped or now
    left, ends = scale.place(load.started), scale.place(load.ends or end)
    steps = len(recipe.steps) if recipe else 0
    return LoadLine(
        id=load.id,
        title=row.title if row else load.step.technique,
        heading=row.heading if row else None,
        settings=_settings_words(load.step),
        tool=load.step.values.get("tool", ""),
        books=tuple(BookLink(name=names.get(book, book), href=f"/books/{book}") for book in load.books),
        began=t("bench.began", at=at_words(load.started, now)),
        stands=_stands(load, now),
        phase=_phase(load, now),
        due=load.stopped is not None or load.is_over(now),
        stopped=load.stopped is not None,
        bar=Bar(left=left, width=max(0.3, scale.place(end) - left), planned=ends, hot=_hot(load, scale)),
        recipe=t("bench.by_recipe", name=recipe.name, step=load.place + 1, steps=steps) if recipe else "",
        follows=step_title(after) if after else "",
        goes_on=_goes_on(load, bench, after),
        caution=row.caution if row else None,
    )


def _stands(load: Load, now: datetime) -> str:
    if load.stopped is not None:
        return t("bench.stopped", at=at_words(load.stopped, now), length=spent(load.minutes_until(now)))
    if load.ends is None:
        return t("bench.open_end", length=spent(load.minutes_until(now)))
    words = {"at": at_words(load.ends, now), "length": spent(int(abs(load.ends - now) / timedelta(minutes=1)))}
    return t("bench.over" if load.is_over(now) else "bench.comes_out", **words)


def _hot(load: Load, scale: Scale) -> float:
    """How wide the hold is drawn, as far as it was in for it."""
    if load.heat_off is None:
        return 0.0
    return scale.place(min(load.heat_off, load.stopped or load.heat_off)) - scale.place(load.started)


def _goes_on(load: Load, bench: Bench, after: Step | None) -> str:
    if after is None or any(set(each.books) & set(load.books) for each in bench.loads if each.id != load.id):
        return ""
    row = technique_of(after)
    return t("board.on" if load.stopped else "board.go_on", what=row.title if row else after.technique)


def _phase(load: Load, now: datetime) -> str:
    """Set hours and hot hours are not the same: where in its plan a load is."""
    off, cool = load.heat_off, load.cool
    if load.stopped is not None or off is None:
        return ""
    words = {"off": at_words(off, now), "cool": at_words(cool, now) if cool is not None else ""}
    if now < off:
        return t("board.hot", off=words["off"]) if cool is None else t("board.hot_then", **words)
    if cool is None:
        return t("board.cools_open", off=words["off"])
    return t("board.cools", **words) if now < cool else t("board.cooled", cool=words["cool"])


def _settings_words(step: Step) -> str:
    """Temperature and times of a load: how long in the press, and how long of that in the heat."""
    celsius, total, hold = step.values.get("settings.set_celsius", ""), step.minutes, step.hold_minutes
    row = technique_of(step)
    times = []
    if total and hold:
        times.append(t("board.set_and_hot", total=spent(total), hot=spent(hold)))
    elif hold:
        times.append(t("board.only_hot", hot=spent(hold)))
    elif total:
        times.append(t("board.only_set", total=spent(total)))
    open_heat = t("board.hot_open") if row is not None and row.needs_heat and not hold else ""
    degrees = t("bench.celsius", celsius=celsius) if celsius else ""
    if degrees and not times:
        degrees += "."
    return " ".join(part for part in (", ".join(part for part in (degrees, *times) if part), open_heat) if part)


def technique_of(step: Step) -> Technique | None:
    """Its row of the table, if there is one."""
    return next((each for each in techniques() if each.id == step.technique), None)


def step_title(step: Step) -> str:
    """Its technique and settings in a few words."""
    row = technique_of(step)
    title = row.title if row else step.technique
    return ", ".join(part for part in (title, step_words(step)) if part)


def step_words(step: Step) -> str:
    """Heat and times in a few words; empty where none are planned."""
    value = step.values.get
    parts = []
    if celsius := value("settings.set_celsius"):
        parts.append(t("bench.celsius", celsius=celsius))
    for name in ("hold", "cooling", "total"):
        minutes = value(f"settings.{name}_minutes", "")
        if minutes.isdecimal() and int(minutes):
            parts.append(t(f"bench.takes.{name}", length=spent(int(minutes))))
    return ", ".join(parts)


def spent(minutes: int) -> str:
    """A length of time as the bench says it: minutes, hours and minutes, days and hours."""
    hours, rest = divmod(minutes, _HOUR)
    if not minutes:
        return t("bench.less")
    if not hours:
        return t.n("bench.minutes", minutes)
    days, hours_left = divmod(hours, 24)
    if days < 2:  # noqa: PLR2004 - a day and a half is still told in hours
        return " ".join(
            part for part in (t.n("bench.hours", hours), t.n("bench.minutes", rest) if rest else "") if part
        )
    return " ".join(
        part for part in (t.n("bench.days", days), t.n("bench.hours", hours_left) if hours_left else "") if part
    )


def at_words(moment: datetime, now: datetime) -> str:
    """A moment as one says it at the bench, where the program runs: today 09:20, tomorrow 09:20, or its day."""
    here, today = moment.astimezone(), now.astimezone().date()
    days = (here.date() - today).days
    clock = f"{here:%H:%M}"
    word = {-1: "yesterday", 0: "today", 1: "tomorrow"}.get(days)
    if word:
        return t(f"bench.day.{word}", time=clock)
    return t("bench.some_day", day=When.of_day(here.date()).label(), time=clock)


def scale_of(loads: Sequence[Load], now: datetime) -> Scale:
    """A scale that holds every load and the present, in the time of the place where the program runs."""
    moments = [now, *(each.started for each in loads), *(each.ends for each in loads if each.ends)]
    first, last = min(moments), max(moments)
    last = max(last + (last - first) * _MARGIN, first + timedelta(hours=_LEAST_HOURS))
    begun = Scale(first=first, last=last, ticks=(), now=0.0)
    return Scale(first=first, last=last, ticks=_ticks(begun), now=begun.place(now))


def _ticks(scale: Scale) -> tuple[Tick, ...]:
    """Midnights within it, no more than a few; a day on which the clocks are changed is not 24 hours long."""
    day, found = scale.first.astimezone().date() + _DAY, []
    while (midnight := datetime.combine(day, time()).astimezone()) < scale.last:
        found.append(Tick(at=scale.place(midnight), words=f"{day.day}\N{NO-BREAK SPACE}{month(day.month)}"))
        day += _DAY
    step = -(-len(found) // _TICKS_MOST) or 1
    return tuple(found[::step])
