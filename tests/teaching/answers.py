"""The words of every answer: what nothing may show before a practice session has ended.

In: the shipped rulebook. Out: keys, names and sentences, in small letters.
Not here: any one case.
"""

from __future__ import annotations

import json
import re

from reasoner.consult import load_rulebook


def answer_words() -> set[str]:
    """Keys and names of causes, other conclusions, rules, concerns and steps, and what their sentences say; of the whole
    rulebook, so that naming the wrong ones alone would be caught as well."""
    book = load_rulebook().book
    words = {*book.conclusions, *book.concerns, *book.actions}
    words |= {key.replace("_", " ") for key in words}
    words |= {f"{page.id}/{rule.rule}" for page in book.conclusions.values() for rule in page.evidence}
    sentences = [page.says for page in book.conclusions.values()] + [page.says for page in book.concerns.values()]
    sentences += [page.says for page in book.actions.values()]
    for says in sentences:
        words |= {part.strip(" .;,").casefold() for part in re.split(r"\{\w+\}", says) if len(part) > 12}
    # What the vocabulary itself says of something that may be looked at is a reading or a look, and no answer.
    asked_about = [o for o in book.vocabulary.observations.values() if not o.from_records]
    spoken = [f"{o.key} {o.name} {o.question} {o.how} {o.safety}" for o in asked_about]
    spoken += [f"{word.key} {word.key.replace('_', ' ')}" for o in asked_about for word in o.readings]
    spoken += [f"{p.key} {p.name} {p.hand} {p.safety}" for p in book.vocabulary.places.values()]
    usual = " | ".join(spoken).casefold()
    return {word for word in words if word not in usual}


def beside_the_cipher(file: str) -> str:
    """What of a session file can be read. In the letters of a cipher any short word stands by chance now and then."""
    said = json.loads(file)
    assert not said["ended"]
    assert len(said.pop("sealed")) > 1000
    return json.dumps(said)
