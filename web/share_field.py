"""The share that one book has of a sum that several share, as forms ask for it."""

from ledger.proof.canonical import Plain
from ledger.shares import SHARE_MOST
from web.form_fields import Leaf, Way
from web.wording import t

__all__ = ["share_field", "whole_of"]


def share_field() -> Leaf:
    """A whole number; left blank for all books, their parts are equal."""
    limits = {"ge": 0, "le": SHARE_MOST}
    return Leaf(name="share", title=t("batches.share"), way=Way.WHOLE, size="short", limits=limits)


def whole_of(plain: Plain) -> int | None:
    """The number that was typed."""
    return plain if isinstance(plain, int) else None
