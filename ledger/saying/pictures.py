"""The marks by which this very copy is known again, and the photographs, those of one view side by side in their order."""

from collections.abc import Iterator

from ledger.events.intervention import Intervention
from ledger.events.photograph import Photograph
from ledger.history import Moment
from ledger.looks import MarkSeen
from ledger.proof.sheet import Block, Picture, Section, Table, Words
from ledger.saying.maps import Placed, map_of
from ledger.saying.spelling import day, region, sealed
from ledger.saying.told import Told
from ledger.saying.wording import t
from ledger.sealed import SealState

__all__ = ["marks", "photographs"]

_HEAD = ("id", "what", "face", "where", "seen")
Shot = tuple[Moment, Photograph]


def marks(of: Told) -> Section:
    """What to compare with the book in one's own hands, with its photographs."""
    known = of.looks[-1].marks if of.looks else ()
    if not known:
        return Section("marks", t("marks.title"), (Words((t("marks.none"),)),))
    blocks: list[Block] = [Words((t("marks.how"),))]
    drawn = map_of(of, (Placed(each.mark.id, each.mark.face, each.mark.region) for each in known))
    blocks += [drawn] if drawn is not None else []
    blocks.append(Table(tuple(t(f"marks.{name}") for name in _HEAD), tuple(tuple(_mark(each)) for each in known)))
    for moment, mark in _of_marks(of):
        words = t("marks.picture", id=mark.mark.id, what=mark.mark.what, seq=moment.entry.seq)
        blocks.append(Picture(of.pictures[moment.entry.seq], words))
    return Section("marks", t("marks.title"), tuple(blocks))


def _mark(seen: MarkSeen) -> Iterator[str]:
    yield seen.mark.id
    yield seen.mark.what
    yield seen.mark.face.value
    yield region(seen.mark.region)
    yield t("entry", seq=seen.seen_by)


def _of_marks(of: Told) -> list[tuple[Moment, MarkSeen]]:
    """The photographs of marks that go with the record, each once, in the order of the marks."""
    found: list[tuple[Moment, MarkSeen]] = []
    taken: set[str] = set()
    for mark in of.looks[-1].marks if of.looks else ():
        for moment, event in of.of(Photograph):
            named = mark.mark.photograph in (event.clean, event.original)
            sha = of.pictures.get(moment.entry.seq)
            if named and sha is not None and sha not in taken:
                taken.add(sha)
                found.append((moment, mark))
                break
    return found


def photographs(of: Told) -> Section:
    """Every photograph that goes with the record, and which do not; one that stands among the marks is not shown twice."""
    shots = of.of(Photograph)
    among_marks = {of.pictures[moment.entry.seq] for moment, _ in _of_marks(of)}
    shown: set[str] = set()
    pictures: list[Block] = []
    apart: list[str] = []
    for moment, event in _by_view(shots):
        seq = moment.entry.seq
        sha = of.pictures.get(seq)
        words = _words(of, moment, event)
        if sha is None:
            apart.append(t("photographs.not_here", words=words))
        elif sha in among_marks:
            apart.append(t("photographs.among_marks", words=words))
        elif sha in shown:
            apart.append(t("photographs.again", words=words))
        else:
            shown.add(sha)
            pictures.append(Picture(sha, words))
    if not shots:
        return Section("photographs", t("photographs.title"), (Words((t("photographs.none"),)),))
    blocks: list[Block] = [Words((t("photographs.how"),)), *pictures]
    blocks += [Words(tuple(apart), listed=True)] if apart else []
    return Section("photographs", t("photographs.title"), tuple(blocks))


def _by_view(shots: list[Shot]) -> list[Shot]:
    """Photographs of one face, in one light and of one defect together, as they were taken; views as they first come."""
    views: dict[tuple[str, str, str | None], list[Shot]] = {}
    for shot in shots:
        event = shot[1]
        views.setdefault((event.face.value, event.light.value, event.of_defect), []).append(shot)
    return [each for view in views.values() for each in view]


def _words(of: Told, moment: Moment, event: Photograph) -> str:
    seq = moment.entry.seq
    said = [t("photographs.of", face=event.face.value, light=event.light.value, when=day(event.on), seq=seq)]
    said += _shows(of, event)
    if event.region is not None:
        said.append(t("photographs.part"))
    said.append(_when(of, moment))
    if event.caption.state is SealState.OPEN and event.caption.value is not None:
        said.append(t("photographs.caption", words=sealed(event.caption)))
    return " ".join(said)


def _shows(of: Told, event: Photograph) -> Iterator[str]:
    """The faults it was taken of; of one that no look has seen it says no more than that others claim it."""
    look = of.looks[-1] if of.looks else None
    known = [*(each.defect for each in look.seen), *(each.defect for each in look.claims)] if look else []
    named = [each.id for each in known if each.photograph is not None and each.photograph == event.clean]
    claimed = {each.defect.id for each in look.claims} if look else set()
    for each in dict.fromkeys([*([event.of_defect] if event.of_defect else []), *named]):
        yield t("photographs.claimed" if each in claimed else "photographs.defect", id=each)


def _when(of: Told, moment: Moment) -> str:
    """Before all work here, or after which step of it."""
    before = of.moments[: of.moments.index(moment)]
    work = [each.entry.seq for each in before if each.in_force and isinstance(each.event, Intervention)]
    if work:
        return t("photographs.after", seq=work[-1])
    return t("photographs.before") if of.of(Intervention) else t("photographs.no_work")
