"""The day on which the tests happen, whatever day it is.

In: nothing. Out: a day after every day of the examples and of the tests' own visits, but for those that are to come.
Not here: the page's moments (page/serving.py).
"""

from __future__ import annotations

from datetime import date

TODAY = date(2026, 11, 28)
