"""events: the day book of the whole collection, one entry with its bytes, and entries of the collection itself."""

from base64 import b64encode
from typing import Annotated

from fastapi import APIRouter, Query, Request, Response

from api.answers import Teller, answered
from api.bodies import COLLECTION_KINDS, read_event
from api.deps import TO_READERS, AppendDep, EntryNo, LedgerDep, kinds_of, snapshot
from api.documents import EVERYWHERE, appended, failures, text_header
from api.queries import EventsAsked, next_link
from api.schemas import EntryList, EntryWithBytes, Written
from ledger.usecases.record import Draft, record

router = APIRouter(tags=["events"])

PAGED = {
    "headers": {"Link": text_header("The next page, while there is one.", '</api/v1/events?after=60>; rel="next"')}
}


@router.get(
    "/events",
    summary="Read the day book",
    response_description="A page of entries.",
    responses={200: PAGED, **failures(*EVERYWHERE)},
    dependencies=TO_READERS,
)
def list_events(
    request: Request, response: Response, ledger: LedgerDep, asked: Annotated[EventsAsked, Query()]
) -> EntryList:
    """Every entry of the collection in the order it was recorded, whatever book it speaks of."""
    with snapshot(ledger) as reader:
        page = reader.entries(asked.query())
        entries = Teller(ledger, reader).tell(page.rows)
    if page.after is not None:
        response.headers["Link"] = next_link(request, page.after)
    return EntryList(entries=entries)


@router.post(
    "/events",
    summary="Record something about the collection itself",
    status_code=201,
    response_description="The new entry.",
    responses=appended(),
)
def record_collection_event(request: Request, response: Response, ledger: LedgerDep, append: AppendDep) -> Written:
    """Rooms and lamps, edited rule rows, keys, notes: what speaks of no single book."""
    plain = append.plain()
    event = read_event(plain, COLLECTION_KINDS, kind_at=kinds_of(ledger))
    recorded = record(ledger, append.actor, [Draft(event=event)], append.asked("events", plain))
    return answered(request, response, recorded, f"/events/{recorded.entries[0].seq}")


@router.get(
    "/events/{seq}",
    summary="Read one entry",
    response_description="The entry with its bytes.",
    responses=failures(404, *EVERYWHERE),
    dependencies=TO_READERS,
)
def read_event_at(ledger: LedgerDep, seq: EntryNo) -> EntryWithBytes:
    """The entry as recorded, what became of it, the values of its sealed fields, and the bytes that are hashed."""
    with snapshot(ledger) as reader:
        told = Teller(ledger, reader).tell([reader.entry(seq)])[0]
        data = reader.stored(seq, 1)[0].data
    return EntryWithBytes(**dict(told), bytes=b64encode(data).decode())
