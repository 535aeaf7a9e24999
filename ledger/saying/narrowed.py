"""What a list of books was narrowed by, in words: the same choice is said the same, in whichever order it was made."""

from collections.abc import Iterable, Iterator

from ledger.book import Status
from ledger.drawn import LEFT
from ledger.events._parts import Holding
from ledger.rows import folded
from ledger.rules.grades import grades
from ledger.rules.headings import Heading
from ledger.saying.wording import t
from ledger.views import NOTHING, ShelfQuery

__all__ = ["narrowed"]


def narrowed(query: ShelfQuery) -> tuple[str, ...]:
    """Each answer that was chosen, after its question; none where every book of the collection was asked for."""
    said = [t("narrowed.found_by", words=query.text)] if query.text else []
    questions = (
        (t("narrowed.where"), _places(query)),
        (
            t("narrowed.holding"),
            (t(f"narrowed.held.{each.name.lower()}") for each in Holding if each in query.holdings),
        ),
        (t("narrowed.work"), _work(query)),
        (t("narrowed.standing"), _standing(query)),
    )
    said += [t("narrowed.said", question=question, answer=each) for question, found in questions for each in found]
    return (*said, *_grades(query))


def _places(query: ShelfQuery) -> Iterator[str]:
    if NOTHING in query.places:
        yield t("not_known")
    yield from sorted({each for each in query.places if each != NOTHING}, key=lambda each: (folded(each), each))


def _work(query: ShelfQuery) -> Iterator[str]:
    if NOTHING in query.headings:
        yield t("narrowed.no_work")
    yield from (each.label for each in Heading if each in query.headings)


def _standing(query: ShelfQuery) -> Iterator[str]:
    for each in Status:
        if each in query.statuses:
            yield each.value if each in LEFT else t(f"narrowed.status.{each.name.lower()}")
    if query.on_bench is not None:
        yield t("narrowed.bench" if query.on_bench else "narrowed.off_bench")
    if query.kept is None and not query.statuses:
        yield t("narrowed.left")


def _grades(query: ShelfQuery) -> Iterable[str]:
    if query.grade_from is None and query.grade_to is None:
        return ()
    steps = {grade.step: grade.text for grade in grades()}
    low = min(steps) if query.grade_from is None else query.grade_from
    high = max(steps) if query.grade_to is None else query.grade_to
    return (t("narrowed.grades", low=steps[low], high=steps[high]),)
