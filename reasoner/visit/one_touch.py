"""One reading of the hand: a number, a refusal, a reason for passing over, or a mapping that says more.

In: what stands behind a place (or behind one of its sides). Out: `Touch` entries for first, settled and after work.
Not here: places and sides, what a reading means.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from decimal import Decimal

from reasoner.rulebook.strict_yaml import Node
from reasoner.rulebook.vocabulary import canonical
from reasoner.visit.model import Touch, When
from reasoner.visit.reader import Reader, fields, listed, one_of, plain, quote

_ONE_TIME = fields(soreness="is sore", response="responses", felt="", depth="", touch="", note="notes")
FIELDS = _ONE_TIME | fields(once_settled="settled when_settled", after_work="after afterwards")
LATER: dict[str, When] = {"once_settled": "settled", "after_work": "after_work"}

_SCORE = r"(-?[0-9]{1,12}(?:\.[0-9]{1,12})?)(?:\s*(?:/|of|out of)\s*10)?"
_NOT_EXAMINED = r"not[\s_-]*examined(?![^\W_])[\s_:,(‐-―-]*(.*?)\)?"
#: Words that say there was nothing, and so cannot stand beside another.
_ALONE = ("none", "nothing")
_REFUSED = "would_not_allow"
_EXPECTED = "a number from 0 to 10, would not allow touch, or not examined with a reason"


class _Value:
    """What a bare reading says."""

    def __init__(self, soreness: Decimal | None = None, refused: bool = False, not_examined: str | None = None) -> None:
        self.soreness, self.refused, self.not_examined = soreness, refused, not_examined


def read_touch(reader: Reader, node: Node, place: str, what: str) -> Iterator[Touch]:
    """The readings of one place and side (the side is left to the caller), first before settled before after work."""
    if not isinstance(node.value, dict):
        touch = _one_time(reader, node, place, what, "first")
        if touch is not None:
            yield touch
        return
    parts = reader.mapping(node, FIELDS, what)
    later = [(LATER[name], pair) for name, pair in parts.items() if name in LATER]
    now = {name: pair for name, pair in parts.items() if name not in LATER}
    if now or not later:
        touch = _from_parts(reader, now, node, place, what, "first", complete=len(parts) == len(node.value))
        if touch is not None:
            yield touch
    for when, (key_node, value) in later:
        touch = _one_time(reader, value, place, f"{what}, {plain(canonical(key_node.text or ''))}", when)
        if touch is not None:
            yield touch


def _one_time(reader: Reader, node: Node, place: str, what: str, when: When) -> Touch | None:
    if isinstance(node.value, dict):
        parts = reader.mapping(node, _ONE_TIME, what)
        return _from_parts(reader, parts, node, place, what, when, complete=len(parts) == len(node.value))
    value = read_bare(reader, node, what)
    if value is None:
        return None
    return Touch(
        place=place, side=None, when=when, soreness=value.soreness, refused=value.refused,
        not_examined=value.not_examined, line=node.line,
    )  # fmt: skip


def _from_parts(
    reader: Reader,
    parts: dict[str, tuple[Node, Node]],
    node: Node,
    place: str,
    what: str,
    when: When,
    *,
    complete: bool,
) -> Touch | None:
    """A reading from its fields. `complete`: no field was dropped as unknown, so that emptiness is the writer's."""
    before = len(reader.problems)
    value = read_bare(reader, parts["soreness"][1], what) if "soreness" in parts else _Value()
    responses = _qualities(reader, parts, "response", "responses", what)
    felt = _qualities(reader, parts, "felt", "felt", what)
    depth = _quality(reader, parts, "depth", what)
    touch = _quality(reader, parts, "touch", what)
    note = reader.free_text(parts["note"][1], f"{what}, note") if "note" in parts else ""
    if value is None or len(reader.problems) > before:
        return None
    line = next(iter(parts.values()))[0].line if parts else node.line
    if "soreness" in parts:
        line = parts["soreness"][1].line
    if value.not_examined is not None and (responses or felt or depth or touch):
        reader.say(line, "VF14", f"{what}: not examined, and yet something was felt or answered there.")
        return None
    if value.soreness is None and not value.refused and value.not_examined is None and not responses and not felt:
        if complete:
            reader.say(line, "VF21", f"{what}: nothing is said of this place.", f"Expected soreness ({_EXPECTED}).")
        return None
    return Touch(
        place=place, side=None, when=when, soreness=value.soreness, responses=responses, felt=felt, depth=depth,
        touch=touch, refused=value.refused or _REFUSED in (responses or ()), not_examined=value.not_examined,
        line=line, note=note,
    )  # fmt: skip


