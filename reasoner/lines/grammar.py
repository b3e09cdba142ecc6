"""The grammar of lines, read by an Earley parser: of all ways to take the tokens, the one with the fullest statements.

In: tokens. Out: the statements of a line, read twice: with a side rather before its reading, and rather behind it.
Not here: what a statement means, and what is done where the two readings differ.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import lru_cache
from pathlib import Path
from typing import Any

from lark import Lark, Token, Tree
from lark.lexer import Lexer

from reasoner.lines.said import Said

#: The cost of a side behind its reading, a little under and a little over that of one before it.
BEHIND = (99, 101)
PAUSES = ("PAUSE", "STOP")
#: Each statement, and the tokens one of which it begins with or rests on; a stretch without them cannot hold it.
ITEMS = {
    "graded": ("PLACE", "SIDE"), "trailing": ("PLACE",), "fronted": ("PLACE",), "behind": ("SIDE",), "backward": ("PLACE",),
    "named": ("PLACE", "SIDE"), "loose": ("NUMBER", "RANGE", "WORD", "NOTHING", "SORE", "SAME", "WHEN"),
    "passed": ("NOT_DONE", "VERB", "REASON"), "correction": ("NO", "MAKE"), "taken_back": ("SCRATCH",), "swapped": ("SWAP",),
    "doubted": ("DOUBTED",),
    "stated": ("STATED",), "unread": ("UNREAD",), "junk": ("UNKNOWN", "NO", "MAKE", "REASON"),
}  # fmt: skip
Statement = Tree[Token]


class _Tokens(Lexer):
    """Hands the tokens on as they are: they were made by the matcher."""

    def __init__(self, conf: Any) -> None:
        """Nothing of the configuration is needed."""

    def lex(self, lexer_state: Any, parser_state: Any = None) -> Iterator[Token]:
        """The tokens, each with what was said as its value."""
        for said in lexer_state:
            token = Token(said.kind, said.kind)
            token.value = said
            yield token


@lru_cache(maxsize=64)
def _parser(behind: int, items: tuple[str, ...]) -> Lark:
    text = Path(__file__).with_name("grammar.lark").read_text(encoding="utf-8")
    text = text.replace("@BEHIND@", str(behind)).replace("@ITEMS@", " | ".join(items))
    return Lark(text, parser="earley", lexer=_Tokens, ambiguity="resolve", priority="normal")


def statements(tokens: Sequence[Said], behind: int) -> list[Statement]:
    """The statements in order. Every line is one: what makes no statement stands as `junk`."""
    out: list[Statement] = []
    for stretch in _stretches(tokens):
        # No side could stand behind its reading in a stretch without one: both readings are then the same.
        cost = behind if any(said.kind == "SIDE" for said in stretch) else BEHIND[0]
        kinds = {said.kind for said in stretch}
        items = tuple(name for name, rests in ITEMS.items() if kinds & {*rests}) or ("junk",)
        parsed: Any = _parser(cost, items)  # it takes whatever its lexer takes: here a list of tokens
        tree = parsed.parse(stretch)
        out += [child for child in tree.children if isinstance(child, Tree)]
    return out


def _stretches(tokens: Sequence[Said]) -> Iterator[list[Said]]:
    """The line from pause to pause: no statement goes over one, and the parser's work grows faster than a stretch."""
    stretch: list[Said] = []
    for said in tokens:
        if said.kind in PAUSES and stretch:
            yield stretch
            stretch = []
        stretch.append(said)
    if stretch:
        yield stretch
