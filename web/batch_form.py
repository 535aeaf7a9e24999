"""The forms of a batch: sending books together, news of them, and what came of each, a part of the form for each book."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Final, cast

from ledger.batches import Batch
from ledger.errors import Problem
from ledger.events.slab import Outcome, Slab
from ledger.events.submission import Ask, Stage, Submission
from ledger.money import Money
from ledger.ports import Codec
from ledger.proof.canonical import Plain
from ledger.rules.grades import Grade, grades, read_stated
from ledger.usecases.batches import BookResult, BookSent, ResultsSaid, SendSaid
from web.form_fields import Group, Leaf, Option, Part, Way
from web.form_layout import only
from web.form_parts import parts_of
from web.form_reading import Heard, Typed, read_parts
from web.form_values import Habits
from web.share_field import share_field, whole_of
from web.wording import t

__all__ = ["news_parts", "read_news", "read_results", "read_sending", "result_parts", "sending_parts"]

Books = Sequence[tuple[str, str]]
"""Id and name of each book, in the order of the form."""
_SENT: Final = ("batch", "on", "asks", "speed", "service", "fee", "postage")
_CAME: Final = ("on", "came_back", "service", "invoice")
_ROW: Final = ("as_written", "step", "holder_number", "page_tone", "fee", "share", "outcome")


def sending_parts(books: Books) -> tuple[Part, ...]:
    """What is asked of a batch, and then of each of its books."""
    titles = {"fee": t("batches.fee"), "postage": t("batches.postage"), "on": t("batches.sent_on")}
    first = [replace(_asked(each), title=titles.get(each.name, each.title)) for each in _leaves(Submission, _SENT)]
    (insured,) = _leaves(Submission, ("insured_for",))
    row = (replace(insured, size="short", note=""), share_field())
    return (*first, *(Group(name=f"books.{place}", title=name, parts=row) for place, (_, name) in enumerate(books)))


def read_sending(books: Books, typed: Typed, habits: Habits, codec: Codec) -> tuple[SendSaid | None, Heard]:
    """What was typed of a batch that goes out; None where something of it cannot be read, told in `problems`."""
    heard = Heard(habits=habits)
    plain = read_parts(sending_parts(books), typed, heard)
    if heard.problems:
        return None, heard
    event = codec.read("submission", {name: plain[name] for name in _SENT if name in plain})
    assert isinstance(event, Submission)
    assert event.asks is not None
    rows = [cast("Mapping[str, Plain]", plain.get(f"books.{place}") or {}) for place in range(len(books))]
    said = SendSaid(
        batch=event.batch,
        on=event.on,
        asks=event.asks,
        speed=event.speed,
        service=event.service.value,
        fee=event.fee.value,
        postage=event.postage.value,
        books=tuple(
            BookSent(book=book, insured_for=_money(row.get("insured_for")), share=whole_of(row.get("share")))
            for (book, _), row in zip(books, rows, strict=True)
        ),
    )
    return said, heard


def news_parts() -> tuple[Part, ...]:
    """How far it is, and since when."""
    stage, on = _leaves(Submission, ("stage", "on"))
    told = tuple(each for each in stage.options if each.value in (Stage.RECEIVED, Stage.SHIPPED_BACK))
    return (replace(stage, options=told, default=(Stage.RECEIVED,), note=""), on)


def read_news(typed: Typed, habits: Habits, codec: Codec) -> tuple[Submission | None, Heard]:
    """What was typed of news."""
    heard = Heard(habits=habits)
    plain = read_parts(news_parts(), typed, heard)
    if heard.problems:
        return None, heard
    event = codec.read("submission", {**plain, "batch": "news"})
    assert isinstance(event, Submission)
    return event, heard


def result_parts(batch: Batch) -> tuple[Part, ...]:
    """What is asked of all that came back, and then of each book under way."""
    titles = {"invoice": t("batches.invoice"), "service": t("batches.service"), "on": t("batches.outcome_on")}
    first = [
        replace(
            each, title=titles.get(each.name, each.title), note=t("batches.came_note") if each.name == "invoice" else ""
        )
        for each in _leaves(Slab, _CAME)
    ]
    groups = (
        Group(name=f"results.{place}", title=f"{each.title} {each.number}", parts=_result_row())
        for place, each in enumerate(batch.under_way)
    )
    return (*first, *groups)


def read_results(batch: Batch, typed: Typed, habits: Habits, codec: Codec) -> tuple[ResultsSaid | None, Heard]:
    """What was typed of results; a book of which nothing was typed stays under way.

    Keeps: `places` says in which row a result stands, though rows before it were left empty.
    """
    heard = Heard(habits=habits)
    plain = read_parts(result_parts(batch), typed, heard)
    rows: list[BookResult] = []
    for place, each in enumerate(batch.under_way):
        row = cast("Mapping[str, Plain]", plain.get(f"results.{place}") or {})
        if any(name in row for name in _ROW):
            heard.places[f"results.{len(rows)}"] = f"results.{place}"
            rows.append(_result(each.book, row))
    if not rows and not heard.problems:
        heard.problems.append(Problem(field="", sentence=t("batches.no_result")))
    if heard.problems:
        return None, heard
    common = codec.read("slab", {name: plain[name] for name in _CAME if name in plain})
    assert isinstance(common, Slab)
    said = ResultsSaid(
        results=tuple(rows),
        on=common.on,
        came_back=common.came_back,
        service=common.service.value,
        invoice=common.invoice.value,
    )
    return said, heard


def _result(book: str, row: Mapping[str, Plain]) -> BookResult:
    """One result; a grade that means one step needs no step of its own, and says that one was given."""
    written = row.get("as_written")
    read = read_stated(str(written)) if written else ()
    step = Grade(str(row["step"])) if "step" in row else read[0] if len(read) == 1 else None
    return BookResult(
        book=book,
        outcome=Outcome(str(row.get("outcome", Outcome.GRADE_GIVEN.value))),
        as_written=str(written) if written else None,
        step=step,
        holder_number=_text(row.get("holder_number")),
        page_tone=_text(row.get("page_tone")),
        fee=_money(row.get("fee")),
        share=whole_of(row.get("share")),
    )


def _result_row() -> tuple[Part, ...]:
    outcome, number, tone, fee = _leaves(Slab, ("outcome", "holder_number", "page_tone", "fee"))
    nothing = Option(value="", words=t("batches.nothing_else"))
    steps = (Option(value="", words=t("batches.as_words")), *(_step(each) for each in reversed(grades())))
    others = tuple(each for each in outcome.options if each.value != Outcome.GRADE_GIVEN)
    return (
        Leaf(
            name="as_written", title=t("batches.as_written"), size="short", limits={"min_length": 1, "max_length": 60}
        ),
        Leaf(name="step", title=t("batches.step"), way=Way.PICK, options=steps, size="short"),
        replace(number, size="short", note="", needed=False),
        replace(tone, size="short", note=""),
        replace(fee, size="short", note=""),
        share_field(),
        replace(
            outcome, title=t("batches.outcome"), way=Way.PICK, options=(nothing, *others), default=("",), needed=False
        ),
    )


def _step(each: Grade) -> Option:
    return Option(value=each.text, words=each.text, plain=each.text)


def _leaves(kind: type, names: Sequence[str]) -> list[Leaf]:
    return [each for each in only(parts_of(kind), names) if isinstance(each, Leaf)]


def _asked(each: Leaf) -> Leaf:
    """What stands in it, and what is said below it, where a whole batch is meant."""
    match each.name:
        case "batch":
            return replace(each, needed=True)
        case "asks":
            told = tuple(option for option in each.options if option.value)
            return replace(each, options=told, default=(Ask.GRADE.value,), note="")
        case "fee" | "postage":
            return replace(each, note=t("batches.split_note"))
    return each


def _money(plain: Plain) -> Money | None:
    return Money(**plain) if isinstance(plain, dict) else None  # type: ignore[arg-type]


def _text(plain: Plain) -> str | None:
    return plain if isinstance(plain, str) and plain else None