def read_bare(reader: Reader, node: Node, what: str) -> _Value | None:
    """A number, `would not allow touch`, or `not examined - reason`."""
    text = reader.word(node, what)
    if text is None:
        return None
    score = re.fullmatch(_SCORE, text)
    if score is not None:
        number = read_score(reader, node, score[1], what)
        return None if number is None else _Value(soreness=number)
    word = canonical(text)
    response = reader.vocabulary.quality("responses").get(word)
    if word == "would_not_allow_touch" or response == _REFUSED:
        return _Value(refused=True)
    passed_over = re.fullmatch(_NOT_EXAMINED, text, re.IGNORECASE | re.DOTALL)
    if passed_over is not None:
        reason = _reason(reader, node, passed_over[1], what)
        return None if reason is None else _Value(not_examined=reason)
    hint = f"Write {{soreness: .., response: {plain(response)}}}." if response else ""
    if response == _ALONE[0]:
        hint = "A place that was quiet is 0."
    if word in reader.vocabulary.quality("felt") and not response:
        hint = f"Write {{soreness: .., felt: {plain(word)}}}."
    sentence = f"{what}: {quote(text)} is not a soreness; expected {_EXPECTED}."
    reader.unknown(node.line, "VF11", text, sentence, ("would not allow touch", "not examined"), hint)
    return None


def read_score(reader: Reader, node: Node, text: str, what: str) -> Decimal | None:
    """A number from 0 to 10 in whole or half steps."""
    number = Decimal(text)
    if not 0 <= number <= 10:
        reader.say(node.line, "VF11", f"{what}: {quote(text)} is outside the scale; soreness runs from 0 to 10.")
    elif number % Decimal("0.5"):
        reader.say(
            node.line, "VF11", f"{what}: {quote(text)} is finer than the scale; expected whole or half steps (4.5)."
        )
    else:
        return abs(number)  # -0 is 0
    return None


def _reason(reader: Reader, node: Node, text: str, what: str) -> str | None:
    reasons = reader.vocabulary.quality("not_examined_reasons")
    reason = reasons.get(canonical(text))
    if reason is None:
        expected = one_of(plain(word.key) for word in reader.vocabulary.qualities["not_examined_reasons"])
        read = f"{quote(text)} is no reason known here" if text.strip() else "the reason is missing"
        sentence = f"{what}: not examined, but {read}; expected {expected}."
        reader.unknown(node.line, "VF13", text, sentence, reasons)
    return reason


def _qualities(
    reader: Reader, parts: dict[str, tuple[Node, Node]], name: str, quality: str, what: str
) -> tuple[str, ...] | None:
    """One word or a list of words of a quality, each once, in the order written."""
    if name not in parts:
        return None
    node = parts[name][1]
    items = node.value if isinstance(node.value, list) else [node]
    if not items:
        reader.say(node.line, "VF21", f"{what}, {name}: the list is empty.")
    keys = [_word(reader, item, quality, f"{what}, {name}") for item in items]
    words = tuple(dict.fromkeys(key for key in keys if key is not None))
    if len(words) > 1 and (lone := next((w for w in words if w in _ALONE), None)):
        others = listed((plain(w) for w in words if w != lone), "and")
        reader.say(
            node.line, "VF14", f"{what}, {name}: {quote(plain(lone))} stands beside {others}.", "Keep one of them."
        )
    return words or None


def _quality(reader: Reader, parts: dict[str, tuple[Node, Node]], name: str, what: str) -> str | None:
    return _word(reader, parts[name][1], name, f"{what}, {name}") if name in parts else None


def _word(reader: Reader, node: Node, quality: str, what: str) -> str | None:
    text = reader.word(node, what)
    if text is None:
        return None
    known = reader.vocabulary.quality(quality)
    key = known.get(canonical(text))
    if key is None:
        expected = one_of(plain(word.key) for word in reader.vocabulary.qualities[quality])
        reader.unknown(
            node.line, "VF12", text, f"{what}: {quote(text)} is not a word here; expected {expected}.", known
        )
    return key
