"""What an entry is likely to say before anything is typed: the day, and what follows from where the book stands now."""

from collections.abc import Callable, Mapping, Sequence
from typing import Final

from ledger.book import Book, Status
from ledger.events._parts import Defect, Holding, Issue
from ledger.events.photograph import Photograph
from ledger.events.ruling import NOT_EDITED
from ledger.history import Moment
from ledger.proof.canonical import Plain
from ledger.rules._tables import table
from ledger.rules.defects import defect_types
from ledger.when import When
from web.brief import brief
from web.filters import when
from web.form_kinds import RULE_TABLES
from web.form_values import Habits
from web.wording import t

__all__ = ["issue_plain", "known_of", "likely", "seen_before", "start_of", "taken_by"]

Plains = dict[str, Plain]


def start_of(kind: str, books: Sequence[Book], given: Mapping[str, str], habits: Habits) -> Plains:
    """Values of a form that is opened, as far as all the books agree; `given` is what the address asks for."""
    start: Plains = {"on": When.of_day(habits.today).label()}
    if books and kind in _STARTS:
        first, *others = [_STARTS[kind](book) for book in books]
        start |= {name: value for name, value in first.items() if all(each.get(name) == value for each in others)}
    if kind == "ruling" and given.get("table") in RULE_TABLES and given["table"] not in NOT_EDITED:
        start["version"] = table(given["table"]).version
    return {**start, **given}


def known_of(
    book: Book | None, rooms: Mapping[str, int], moments: Sequence[Moment] = ()
) -> dict[str, list[tuple[str, str]]]:
    """What there is to choose from for this book, by the path of the field."""
    known = {"room": [(each, each) for each in rooms]}
    if book is None:
        return known
    defects = [(each.id, f"{_named(each)}, {each.face}") for each in book.defects.values()]
    worked = [
        (name, t("new_entry.each.gone", what=words) if book.defects[name].gone else words) for name, words in defects
    ]
    batches = [(each.batch, each.batch) for each in book.submissions]
    return {
        **known,
        "worked_defects": worked,
        "defects.#.id": defects,
        "defects.#.photograph": _photographs(moments),
        "marks.#.photograph": _photographs(moments),
        "marks.#.id": [(each.id, each.what) for each in book.marks.values()],
        "shots.#.of_defect": defects,
        "of_defect": defects,
        "batch": batches,
        "for_batch": batches,
    }


def _named(defect: Defect) -> str:
    """A defect by its id and type, and by whose word where nobody here has seen it."""
    title = next((each.title for each in defect_types() if each.id == defect.type), defect.type)
    words = f"{defect.id}: {title}"
    return words if defect.claimed_by is None else t("new_entry.seen.claimed", what=words, who=defect.claimed_by.value)


def _photographs(moments: Sequence[Moment]) -> list[tuple[str, str]]:
    """The clean copies of the photographs of a book by what they show, the newest first."""
    shots = [each.event for each in reversed(moments) if each.in_force and isinstance(each.event, Photograph)]
    return [(each.clean, f"{brief(each)}, {when(each.on)}") for each in shots]


def taken_by(book: Book | None) -> dict[str, frozenset[str]]:
    """Ids of defects and marks that are in use."""
    return {"Defect": frozenset(book.defects), "Mark": frozenset(book.marks)} if book else {}


def seen_before(book: Book | None) -> dict[str, dict[str, dict[str, str]]]:
    """What nobody types anew of a defect or mark that was seen before."""
    if book is None:
        return {}
    # What others claim of its colour nobody here has looked at.
    colours = {each.id: {"breaks_colour": each.breaks_colour.value} for each in book.there}
    defects = {
        each.id: {"type": each.type, "face": each.face.value, **colours.get(each.id, {})}
        for each in book.defects.values()
    }
    marks = {each.id: {"what": each.what, "face": each.face.value} for each in book.marks.values()}
    return {"Defect": defects, "Mark": marks}


def likely(book: Book) -> tuple[str, ...]:
    """The kinds that most often come next, the likeliest first."""
    if book.status is Status.EXPECTED:
        return ("arrival",)
    if book.status is Status.OUT:
        at_service = ("slab", "arrival", "submission") if book.to_come else ("slab", "submission")
        return at_service if book.open_submission else ("custody",)
    if book.status in (Status.GONE, Status.SENT_BACK):
        return ("note", "purchase") if book.status is Status.GONE else ("arrival", "note")
    if book.status is not Status.HELD:
        return ("purchase",)
    kinds = ["examination"] if book.last_look is None or _worked_since(book) else []
    kinds += ["opening"] if book.holding is Holding.SLABBED else ["intervention"]
    kinds += [] if book.spot else ["placement"]
    return tuple([*kinds, "photograph"][:4])


def _worked_since(book: Book) -> bool:
    return bool(book.work) and book.last_look is not None and book.work[-1].seq > book.last_look.seq


def _arrival(book: Book) -> Plains:
    if book.to_come:
        return {"stage": "arrived"}
    return {"stage": "refunded" if book.status is Status.SENT_BACK else "checked"}


def _examination(book: Book) -> Plains:
    return {"through_holder": book.holding is Holding.SLABBED}


def _submission(book: Book) -> Plains:
    sent = book.open_submission
    if sent is None:
        by = "sent by the seller" if book.to_come else "sent"
        return {"stage": by, "asks": "new holder" if book.holding is Holding.SLABBED else "grade"}
    return {"stage": "shipped back" if sent.stage == "received there" else "received there", "batch": sent.batch}


def _slab(book: Book) -> Plains:
    sent = book.open_submission
    return {"batch": sent.batch} if sent else {"submission_known": False}


def _custody(book: Book) -> Plains:
    return {"direction": "back" if book.away_by else "out"}


def _purchase(book: Book) -> Plains:
    return {"means": "came back" if book.status is Status.GONE else "bought", **_identification(book)}


def _identification(book: Book) -> Plains:
    if book.issue is None:
        return {}
    return {"issue": issue_plain(book.issue)}


def issue_plain(issue: Issue) -> Plains:
    """An issue as it is sent, without what is not known of it."""
    return {
        name: str(value) if isinstance(value, When) else value
        for name, value in vars(issue).items()
        if value is not None
    }


_STARTS: Final[Mapping[str, Callable[[Book], Plains]]] = {
    "arrival": _arrival,
    "custody": _custody,
    "examination": _examination,
    "identification": _identification,
    "purchase": _purchase,
    "slab": _slab,
    "submission": _submission,
}
