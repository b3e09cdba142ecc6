"""Hypothesis profiles: quick by default and the same every time, `REASONER_LAWS=thorough` for a long search.

In: the environment variable. Out: the profile in force.
Not here: fixtures of single rooms.
"""

from __future__ import annotations

import os

from hypothesis import HealthCheck, settings

SLOW = [HealthCheck.too_slow, HealthCheck.data_too_large, HealthCheck.large_base_example]
settings.register_profile("quick", max_examples=60, deadline=None, derandomize=True, print_blob=True, database=None,
                          suppress_health_check=SLOW)  # fmt: skip
settings.register_profile("thorough", max_examples=2000, deadline=None, print_blob=True, suppress_health_check=SLOW)
settings.load_profile(os.environ.get("REASONER_LAWS", "quick"))
