"""Climate files: looked at, taken in by their digest, out of force by a withdrawal, and held against their digest."""

import dataclasses

import pytest

from ledger.actor import Actor, Permission
from ledger.care import CareRow, Drawer
from ledger.climate_kept import WAITING_MOST, Own, waiting_files
from ledger.errors import ForbiddenError, InvalidError, NotFoundError, RuleError
from ledger.events.climate import Climate, DateOrder, Unit
from ledger.events.withdrawal import Withdrawal
from ledger.logger_lines import LoggerFileError
from ledger.ports import Ledger
from ledger.usecases.beside import care_store
from ledger.usecases.climate import Said, Where, events_of, look_again, look_at_file, take_in
from ledger.usecases.climate_back import put_back
from ledger.usecases.record import Draft, Request, record
from ledger.usecases.verify import verify_ledger
from tests.builders import on
from tests.usecases.telling import OWNER, Teller

TWO = (
    "Time,Study °C,Study %RH,Hall °C,Hall %RH\n"
    "2026-01-31 22:00,20,50,18,60\n2026-01-31 23:00,20.5,51,-,-\n2026-02-01 00:00,21,52,18.5,61\nend,,,,\n"
).encode()


def taken(ledger: Ledger, data: bytes = TWO, *where: Where) -> list[Climate]:
    looked = look_at_file(ledger, OWNER, data)
    written = take_in(ledger, OWNER, looked.file, where or (Where(channel=1, room="study"),), file_name="jan.csv")
    return [each.event for each in written.entries if isinstance(each.event, Climate)]


def own(event: Climate) -> Own:
    return Own(event.file, event.channel, event.temperature_unit, event.dates)


def codes(ledger: Ledger) -> list[str]:
    return [each.code for each in verify_ledger(ledger, OWNER).findings]


def test_a_look_tells_what_would_be_taken_in_and_writes_nothing(teller: Teller) -> None:
    before = teller.head.size
    looked = look_at_file(teller.ledger, OWNER, TWO)
    assert [(each.number, each.name, each.first, each.last, each.readings) for each in looked.channels] == [
        (1, "Study", "2026-01-31T22:00:00", "2026-02-01T00:00:00", 3),
        (2, "Hall", "2026-01-31T22:00:00", "2026-02-01T00:00:00", 2),
    ]
    assert [each.coverage_per_mille for each in looked.channels] == [1000, 666]
    assert (looked.asks, looked.reasons, looked.unread[0].line) == ((), {"no_time": 1}, 5)
    assert teller.head.size == before
    assert look_again(teller.ledger, OWNER, looked.file) == looked


def test_each_channel_taken_in_is_an_entry_with_the_digest_of_the_file(teller: Teller) -> None:
    study, hall = taken(
        teller.ledger,
        TWO,
        Where(channel=1, room="study", wall="north", place="Behind the door"),
        Where(channel=2, room="hall"),
    )
    assert (study.room, study.wall, study.channel, study.readings, study.interval_seconds) == (
        *("study", "north", 1, 3, 3600),
    )
    assert (study.coverage_per_mille, hall.coverage_per_mille) == (1000, 666)
    assert str(study.on) == "2026-01-31/2026-02-01"
    assert (study.file_name.value, study.channel_name.value, study.place.value) == (
        *("jan.csv", "Study", "Behind the door"),
    )
    assert study.file == hall.file
    with care_store(teller.ledger).read() as reader:
        rows = reader.rows(Drawer.CLIMATE_PART, own(study).id)
        assert [each.id[-7:] for each in rows] == ["2026-01", "2026-02"]
        assert rows[1].said == {"seconds": [0], "celsius": [2100], "rh": [5200]}
        (first, second) = reader.rows(Drawer.CLIMATE_PART, own(hall).id)
        assert first.said["celsius"] == [1800, None]
        assert second.said["rh"] == [6100]
        assert waiting_files(reader) == []
    assert codes(teller.ledger) == []
    assert verify_ledger(teller.ledger, OWNER).checked["climate files"] == 1


def test_the_same_request_writes_once(teller: Teller) -> None:
    looked = look_at_file(teller.ledger, OWNER, TWO)
    where, request = [Where(channel=1, room="study")], Request(key="k", body=b"b")
    one, other = (take_in(teller.ledger, OWNER, looked.file, where, request=request) for _ in range(2))
    assert (one.act, one.replayed, other.replayed) == (other.act, False, True)


def test_a_channel_is_in_force_once_until_it_is_withdrawn(teller: Teller) -> None:
    taken(teller.ledger)
    with pytest.raises(RuleError, match="in force with entry"):
        taken(teller.ledger, TWO, Where(channel=1, room="hall"))
    record(teller.ledger, OWNER, [Draft(event=Withdrawal(on=on("2026-02-03"), entry=teller.head.size))])
    assert [each.room for each in taken(teller.ledger, TWO, Where(channel=1, room="hall"))] == ["hall"]
    assert codes(teller.ledger) == []


