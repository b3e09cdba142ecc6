"""What an answer says of its rules and its steps, as rows: what each step answers, and which rules spoke for it.

In: the JSON answer of a visit. Out: rows of the tables `spoke` and `answered`, without their version.
Not here: keeping them. Answers kept before there were such tables are read by the step of migrations/ that made them.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any


def answered(answer: Mapping[str, Any]) -> Iterator[dict[str, Any]]:
    """A row for each conclusion that a step answers, with its kind and its certainty (-1 to 1) then. A plan names it by its
    words, which tell its side."""
    said = {(one["key"], one["words"]): one for one in answer["conclusions"]}
    for step in answer["plan"]["steps"]:
        for because in step["because"]:
            one = said.get((because["key"], because["words"]))
            if one is not None:
                yield {
                    "step": step["key"], "step_side": step["side"] or "", "conclusion": one["key"],
                    "side": one["side"] or "", "kind": one["kind"], "certainty": one["certainty"],
                }  # fmt: skip


def spoke(answer: Mapping[str, Any]) -> Iterator[dict[str, Any]]:
    """A row for each rule that spoke for a conclusion that a step answers: `share` is the weight it brought in (above 0),
    `strength` that of the rule then (above 0, at most 0.95)."""
    wanted = {(row["conclusion"], row["side"]) for row in answered(answer)}
    for one in answer["conclusions"]:
        side = one["side"] or ""
        for held in one["supporting"] if (one["key"], side) in wanted else ():
            yield {
                "conclusion": one["key"], "side": side, "rule": held["rule"], "strength": held["strength"],
                "share": held["share"],
            }  # fmt: skip
