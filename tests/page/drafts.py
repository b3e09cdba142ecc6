"""Visits as a telephone sends them, for the tests of the page.

In: nothing. Out: drafts as JSON-ready data.
Not here: the application.
"""

from __future__ import annotations

from typing import Any

FROM_PAGE = {"X-From-Page": "1"}
DRAFT = "7c9b1d8e-52f0-4a87-9a6e-0d3f5a1b2c3d"


def sore(draft: str = DRAFT, name: str = "Bramble") -> dict[str, Any]:
    """A horse that answers at the loin and behind the shoulder blade, more on one side."""
    return {
        "draft": draft,
        "visit": "2026-11-28",
        "entries": {
            "name": name, "yard": "Larkhope", "examined_by": "Wren Aldous", "breathing": "easy", "gums": "pink",
            "discharge": "none", "feet_and_pulses": "cool and quiet", "ten_steps_of_walk": "even", "wound": "none",
            "fore_step": {"left": "even", "right": "even"},
        },
        "palpation": {
            "loin": {"left": {"soreness": "6", "response": ["flinches"]}, "right": {"soreness": "2"}},
            "behind_the_shoulder_blade": {"left": {"soreness": "5"}, "right": {"soreness": "0"}},
            "breastbone": {"middle": {"soreness": "1"}},
            "stifle": {"left": {"not_examined": "no time"}},
        },
        "quiet": {"head": "both", "neck": "left"},
        "notes": ["the girth was changed in spring: \"new\", it's said", "#second line"],
    }  # fmt: skip
