"""A book as an object of Linked Art, with its looks, grades, measures, work and photographs, and its provenance beside it.

A look is an AttributeAssignment, a measure a Dimension that such a one assigned, a step of work a Modification, one that
changed nothing visible too. Source: CIDOC CRM 7.1.3, scope notes of E11, E13 and E16; Linked Art 1.0, objects.
What was hoped, decided, valued or counted is not told: the standard has no words for it, and it changed nothing.
"""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Any, Final

from ledger.book import Book
from ledger.events import Event
from ledger.events._parts import Answer, Defect, Issue, StatedGrade
from ledger.events.examination import Examination
from ledger.events.intervention import Intervention
from ledger.events.photograph import Photograph
from ledger.events.purchase import Purchase
from ledger.events.sale import Means, Sale
from ledger.events.slab import Slab
from ledger.history import Moment
from ledger.linked.provenance import provenance
from ledger.linked.terms import CONTEXT, Address, Node, aat, body, described, identifier, own, span, titled
from ledger.rules.defects import defect_types
from ledger.sealed import Sealed

__all__ = ["linked_book"]

_MEASURED: Final = (
    ("height_mm", aat("height"), aat("mm", "MeasurementUnit")),
    ("width_mm", aat("width"), aat("mm", "MeasurementUnit")),
    ("thickness_mm", aat("thickness"), aat("mm", "MeasurementUnit")),
    ("weight_g", aat("weight"), aat("g", "MeasurementUnit")),
    ("pages_counted", own("count", "pages", "Pages"), own("unit", "pages", "pages", "MeasurementUnit")),
    ("staples_counted", own("count", "staples", "Staples"), own("unit", "staples", "staples", "MeasurementUnit")),
)


def linked_book(collection: str, moments: Sequence[Moment], states: Sequence[Book], *, sealed: bool) -> Node:
    """The book and its provenance as one JSON-LD document; with `sealed`, what is sealed and open here is told too.

    Requires: moments in the order of happening, and the state before the first of them and after each.
    """
    book = states[-1]
    at = Address(collection=collection, book=book.id)
    told = moments if sealed else [_shut(each) for each in moments]
    return {"@context": CONTEXT, "@graph": [_object(at, book, told), *provenance(at, told, states)]}


def _shut(moment: Moment) -> Moment:
    shut: dict[str, Sealed[Any]] = dict.fromkeys(moment.event.sealed_fields(), Sealed.withheld())
    return replace(moment, event=moment.event.with_sealed(shut))


def _object(at: Address, book: Book, moments: Sequence[Moment]) -> Node:
    name = _name(book.issue) if book.issue else f"Book {book.no}"
    events = [(at.entry(each.entry.seq), each.event) for each in moments if each.in_force]
    more: dict[str, Any] = {
        "carries": [_issue(book.issue)] if book.issue else [],
        "dimension": [each for of, event in events for each in _measures(of, event)],
        "attributed_by": [each for of, event in events for each in _attributed(of, event)],
        "modified_by": [_work(at, of, event) for of, event in events if isinstance(event, Intervention)],
        "representation": [_shown(of, event) for of, event in events if isinstance(event, Photograph)],
        "current_owner": [at.owner] if book.held else [],
        "current_custodian": [at.owner] if book.here else [],
    }
    gone = [event for _, event in events if isinstance(event, Sale) and event.means is Means.DESTROYED]
    if gone and not book.held:
        more["destroyed_by"] = {"type": "Destruction", "_label": gone[-1].summary(), **span(gone[-1].on)}
    return {
        **at.it,
        "_label": f"{name}, book {book.no}",
        "classified_as": [
            aat("collection item"),
            own("type", "comic-book", "Comic book, one copy of a printed issue"),
        ],
        "identified_by": list(_names(book, name)),
        **{key: value for key, value in more.items() if value},
    }


def _name(issue: Issue) -> str:
    told = [f"{issue.title}, no. {issue.number}"]
    told += [f"series of {issue.start_year}"] if issue.start_year else []
    told += [issue.cover_date.label()] if issue.cover_date else []
    told += [f"printing {issue.printing}"] if issue.printing else []
    return ", ".join([*told, *([issue.variant] if issue.variant else [])])


def _names(book: Book, name: str) -> Iterator[Node]:
    yield titled(name)
    yield identifier(str(book.no), aat("accession number"))
    if book.holder_number:
        yield identifier(book.holder_number, own("identifier", "holder-number", "Number on its holder"))


