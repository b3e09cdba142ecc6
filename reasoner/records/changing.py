"""Whether a line may be changed before it goes out, checked before the change is kept.

In: an answer, what a practitioner wants to change, the words nobody may use. Out: the change, or a refusal that names the
sentence and the nearest words that stand.
Not here: keeping it (store.edits), the answer with it (editing.py).
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from reasoner.frozen import frozen
from reasoner.plan.selection import CALL
from reasoner.problems import BadInput, Problem, near_hint, register
from reasoner.records.editing import OWN, lines_of, stopped
from reasoner.rulebook.wording import Wording

if TYPE_CHECKING:
    from collections.abc import Sequence

    from reasoner.consult import Answer
    from reasoner.store.edits import Deed, Edit, Line

register(
    {
        "PG30": "a line that is not there to be changed",
        "PG31": "words, a reason or a name that a change needs",
        "PG32": "a line that stays as it is",
        "PG33": "a word that is not ours to say, in the practitioner's words",
        "PG34": "a step that a reason to call stops today",
        "PG35": "a side that got lost in the practitioner's words",
        "PG36": "words too long for a line",
        "PG37": "a change of words that have changed since",
        "RE56": "a word that is not ours to say, in a judgement or under a photograph",
    }
)

#: A line longer than this is a page (own setting).
MOST_LETTERS = 600
SHOWN = "the plan"
_SIDE = re.compile(r"\b(left|right)\b", re.IGNORECASE)


@frozen(kw_only=True)
class Wanted:
    """A change that somebody wants to make; `tool_words` what the tool said there when it was shown."""

    line: Line
    deed: Deed
    key: str
    side: str
    kind: str
    tool_words: str
    words: str
    because: str
    by: str


def checked(wanted: Wanted, answer: Answer, wording: Wording, standing: Sequence[Edit] = ()) -> Wanted:
    """The change as it is kept: tidied. Raises BadInput (PG30 to PG37)."""
    kinds = {
        step.key: step.kind for step in answer.plan.steps
    }  # a form's word for it is not taken, but for an added step
    one = Wanted(
        line=wanted.line, deed=wanted.deed, key=wanted.key, side=wanted.side,
        kind=wanted.kind if wanted.deed == "add" else kinds.get(wanted.key, ""),
        tool_words=wanted.tool_words, words=_tidy(wanted.words), because=_tidy(wanted.because), by=_tidy(wanted.by),
    )  # fmt: skip
    _said_in_full(one)
    if one.deed == "add":
        _may_be_added(one, answer)
    elif not (one.deed == "back" and one.key in {edit.key for edit in standing}):
        _is_there(one, answer)
        _may_be_changed(one, answer, wording)
    _ours_to_say(one, wording)
    return one


def stays(kind: str, words: str, wording: Wording) -> bool:
    """Whether a line is the veterinarian's, so that nobody takes it out."""
    return kind == CALL or bool(wording.veterinary.search(words))


def _said_in_full(one: Wanted) -> None:
    wrong = [] if one.by else [_problem("PG31", "nobody is named who changes this.", "Write your name.")]
    if one.deed in ("reword", "add") and not one.words:
        wrong.append(_problem("PG31", "there are no words.", "Write the sentence that is to stand there."))
    if one.deed in ("strike", "add") and not one.because:
        what = "taken out" if one.deed == "strike" else "added"
        wrong.append(_problem("PG31", f"a step is {what} without a reason.", "Write why; it is kept beside it."))
    for text in (one.words, one.because):
        if len(text) > MOST_LETTERS:
            told = f"{len(text)} letters were read; {MOST_LETTERS} at most were expected."
            wrong.append(_problem("PG36", told, "Say it in fewer words, or in two steps."))
    if wrong:
        raise BadInput(wrong)


