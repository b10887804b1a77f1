"""Prints the list of checks against published figures, with their sources, at the end of a run of `-m published`."""

from __future__ import annotations

import pytest
from hypothesis import settings

settings.register_profile("busy machine", deadline=None)
settings.load_profile("busy machine")

_checks: dict[str, list[str]] = {}


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    for item in items:
        for mark in item.iter_markers("published"):
            if mark.args:
                _checks.setdefault(item.nodeid.split("[")[0], [str(mark.args[0])])


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter, config: pytest.Config) -> None:
    wanted = config.getoption("markexpr") or ""
    if "published" not in wanted or "not published" in wanted:
        return
    outcomes: dict[str, list[str]] = {}
    for state in ("passed", "failed", "error"):
        for report in terminalreporter.stats.get(state, []):
            outcomes.setdefault(report.nodeid.split("[")[0], []).append(state)
    terminalreporter.section("checks against published figures")
    for nodeid, sources in sorted(_checks.items()):
        states = outcomes.get(nodeid, [])
        if not states:
            continue
        word = "ok" if set(states) == {"passed"} else "FAILED"
        name = nodeid.rsplit("::", 1)[-1].removeprefix("test_").replace("_", " ")
        terminalreporter.write_line(f"{word:6} {len(states):3} x {name}: {'; '.join(sources)}")
