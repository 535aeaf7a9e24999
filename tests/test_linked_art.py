"""A book as Linked Art: expanded by rdflib in the published context, it says who owned it, who had it, what was done."""

import json
from collections.abc import Sequence
from typing import Any

import pytest
from rdflib import RDF, RDFS, XSD, Graph, Literal, URIRef
from rdflib.term import Node

from ledger.events import KINDS, Event
from ledger.events._parts import Answer, Light
from ledger.events.arrival import Arrival
from ledger.events.custody import Custody, Direction
from ledger.events.examination import Examination, Tone
from ledger.events.opening import Opening
from ledger.events.photograph import Photograph
from ledger.events.placement import Placement, Spot
from ledger.events.purchase import Means, Purchase
from ledger.events.sale import Disclosed, Sale
from ledger.events.sale import Means as Left
from ledger.events.slab import Slab
from ledger.events.submission import Ask, Stage, Submission
from ledger.events.withdrawal import Withdrawal
from ledger.history import history, states
from ledger.linked.book import linked_book
from ledger.linked.provenance import TOLD
from ledger.linked.terms import CONTEXT
from ledger.sealed import Sealed
from tests.builders import (
    BOOK,
    CODEC,
    a_defect,
    a_purchase,
    a_slab,
    a_stated_grade,
    an_examination,
    an_intervention,
    an_issue,
    an_opening,
    chain,
    on,
    usd,
)
from tests.conftest import COLLECTION
from tests.linked import AT, CRM, LA, expanded, unknown_words

HOME = f"https://{COLLECTION}.slipsheet.invalid"
IT, OWNER = URIRef(f"{HOME}/books/{BOOK}"), URIRef(f"{HOME}/owner")
NAMES = ("A shop by the pier", "Ada Examiner", "Grading by the sea", "Bo Buyer", "Cy Carrier", "Shelf nine", "180.25")

STORY: Sequence[Event] = (
    a_slab(
        issue=an_issue(publisher="Harbour Light", cover_date=on("1964-03")),
        price=Sealed.of(usd("180.25")),
        seller=Sealed.of(NAMES[0]),
        expects_arrival=True,
    ),
    Arrival(on=on("2024-02-03")),
    an_opening("2024-03-01"),
    an_examination(
        "2024-03-02",
        width_mm="184.5",
        weight_g="61",
        pages_counted=32,
        lights=(Light.RAKING,),
        tone=Tone.IVORY,
        defects=(a_defect(), a_defect("d2", "spine-stress", count=3, size_mm=None, breaks_colour=Answer.YES)),
        examiner=Sealed.of(NAMES[1]),
    ),
    an_intervention("dry-cleaning", "2024-03-03"),
    an_intervention("hot-press-dry", "2024-03-04T18:00:00+01:00"),
    Photograph(on=on("2024-03-06"), original="a" * 64, clean="b" * 64),
    Submission(on=on("2024-04-01"), stage=Stage.SENT, batch="b1", asks=Ask.GRADE, service=Sealed.of(NAMES[2])),
    Slab(on=on("2024-05-01"), batch="b1", stated=a_stated_grade("NM- 9.2", "9.2"), service=Sealed.of(NAMES[2])),
    Placement(on=on("2024-05-02"), spot=Spot.BOX, place=Sealed.of(NAMES[5])),
    Custody(on=on("2024-06-01"), direction=Direction.OUT, who=Sealed.of(NAMES[4])),
    Custody(on=on("2024-07-01"), direction=Direction.BACK, who=Sealed.of(NAMES[4])),
    Sale(on=on("2025-01"), disclosed=Disclosed.RECORD, buyer=Sealed.of(NAMES[3]), price=Sealed.of(usd("900.00"))),
)


def told(*events: Event, sealed: bool = True) -> dict[str, Any]:
    moments = history(chain(*(events or STORY)), CODEC)
    return linked_book(COLLECTION, moments, states(BOOK, 1, moments), sealed=sealed)


@pytest.fixture(scope="module")
def graph() -> Graph:
    return expanded(told())


def entry(number: int) -> URIRef:
    return URIRef(f"{HOME}/entries/{number}")


def parts(graph: Graph, number: int, kind: URIRef) -> list[Node]:
    """What an activity consists of, of one class."""
    return [each for each in graph.objects(entry(number), CRM.P9_consists_of) if (each, RDF.type, kind) in graph]


def label(graph: Graph, node: Node | None) -> str:
    return str(graph.value(node, RDFS.label))


def test_every_name_and_class_is_one_of_the_published_context() -> None:
    assert CONTEXT == AT
    assert list(unknown_words(told())) == []
    assert list(unknown_words({"type": "Invented", "made_up": 1})) == ["type Invented", "made_up"]


