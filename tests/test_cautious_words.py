"""No page, word, template or phrase names a lesion or an illness, gives a verdict, blames anyone or promises a cure.

In: every text under rules/ and examples/, every template, every sentence in the code. Out: where a forbidden word stands.
Not here: the words (rules/scales/wording.yaml), what a practitioner may write in notes (kept as written). Exempt: the
lists of such words, titles of sources.
"""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

from reasoner.rulebook.checks.cautious import texts_of
from reasoner.rulebook.layers import shipped_rules
from reasoner.rulebook.strict_yaml import parse
from reasoner.rulebook.wording import wording_from

ROOT = Path(__file__).resolve().parent.parent
CODE = ROOT / "reasoner"
WORDING = wording_from([parse((shipped_rules() / "scales" / "wording.yaml").read_bytes(), "wording.yaml")])
ALLOWED = WORDING.allowed
found_in = WORDING.forbidden_in


def sentences(path: Path) -> Iterator[tuple[int, str]]:
    """(line, text) of every string a module may print; docstrings and comments speak to developers."""
    tree = ast.parse(path.read_text("utf-8"))
    quiet = {
        id(body[0].value)
        for part in ast.walk(tree)
        if isinstance(part, ast.Module | ast.ClassDef | ast.FunctionDef | ast.AsyncFunctionDef)
        and (body := part.body)
        and isinstance(body[0], ast.Expr)
    }
    for part in ast.walk(tree):
        if isinstance(part, ast.Constant) and isinstance(part.value, str) and id(part) not in quiet:
            yield part.lineno, part.value


def texts(path: Path) -> Iterator[tuple[int, str]]:
    """(line, text) of a file, by its kind."""
    if path.suffix == ".yaml":
        yield from texts_of(parse(path.read_bytes(), path.name))
    elif path.suffix == ".py":
        yield from sentences(path)
    else:
        yield from enumerate(path.read_text("utf-8").splitlines(), 1)


PAGES = sorted(shipped_rules().rglob("*.yaml"))
WRITTEN = sorted(
    path
    for pattern in ("*.py", "*.html", "*.txt", "*.j2", "*.json")
    for path in CODE.rglob(pattern)
    if "_rules" not in path.parts and "__pycache__" not in path.parts
)
VISITS = sorted((ROOT / "examples").glob("*.yaml"))


@pytest.mark.parametrize("path", [*PAGES, *WRITTEN, *VISITS], ids=lambda path: path.relative_to(ROOT).as_posix())
def test_no_forbidden_word(path: Path) -> None:
    """Every word that is not ours to say, with its line and the reason."""
    wrong = [f"{path.name}:{line}: {word!r} {why}" for line, text in texts(path) for word, why in found_in(text)]
    assert wrong == []


def test_every_exception_is_still_needed() -> None:
    """An exception that nothing uses any more is taken out."""
    everything = "\n".join(text for path in (*PAGES, *WRITTEN, *VISITS) for _, text in texts(path))
    assert [phrase for phrase in ALLOWED if phrase not in everything] == []


@pytest.mark.parametrize("key", [path.stem for path in PAGES])
def test_no_forbidden_word_in_a_name(key: str) -> None:
    """Ids and file names are shown beside every answer, so they are held to the same."""
    assert list(found_in(key.replace("_", " "))) == []


@pytest.mark.parametrize(
    "text",
    [
        "This looks like kissing spines.",
        "The horse is sound.",
        "Arthritis is likely.",
        "It is the rider's fault.",
        "This will cure it.",
        "No vet needed.",
        "signs of colic",
        "It prefers to be right-handed.",
        "Give 2 g of bute.",
        "The left hind is lame.",
        "a healthy horse",
        "fit to ride",
    ],
)
def test_the_search_finds_what_it_is_for(text: str) -> None:
    """Each kind of forbidden word is found."""
    assert list(found_in(text)) != []


@pytest.mark.parametrize(
    "text",
    [
        "signs of belly pain (the signs commonly called colic)",
        "uneven steps, left hind, slight",
        "It makes a dull sound when tapped.",
        "This is not a diagnosis.",
        "Blamelessness is no word of ours, nor a manicure.",
    ],
)
def test_the_search_leaves_plain_words_alone(text: str) -> None:
    """What is seen may be said."""
    assert list(found_in(text)) == []


def test_what_is_offered_instead_of_a_forbidden_word_is_not_forbidden_itself() -> None:
    offered = [text for words in WORDING.instead.values() for text in words.values()]
    assert len(offered) > 20
    assert not [(text, word) for text in offered for word, _ in WORDING.forbidden_in(text)]


def test_something_is_offered_for_every_reason_a_word_is_forbidden() -> None:
    assert {because for because, _ in WORDING.never} == {because for because, words in WORDING.instead.items() if words}
    assert WORDING.instead_of("lame", "is a veterinarian's verdict; we write what was seen") == "its steps are uneven"
