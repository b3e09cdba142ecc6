"""What a line gave, beside what it ought to have given, in the one form of the cases.

In: a case and what was understood. Out: where they differ, and whether a side was silently wrong.
Not here: the lines, the parser.
"""

from __future__ import annotations

from dataclasses import dataclass

from reasoner.lines import Finding, PassedOver, Understood
from reasoner.lines.writing import plain_readings
from reasoner.rulebook.strict_yaml import Node
from reasoner.rulebook.vocabulary import Vocabulary
from tests.lines.cases import Case, Entered, LeftOut, Target, entered, left_out, places_of, read_reading, sides_at


@dataclass
class Verdict:
    """`wrong`: what differs, by kind; `silent`: findings on another side than the expected one, with no question."""

    wrong: dict[str, str]
    silent: list[str]

    @property
    def right(self) -> bool:
        """Whether everything matches."""
        return not self.wrong


def judged(case: Case, told: Understood, words: Vocabulary) -> Verdict:
    """The differences, in words."""
    wrong: dict[str, str] = {}
    found, expected = _entered(told, words), entered(case, words)
    if found != expected:
        wrong["finds"] = f"{_shown(found - expected)} instead of {_shown(expected - found)}"
    passed, out = _left_out(told, words), left_out(case, words)
    if passed != out:
        wrong["not_examined"] = f"{sorted(passed - out)} instead of {sorted(out - passed)}"
    asked = sorted((q.ask, tuple(map(_low, q.about))) for q in told.questions)
    wanted = sorted((q.kind, tuple(map(_low, q.about))) for q in case.asks)
    if asked != wanted:
        wrong["asks"] = f"{asked} instead of {wanted}"
    for question in case.asks:
        same = [
            q
            for q in told.questions
            if q.ask == question.kind and [*map(_low, q.about)] == [*map(_low, question.about)]
        ]
        if same and not {*question.offers} <= {*same[0].offers}:
            wrong["offers"] = f"{same[0].offers} without some of {question.offers}"
    kept, keep = sorted(map(_low, told.kept)), sorted(map(_low, case.kept))
    if kept != keep:
        wrong["kept"] = f"{kept} instead of {keep}"
    return Verdict(wrong, silent_sides(case, told, words))


def silent_sides(case: Case, told: Understood, words: Vocabulary) -> list[str]:
    """Findings entered on a side on which the line found nothing of that place."""
    expected: dict[str, set[str]] = {}
    wanted = entered(case, words)
    for key, side, _ in wanted:
        expected.setdefault(key, set()).add(side)
    asked = {about for q in case.asks if q.kind == "side" for about in q.about}
    out = []
    out += _silently_left_out(case, told, words)
    for key, side, value in _entered(told, words):
        other = {"left": "right", "right": "left"}.get(side, "")
        if (key, other, value) in wanted and (key, side, value) not in wanted:
            out.append(f"{key} {side}, what was said of the {other}")
        elif side in ("left", "right") and side not in expected.get(key, {side} if key not in asked else set()):
            out.append(f"{key} {side}")
        elif not side and value in ("left", "right"):
            right = {v for k, _, v in entered(case, words) if k == key}
            if right and value not in right:
                out.append(f"{key} {value}")
    return out


def _silently_left_out(case: Case, told: Understood, words: Vocabulary) -> list[str]:
    """What was left out on a side that was not said, where the line says that the other one was."""
    expected: dict[str, set[str]] = {}
    for key, side, _ in left_out(case, words):
        expected.setdefault(key, set()).add(side)
    return [
        f"{key} {side} left out" for key, side, _ in _left_out(told, words) if side not in expected.get(key, {side})
    ]


def _entered(told: Understood, words: Vocabulary) -> frozenset[Entered]:
    spots: dict[tuple[str, str], list[Finding]] = {}
    for finding in told.findings:
        spots.setdefault((finding.key, _side(finding)), []).append(finding)
    return frozenset((key, side, _value(some, words)) for (key, side), some in spots.items())


def _side(finding: Finding) -> str:
    return finding.side or ("middle" if finding.kind == "place" else "")


def _value(some: list[Finding], words: Vocabulary) -> object:
    finding = some[0]
    target = Target(
        kind="at" if finding.kind == "place" else "entry", key=finding.key, side=_side(finding),
        reading=_node(plain_readings(some)),
    )  # fmt: skip
    return read_reading(target, words)


def _node(plain: object) -> Node:
    if isinstance(plain, dict):
        return Node({key: (Node(key, 1), _node(value)) for key, value in plain.items()}, 1)
    if isinstance(plain, list):
        return Node([_node(value) for value in plain], 1)
    return Node(str(plain), 1)


def _left_out(told: Understood, words: Vocabulary) -> frozenset[LeftOut]:
    out: set[LeftOut] = set()
    for one in told.not_examined:
        out |= _spread(one, words)
    return frozenset(out)


def _spread(one: PassedOver, words: Vocabulary) -> set[LeftOut]:
    kind = {"place": "at"}.get(one.kind, one.kind)
    target = Target(
        kind=kind, key=one.key, side=one.side or ("middle" if one.kind == "place" else ""), reason=one.reason
    )
    return {
        (key, side, one.reason)
        for key in places_of(target, words, all_of_region=True)
        for side in sides_at(target, key, words)
    }


def _shown(some: frozenset[Entered]) -> str:
    return str(sorted(map(str, some)))


def _low(text: object) -> str:
    return " ".join(str(text).casefold().split()).strip(" ,.;")