def test_what_the_file_leaves_open_is_asked_once_and_then_taken(teller: Teller) -> None:
    data = b"Time,Temp,RH\n03/04/2026 00:00,68,50\n03/04/2026 01:00,77,50\n"
    looked = look_at_file(teller.ledger, OWNER, data)
    assert (looked.asks, looked.channels) == (("dates", "temperature_unit"), ())
    where = [Where(channel=1, room="study")]
    with pytest.raises(InvalidError) as refused:
        take_in(teller.ledger, OWNER, looked.file, where)
    assert [each.field for each in refused.value.problems] == ["dates", "temperature_unit"]
    said = Said(dates=DateOrder.MONTH_FIRST, unit=Unit.FAHRENHEIT)
    assert look_again(teller.ledger, OWNER, looked.file, said).channels[0].first == "2026-03-04T00:00:00"
    written = take_in(teller.ledger, OWNER, looked.file, where, said=said)
    event = written.entries[0].event
    assert isinstance(event, Climate)
    # Read in another way it is refused, and what was read stays as the entry says.
    with pytest.raises(RuleError):
        take_in(teller.ledger, OWNER, looked.file, where, said=Said(dates=DateOrder.DAY_FIRST, unit=Unit.CELSIUS))
    assert (event.dates, event.temperature_unit) == (DateOrder.MONTH_FIRST, Unit.FAHRENHEIT)
    assert codes(teller.ledger) == []


def test_a_file_that_was_never_looked_at_or_has_no_such_channel_is_refused(teller: Teller) -> None:
    with pytest.raises(NotFoundError):
        take_in(teller.ledger, OWNER, "ab" * 32, [Where(channel=1, room="study")])
    looked = look_at_file(teller.ledger, OWNER, TWO)
    for where in ([], [Where(channel=1, room="a"), Where(channel=1, room="b")], [Where(channel=3, room="a")]):
        with pytest.raises(InvalidError):
            take_in(teller.ledger, OWNER, looked.file, where)
    with care_store(teller.ledger).read() as reader:
        assert reader.rows(Drawer.CLIMATE_PART) == []
    with pytest.raises(LoggerFileError):
        look_at_file(teller.ledger, OWNER, b"nothing")


def test_only_a_few_files_wait_and_those_taken_in_stay(teller: Teller) -> None:
    (event,) = taken(teller.ledger)
    files = [look_at_file(teller.ledger, OWNER, TWO + b"\n" * (n + 1)).file for n in range(WAITING_MOST + 2)]
    with care_store(teller.ledger).read() as reader:
        assert waiting_files(reader) == files[2:]
        kept = {each.id for each in reader.rows(Drawer.CLIMATE)}
    assert set(files[2:]) | {event.file} <= kept
    assert not set(files[:2]) & kept


def test_verify_finds_a_file_and_readings_that_differ_from_what_the_ledger_says(teller: Teller) -> None:
    (event,) = taken(teller.ledger)
    store = care_store(teller.ledger)

    def changed(drawer: Drawer, name: str, **said: object) -> CareRow:
        with store.read() as reader:
            row = reader.row(drawer, name)
        assert row is not None
        store.write(lambda writer: writer.put(drawer, dataclasses.replace(row, said={**row.said, **said})))
        return row

    part = changed(Drawer.CLIMATE_PART, own(event).month("2026-02"), celsius=[2000])
    assert codes(teller.ledger) == ["climate-readings-changed"]
    store.write(lambda writer: writer.take(Drawer.CLIMATE_PART, part.id))
    assert codes(teller.ledger) == ["climate-readings-changed"]
    store.write(lambda writer: writer.put(Drawer.CLIMATE_PART, part))
    channel = changed(Drawer.CLIMATE, own(event).id, months=["2026-01"])
    assert codes(teller.ledger) == ["climate-readings-missing"]
    store.write(lambda writer: writer.put(Drawer.CLIMATE, channel))
    other = look_at_file(teller.ledger, OWNER, TWO + b"\n").file
    with store.read() as reader:
        row = reader.row(Drawer.CLIMATE, other)
    assert row is not None
    file = changed(Drawer.CLIMATE, event.file, zlib=row.said["zlib"])
    assert codes(teller.ledger) == ["climate-file-changed"]
    changed(Drawer.CLIMATE, event.file, zlib="no file")
    assert codes(teller.ledger) == ["climate-file-changed"]
    store.write(lambda writer: writer.put(Drawer.CLIMATE, file))
    assert codes(teller.ledger) == []
    store.write(lambda writer: writer.take(Drawer.CLIMATE, event.file))
    report = verify_ledger(teller.ledger, OWNER)
    assert report.findings == []
    assert any("climate file that is not kept here" in each for each in report.notes)


def test_what_was_lost_of_a_file_is_put_back_when_it_is_looked_at_again(teller: Teller) -> None:
    (event,) = taken(teller.ledger)
    store = care_store(teller.ledger)
    for drawer, name in (
        (Drawer.CLIMATE, event.file),
        (Drawer.CLIMATE, own(event).id),
        (Drawer.CLIMATE_PART, own(event).month("2026-01")),
    ):
        store.write(lambda writer, drawer=drawer, name=name: writer.take(drawer, name))  # type: ignore[misc]
    before = teller.head.size
    look_at_file(teller.ledger, OWNER, TWO)
    report = verify_ledger(teller.ledger, OWNER)
    assert (report.findings, report.checked["climate files"]) == ([], 1)
    assert not any("climate file" in each for each in report.notes)
    assert teller.head.size == before
    with store.read() as reader:
        assert waiting_files(reader) == []
    assert put_back(teller.ledger, OWNER, TWO + b"\n") == 0


def test_what_would_be_written_is_what_is_written(teller: Teller) -> None:
    where = Where(channel=1, room="study")
    assert taken(teller.ledger, TWO, where) == events_of(TWO, [where], file_name="jan.csv")


def test_only_who_may_record_takes_files_in(teller: Teller) -> None:
    reader = Actor(id="guest", scopes={Permission.READ})
    with pytest.raises(ForbiddenError):
        look_at_file(teller.ledger, reader, TWO)
    with pytest.raises(ForbiddenError):
        take_in(teller.ledger, reader, "ab" * 32, [])
