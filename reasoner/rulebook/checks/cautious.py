"""No page names a lesion or an illness, judges, blames or promises.

In: every text of every rule file, with its line. Out: a problem for each word that is not ours to say.
Not here: the words and what is allowed in spite of them (rules/scales/wording.yaml).
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import PurePath

from reasoner.problems import Problem, register
from reasoner.rulebook.checks.given import Given
from reasoner.rulebook.strict_yaml import Node

register({"RB52": "a word that is not ours to say"})

#: Lists of the very words that are not to be used.
LISTS = ("refused", "never", "allowed")
#: A source is cited as it is called; everything else about it is in our own words.
TITLES = ("title", "where")


def not_ours_to_say(given: Given) -> Iterator[Problem]:
    """Every forbidden word in a text, a key, or the name of a file."""
    for file, root in given.files.items():
        name = PurePath(file).stem.replace("_", " ")
        for line, text in [(0, name), *texts_of(root)]:
            for word, why in given.wording.forbidden_in(text):
                yield Problem(file, line, "RB52", f'"{word}" {why}.', "Say what is seen or felt.")


def texts_of(node: Node) -> Iterator[tuple[int, str]]:
    """(line, text) of every key and value below a node, but for lists of such words and the titles of sources."""
    if isinstance(node.value, str):
        yield node.line, node.value
    elif isinstance(node.value, list):
        for item in node.value:
            yield from texts_of(item)
    else:
        for key, key_node, value in node.items():
            if key not in LISTS and not (key in TITLES and node.get("used_for") is not None):
                yield key_node.line, key.replace("_", " ")
                yield from texts_of(value)
