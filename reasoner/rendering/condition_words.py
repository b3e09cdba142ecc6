"""A condition of a rule page in words, as a tree that a page can lay out and link.

In: a parsed condition and the rulebook. Out: `Said`, and one line of text from it.
Not here: layout, evaluation, the grammar (rulebook.conditions).
"""

from __future__ import annotations

import re

from reasoner.frozen import frozen
from reasoner.rendering.phrases import listed, plain
from reasoner.rendering.wording import full_name
from reasoner.rulebook.conditions import All, Condition, Leaf, Not
from reasoner.rulebook.rulebook import Rulebook

SIDES = {
    "this": "this side", "other": "the other side", "both": "both sides", "either": "either side",
    "left": "the left", "right": "the right",
}  # fmt: skip
_READINGS = {
    "first": "first reading", "settled": "settled reading", "worst": "worst reading",
    "after_work": "reading after work",
}  # fmt: skip
_LIMITS = {"at_least": "at least", "above": "above", "at_most": "at most", "below": "below"}
#: Where no noun follows, "the {side}" stands for a whole side: before a stop, or one of these small words.
_ENDS = (
    r"(?= side\b|[.,;:)]|$| (?:and|or|is|was|are|were|has|have|does|than|with|to|in|on|of|at|as|for|from|under|over|by|"
    r"before|behind|between|while|when|where|after|that|what|if|but|so|too|it|he|a|an|the|long ago|steady)\b)"
)


@frozen
class Said:
    """One part of a condition. A leaf has `name`, `rest` and the thing it asks (`kind`, `key`); a join has `head`, `parts`."""

    head: str = ""
    parts: tuple[Said, ...] = ()
    name: str = ""
    rest: str = ""
    kind: str = ""
    key: str = ""


def said(condition: Condition, book: Rulebook) -> Said:
    """A condition in words."""
    if isinstance(condition, Leaf):
        return _leaf(condition, book)
    if isinstance(condition, Not):
        return Said("recorded, and not so", (said(condition.part, book),))
    parts = tuple(said(part, book) for part in condition.parts)
    if len(parts) == 1:
        return parts[0]
    if isinstance(condition, All):
        return Said("all of", parts)
    return Said("any of" if condition.k == 1 else f"at least {condition.k} of", parts)


def one_line(part: Said) -> str:
    """The whole in one line, joins in brackets.

    >>> one_line(Said("all of", (Said(name="withers, this side", rest="sore"), Said(name="girth", rest="tight"))))
    'all of (withers, this side: sore; girth: tight)'
    """
    if part.parts:
        return f"{part.head} ({'; '.join(map(one_line, part.parts))})"
    return f"{part.name}: {part.rest}"


def by_side(text: str) -> str:
    """A page's sentence for a reader who has no horse in front of him: this side and the other.

    >>> by_side("The saddle comes to the {side}, and the {side} hind pushes off less.")
    "The saddle comes to this side, and this side's hind pushes off less."
    >>> by_side("The {side} stirrup and the {other} one; on the {other}.")
    "This side's stirrup and the other side's; on the other side."
    >>> by_side("The {side} of the neck, and a shim under its {side} bar")
    'This side of the neck, and a shim under its bar on this side'
    >>> by_side("Sore at the {place} on the {side}")
    'Sore at the place on this side'
    """
    text = _with_sides(_with_sides(text, "side", "this side"), "other", "the other side")
    return text.replace("the {place}", "the place").replace("The {place}", "The place").replace("{place}", "the place")


def _with_sides(text: str, word: str, whole: str) -> str:
    """The text with one of the two placeholders filled; a noun that follows it is that side's."""
    text = re.sub(rf"\b([Tt])he \{{{word}\}} (?=side\b)", lambda m: _cased(m[1], whole.removesuffix("side")), text)
    text = re.sub(rf"\b([Tt])he \{{{word}\}}{_ENDS}", lambda m: _cased(m[1], whole), text)
    text = re.sub(rf"\b([Tt])he \{{{word}\}}(?: one\b)?", lambda m: _cased(m[1], f"{whole}'s"), text)
    text = re.sub(rf"\b([Ii]ts) \{{{word}\}} ([a-z]+)", lambda m: f"{m[1]} {m[2]} on {whole}", text)
    return text.replace(f"{{{word}}}", whole)


def _cased(letter: str, text: str) -> str:
    return text[0].upper() + text[1:] if letter.isupper() else text


def _leaf(leaf: Leaf, book: Rulebook) -> Said:
    words = book.vocabulary
    side = SIDES.get(leaf.side, "")
    if leaf.of == "places":
        name = f"{leaf.how_many} or more places of {plain(leaf.subject)}" + (f", {side}" if side else "")
        return Said(name=name, rest=_touch(leaf))
    if leaf.of == "place":
        if leaf.subject == "this_place":
            return Said(name="this place", rest=_touch(leaf))
        name = full_name(leaf.subject, words.places[leaf.subject].name, words)
        return Said(name=_at(name, side), rest=_touch(leaf), kind="place", key=leaf.subject)
    if leaf.of == "conclusion":
        kind = "concern" if leaf.subject in book.concerns else "conclusion"
        band = (
            f"{plain(leaf.words[0])} pointers or more" if leaf.words else "raised" if kind == "concern" else "supported"
        )
        return Said(name=_at(plain(leaf.subject), side), rest=band, kind=kind, key=leaf.subject)
    observation = words.observations[leaf.subject]
    name = full_name(observation.key, observation.name, words)
    if leaf.of in ("choice", "side"):
        rest = listed((SIDES.get(w, plain(w)) for w in leaf.words), "or")
    elif leaf.of == "number":
        unit = "" if observation.unit in ("", "count") else f" {observation.unit}"
        rest = f"{_LIMITS.get(leaf.test, leaf.test)} {leaf.value:g}{unit}"
    else:
        rest = f"{plain(leaf.test)} {leaf.value:g} days"
    return Said(name=_at(name, side), rest=rest, kind="observation", key=leaf.subject)


def _at(name: str, side: str) -> str:
    return f"{name}, {side}" if side else name


def _touch(leaf: Leaf) -> str:
    words = listed(map(plain, leaf.words), "or")
    told = {
        "at_least": f"at least {leaf.value:g} of 10" if leaf.value is not None else "",
        "ramp": words,
        "response": f"answers with {words}",
        "felt": f"felt {words}",
        "depth": "sore at the surface" if words == "surface" else f"sore {words}",
        "touch": f"to a {words} touch",
        "guarded": "would not allow touch",
        "unsettled": "not settled yet",
    }[leaf.test]
    if leaf.test == "ramp" and leaf.words == ("more",):
        told = "more than on the opposite side"
    reading = _READINGS.get(leaf.reading, "")
    return f"{told} ({reading})" if reading else told
