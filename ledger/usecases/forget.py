"""After an erasure: no record is kept here that shows what was erased."""

from collections.abc import Collection

from ledger.events.disclosure import Disclosure
from ledger.handing import HandingWriter
from ledger.ports import Ledger
from ledger.usecases.stored import erased, readable

__all__ = ["forget_shown"]


def forget_shown(ledger: Ledger, erased_now: Collection[tuple[int, str]] | None = None) -> int:
    """How many records were taken out since they show what was erased, with the links to them.

    `erased_now` are the fields that are meant; all that were ever erased where it is left out.

    Keeps: done again it changes nothing, so that one that was cut off is made up for at the next start.
    """
    if ledger.handing is None:
        return 0
    with ledger.log.read() as reader:
        gone = erased(reader) if erased_now is None else set(erased_now)
        events = {entry.seq: entry.event for entry in readable(reader, Disclosure.kind)} if gone else {}
    shown = {
        seq
        for seq, event in events.items()
        if isinstance(event, Disclosure) and any((each.entry, each.name) in gone for each in event.opened)
    }
    with ledger.handing.read() as beside:
        records = [each for each in beside.all_records() if not each.received and each.seq in shown] if shown else []
        links = [link for each in records for link in beside.links(each.book) if link.record == each.sha256]

    def work(writer: HandingWriter) -> None:
        for link in links:
            writer.take_link(link.id)
        for each in records:
            writer.take_record(each.sha256)

    if records:
        ledger.handing.write(work)
    return len(records)
