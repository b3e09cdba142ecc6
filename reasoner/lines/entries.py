"""Entries of the visit (what is seen, counted, asked) with the reading said of them.

In: pieces, words, lexicon. Out: the same pieces, each entry with its reading as one piece of kind `stated` (or `unread`, where
it was named and no reading of it was said).
Not here: places under the hand; what a reading may be (entry_readings.py); which side an entry is said of (grammar).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from reasoner.lines.entry_readings import letters_of_readings, value_said
from reasoner.lines.hearsay import as_usual, not_now
from reasoner.lines.lexicon import Lexicon, Meaning
from reasoner.lines.pieces import Piece, letters_of
from reasoner.lines.words import SMALL, Word, is_in_doubt
from reasoner.rulebook.vocabulary import Observation

STATED, UNREAD = "stated", "unread"
#: How many words that say nothing may stand between an entry and its reading, and how many pieces a reading takes.
MOST_BETWEEN, MOST_READING = 4, 6
Found = tuple[int, int, str]
_NAMES = ("place", "region", "several", "side", "number", "legs")


def with_entries(pieces: Sequence[Piece], words: Sequence[Word], lexicon: Lexicon) -> list[Piece]:
    """Every entry that is named, with its reading where one is said beside it."""
    out = list(pieces)
    at = 0
    last: Observation | None = None
    while at < len(out):
        observations = lexicon.vocabulary.observations
        named = [observations[m.key] for m in out[at].meanings if m.kind == "entry"]
        lone = out[at].may_be("reading") or (out[at].may_be("alone") if _alone(at, out) else None)
        found = next(((o, f) for o in named if (f := _said(o, at, out, words, lexicon))), None)
        told = found[0] if found else observations[lone.key] if lone and not named else None
        if told is not None and not_now(told, at, out, words, lexicon):
            out[at] = Piece(out[at].first, out[at].last, (), pause=out[at].pause)
            at += 1
            continue
        if (
            found is None
            and lone is None
            and len(named) == 1
            and (usual := as_usual(named[0], at, out, words, lexicon))
        ):
            found = named[0], usual
        legs = out[at].may_be("legs")
        if legs is not None and (steps := _steps(legs, at, out, words, lexicon)):
            out[at : steps[0]] = steps[1]
            at += len(steps[1])
            continue
        if found is not None:
            last, (first, end, value) = found
            sides = [p for p in out[at + 1 : end - 1] if p.may_be("side") and last.sides == "each"]
            first, end = _with_own_words(last, first, end, out, words)
            out[first:end] = [*sides, _piece(out, first, end, Meaning(STATED, last.key, (value,)))]
            at = first + len(sides)
        elif lone is not None and not named:
            last = observations[lone.key]
            first, end = _with_own_words(last, at, at + 1, out, words)
            out[first:end] = [_piece(out, first, end, Meaning(STATED, lone.key, lone.keys))]
            at = first
        elif named and not out[at].may_be(*_NAMES):
            last = named[0]
            end = _number_ends(at, out) if named[0].kind in ("number", "count") else at + 2
            out[at:end] = _unread(at, out, words, named, lexicon)
        elif last is not None and (more := _more(last, at, out, words, lexicon)):
            first, end, stated = more
            out[first:end] = stated
        elif last is not None and out[at].may_be("correct_no") and (again := _corrected(last, at, out, words, lexicon)):
            first, end, value = again
            out[first:end] = [_piece(out, first, end, Meaning(STATED, last.key, (value,)))]
        elif out[at].may_be("place", "several") or out[at].number is not None:
            last = None
        at += 1
    return out


def _steps(
    legs: Meaning, at: int, pieces: Sequence[Piece], words: Sequence[Word], lexicon: Lexicon
) -> tuple[int, list[Piece]] | None:
    """Several legs with one word for their steps: "both forelegs even"."""
    out: list[Piece] = []
    end = at
    plural = words[pieces[at].last - 1].text.endswith("s")
    for key in lexicon.speech.steps.get(legs.key, ()) if plural else ():
        entry = lexicon.vocabulary.observations[key]
        found = next(_behind(entry, at, pieces, words, lexicon), None)
        if found is None:
            return None
        end = found[1]
        out.append(_piece(pieces, at, end, Meaning(STATED, key, (found[2], "both"))))
    return (end, out) if out else None


def _alone(at: int, pieces: Sequence[Piece]) -> bool:
    """Whether from pause to pause nothing else is said."""
    last = at + 1
    while last < len(pieces) and pieces[last].pause not in (",", "."):
        last += 1
    inside = [*_clause_before(at, pieces), *pieces[at + 1 : last]]
    return all(p.may_be("filler", "comment") for p in inside)


def _more(
    entry: Observation, at: int, pieces: Sequence[Piece], words: Sequence[Word], lexicon: Lexicon
) -> tuple[int, int, list[Piece]] | None:
    """More of the entry said last: the same reading in other words, or its reading on the other side."""
    if pieces[at].may_be("place", "several", "region", "entry") or pieces[at].number is not None:
        return None
    if entry.sides == "each" and pieces[at].may_be("side"):
        begin = at + 1
        while begin < len(pieces) and pieces[begin].may_be("filler") and not pieces[begin].pause:
            begin += 1
        for last in range(min(len(pieces), begin + MOST_READING), begin, -1):
            value = None if pieces[begin].pause else value_said(entry, pieces[begin:last], words, lexicon)
            if value is not None:
                return at, last, [pieces[at], _piece(pieces, begin, last, Meaning(STATED, entry.key, (value,)))]
        return None
    if entry.sides == "each" and (behind := _side_behind(entry, at, pieces, words, lexicon)):
        return behind
    stated = next((p.may_be(STATED) for p in reversed(pieces[:at]) if p.may_be(STATED)), None)
    if (
        stated is None
        or entry.kind not in ("choice",)
        or pieces[at].may_be("side", "negation", "correct_no", "response")
    ):
        return None
    for last in range(min(len(pieces), at + MOST_READING), at, -1):
        if value_said(entry, pieces[at:last], words, lexicon) == stated.keys[0]:
            return (
                at,
                last,
                [Piece(pieces[at].first, pieces[last - 1].last, (Meaning("filler"),), pause=pieces[at].pause)],
            )
    return None


def _side_behind(
    entry: Observation, at: int, pieces: Sequence[Piece], words: Sequence[Word], lexicon: Lexicon
) -> tuple[int, int, list[Piece]] | None:
    """A breath that says a reading of the entry said last and the side of it: ", none on the off"."""
    if pieces[at].pause not in (",", "."):
        return None
    value = value_said(entry, pieces[at : at + 1], words, lexicon)
    side = at + 1
    while side < len(pieces) and pieces[side].may_be("filler") and not pieces[side].pause:
        side += 1
    ends = side + 1 >= len(pieces) or bool(pieces[side + 1].pause)
    if value is None or side >= len(pieces) or pieces[side].pause or not pieces[side].may_be("side") or not ends:
        return None
    return at, side + 1, [_piece(pieces, at, side, Meaning(STATED, entry.key, (value,))), pieces[side]]


def _piece(pieces: Sequence[Piece], first: int, end: int, meaning: Meaning) -> Piece:
    return Piece(pieces[first].first, pieces[end - 1].last, (meaning,), pause=pieces[first].pause)


def _unread(
    at: int, pieces: Sequence[Piece], words: Sequence[Word], named: Sequence[Observation], lexicon: Lexicon
) -> list[Piece]:
    """An entry without a reading. A single everyday word ("hand", "front") is an entry only where it stands alone, or where it
    is said to have been left out. A number that is not possible is taken with it, so that it is asked for."""
    piece = pieces[at]
    after = list(pieces[at + 1 : at + 2])
    if said := piece.may_be("own"):  # "lifts his back": the name of an entry, and said by itself its reading
        return [_piece(pieces, at, at + 1, Meaning(STATED, said.key, said.keys)), *after]
    letters = letters_of(words, piece.first, piece.last, lexicon)
    own = next((o for o in named if letters in letters_of_readings(o)), None)
    if own is not None:
        key = letters_of_readings(own)[letters].replace("_", " ")
        return [_piece(pieces, at, at + 1, Meaning(STATED, own.key, (key,))), *after]
    counted = (
        named[0].kind in ("number", "count") and bool(after) and after[0].number is not None and not after[0].pause
    )
    alone = (piece.pause in (",", ".") or at == 0) and (not after or after[0].pause in (",", "."))
    left_out = any(p.may_be("not_done") or words[p.first].text == "left" for p in _clause_before(at, pieces))
    left_out = left_out or any(p.may_be("not_done") for p in after)
    by_name = (
        named[0].name == " ".join(word.text for word in words[piece.first : piece.last]) and named[0].kind == "choice"
    )
    last_word = (
        bool(after)
        and after[0].unknown
        and not after[0].pause
        and (at + 2 == len(pieces) or bool(pieces[at + 2].pause))
    )
    alone = alone or (by_name and last_word and (piece.pause in (",", ".") or at == 0))
    if not (counted or alone or left_out or piece.last - piece.first > 1):
        rest = tuple(m for m in piece.meanings if m.kind != "entry")
        return [Piece(piece.first, piece.last, rest, pause=piece.pause), *after]
    meaning = Meaning(UNREAD, named[0].key, tuple(o.key for o in named))
    strange = after and after[0].unknown and not after[0].pause and (at + 2 == len(pieces) or pieces[at + 2].pause)
    if strange and named[0].kind == "choice":
        return [_piece(pieces, at, at + 2, meaning)]  # "gums orange": its reading, and none that is known
    if counted:
        return [_piece(pieces, at, _number_ends(at, pieces), meaning)]
    return [_piece(pieces, at, at + 1, meaning), *after]


def _number_ends(at: int, pieces: Sequence[Piece]) -> int:
    """Where a number that cannot be ends behind its entry: "temperature thirty seven six" is one."""
    end = at + 1
    while end < len(pieces) and pieces[end].number is not None and not pieces[end].pause:
        end += 1
    return max(end, at + 2)


def _clause_before(at: int, pieces: Sequence[Piece]) -> Iterator[Piece]:
    for place in range(at - 1, -1, -1):
        if pieces[place + 1].pause in (",", "."):
            return
        yield pieces[place]


def _said(
    entry: Observation, at: int, pieces: Sequence[Piece], words: Sequence[Word], lexicon: Lexicon
) -> Found | None:
    """First and last piece and the reading of an entry named at `at`: "no" right before it, from behind it, or before it."""
    if at and words[pieces[at - 1].first].text in ("no", "not", "isn't", "no sign of") and not pieces[at].pause:
        none = letters_of_readings(entry).get("no") or letters_of_readings(entry).get("none") or entry.none_word
        if none:
            return at - 1, at + 1, none.replace("_", " ")
    found = next(_behind(entry, at, pieces, words, lexicon), None)
    return found or next(_before(entry, at, pieces, words, lexicon), None)


def _behind(
    entry: Observation, at: int, pieces: Sequence[Piece], words: Sequence[Word], lexicon: Lexicon
) -> Iterator[Found]:
    for passed, first in enumerate(range(at + 1, len(pieces))):  # what does not say its reading is passed over
        piece = pieces[first]
        if piece.pause == "." or (piece.pause == "," and first > at + 1 and passed > 1) or passed > MOST_BETWEEN:
            return
        if piece.pause == "," and any(p.may_be("side") for p in pieces[at + 1 : first]) and _sided(first, pieces):
            return  # "ruffled hair on the near, none on the off": each breath has its side
        for last in range(min(len(pieces), first + MOST_READING), first, -1):
            value = value_said(entry, pieces[first:last], words, lexicon)
            if value is not None and _runs_on(entry, pieces, last, lexicon, words):
                value = None
            ends = last == len(pieces) or pieces[last].pause
            no_first = piece.pause == "," and words[piece.first].text == "no" and not ends  # "gums pink, no discharge"
            if value is not None and not no_first:
                yield at, _limb_after(entry, last, pieces), value
                return
        sided = entry.sides == "each" and piece.may_be("side") is not None
        filler = (
            sided
            or piece.may_be("filler", "comment", "range", "same") is not None
            or _of_its_name(entry, piece, words, True)
        )
        if not filler or piece.may_be("negation", "entry", "reading"):
            return


def _runs_on(entry: Observation, pieces: Sequence[Piece], last: int, lexicon: Lexicon, words: Sequence[Word]) -> bool:
    """Whether a number goes on ("thirty eight two", "40+"), or its unit is the next entry ("32 breaths ten")."""
    if entry.kind not in ("number", "count") or last >= len(pieces) or pieces[last].pause:
        return False
    if is_in_doubt(pieces[last].first, words):
        return True
    slip = pieces[last].last - pieces[last].first == 1 and words[pieces[last].first].text in lexicon.speech.number_slips
    if pieces[last - 1].number is not None:
        return pieces[last].number is not None or (slip and not pieces[last].may_be("range", "filler"))
    return pieces[last].number is not None and pieces[last - 1].may_be("entry") is not None


def _sided(first: int, pieces: Sequence[Piece]) -> bool:
    """Whether a side is said in the breath that begins here."""
    for at, piece in enumerate(pieces[first:]):
        if at and piece.pause in (",", "."):
            return False
        if piece.may_be("side"):
            return True
    return False


def _of_its_name(entry: Observation, piece: Piece, words: Sequence[Word], inside: bool = False) -> bool:
    """Whether these are words of the entry's own names: "push off weaker left hind"."""
    names = {word for name in (entry.name, *entry.also) for word in name.replace("-", " ").split()}
    names |= {*entry.section.replace("/", " ").replace("_", " ").split()}
    return (piece.unknown or inside) and all(word.text in names for word in words[piece.first : piece.last])


