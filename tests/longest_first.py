"""Files with long tests begin first, so that no process is left alone with one at the end; small ones fill what is left."""

from collections import Counter

import pytest


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """Only where several processes share the tests. What is costly to start is shared in a folder, so it stays together."""
    if hasattr(config, "workerinput"):
        items[:] = in_order(items)


def in_order(items: list[pytest.Item]) -> list[pytest.Item]:
    """First the folders and files that have long tests, as collected, then those with the most tests."""
    tests = Counter(item.path for item in items)
    long = {item.path for item in items if item.get_closest_marker("long")}
    together = {path.parent for path in tests if path.parent.name == "browser"}

    def place(item: pytest.Item) -> tuple[bool, int]:
        first = item.path in long or item.path.parent in together
        return (False, 0) if first else (True, -tests[item.path])

    return sorted(items, key=place)
