"""On a CI machine everything a test needs is there, so a test that was skipped counts as failed."""

import os
from collections.abc import Mapping

import pytest


def is_ci(variables: Mapping[str, str] = os.environ) -> bool:
    """The run is a machine's: CI is set, and not to a word for no."""
    return variables.get("CI", "").lower() not in {"", "0", "false", "no"}


class NoSkips:
    """Notes what was skipped, here and in the processes of pytest-xdist, and then fails the run."""

    def __init__(self) -> None:
        self.skipped: list[str] = []

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        """An expected failure is reported as skipped too, but it ran."""
        if report.skipped and not hasattr(report, "wasxfail"):
            self.skipped.append(report.nodeid)

    def pytest_collectreport(self, report: pytest.CollectReport) -> None:
        """A whole file can be skipped before any test of it is known."""
        if report.skipped:
            self.skipped.append(report.nodeid)

    @pytest.hookimpl(tryfirst=True)
    def pytest_sessionfinish(self, session: pytest.Session, exitstatus: int) -> None:
        """Only a run that would pass is turned; a worse exit status stays."""
        if self.skipped and exitstatus in {pytest.ExitCode.OK, pytest.ExitCode.NO_TESTS_COLLECTED}:
            session.exitstatus = pytest.ExitCode.TESTS_FAILED

    def pytest_terminal_summary(self, terminalreporter: pytest.TerminalReporter) -> None:
        """The reasons stand above already."""
        if self.skipped:
            terminalreporter.section("skipped, which fails this run because CI is set", red=True)
            for name in self.skipped:
                terminalreporter.line(name)


def pytest_configure(config: pytest.Config) -> None:
    """The processes of pytest-xdist only report; the one that sums up judges."""
    if is_ci() and not hasattr(config, "workerinput"):
        config.pluginmanager.register(NoSkips(), "no_skips")
