"""Which pieces of a line are kept as a note, word for word: those that nothing was made of.

In: pieces, tokens and what was heard. Out: pieces of the line's text; the clauses that are only kept.
Not here: what is done with a note.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from reasoner.lines.drafts import Draft
from reasoner.lines.heard import Heard
from reasoner.lines.pieces import Piece
from reasoner.lines.said import Said
from reasoner.lines.words import Word


class Clauses:
    """The line from pause to pause, as the tokens divide it."""

    def __init__(self, line: str, words: Sequence[Word], pieces: Sequence[Piece], tokens: Sequence[Said]) -> None:
        self.line, self.words, self.pieces, self.tokens = line, words, pieces, tokens
        self.ranges: list[tuple[int, int]] = []
        begin = 0
        for token in tokens:
            if token.kind in ("PAUSE", "STOP"):
                self.ranges.append((begin, token.first))
                begin = token.last
        self.ranges.append((begin, len(words)))

    def text(self, first: int, last: int) -> str:
        """The line's own text from one word to before another."""
        if last <= first or not self.words:
            return ""
        return self.line[self.words[first].start : self.words[last - 1].end]

    def of(self, number: int) -> str:
        """The text of one clause."""
        return self.text(*self._trimmed(*self.ranges[number]))

    def says(self, number: int, some: Sequence[str]) -> bool:
        """Whether one of these words is said in a clause."""
        return any(word.text in some for word in self.words[slice(*self.ranges[number])])

    def corrections(self) -> set[int]:
        """The clauses in which a word of correction stands with a side."""
        return {
            number for number, (first, last) in enumerate(self.ranges)
            if all(any(p.may_be(*kinds) for p in self.pieces if first <= p.first < last)
                   for kinds in (("correct_no", "correct_make"), ("side", "other_side")))
        }  # fmt: skip

    def torn(self) -> list[tuple[int, int]]:
        """Stretches without a pause, of one place, in which a number stands between two sides and sides and numbers do not go in
        pairs: first and last word."""
        out: list[tuple[int, int]] = []
        stretch: list[Said] = []
        for token in [*self.tokens, Said("STOP", None, len(self.words), len(self.words))]:
            if token.kind in ("PAUSE", "STOP", "JOIN"):
                out += _torn(stretch)
                stretch = []
            else:
                stretch.append(token)
        return out

    def sides_kept_behind(self, draft: Draft, drafts: Sequence[Draft], silent: set[int]) -> set[str]:
        """The sides that are named in what is only kept, behind this draft and before the next place: of them something was said
        that nobody understood."""
        ends = min(
            (d.clause for d in drafts if d.clause > draft.clause and d.about != draft.about), default=len(self.ranges)
        )
        spans = [self.ranges[n] for n in silent if draft.clause < n < ends]
        named = [p for first, last in spans for p in self.pieces if first <= p.first < last]
        if any(p.may_be("place", "several", "region", "entry", "stated") for p in named):
            return set()
        return {m.key for p in named for m in p.meanings if m.kind == "side" and m.key in ("left", "right")}

    def kept(self, heard: Heard) -> tuple[list[str], set[int]]:
        """The pieces to keep, and the clauses of which nothing else is made."""
        out: list[tuple[int, str]] = []
        silent: set[int] = set()
        for number, (begin, end) in enumerate(self.ranges):
            first, last = self._trimmed(begin, end)
            idle = [] if heard.drafts else heard.idle
            junk = [(a, b) for a, b, clause in [*heard.junk, *idle] if clause == number]
            inside = [p for p in self.pieces if first <= p.first < last]
            told = self._told(heard, number)
            strange = [p for p in inside if p.unknown or (p.may_be("comment") and not p.may_be("filler"))]
            if not told and (junk or strange) and last > first:
                silent.add(number)
                out.append((first, self.text(first, last)))
            elif told and number in heard.whole_notes:
                out.append((first, self.text(first, last)))
            elif told:
                out += [(a, self.text(a, b)) for a, b in self._runs(junk, inside, heard, number)]
        return [text for _, text in sorted(out) if text], silent

    def _trimmed(self, begin: int, end: int) -> tuple[int, int]:
        """Without a filler "right" at its start, and without joints at either end."""
        inside = [p for p in self.pieces if begin <= p.first < end]
        while inside and inside[0].may_be("break", "join", "right_filler", "dropped"):
            begin = inside.pop(0).last
        while inside and inside[-1].may_be("join", "right_filler", "dropped"):
            end = inside.pop().first
        return begin, end

    def _told(self, heard: Heard, number: int) -> bool:
        """Whether this clause says something by itself: a place or entry with a reading, or what was left out."""
        junk = any(clause == number for *_, clause in heard.junk)
        strange = any(
            p.unknown or (p.may_be("comment") and not p.may_be("filler"))
            for p in self.pieces if self.ranges[number][0] <= p.first < self.ranges[number][1]
        )  # fmt: skip
        for draft in heard.drafts:
            if draft.clause == number and draft.values.counted and draft.side and self._said_first(draft, heard):
                return True
            if draft.clause == number:
                asked = (draft.verb or draft.unread) and not (junk or strange)
                said = not draft.values.empty or draft.value or asked
                if (draft.own and said) or (
                    not junk and (draft.own or not draft.values.empty) and (said or not strange)
                ):
                    return True
        if any(one.clause == number and (one.spot or one.entry or not junk) for one in heard.left_out):
            return True
        return number in heard.handled

    def _said_first(self, draft: Draft, heard: Heard) -> bool:
        """ "Right nothing, and swished his tail": whether all that nobody understood stands behind an "and" behind the values."""
        begin, end = self.ranges[draft.clause]
        strange = [a for a, _, clause in heard.junk if clause == draft.clause]
        strange += [p.first for p in self.pieces if begin <= p.first < end and p.unknown]
        told = max(one.last for one in heard.drafts if one.clause == draft.clause)
        behind = next((p for p in self.pieces if p.first == told), None)
        return bool(strange) and min(strange) >= told and behind is not None and behind.may_be("join") is not None

    def _runs(
        self, junk: Sequence[tuple[int, int]], inside: Sequence[Piece], heard: Heard, number: int
    ) -> list[tuple[int, int]]:
        """Stretches of words nothing was made of, with the small words among them."""
        used = {at for token in self.tokens if token.kind not in ("UNKNOWN",) for at in range(token.first, token.last)}
        junked = {at for a, b in junk for at in range(a, b)}
        out: list[list[Piece]] = [[]]
        for piece in inside:
            if piece.first in used and piece.first not in junked:
                out.append([])
            else:
                out[-1].append(piece)
        runs = []
        for run in out:
            while run and not self._strange(run[0], junked):
                run.pop(0)
            while run and not self._strange(run[-1], junked) and run[-1].may_be("join", "break", "dropped"):
                run.pop()
            if any(piece.first in junked for piece in run):
                runs.append((run[0].first, run[-1].last))
        return runs

    def _strange(self, piece: Piece, junked: set[int]) -> bool:
        return piece.first in junked or bool(piece.may_be("comment"))


