"""What a report says first: which copy it is of, what the last look found, the looks before, grades and earlier work."""

from collections.abc import Iterator

from ledger.events._parts import Holding
from ledger.events.examination import Examination
from ledger.looks import LookSeen
from ledger.report import Measure, Of, Report
from web.filters import when
from web.report_parts import Block, Facts, Section, Words, dated, every, grouped, known, sealed, table
from web.wording import t

__all__ = ["book_section", "earlier_section", "grades_section", "look_section", "looks_section"]


def book_section(of: Report) -> Section:
    """What was printed, which copy of it this is, who has it, and what it is kept in."""
    return Section("book", t("report.book.title"), (Words((t("report.book.owners"),)), Facts(tuple(_identity(of)))))


def _identity(of: Report) -> Iterator[tuple[str, str]]:
    book, issue = of.book, of.book.issue
    yield t("report.book.series"), known(issue and issue.title)
    yield t("report.book.number"), known(issue and issue.number)
    yield t("report.book.start_year"), known(issue and issue.start_year)
    yield t("report.book.publisher"), known(issue and issue.publisher)
    yield t("report.book.cover_date"), when(issue.cover_date if issue else None)
    yield t("report.book.printing"), known(issue and issue.printing)
    yield t("report.book.variant"), known(issue and issue.variant)
    yield t("report.book.copy"), t("report.book.copy_of", number=book.no, id=book.id)
    yield t("report.book.held_by"), t("report.book.status", status=book.status.value, collection=of.state.collection)
    yield t("report.book.holder"), _holder(of)
    yield t("report.book.housing"), _housing(of)
    yield t("report.book.purpose"), t("report.book.purpose_is")
    yield t("report.book.written_by"), t("report.book.written_by_is")


def _holder(of: Report) -> str:
    book = of.book
    if book.holding is Holding.SLABBED:
        return t("report.book.slabbed", number=known(book.holder_number))
    return t("report.book.raw") if book.holding is Holding.RAW else t("frame.not_known")


def _housing(of: Report) -> str:
    """Where it lies and what lies against it."""
    if of.placed is None:
        return t("frame.not_known")
    event = of.placed.event
    around = every(t("report.beside", value=each.around.value, beside=each.material.value) for each in event.housings)
    return t(
        "report.book.placed", spot=event.spot.value, place=sealed(event.place), around=around, when=dated(of.placed)
    )


def look_section(of: Report) -> Section:
    """The last look, with what older looks tell where it is silent, and the measures of the book."""
    blocks: list[Block] = []
    if of.last is None:
        blocks.append(Words((t("report.look.never"),)))
    else:
        blocks.append(Facts(tuple(_look(of, of.last))))
    head = (t(f"report.measure.{name}") for name in ("what", "value", "look", "before"))
    blocks.append(table(t("report.measure.title"), head, (_measure(each) for each in of.measures), ""))
    blocks.append(Words((*_questions(of), t("report.measure.how"))))
    return Section("look", t("report.look.title"), tuple(blocks))


def _questions(of: Report) -> Iterator[str]:
    """Measures that the last look found changed, against the look before or in all against the first."""
    for name in of.seen[0].questions if of.seen else ():
        yield t(f"report.measure.questions.{name}")


def _look(of: Report, look: Of[Examination]) -> Iterator[tuple[str, str]]:
    event = look.event
    yield t("report.when"), dated(look)
    yield t("report.look.examiner"), sealed(event.examiner)
    yield t("report.look.lights"), every(event.lights)
    yield t("report.look.faces"), _faces(event)
    yield t("report.look.rest"), _rest(of.against(look))
    yield t("report.look.method"), _method(event)
    yield t("report.look.complete"), _complete(of, look)
    yield t("report.look.staple_rust"), _rust(of, look)
    for name in ("tone", "suppleness", "odour", "presents_as", "technical"):
        yield t(f"report.look.{name}"), _told_last(of, look, name)
    yield t("report.remark"), sealed(event.remark)


def _faces(event: Examination) -> str:
    return ", ".join(each.value for each in event.faces_looked_at) or t("report.look.faces_not_said")


def _rest(look: LookSeen) -> str:
    """As the look says it, or as the dates do, which is said."""
    if look.rest_hours is None:
        return t("frame.not_known")
    hours = t.n("report.look.hours", look.rest_hours)
    return t("report.look.from_dates", rest=hours) if look.rest_from_dates else hours


