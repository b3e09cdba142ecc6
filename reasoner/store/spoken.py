"""What an answer says of its rules and its steps, as rows: which rules spoke, and what each step answers.

In: the JSON answer of a visit. Out: rows of the tables `spoke` and `answered`, without their version.
Not here: keeping them. Answers kept before there were such tables are read by the step of migrations/ that made them.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any


def spoke(answer: Mapping[str, Any]) -> Iterator[dict[str, Any]]:
    """A row for each rule that brought weight to a conclusion of which something is said (a band but "none"): `share` is
    above 0 for it and below 0 against it; `strength` is that of the rule then, from -0.95 to 0.95."""
    for one in (found for found in answer["conclusions"] if found["band"] != "none"):
        for held in (*one["supporting"], *one["opposing"]):
            yield {
                "conclusion": one["key"], "side": one["side"] or "", "rule": held["rule"], "strength": held["strength"],
                "share": held["share"],
            }  # fmt: skip


def answered(answer: Mapping[str, Any]) -> Iterator[dict[str, Any]]:
    """A row for each conclusion that a step answers. A plan names it by its words, which tell its side."""
    sides = {(one["key"], one["words"]): one["side"] or "" for one in answer["conclusions"]}
    for step in answer["plan"]["steps"]:
        for because in step["because"]:
            side = sides.get((because["key"], because["words"]))
            if side is not None:
                yield {
                    "step": step["key"], "step_side": step["side"] or "", "conclusion": because["key"], "side": side
                }  # fmt: skip
