"""All event kinds: KINDS maps the wire name to the class, found from the files beside this one."""

import importlib
import pkgutil
from collections.abc import Mapping
from types import MappingProxyType

from ledger.events._base import At, Event, Lane, NotUnderstood, Scope

__all__ = ["KINDS", "At", "Event", "Lane", "NotUnderstood", "Scope"]


def _found() -> dict[str, type[Event]]:
    kinds: dict[str, type[Event]] = {}
    for module in sorted(info.name for info in pkgutil.iter_modules(__path__) if not info.name.startswith("_")):
        loaded = importlib.import_module(f"{__name__}.{module}")
        for name in vars(loaded):
            each = getattr(loaded, name)
            if isinstance(each, type) and issubclass(each, Event) and each.__module__ == loaded.__name__:
                kinds[each.kind] = each
        assert module.replace("_", "-") in kinds, f"{module}.py must hold the kind it is named by"
    return kinds


KINDS: Mapping[str, type[Event]] = MappingProxyType(_found())
