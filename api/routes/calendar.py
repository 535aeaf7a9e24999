"""bench/calendar: ends and reminders as a calendar, for programs that sign in with a token."""

from fastapi import APIRouter, Response

from api.deps import LedgerDep, ReadingDep
from api.documents import EVERYWHERE, failures
from ledger.usecases.feed import calendar_of

router = APIRouter(prefix="/bench/calendar", tags=["bench"])

_EXAMPLE = (
    "BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:-//Slipsheet//Bench//EN\r\nBEGIN:VEVENT\r\n"
    "SUMMARY:Comes out: Cold press\\, one book\r\nDTSTART:20260102T150405Z\r\nDTEND:20260102T151905Z\r\n"
    "DTSTAMP:20260102T030405Z\r\nUID:0f3c2a7e58d15b449c1e6a2f4d8b7e10@slipsheet.invalid\r\nEND:VEVENT\r\nEND:VCALENDAR\r\n"
)


class CalendarResponse(Response):
    """As RFC 5545 section 8.1 registers it."""

    media_type = "text/calendar"


@router.get(
    "",
    summary="Read the calendar of the bench",
    response_class=CalendarResponse,
    response_description="Ends of loads, what is to be written down, looks after a rest.",
    responses={
        200: {"content": {"text/calendar": {"schema": {"type": "string"}, "example": _EXAMPLE}}},
        **failures(409, *EVERYWHERE),
    },
)
def read_calendar(ledger: LedgerDep, actor: ReadingDep) -> CalendarResponse:
    """RFC 5545, times in UTC; the same as behind the secret address, and without a place, a sum or a person.

    Titles of books stand in it where they do behind that address.
    """
    return CalendarResponse(calendar_of(ledger, actor))
