"""A ledger that is only read has nothing beside it, and whoever asks for that is told so."""

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest

from ledger.actor import Actor
from ledger.errors import ConflictError
from ledger.ports import Ledger
from ledger.usecases.air import logs
from ledger.usecases.runs import look_at_runs
from ledger.usecases.wants import look_at_wants
from tests.conftest import Kept
from tests.store.writing import OWNER, Scribe


@pytest.mark.parametrize("ask", [look_at_runs, look_at_wants, logs])
def test_what_needs_it_says_that_the_ledger_is_only_read(store: Kept, ask: Callable[[Ledger, Actor], Any]) -> None:
    only_read = replace(Scribe(store.log).ledger, care=None)
    with pytest.raises(ConflictError, match="open for reading only"):
        ask(only_read, OWNER)
