"""Hypothesis profiles: quick by default and the same every time, `REASONER_LAWS=thorough` for a long search.

In: the environment variable. Out: the profile in force.
Not here: fixtures of single rooms. No test writes into the folder of whoever runs it, and none goes by the day on which it runs.
"""

from __future__ import annotations

import os
from collections.abc import Iterator

import pytest
from hypothesis import HealthCheck, settings

from tests.day import TODAY

#: Importing the load tool turns every socket and thread of the process into its own kind.
collect_ignore = ["bench/page_people.py"]
SLOW = [HealthCheck.too_slow, HealthCheck.data_too_large, HealthCheck.large_base_example]
settings.register_profile("quick", max_examples=60, deadline=None, derandomize=True, print_blob=True, database=None,
                          suppress_health_check=SLOW)  # fmt: skip
settings.register_profile("thorough", max_examples=2000, deadline=None, print_blob=True, suppress_health_check=SLOW)
settings.load_profile(os.environ.get("REASONER_LAWS", "quick"))


@pytest.fixture(scope="session", autouse=True)
def _nobodys_own_folder(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """What a program keeps under this account (keys, records) is kept in a folder of the tests."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("XDG_DATA_HOME", str(tmp_path_factory.mktemp("data")))
        yield


@pytest.fixture(scope="session", autouse=True)
def _always_the_same_day() -> Iterator[None]:
    """Commands that are given in this process are given on the day of the tests: a visit of theirs has always come."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("reasoner.cli.clock.today", lambda: TODAY)
        yield
