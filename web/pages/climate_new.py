"""A climate logger's file is looked at, what it leaves open is asked once, and then it is taken in."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from fastapi import APIRouter, Request, Response

from ledger.actor import Actor
from ledger.errors import InvalidError, LedgerError, MalformedError, Problem
from ledger.events.climate import DateOrder, Unit
from ledger.ports import Ledger
from ledger.usecases.air import rooms_known
from ledger.usecases.climate import Looked, Read, Said, Where, look_again, look_at_file, take_in
from ledger.usecases.record import Request as Asked
from web.climate_lines import interval_words, per_cent
from web.deps import ActorDep, FrameDep, LedgerDep, PostedDep
from web.entering import key_of, refusal
from web.frame import Frame, Place, Told
from web.pages.climate import PATH as CLIMATE
from web.posted import Posted
from web.render import Page, page, render
from web.told import go_to
from web.wording import t

router = APIRouter()

PATH: Final = f"{CLIMATE}/new"
NAME_MOST: Final = 200


@page("climate_new.html")
@dataclass(frozen=True, kw_only=True)
class ClimateNewPage(Page):
    """The form for the file."""

    problems: tuple[Problem, ...]


@dataclass(frozen=True, kw_only=True)
class ChannelLine:
    """One channel with its fields."""

    number: int
    title: str
    told: str


@page("climate_seen.html")
@dataclass(frozen=True, kw_only=True)
class ClimateSeenPage(Page):
    """What is in the file, and the form by which it is taken in."""

    action: str
    key: str
    file_name: str
    lede: str
    asks: tuple[str, ...]
    orders: tuple[tuple[str, str], ...]
    units: tuple[tuple[str, str], ...]
    notes: tuple[str, ...]
    unread: str
    unread_lines: tuple[tuple[str, str], ...]
    channels: tuple[ChannelLine, ...]
    rooms: tuple[tuple[str, str], ...]
    typed: Mapping[str, str]
    problems: tuple[Problem, ...]


@router.get(PATH)
def begin(frame: FrameDep) -> Response:
    """The empty form."""
    return render(ClimateNewPage(frame=frame.at(Place.WALL), problems=()))


@router.post(PATH)
def look(frame: FrameDep, ledger: LedgerDep, actor: ActorDep, posted: PostedDep) -> Response:
    """What is in the file; it is kept for a while, and nothing is written."""
    sent = next(iter(posted.files("file")), None)
    if sent is None:
        return _first(frame, t("climate.new.no_file"))
    try:
        looked = look_at_file(ledger, actor, sent.data)
    except MalformedError as error:
        return _first(frame, str(error))
    return render(_seen(frame, ledger, actor, looked, sent.name[:NAME_MOST], posted))


def _first(frame: Frame, sentence: str) -> Response:
    problem = Problem(field="file", sentence=sentence)
    return render(ClimateNewPage(frame=frame.at(Place.WALL), problems=(problem,)), status=422)


@router.post(f"{PATH}/{{file}}")
def take(  # noqa: PLR0913 - what a request brings along
    request: Request, frame: FrameDep, ledger: LedgerDep, actor: ActorDep, posted: PostedDep, file: str
) -> Response:
    """It is looked at again with what was said of it, or taken in: an entry for each channel that was given a room."""
    said, name = _said(posted), posted.get("file_name")[:NAME_MOST]
    looked = look_again(ledger, actor, file, said)
    if posted.get("do") == "look" or looked.asks:
        return render(_seen(frame, ledger, actor, looked, name, posted))
    try:
        written = take_in(
            ledger,
            actor,
            file,
            _wanted(looked, posted),
            said=said,
            file_name=name,
            remark=posted.get("remark") or None,
            request=Asked(key=key_of(ledger, posted), body=repr(posted.fields).encode()),
        )
    except LedgerError as error:
        refused = refusal(error)
        return render(_seen(frame, ledger, actor, looked, name, posted, refused.problems), status=refused.status)
    return go_to(request, CLIMATE, Told(sentence=t.n("climate.seen.done", len(written.entries))))


def _said(posted: Posted) -> Said:
    dates, unit = posted.get("dates"), posted.get("unit")
    return Said(
        dates=next((each for each in DateOrder if each == dates), None),
        unit=next((each for each in Unit if each == unit), None),
    )


def _wanted(looked: Looked, posted: Posted) -> list[Where]:
    found = [
        Where(
            channel=each.number,
            room=posted.get(f"room{each.number}"),
            wall=posted.get(f"wall{each.number}") or None,
            place=posted.get(f"place{each.number}") or None,
        )
        for each in looked.channels
        if posted.get(f"room{each.number}")
    ]
    if not found:
        raise InvalidError(problems=(Problem(field="room1", sentence=t("climate.seen.no_channel")),))
    return found


def _seen(  # noqa: PLR0913 - what the page is made from
    frame: Frame,
    ledger: Ledger,
    actor: Actor,
    looked: Looked,
    name: str,
    posted: Posted,
    problems: tuple[Problem, ...] = (),
) -> ClimateSeenPage:
    notes = [t("climate.seen.assumed")] if looked.shape.assumed else []
    notes += [t("climate.seen.in_utc")] if looked.in_utc else []
    count = sum(looked.reasons.values())
    return ClimateSeenPage(
        frame=frame.at(Place.WALL),
        action=f"{PATH}/{looked.file}",
        key=key_of(ledger, posted),
        file_name=name,
        lede=t.n(
            "climate.seen.lede",
            len(looked.channels) or len(looked.shape.pairs),
            name=name,
            lines=looked.shape.header_lines,
        ),
        asks=looked.asks,
        orders=tuple((each.value, t(f"climate.seen.{each.value.replace(' ', '_')}")) for each in list(DateOrder)[1:]),
        units=tuple((each.value, each.value) for each in Unit),
        notes=tuple(notes),
        unread=t.n("climate.seen.unread", count) if count else "",
        unread_lines=tuple(
            (t("climate.seen.line", line=each.line, reason=t(f"climate.seen.reasons.{each.reason}")), each.text)
            for each in looked.unread
        ),
        channels=tuple(map(_channel, looked.channels)),
        rooms=tuple((name, room.name.value or name) for name, room in sorted(rooms_known(ledger, actor).items())),
        typed=_typed(looked, posted),
        problems=_placed(problems, looked),
    )


def _typed(looked: Looked, posted: Posted) -> dict[str, str]:
    """What stands in every field."""
    names = [f"{name}{each.number}" for each in looked.channels for name in ("room", "wall", "place")]
    typed = {name: posted.get(name) for name in (*names, "remark")}
    return typed | {"unit": looked.unit or "", "dates": looked.dates or ""}


def _placed(problems: tuple[Problem, ...], looked: Looked) -> tuple[Problem, ...]:
    """Each at its field; what is of none of them is told of the whole."""
    fields = {f"{name}{each.number}" for each in looked.channels for name in ("room", "wall", "place")}
    return tuple(each if each.field in fields else Problem(field="", sentence=each.sentence) for each in problems)


def _channel(read: Read) -> ChannelLine:
    title = t("climate.seen.channel", number=read.number)
    if read.name:
        title = t("climate.seen.named", number=read.number, name=read.name)
    if read.interval is None:
        told = t("climate.seen.told_once", first=read.first.replace("T", " "))
    else:
        told = t(
            "climate.seen.told",
            first=read.first.replace("T", " "),
            last=read.last.replace("T", " "),
            readings=f"{read.readings:,}",
            interval=interval_words(read.interval),
            share=per_cent(read.coverage_per_mille),
        )
    if read.interval is not None and not read.coverage_per_mille:
        told = f"{told} {t('climate.seen.nothing_known')}"
    return ChannelLine(number=read.number, title=title, told=told)
