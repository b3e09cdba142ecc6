"""No page, word, template or phrase names a lesion or an illness, gives a verdict, blames anyone or promises a cure.

In: every text under rules/ and examples/, every template, every sentence in the code. Out: where a forbidden word stands.
Not here: what a practitioner may write in notes (kept as written). Exempt: the list of refused words, titles of sources.
"""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from reasoner.rulebook.layers import shipped_rules
from reasoner.rulebook.strict_yaml import Node, parse

ROOT = Path(__file__).resolve().parent.parent
CODE = ROOT / "reasoner"
#: A source is cited as it is called; everything else about it is in our own words.
TITLES = ("title", "where")
#: Why each word is not ours to say. A pattern is searched in any case, at the start of a word.
FORBIDDEN = {
    "names an illness; only a veterinarian does": (
        r"laminitis|founder(ed)?\b|colic|strangles|influenza|herpes|ringworm|rain ?scald|mud ?fever|tetanus|azoturia|"
        r"tying[- ]up|tied[- ]up|rhabdo|myopath|pssm\b|cushing|ppid\b|wobbler|ataxi|ulcer|infect|inflam|septic|"
        r"metabolic syndrome|heaves\b|choke\b"
    ),
    "names a lesion; the hand feels a place and not what lies in it": (
        r"lesion|kissing|impinging|overriding|arthrit|arthros|spondyl|sublux|navicular|tend[io]nitis|desmitis|bursitis|"
        r"myositis|neuritis|fractur|abscess|sarcoid|tumou?r|hernia|sprain|strained|torn muscle|haematoma|hematoma|"
        r"slipped disc|pinched nerve|out of alignment|\bput back in\b"
    ),
    "is a veterinarian's verdict; we write what was seen": (
        r"lame\b|lameness|lamer\b|unsound|soundness|\bis sound\b|\bsound horse|healthy|fit to (ride|be ridden|work)|"
        r"safe to ride|clean bill|diagnos(is of|ed|es)\b"
    ),
    "says that no veterinarian is needed, which is never ours to say": (
        r"no (vet|veterinarian) (is )?(needed|necessary)|not need (a|the) (vet|veterinarian)|without (a|the) vet\b"
    ),
    "blames somebody; a sign is observed, and is nobody's doing": (
        r"fault of|(rider|owner|saddler|fitter|farrier|groom)(['’]s|s['’])? fault|to blame|blame[sd]?\b|careless|"
        r"bad (rider|riding|hands)|badly (ridden|fitted|shod)|neglect|incompeten"
    ),
    "promises a cure": (
        r"cure[sd]?\b|curing|heal(s|ed|ing)?\b|will be (better|gone|right)|guarantee|permanent(ly)? (better|solve)|"
        r"fix(es|ed)? the (horse|back|problem)|get rid of|pain[- ]free"
    ),
    "names a drug; what is given is between owner and veterinarian": (
        r"bute\b|phenylbutazone|flunixin|meloxicam|acepromazine|acp\b|detomidine|cortison|steroid|ibuprofen|"
        r"\d+ ?(mg|ml|cc)\b"
    ),
    "means opposite things in different schools": r"(right|left)[- ]handed|handedness|(stiff|hollow) side",
}  # fmt: skip
#: What is allowed although a pattern finds it, and why.
ALLOWED = {
    "(the signs commonly called colic)": "the one place where owners must recognise the word they know",
    "anti-inflammatories": "what owners call painkillers; read in a visit, never printed",
    "grade of lameness": "a grade, as a veterinarian gave it, is called what veterinarians call it",
    "lameness_grade": "the same, as a heading of a visit file, where it is sent to the veterinarian's word",
    "lameness_score": "the same",
}
PATTERNS = {why: re.compile(rf"(?<![a-z])(?:{words})", re.IGNORECASE) for why, words in FORBIDDEN.items()}


def found_in(text: str) -> Iterator[tuple[str, str]]:
    """(the word, why not) of each forbidden word in a text."""
    for phrase in ALLOWED:
        text = text.replace(phrase, "")
    for why, pattern in PATTERNS.items():
        for hit in pattern.finditer(text):
            yield hit[0], why


def scalars(node: Node) -> Iterator[tuple[int, str]]:
    """(line, text) of every key and value below a node, the refused words and the titles of sources left out."""
    if isinstance(node.value, str):
        yield node.line, node.value
    elif isinstance(node.value, list):
        for item in node.value:
            yield from scalars(item)
    else:
        for key, key_node, value in node.items():
            if key != "refused" and not (key in TITLES and node.get("used_for") is not None):
                yield key_node.line, key.replace("_", " ")
                yield from scalars(value)


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
        yield from scalars(parse(path.read_bytes(), path.name))
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