def _is_there(one: Wanted, answer: Answer) -> None:
    known = lines_of(answer)
    if one.deed == "strike":
        said = [words for (line, key, _), words in known.items() if (line, key) == ("step", one.key)]
    else:
        said = [known[at]] if (at := (one.line, one.key, one.side)) in known else []
    if not said:
        keys = {key for line, key, _ in known if line == one.line}
        raise BadInput(
            [_problem("PG30", f'"{one.key}" is no line of this visit that can be changed.', near_hint(one.key, keys))]
        )
    if one.tool_words not in said:
        raise BadInput([_problem("PG37", f'the tool now says "{said[0]}".', "Look at the page again, then change it.")])


def _may_be_changed(one: Wanted, answer: Answer, wording: Wording) -> None:
    if one.deed == "back":
        return
    if one.deed == "strike":
        parts = [part for step in answer.plan.steps if step.key == one.key for part in step.parts]
        vets = any(stays(one.kind, part.words, wording) for part in parts)
    else:
        vets = one.kind == CALL or (stays("", one.tool_words, wording) and not wording.veterinary.search(one.words))
    if vets:
        only_words = one.deed == "reword" and one.kind != CALL
        hint = "What is asked of the veterinarian is never taken out" + (
            "; your words have to name the veterinarian too." if only_words else "."
        )
        raise BadInput([_problem("PG32", f'"{one.tool_words}" stays.', hint)])
    sides = _sides(one.tool_words)
    if one.deed == "reword" and sides and _sides(one.words) != sides:
        told = f'the line is about the {" and the ".join(sorted(sides))}, and "{one.words}" does not say so.'
        raise BadInput([_problem("PG35", told, f'Name the same side; the tool\'s own words: "{one.tool_words}"')])


def _may_be_added(one: Wanted, answer: Answer) -> None:
    kinds = answer.ready.book.scales.action_order
    if one.kind not in kinds:
        raise BadInput([_problem("PG30", f'"{one.kind}" is no kind of step.', f"Kinds: {', '.join(kinds)}.")])
    if because := stopped(one.kind, answer.referral, answer.ready.book):
        raise BadInput([_problem("PG34", because, "What a reason to call stops is not added beside it.")])


def _ours_to_say(one: Wanted, wording: Wording) -> None:
    """The reason of a change goes out with it, so that it is held to the same words."""
    wrong = []
    for text in dict.fromkeys((one.words, one.because)):
        more = f'The tool\'s own words: "{one.tool_words}"' if text == one.words and one.tool_words else ""
        wrong += _not_ours(text, wording, "PG33", SHOWN, more)
    if wrong:
        raise BadInput(wrong)


def ours_to_say(text: str, wording: Wording, shown: str) -> None:
    """That free text which leaves in reports (a judgement's reason, a caption) holds none of the words nobody may use. `shown`
    is where it was written. Raises BadInput (RE56) with the nearest wording that stands."""
    if wrong := _not_ours(_tidy(text), wording, "RE56", shown):
        raise BadInput(wrong)


def not_ours(text: str, wording: Wording) -> str:
    """What is wrong with a text that is kept already, and what may be written instead; empty where nothing is."""
    tidy = _tidy(text)
    said = (one.sentence.removeprefix(f'"{tidy}": ') + f" {one.hint}" for one in _not_ours(tidy, wording, "RE56", ""))
    return " ".join(said)


def _not_ours(text: str, wording: Wording, code: str, shown: str, more: str = "") -> list[Problem]:
    """What is wrong with a text, a problem for each such word."""
    wrong = []
    for word, because in dict.fromkeys(wording.forbidden_in(text)):
        near = wording.instead_of(word, because)
        hint = f'Write for instance "{near}".' if near else "Say what is seen or felt."
        wrong.append(Problem(shown, 0, code, f'"{text}": "{word}" {because}.', f"{hint} {more}".strip()))
    return wrong


def own_key(uid: str) -> str:
    """The key of an added step."""
    return f"{OWN}{uid[:8]}"


def _sides(text: str) -> set[str]:
    return {found.lower() for found in _SIDE.findall(text)}


def _tidy(text: str) -> str:
    return " ".join("".join(c if c.isprintable() else " " for c in text).split())


def _problem(code: str, sentence: str, hint: str = "") -> Problem:
    return Problem(SHOWN, 0, code, sentence, hint)