def _torn(stretch: Sequence[Said]) -> list[tuple[int, int]]:
    if any(
        token.kind in ("NOT_DONE", "VERB", "NO", "MAKE", "STATED", "UNREAD", "SWAP", "SCRATCH", "DOUBTED")
        for token in stretch
    ):
        return []
    places = [n for n, token in enumerate(stretch) if token.kind == "PLACE"]
    # What stands before the first place belongs to it, or to the one that was open; a side right before a place, to that.
    begins = [0, *(n - (stretch[n - 1].kind == "SIDE") for n in places[1:])]
    out = []
    for begin, end in zip(begins, [*begins[1:], len(stretch)], strict=True):
        group = stretch[begin:end]
        same = {n for n, t in enumerate(group) if t.kind == "SAME"}
        told = same | {
            n + step for n in same for step in (-1, 1) if 0 <= n + step < len(group) and group[n + step].kind == "SIDE"
        }
        group = [t for n, t in enumerate(group) if n not in told] or group[:1]  # "same on the right" has its side
        kinds = [t.kind for t in group]
        while kinds[:1] == ["WORD"] and kinds[kinds.count("WORD") :][:2] == ["SIDE", "PLACE"]:
            group, kinds = group[1:], kinds[1:]  # "flinched, the left loin, six"
        marks = "".join(
            {"SIDE": "s", "NUMBER": "n", "NOTHING": "n", "RANGE": "n", "SAME": "n", "WORD": "w"}.get(t.kind, "")
            for t in group
        )
        marks = re.sub("(?<=n)w+|w+(?=n)", "", marks).replace("w", "n")
        marks = (
            marks[1:] if marks.startswith("ss") else marks
        )  # "right trap left three": the first only opens the mouth
        pairs = re.fullmatch("(sn)+|(ns)+", marks)
        if marks.count("s") >= 2 - (marks.count("n") > 1 and "nsn" in marks) and not pairs and ("sns" in marks or "nsn" in marks
                or "snns" in marks):  # fmt: skip
            out.append((group[0].first, group[-1].last))
    return out