def _issue(issue: Issue) -> Node:
    """What was printed, and by whom; the cover date is no date of printing, so none is told."""
    made: Node = {"type": "LinguisticObject", "_label": _name(issue), "identified_by": [titled(_name(issue))]}
    if issue.publisher:
        publisher = {"type": "Group", "_label": issue.publisher}
        made["used_for"] = [{"type": "Activity", "classified_as": [aat("publishing")], "carried_out_by": [publisher]}]
    return made


def _measures(of: str, event: Event) -> Iterator[Node]:
    """Each measure of the whole book with the look that took it."""
    if not isinstance(event, Examination):
        return
    for name, what, unit in _MEASURED:
        value = getattr(event, name)
        if value is not None:
            look = {"id": f"{of}/{name}", "type": "AttributeAssignment", **_by(event), **span(event.on)}
            number = int(value) if str(value).isdecimal() else float(value)
            yield {
                "type": "Dimension",
                "value": number,
                "classified_as": [what],
                "unit": unit,
                "assigned_by": [look],
            }


def _attributed(of: str, event: Event) -> Iterator[Node]:
    """Looks, and grades that others stated."""
    if isinstance(event, Examination):
        seen = [each for each in event.seen if not each.gone]
        types = [own("defect", each.type, _title(each)) for each in seen]
        types += [own("tone", event.tone.value, f"Paper: {event.tone}")] if event.tone else []
        types += [own("suppleness", event.suppleness.value, f"Paper: {event.suppleness}")] if event.suppleness else []
        yield {**_assigned(of, event, "Condition, as looked at", types), **_by(event), **_looked(event, seen)}
    elif isinstance(event, Purchase | Slab) and event.stated is not None:
        by = body(event.service if isinstance(event, Slab) else event.stated_by, "Group")
        yield {**_assigned(f"{of}/grade", event, "Grade, as stated", [_grade(event.stated)]), **_carried(by)}


def _assigned(of: str, event: Event, label: str, types: list[Node]) -> Node:
    made: Node = {"id": of, "type": "AttributeAssignment", "_label": label, **span(event.on)}
    unique = list({each["id"]: each for each in types}.values())
    return {**made, "assigned_property": "classified_as", "assigned": unique} if unique else made


def _grade(stated: StatedGrade) -> Node:
    return own("grade", "-".join(str(each) for each in stated.steps) or stated.as_written, f"Grade {stated.as_written}")


def _looked(event: Examination, seen: Sequence[Defect]) -> Node:
    lights = f"Light: {', '.join(event.lights)}." if event.lights else ""
    through = "Looked at through its holder." if event.through_holder else ""
    return described(lights, through, *map(_defect, seen), event.remark.value or "")


def _defect(defect: Defect) -> str:
    size = f", {defect.size_mm} mm" if defect.size_mm else ""
    colour = {Answer.YES: ", breaks colour", Answer.NO: ", colour not broken"}.get(defect.breaks_colour, "")
    return f"{defect.id}: {_title(defect)}, {defect.face}{size}{colour}."


def _title(defect: Defect) -> str:
    return next((each.title for each in defect_types() if each.id == defect.type), defect.type)


def _work(at: Address, of: str, event: Intervention) -> Node:
    title = event.row.title if event.row else event.technique
    hands = body(event.who) or ([] if event.by_other_hands else [at.owner])
    changed = "It changed nothing." if event.changed_anything is False else ""
    ended = f"Ended: {event.ended}." if event.ended else ""
    materials = ", ".join(each.what for each in event.materials)
    touched = f"Materials: {materials}." if materials else ""
    return {
        "id": of,
        "type": "Modification",
        "_label": title,
        "technique": [own("technique", event.technique, title)],
        **_carried(hands),
        **span(event.on),
        **described(f"Heading: {event.heading.label}.", touched, changed, ended, event.remark.value or ""),
    }


def _shown(of: str, event: Photograph) -> Node:
    """A photograph by the digest of its clean copy, by which it can be asked for."""
    digest = identifier(event.clean, own("identifier", "sha-256", "SHA-256 of the file"))
    file = {
        "type": "DigitalObject",
        "_label": f"Photograph: {event.face}, {event.light}",
        "format": "image/jpeg",
        "identified_by": [digest],
    }
    return {"id": of, "type": "VisualItem", "_label": event.summary(), "digitally_shown_by": [file]}


def _by(event: Examination) -> Node:
    return _carried(body(event.examiner))


def _carried(hands: list[Node]) -> Node:
    return {"carried_out_by": hands} if hands else {}
