"""One visit's judgement in the words of the table out, made by the road of a single visit.

In: an `Answer`, or rows of results. Out: plain sets and dictionaries that can be compared.
Not here: passing or failing.
"""

from __future__ import annotations

from typing import Any

from reasoner.consult import Answer


def by_itself(answer: Answer) -> dict[str, Any]:
    """What a visit comes to when it is judged alone."""
    record = answer.record
    spoken = {key: record.certainty(*key) for key in record.conclusions if record.certainty(*key) != 0.0}
    scales = answer.ready.book.scales
    return {
        "referral": answer.referral.level,
        "certainty": spoken,
        "band": {key: scales.band(c) for key, c in spoken.items()},
        "concern": {(k, s, p): answer.ready.book.concerns[k].call for _, k, s, p, _ in record.raised()},
        "step": set(answer.plan.standing),
        "not today": {(one.key, one.side) for one in answer.plan.withheld},
    }


def by_table(rows: list[dict[str, Any]]) -> dict[str, Any]:
    """The same from the rows of one visit."""

    def key(row: dict[str, Any]) -> tuple[str, str]:
        return row["name"], row["side"] or ""

    conclusions = [row for row in rows if row["kind"] == "conclusion"]
    return {
        "referral": next(row["band"] for row in rows if row["kind"] == "referral"),
        "certainty": {key(row): row["certainty"] for row in conclusions},
        "band": {key(row): row["band"] for row in conclusions},
        "concern": {(*key(row), row["place"] or ""): row["band"] for row in rows if row["kind"] == "concern"},
        "step": {key(row) for row in rows if row["band"] == "step"},
        "not today": {key(row) for row in rows if row["band"] == "not today"},
    }


def of_visit(table: Any, called: str) -> list[dict[str, Any]]:
    """The rows of one visit."""
    return [row for row in table.to_pylist() if row["visit"] == called]
