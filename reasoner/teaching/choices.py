"""One line of an apprentice as a choice: look, think, refer, step, drop, end.

In: the words of a line, a session, what the reasoner makes of what was seen. Out: the next session.
Not here: printing, reading lines; whether a choice was a good one.
"""

from __future__ import annotations

from reasoner.consult import Answer
from reasoner.problems import BadInput, Problem, near_hint, register
from reasoner.rulebook.vocabulary import canonical
from reasoner.teaching.marking import table_of
from reasoner.teaching.offered import look_named, offered
from reasoner.teaching.session import (
    Key,
    Session,
    asked,
    ended,
    known_cause,
    proposed,
    thought,
    with_step,
    without_step,
)

register({"TE54": "a line of a practice session that says nothing that can be done"})

VERBS = ("look", "think", "refer", "step", "drop", "end")
#: How each is written. No cause and no step is named here: it would be on the screen of every case, and true of some.
HOW = {
    "look": "look girth line", "think": "think NAME OF A CAUSE, left = 60 %",
    "refer": "refer none, or routine, or prompt, or emergency", "step": "step NAME OF A STEP",
    "drop": "drop NAME OF A STEP", "end": "end",
}  # fmt: skip


def chosen(line: str, session: Session, answer: Answer) -> Session:
    """The session after this line; `answer` is the reasoner's to what was seen. Raises BadInput with what was read and
    expected."""
    verb, _, rest = line.strip().partition(" ")
    verb, rest = canonical(verb), rest.strip()
    book = answer.ready.book
    if verb not in VERBS:
        raise BadInput([Problem("practise", 0, "TE54", f'"{line.strip()}" was read; a line beginning with '
                                                       f'{", ".join(VERBS)} was expected.',
                                near_hint(verb, VERBS) or f'As "{HOW["look"]}".')])  # fmt: skip
    if verb == "end" and not rest:
        return ended(session)
    if not rest or verb == "end":
        raise BadInput([Problem(verb, 0, "TE54", f'"{line.strip()}" was read; "{HOW[verb]}" shows how it is written.')])
    if verb == "look":
        return asked(session, look_named(rest, session, offered(session, answer), answer))
    if verb == "refer":
        return proposed(session, canonical(rest), book.scales)
    if verb == "step":
        key, side = _sided(rest, answer)
        return with_step(session, key, side, book)
    if verb == "drop":
        return without_step(session, *_sided(rest, answer))
    return _thinks(rest, session, answer)


def _thinks(words: str, session: Session, answer: Answer) -> Session:
    """One cause and how sure; what was said before of others stands. 0 takes a cause back."""
    name, equals, number = words.partition("=")
    if not equals or "=" in number:
        fault = "how sure you are was not found" if not equals else "more than one cause was read"
        raise BadInput([Problem("think", 0, "TE51", f'"{words}": {fault}; one cause a line was expected, with "=" and how sure '
                                                    f'in percent.', f'Write it as "{HOW["think"]}".')])  # fmt: skip
    key = _sided(name, answer)
    bounds = table_of(answer.ready.book).certainty
    known_cause(key, answer.ready.book)
    percent = percent_of(number, words, f'Write it as "{HOW["think"]}".')
    sure = {one: share for one, share in session.thinks.items() if one != key}
    if percent:
        sure[key] = percent / 100.0
    return thought(session, sure, answer.ready.book, bounds.least_percent / 100.0, bounds.most_percent / 100.0)


def percent_of(number: str, read: str, hint: str) -> float:
    """How sure, in percent from 0 to 100: "60 %", "33.5". Raises BadInput (TE51) with what was `read` where it is no number."""
    try:
        percent = float(number.strip().removesuffix("%").strip().replace(",", "."))
    except ValueError:
        percent = float("nan")
    if not 0.0 <= percent <= 100.0:
        said = f'"{number.strip() or read}" was read; how sure in percent was expected.'
        raise BadInput([Problem("think", 0, "TE51", said, hint)])
    return percent


def _sided(words: str, answer: Answer) -> Key:
    """ "saddle to one side, right" as a key and a side."""
    name, _, side = words.partition(",")
    said = canonical(side)
    return canonical(name), answer.ready.book.vocabulary.side_of.get(said, said)