def test_the_book_is_a_human_made_object_with_names_and_numbers(graph: Graph) -> None:
    assert (IT, RDF.type, CRM["E22_Human-Made_Object"]) in graph
    contents = {
        str(graph.value(each, CRM.P190_has_symbolic_content)) for each in graph.objects(IT, CRM.P1_is_identified_by)
    }
    assert contents == {"Captain Lantern, no. 14, series of 1962, March 1964", "1"}
    printed = graph.value(IT, CRM.P128_carries)
    publishing = graph.value(printed, CRM.P16i_was_used_for)
    assert label(graph, graph.value(publishing, CRM.P14_carried_out_by)) == "Harbour Light"


def test_a_purchase_is_an_acquisition_inside_a_provenance_activity(graph: Graph) -> None:
    assert (entry(1), RDF.type, CRM.E7_Activity) in graph
    assert (entry(1), CRM.P2_has_type, URIRef("http://vocab.getty.edu/aat/300055863")) in graph
    (acquisition,) = parts(graph, 1, CRM.E8_Acquisition)
    assert (acquisition, CRM.P24_transferred_title_of, IT) in graph
    assert (acquisition, CRM.P22_transferred_title_to, OWNER) in graph
    assert label(graph, graph.value(acquisition, CRM.P23_transferred_title_from)) == NAMES[0]
    (payment,) = parts(graph, 1, LA.Payment)
    amount = graph.value(payment, LA.paid_amount)
    assert float(str(graph.value(amount, CRM.P90_has_value))) == 180.25
    assert label(graph, graph.value(amount, CRM.P180_has_currency)) == "USD"
    assert parts(graph, 1, CRM.E10_Transfer_of_Custody) == []


def test_out_for_grading_is_a_transfer_of_custody_and_no_acquisition(graph: Graph) -> None:
    (out,), (back,) = parts(graph, 8, CRM.E10_Transfer_of_Custody), parts(graph, 9, CRM.E10_Transfer_of_Custody)
    assert (out, CRM.P30_transferred_custody_of, IT) in graph
    assert (out, CRM.P28_custody_surrendered_by, OWNER) in graph
    assert label(graph, graph.value(out, CRM.P29_custody_received_by)) == NAMES[2]
    assert label(graph, graph.value(back, CRM.P28_custody_surrendered_by)) == NAMES[2]
    assert (back, CRM.P29_custody_received_by, OWNER) in graph
    assert parts(graph, 8, CRM.E8_Acquisition) == parts(graph, 9, CRM.E8_Acquisition) == []


def test_arrival_loan_and_return_are_transfers_of_custody_and_a_new_place_is_a_move(graph: Graph) -> None:
    for number, way in (
        (2, CRM.P29_custody_received_by),
        (11, CRM.P28_custody_surrendered_by),
        (12, CRM.P29_custody_received_by),
    ):
        (transfer,) = parts(graph, number, CRM.E10_Transfer_of_Custody)
        assert (transfer, way, OWNER) in graph
    (move,) = parts(graph, 10, CRM.E9_Move)
    assert (move, CRM.P25_moved, IT) in graph
    assert label(graph, graph.value(move, CRM.P26_moved_to)) == NAMES[5]


def test_work_is_a_modification_with_its_technique_and_heading(graph: Graph) -> None:
    work = set(graph.objects(IT, CRM.P31i_was_modified_by))
    assert work == {entry(5), entry(6)}
    assert all((each, RDF.type, CRM.E11_Modification) in graph for each in work)
    technique = graph.value(entry(6), CRM.P32_used_general_technique)
    assert str(technique).endswith("/technique/hot-press-dry")
    said = graph.value(graph.value(entry(6), CRM.P67i_is_referred_to_by), CRM.P190_has_symbolic_content)
    assert "Heading: non-additive." in str(said)


def test_a_look_is_an_attribute_assignment_of_types(graph: Graph) -> None:
    assert (IT, CRM.P140i_was_attributed_by, entry(4)) in graph
    assert (entry(4), RDF.type, CRM.E13_Attribute_Assignment) in graph
    assert (entry(4), CRM.P177_assigned_property_of_type, CRM.P2_has_type) in graph
    assigned = {str(each).rpartition("/terms/")[2] for each in graph.objects(entry(4), CRM.P141_assigned)}
    assert assigned == {"defect/bend", "defect/spine-stress", "tone/ivory"}
    assert label(graph, graph.value(entry(4), CRM.P14_carried_out_by)) == NAMES[1]


def test_grades_are_assigned_by_who_stated_them(graph: Graph) -> None:
    grade = URIRef(f"{entry(9)}/grade")
    assert (IT, CRM.P140i_was_attributed_by, grade) in graph
    assert label(graph, graph.value(grade, CRM.P141_assigned)) == "Grade NM- 9.2"
    assert label(graph, graph.value(grade, CRM.P14_carried_out_by)) == NAMES[2]