def _method(event: Examination) -> str:
    return t("report.look.through" if event.through_holder else "report.look.in_hand")


def _complete(of: Report, look: Of[Examination]) -> str:
    """As the last look says it that is not unsure, named where that is an older one."""
    told = of.told_last("completeness")
    value = t(f"report.complete.{told.event.completeness.value if told else 'unsure'}")
    return value if told is None or told is look else t("report.look.told", value=value, look=dated(told))


def _rust(of: Report, look: Of[Examination]) -> str:
    """As a look says it; where none does, by the defects that are there."""
    rusted = ", ".join(each.id for each in of.rusted if not each.gone)
    if of.told_last("staple_rust") is None and rusted:
        return t("report.look.rusted", ids=rusted)
    return _told_last(of, look, "staple_rust")


def _told_last(of: Report, look: Of[Examination], name: str) -> str:
    """What the last look says, or the last one that says anything, named."""
    told = of.told_last(name)
    if told is None:
        return t("frame.not_known")
    value = str(getattr(told.event, name))
    return value if told is look else t("report.look.told", value=value, look=dated(told))


def _measure(of: Measure) -> Iterator[str]:
    yield t(f"report.measure.{of.name}")
    yield t("frame.not_known") if of.value is None else f"{of.value} {of.unit}".rstrip()
    yield dated(of.look) if of.look else t("report.none")
    yield every(f"{each} {of.unit}".rstrip() for each in of.differs)


def looks_section(of: Report) -> Section:
    """The looks before the last one, the newest first."""
    names = ("examiner", "lights", "faces", "rest", "found", "complete", "paper", "presents_as", "technical")
    head = (t("report.when"), *(t(f"report.look.{name}") for name in names), t("report.remark"))
    rows = (_before(of, each) for each in of.looks[1:])
    return Section("looks", t("report.look.before"), (table("", head, rows, t("report.look.no_before")),))


def _before(of: Report, look: Of[Examination]) -> Iterator[str]:
    event = look.event
    gone = sum(each.gone for each in event.seen)
    yield dated(look)
    yield sealed(event.examiner)
    yield every(event.lights)
    yield t("report.beside", value=_faces(event), beside=_method(event))
    yield _rest(of.against(look))
    yield t("report.look.counted", there=len(event.seen) - gone, gone=gone)
    yield t(f"report.complete.{event.completeness.value}")
    yield known(", ".join(each for each in (event.tone, event.suppleness) if each))
    yield known(event.presents_as)
    yield known(event.technical)
    yield sealed(event.remark)


def grades_section(of: Report) -> Section:
    """Opinions of others on the grade, apart from what anybody here saw."""
    rows = (
        (
            t("report.dated", when=when(each.on), seq=each.seq),
            each.stated.as_written,
            every(each.stated.steps),
            each.stated.opinion_of.value,
            each.stated.matched_by.value,
            each.holder_number or t("report.none"),
            t("report.grade.ended", seq=each.ended_by) if each.ended_by is not None else t("report.grade.stands"),
        )
        for each in of.grades
    )
    names = ("written", "steps", "opinion", "matched", "holder", "force")
    head = (t("report.when"), *(t(f"report.grade.{name}") for name in names))
    apart = Words((t("report.grade.apart"),))
    return Section("grades", t("report.grade.title"), (apart, table("", head, rows, t("report.grade.none"))))


def earlier_section(of: Report) -> Section:
    """What others said of work done before, and records of owners before."""
    said = (
        (
            dated(each),
            each.event.means.value,
            each.event.earlier_work.value,
            sealed(each.event.earlier_work_words),
        )
        for each in of.bought
    )
    records = (
        (dated(each), each.event.verdict.value, known(each.event.origin), grouped(each.event.record))
        for each in of.records
    )
    said_head = (t("report.when"), *(t(f"report.earlier.{name}") for name in ("means", "said", "words")))
    record_head = (t("report.when"), *(t(f"report.earlier.{name}") for name in ("verdict", "origin", "record")))
    blocks = (
        Words((t("report.earlier.not_seen"),)),
        table(t("report.earlier.by_others"), said_head, said, t("report.earlier.nothing")),
        table(t("report.earlier.records"), record_head, records, t("report.earlier.no_records")),
    )
    return Section("earlier", t("report.earlier.title"), blocks)
