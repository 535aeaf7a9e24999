"""What a recipe did, in words: in all, by defect and by paper, and each time it was worked."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from ledger.bench import Recipe
from ledger.events.examination import Suppleness, Tone
from ledger.looks import Change
from ledger.rules.defects import defect_types
from ledger.rules.sizes import eras
from ledger.tallies import Tally, by_passage, by_type
from ledger.usecases.recipes import RecipeLook
from ledger.worked import Outcome, Passage, Standing
from web.bench_lines import BookLink, spent
from web.dose_words import band_words
from web.filters import when
from web.wording import t

__all__ = ["PassageLine", "TallyLine", "TallyTable", "beside_it", "passage_lines", "statement", "tables_of"]


@dataclass(frozen=True, kw_only=True)
class TallyLine:
    """Some of what was done, counted."""

    name: str
    times: int
    seen: int
    came_to: str
    """What became of the defects that were seen again."""
    few: bool


@dataclass(frozen=True, kw_only=True)
class TallyTable:
    """The same by one thing they differ in."""

    title: str
    lines: tuple[TallyLine, ...]


@dataclass(frozen=True, kw_only=True)
class PassageLine:
    """One time a book was worked by it."""

    book: BookLink
    on: str
    paper: str
    how_far: str
    """How many of the steps, by which state, and what came out before its time."""
    heat: str
    stands: str
    look: str
    """The page of the look that counts; empty for none."""
    outcomes: tuple[str, ...]
    entries: tuple[int, ...]


def statement(look: RecipeLook) -> tuple[str, ...]:
    """What it came to in all, sentence by sentence."""
    told = look.in_all
    if not told.times:
        return (t("recipe.never"),)
    said = [t.n("recipe.worked", told.times, books=t.n("recipe.books", told.books))]
    said += [t.n("recipe.came_to", told.seen, parts=_parts(told))] if told.seen else []
    return (*said, *([t("recipe.few")] if told.seen and told.few else []))


def beside_it(look: RecipeLook) -> tuple[str, ...]:
    """What is not in that, and why."""
    told, recipe = look.in_all, look.recipe
    beside = {
        "unseen": told.unseen,
        "shared": told.shared,
        "waiting": told.waiting,
        "overtaken": told.overtaken,
        "left": told.left,
        "called_off": recipe.called_off,
        "withdrawn": sum(not each.counts for each in look.passages),
        "under_way": look.loads,
    }
    return tuple(t.n(f"recipe.beside.{name}", count) for name, count in beside.items() if count)


def tables_of(look: RecipeLook) -> tuple[TallyTable, ...]:
    """By defect, by era, by tone, by suppleness and, where it was adjusted, by state."""
    passages = look.passages
    if not look.in_all.times:
        return ()
    types = {each.id: each.title for each in defect_types()}
    found = [TallyTable(title=t("recipe.by.type"), lines=_lines(by_type(passages), lambda key: types.get(key, key)))]
    era = by_passage(passages, lambda each: each.paper.era, tuple(eras()))
    found.append(TallyTable(title=t("recipe.by.era"), lines=_lines(era, _era)))
    tone = by_passage(passages, lambda each: each.paper.tone, tuple(Tone))
    found.append(TallyTable(title=t("recipe.by.tone"), lines=_lines(tone, str)))
    supple = by_passage(passages, lambda each: each.paper.suppleness, tuple(Suppleness))
    found.append(TallyTable(title=t("recipe.by.suppleness"), lines=_lines(supple, str)))
    by_state = by_passage(passages, _state)
    if len(by_state) > 1:
        found.append(TallyTable(title=t("recipe.by.state"), lines=_lines(by_state, lambda key: key)))
    return tuple(each for each in found if each.lines)


def passage_lines(look: RecipeLook, names: Mapping[str, str]) -> tuple[PassageLine, ...]:
    """Each time, the last one first; `names` are those of books by their ids."""
    types = {each.id: each.title for each in defect_types()}
    return tuple(_passage(look.recipe, each, names, types) for each in reversed(look.passages))


def _passage(recipe: Recipe, each: Passage, names: Mapping[str, str], types: Mapping[str, str]) -> PassageLine:
    words = [_outcome(outcome, types) for outcome in each.outcomes]
    if each.look is None:
        words = [_defect(types.get(one.type, one.type), one.id) for one in each.worked if each.named]
    words += [t("recipe.new", what=_defect(types.get(new.type, new.type), new.id)) for new in each.new]
    here = each.book in names
    return PassageLine(
        book=BookLink(name=names.get(each.book, each.book), href=f"/books/{each.book}" if here else ""),
        on=when(each.on),
        paper=_paper(each),
        how_far=" ".join(_how_far(recipe, each)),
        heat=_heat(each),
        stands=_stands(each),
        look=f"/books/{each.book}/condition?look={each.look}" if each.look is not None else "",
        outcomes=tuple(words),
        entries=each.entries,
    )


def _how_far(recipe: Recipe, each: Passage) -> Iterator[str]:
    done = len({run.place for run in each.runs})
    yield t.n("recipe.whole", each.steps) if done == each.steps else t.n("recipe.part", done, steps=each.steps)
    if len(recipe.states) > 1:
        yield t("recipe.by_state", state=_state(each))
    for run in each.runs:
        if run.early and run.stopped is not None and run.ends is not None:
            took, planned = (int((end - run.started).total_seconds() // 60) for end in (run.stopped, run.ends))
            yield t("recipe.early", step=run.place + 1, took=spent(took), planned=spent(planned))


def _paper(each: Passage) -> str:
    paper = each.paper
    unknown = t("frame.not_known")
    return t(
        "recipe.paper",
        era=_era(paper.era) if paper.era else unknown,
        tone=paper.tone or unknown,
        suppleness=paper.suppleness or unknown,
    )


def _heat(each: Passage) -> str:
    heat = each.heat
    if heat is None or not heat.sessions:
        return t("recipe.no_heat")
    if heat.untold == heat.sessions:
        return t("recipe.heat_untold")
    beside = t.n("dose.untold", heat.untold) if heat.untold else ""
    return f"{band_words(heat.band)} {beside}".strip()


def _stands(each: Passage) -> str:
    if each.standing is Standing.SEEN and not each.outcomes:
        return t("recipe.stands.nothing")
    if each.standing is Standing.SEEN and not each.named:
        return t("recipe.stands.unnamed")
    return t(f"recipe.stands.{each.standing.name.lower()}")


def _outcome(each: Outcome, types: Mapping[str, str]) -> str:
    change = "shared" if each.change is None else each.change.name.lower()
    what = _defect(types.get(each.defect.type, each.defect.type), each.defect.id)
    return t("recipe.outcome", what=what, change=t(f"recipe.outcomes.{change}"))


def _defect(title: str, name: str) -> str:
    return t("recipe.defect", title=title, id=name)


_ORDER: Final = (Change.GONE, Change.LESSENED, Change.SAME, Change.WORSE, Change.OTHERWISE)


def _parts(told: Tally) -> str:
    counted = [(change, told.changes[change]) for change in _ORDER if change in told.changes]
    return ", ".join(t.n(f"recipe.changes.{change.name.lower()}", count) for change, count in counted)


def _lines(tallies: Sequence[Tally], words: Callable[[str], str]) -> tuple[TallyLine, ...]:
    return tuple(
        TallyLine(
            name=t("frame.not_known") if each.key is None else words(each.key),
            times=each.times,
            seen=each.seen,
            came_to=_parts(each) or t("recipe.nothing_yet"),
            few=each.few,
        )
        for each in tallies
    )


def _era(key: str) -> str:
    return eras().get(key, key)


def _state(each: Passage) -> str:
    states = each.states
    return str(states[0]) if len(states) == 1 else t("recipe.on_the_way")
