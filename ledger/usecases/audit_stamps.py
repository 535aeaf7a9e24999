"""Looks at what somebody else said of the checkpoints: whether it still is of the checkpoint that it is kept with."""

from ledger.actor import Actor
from ledger.handing import StampKind
from ledger.ports import Ledger
from ledger.proof.report import Report
from ledger.proof.stamped import StampCheck
from ledger.usecases.stamps import Told, kept_stamps

__all__ = ["audit_stamps"]


def audit_stamps(ledger: Ledger, actor: Actor, check: StampCheck | None, report: Report) -> list[Told]:
    """Every stamp that holds; one that does not is a finding. Without an authority, time stamps are said to wait for one."""
    held: list[Told] = []
    waiting = 0
    for each in kept_stamps(ledger, actor, check):
        report.count("stamps")
        if each.fault:
            report.add("stamp-differs", f"What {each.by} said of a checkpoint does not hold. {each.fault}")
            continue
        held.append(each)
        waiting += each.stamp.kind is StampKind.TIME_STAMP and not each.under
        if check is not None and each.under:
            report.notes.append(f"Over {each.stamp.size} entries: {each.sentence}")
    if waiting:
        sentence = (
            f"{waiting} time {'stamp was' if waiting == 1 else 'stamps were'} not held against an authority of your "
            "choice, so that anybody could have made them. Name its certificate with --authority."
        )
        report.notes.append(sentence)
    return held
