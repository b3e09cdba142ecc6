"""How two hands agree, made ready for a page: the lines of `reasoner agree`, the picture, the hand's own error.

In: pairs of visits by the same two hands, what earlier visits say, the rules. Out: a `ToldOfHands`, plain enough to come from
another process.
Not here: which pairs (routes/agreeing), working out (teaching.compared), words (rendering).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import cast

from reasoner.frozen import frozen
from reasoner.problems import BadInput
from reasoner.rendering.agreement_text import agreement_lines
from reasoner.rendering.limits_picture import limits_picture
from reasoner.rendering.reading_error_layer import error_of, layer_text, own_error_lines
from reasoner.rendering.text_page import Line
from reasoner.rulebook.measures.agreement import AgreementTable
from reasoner.rules_cache import Ready
from reasoner.teaching.compared import Compared, Earlier, compared
from reasoner.visit.model import Visit

Pairs = Sequence[tuple[Visit, Visit]]
#: Hints at the command line, which nobody on a page has before them: what a line that ends so is cut to, or left out as.
_COMMANDS = (": reasoner assess",)
_ONLY_COMMANDS = ("--moved follows",)


@frozen(kw_only=True)
class ToldOfHands:
    """The page's title and lines, Bland and Altman's picture (empty: too few places), the layer of rules with the hand's own
    error (empty: two hands, or too little), and whether the answers differ in anything that could be followed."""

    title: str
    lines: tuple[Line, ...]
    picture: str
    layer: str
    differs: bool


def told_of_hands(rules: Ready, pairs: Pairs, earlier: Earlier, *, follow: bool) -> ToldOfHands:
    """Compare, and say it. `follow`: to the readings behind what differs, which takes seconds."""
    book = rules.book
    table = cast(AgreementTable, book.measures["agreement"])
    found = compared(pairs, rules, table, follow=follow, earlier=earlier)
    error = book.scales.reading_error
    own = () if found.wavering is None else own_error_lines(found.wavering, error, table)
    lines = [_without_commands(line) for line in agreement_lines(found, book, table, own)
             if not line.text.startswith(_ONLY_COMMANDS)]  # fmt: skip
    title = next((line.text for line in lines if line.role == "title"), "")
    return ToldOfHands(
        title=title, lines=tuple(line for line in lines if line.role != "title"), picture=limits_picture(found.agreement),
        layer=_layer(found, rules, table), differs=any(found.apart),
    )  # fmt: skip


def _layer(found: Compared, rules: Ready, table: AgreementTable) -> str:
    if found.wavering is None:
        return ""
    shown = "reading_error.yaml"
    try:
        return layer_text(
            found.wavering, error_of(found.wavering, rules.book.scales.reading_error, table, shown), None, shown
        )
    except BadInput:
        return ""  # too little, which the lines say


def _without_commands(line: Line) -> Line:
    for command in _COMMANDS:
        line = replace(line, text=line.text.removesuffix(command))
    return line