def test_measures_are_dimensions_that_a_look_assigned(graph: Graph) -> None:
    found = {}
    for each in graph.objects(IT, CRM.P43_has_dimension):
        assert (each, RDF.type, CRM.E54_Dimension) in graph
        assert (graph.value(each, CRM.P141i_was_assigned_by), RDF.type, CRM.E13_Attribute_Assignment) in graph
        value = graph.value(each, CRM.P90_has_value)
        found[label(graph, graph.value(each, CRM.P2_has_type))] = (
            float(str(value)),
            label(graph, graph.value(each, CRM.P91_has_unit)),
        )
    assert found == {"Width": (184.5, "millimeters"), "Weight": (61.0, "grams"), "Pages": (32.0, "pages")}


def test_dates_are_bounds_in_utc(graph: Graph) -> None:
    """A bare day begins fourteen hours before that day in UTC and ends twelve after it. Source: IANA time zone database."""
    exact, day = (graph.value(entry(number), CRM["P4_has_time-span"]) for number in (6, 5))
    assert graph.value(exact, CRM.P82a_begin_of_the_begin) == Literal("2024-03-04T17:00:00Z", datatype=XSD.dateTime)
    assert graph.value(exact, CRM.P82b_end_of_the_end) == Literal("2024-03-04T17:00:00Z", datatype=XSD.dateTime)
    assert graph.value(day, CRM.P82a_begin_of_the_begin) == Literal("2024-03-02T10:00:00Z", datatype=XSD.dateTime)
    assert graph.value(day, CRM.P82b_end_of_the_end) == Literal("2024-03-04T12:00:00Z", datatype=XSD.dateTime)


def test_a_photograph_is_shown_by_a_file_of_that_digest(graph: Graph) -> None:
    file = graph.value(graph.value(IT, CRM.P138i_has_representation), LA.digitally_shown_by)
    assert str(graph.value(graph.value(file, CRM.P1_is_identified_by), CRM.P190_has_symbolic_content)) == "b" * 64


def test_a_book_that_was_sold_has_no_owner_here_and_one_that_is_here_has() -> None:
    assert (IT, CRM.P52_has_current_owner, OWNER) not in expanded(told())
    here = expanded(told(*STORY[:-1]))
    assert (IT, CRM.P52_has_current_owner, OWNER) in here
    assert (IT, CRM.P50_has_current_keeper, OWNER) in here


def test_a_book_that_was_destroyed_says_so_and_one_that_was_stolen_went_to_nobody_known() -> None:
    gone = Sale(on=on("2025-01"), means=Left.DESTROYED, disclosed=Disclosed.NOT_APPLICABLE)
    destroyed = expanded(told(a_purchase(), gone))
    assert (destroyed.value(IT, CRM.P13i_was_destroyed_by), RDF.type, CRM.E6_Destruction) in destroyed
    stolen = Sale(on=on("2025-01"), means=Left.STOLEN, disclosed=Disclosed.NOT_APPLICABLE)
    graph = expanded(told(a_purchase(), stolen))
    (transfer,) = parts(graph, 2, CRM.E10_Transfer_of_Custody)
    assert (transfer, CRM.P28_custody_surrendered_by, OWNER) in graph
    assert graph.value(transfer, CRM.P29_custody_received_by) is None
    assert parts(graph, 2, CRM.E8_Acquisition) == []


def test_a_book_that_came_back_changed_hands_and_not_its_owner() -> None:
    lost = Sale(on=on("2025-01"), means=Left.LOST, disclosed=Disclosed.NOT_APPLICABLE)
    graph = expanded(told(a_purchase(), lost, a_purchase("2025-03-01", means=Means.CAME_BACK)))
    assert parts(graph, 3, CRM.E8_Acquisition) == []
    assert len(parts(graph, 3, CRM.E10_Transfer_of_Custody)) == 1


def test_nothing_sealed_is_told_unless_it_is_wished() -> None:
    shut, whole = json.dumps(told(sealed=False)), json.dumps(told())
    for name in NAMES:
        assert name in whole
        assert name not in shut
    assert len(expanded(told(sealed=False))) > 100
    assert list(unknown_words(told(sealed=False))) == []


def test_what_was_withdrawn_is_not_told() -> None:
    graph = expanded(told(a_purchase(), an_intervention(), Withdrawal(entry=2, reason=Sealed.of("another book"))))
    assert list(graph.objects(IT, CRM.P31i_was_modified_by)) == []


def test_each_kind_is_told_or_left_out_on_purpose() -> None:
    told_of: set[type[Event]] = {*TOLD, Examination, Photograph, Purchase, Slab, *map(type, STORY)}
    left_out = {"outlook", "choice", "valuation", "count", "note", "disclosure", "earlier", "correction", "withdrawal"}
    left_out |= {"erasure", "identification", "key", "room", "climate", "ruling", "restored"}
    assert {each.kind for each in told_of} == set(KINDS) - left_out
    assert Opening in TOLD
