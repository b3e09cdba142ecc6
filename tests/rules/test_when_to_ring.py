"""What is to be rung for while a veterinarian is awaited is rung for alike on every page.

In: the "while you wait" lines of every reason to call. Out: a page whose word differs. Not here: whether a call is right.
"""

from __future__ import annotations

import re

import pytest

from tests.asking import shipped

AT_ONCE, SAME_DAY = "at once", "the same day"
#: A sign, and when it is rung for. A horse that is seen to sway is an emergency by these rules themselves; one that gets plainly
#: worse on a leg while somebody is awaited is rung for at once, the stricter of what the pages said.
SIGNS = (
    (re.compile(r"\bsways?\b|\bunsteady\b|\bstumbles\b|\bknuckles\b"), AT_ONCE),
    (re.compile(r"\bplainly uneven\b|\bplainly worse\b|\bbecomes marked\b|uneven at the walk"), AT_ONCE),
    (re.compile(r"\btakes no weight\b|\bputting weight\b|\btaking weight\b"), AT_ONCE),
    (re.compile(r"\bbecomes uneven\b(?! at the walk)|\bsteps (?:become )?uneven\b"), SAME_DAY),
)
LINES = [(page.id, line) for page in shipped().book.concerns.values() for line in page.while_you_wait]


def told(line: str) -> list[tuple[str, str]]:
    """(the sign as the pattern names it, when to ring) of every part of a line that says when."""
    found = []
    for part in re.split(r"(?<=[.!?])\s+|;\s*", line):
        when = AT_ONCE if "at once" in part else SAME_DAY if "the same day" in part else ""
        # Where it says "again", the veterinarian was rung for already, and any new sign is told at once.
        if when and "ring" in line.casefold() and "again" not in part:
            found += [(pattern.pattern, when) for pattern, _ in SIGNS if pattern.search(part)]
    return found


@pytest.mark.parametrize(("page", "line"), LINES, ids=[f"{page}-{n}" for n, (page, _) in enumerate(LINES)])
def test_a_sign_is_rung_for_alike(page: str, line: str) -> None:
    meant = {pattern.pattern: when for pattern, when in SIGNS}
    for sign, when in told(line):
        assert when == meant[sign], f"{page}: {line}"


def test_every_sign_is_met_and_a_page_that_differs_is_seen() -> None:
    met = {sign for _, line in LINES for sign, _ in told(line)}
    assert met == {pattern.pattern for pattern, _ in SIGNS}
    assert told("If it sways or becomes uneven, ring the same day.") == [
        (SIGNS[0][0].pattern, SAME_DAY), (SIGNS[3][0].pattern, SAME_DAY),
    ]  # fmt: skip