def _with_own_words(
    entry: Observation, first: int, end: int, pieces: Sequence[Piece], words: Sequence[Word]
) -> tuple[int, int]:
    """Words of the entry's own names right beside it belong to it: "saddle too long"."""
    while first and not pieces[first].pause and _of_its_name(entry, pieces[first - 1], words):
        first -= 1
    while end < len(pieces) and not pieces[end].pause and _of_its_name(entry, pieces[end], words):
        end += 1
    return first, end


def _limb_after(entry: Observation, last: int, pieces: Sequence[Piece]) -> int:
    """Behind a side that is a reading the leg belongs to it: "toe drag off hind"."""
    if entry.kind != "side" or last >= len(pieces) or pieces[last].pause or not pieces[last - 1].may_be("side"):
        return last
    limb = pieces[last].may_be("legs") or (pieces[last].may_be("several") and pieces[last].may_be("entry"))
    return last + 1 if limb else last


def _before(
    entry: Observation, at: int, pieces: Sequence[Piece], words: Sequence[Word], lexicon: Lexicon
) -> Iterator[Found]:
    if pieces[at].pause or entry.kind not in ("choice", "side"):
        return
    end = at
    while end and pieces[end - 1].may_be("filler") and words[pieces[end - 1].first].text in (*SMALL, "on", "in"):
        end -= 1
    for first in range(max(0, end - 3), end):
        if any(piece.pause for piece in pieces[first + 1 : at]):
            continue
        if first and pieces[first - 1].may_be("negation") and not pieces[first].pause:
            return
        side = pieces[first].may_be("side")
        if side and entry.kind != "side":
            continue
        if (value := value_said(entry, pieces[first:end], words, lexicon)) is not None and not (
            side and _opens(pieces[first], words)
        ):
            yield first, at + 1, value


def _opens(piece: Piece, words: Sequence[Word]) -> bool:
    """Whether this is a "right" at the start, which may only open the mouth."""
    return piece.first == 0 and words[0].text == "right"


def _corrected(
    entry: Observation, at: int, pieces: Sequence[Piece], words: Sequence[Word], lexicon: Lexicon
) -> Found | None:
    """Behind "no" another reading of the entry said last."""
    first = at + 1
    while first < len(pieces) and pieces[first].may_be("filler") and first < at + 4:
        first += 1
    for last in range(min(len(pieces), first + MOST_READING), first, -1):
        value = value_said(entry, pieces[first:last], words, lexicon)
        if value is not None:
            return first, _limb_after(entry, last, pieces), value
    return None
