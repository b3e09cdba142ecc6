"""A teacher's own answer to a case, as the teacher writes it: a small YAML file, or the fields of a form.

In: the bytes of such a file, the rulebook. Out: a `TeachersAnswer`, or everything that has to be mended, with its line.
Not here: what the rules say of the case (beside_the_rules), locking it (locking), handing it out (handing_out).
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from reasoner.frozen import frozen
from reasoner.problems import BadInput, Problem, near_hint, register
from reasoner.rulebook.rulebook import Rulebook
from reasoner.rulebook.strict_yaml import Node, parse
from reasoner.rulebook.vocabulary import canonical
from reasoner.teaching.making import SIDES
from reasoner.teaching.session import NONE, Key, known_cause, known_step

register({
    "TE80": "a teacher's answer with a line that cannot be read",
    "TE81": "a teacher's answer that lacks something",
    "TE82": "a title that tells the answer",
})  # fmt: skip

TAKEN_OUT, KEPT = "taken out", "kept"
AT_THE_END, BY_THE_TEACHER = "at the end", "by the teacher"
NAMES, MARKS = (TAKEN_OUT, KEPT), (BY_THE_TEACHER, AT_THE_END)
#: Each key of the file, and what is written behind it.
KEYS = {
    "case": "a title that does not tell the answer", "visit": "the visit file, beside this one",
    "names": f"{TAKEN_OUT}, or {KEPT}", "causes": "a list, each as `girth presses, left`; or none", "referral": "how soon",
    "steps wanted": "a list of steps; or none", "steps wrong": "a list of steps; or none",
    "what to see": "your own words for the end", "marks": f"{BY_THE_TEACHER}, or {AT_THE_END}",
}  # fmt: skip
LISTS = ("causes", "steps wanted", "steps wrong")
#: Headings by which a visit file is known.
OF_A_VISIT = {"horse", "palpation"}
NEEDED = ("case", "visit", "causes", "referral")
LONGEST_TITLE, LONGEST_WORDS = 80, 4000


@frozen(kw_only=True)
class TeachersAnswer:
    """What a teacher holds for right. `causes`: each counts as right, none where the teacher says that no cause stands out;
    `referral` the degree of the call for the whole case; `wanted` and `wrong` steps; `words` for the end; `marks`: whether the
    apprentice sees at the end what the rules make of it. `visit` is the name of the visit file, `names` whether they stay."""

    title: str
    visit: str
    causes: tuple[Key, ...]
    referral: str
    wanted: tuple[Key, ...] = ()
    wrong: tuple[Key, ...] = ()
    words: str = ""
    marks: bool = False
    keep_names: bool = False


def answer_from(data: bytes, file: str, book: Rulebook) -> TeachersAnswer:
    """The answer of a file. Raises BadInput (of the YAML; TE80, TE81, TE82) with everything that is wrong."""
    return answer_in(parse(data, file), file, book)


def answer_of_form(fields: Mapping[str, str], file: str, book: Rulebook) -> TeachersAnswer:
    """The answer of a form, its fields by the keys of the file; causes and steps stand one on a line. Raises BadInput (TE80,
    TE81, TE82); a line of a problem is that of its field."""
    nodes: dict[str, tuple[Node, Node]] = {}
    for key, text in fields.items():
        if not text.strip():
            continue
        value: str | list[Node] = text
        if key in LISTS:
            value = [Node(row.strip(), number) for number, row in enumerate(text.splitlines(), 1) if row.strip()]
        nodes[key] = (Node(key, 0), Node(value, 0))
    return answer_in(Node(nodes, 0), file, book)


def answer_in(root: Node, file: str, book: Rulebook) -> TeachersAnswer:
    """The answer of YAML that was read. Raises BadInput (TE80, TE81, TE82) with everything that is wrong."""
    problems: list[Problem] = []
    found: dict[str, Node] = {}
    names = {canonical(key) for key, _, _ in root.items()}
    if names & OF_A_VISIT and not names & {"case", "causes"}:
        raise BadInput([Problem(file, 0, "TE81", "this is a visit; a case with your own answer was expected.",
                                "`reasoner teach case` begins one from it.")])  # fmt: skip
    for key, node, value in root.items():
        name = canonical(key).replace("_", " ")
        if name in KEYS:
            found[name] = value
        else:
            problems.append(_wrong(file, node.line, f'"{key}" was read; one of {", ".join(KEYS)} was expected.',
                                   near_hint(key, KEYS)))  # fmt: skip
    problems += [Problem(file, 0, "TE81", f'"{key}" is missing.', f"Write `{key}:` and {KEYS[key]}.")
                 for key in NEEDED if key not in found]  # fmt: skip
    said: dict[str, Any] = {
        "causes": _keys(found.get("causes"), "causes", file, book, problems),
        "wanted": _keys(found.get("steps wanted"), "steps wanted", file, book, problems),
        "wrong": _keys(found.get("steps wrong"), "steps wrong", file, book, problems),
        "title": _text(found.get("case"), "case", LONGEST_TITLE, file, problems),
        "visit": _text(found.get("visit"), "visit", LONGEST_WORDS, file, problems),
        "words": _text(found.get("what to see"), "what to see", LONGEST_WORDS, file, problems),
        "referral": _one_of(found.get("referral"), "referral", (NONE, *book.scales.calls), file, problems),
        "marks": _one_of(found.get("marks"), "marks", MARKS, file, problems) == AT_THE_END,
        "keep_names": _one_of(found.get("names"), "names", NAMES, file, problems) == KEPT,
    }  # fmt: skip
    answer = TeachersAnswer(**said)
    line = {key: value.line for key, value in found.items()}
    for both in dict.fromkeys(step for step in answer.wanted if step in answer.wrong):
        problems.append(_wrong(file, line["steps wrong"], f"{named(both)} stands under the steps wanted and under the wrong "
                                                          "ones.", "Keep one of them."))  # fmt: skip
    told = told_by_title(answer, book)
    if told:
        problems.append(Problem(file, line.get("case", 0), "TE82", f'the title "{answer.title}" names "{told}", which is part '
                                "of the answer; apprentices read the title before they begin.",
                                "Name the case after something else, such as a number."))  # fmt: skip
    if problems:
        raise BadInput(problems)
    return answer


def told_by_title(answer: TeachersAnswer, book: Rulebook) -> str:
    """The first cause or step of the rules whose name stands in the title; empty where none does."""
    return told_by_name(answer.title, book)


def told_by_name(name: str, book: Rulebook) -> str:
    """The same of any name that apprentices read before they begin, such as that of the file."""
    title = f"_{canonical(re.sub(r'[^A-Za-z0-9]+', ' ', name))}_"
    keys = [key for key, page in book.conclusions.items() if page.kind == "cause"]
    return next((key.replace("_", " ") for key in (*keys, *book.actions) if f"_{key}_" in title), "")


def named(key: Key) -> str:
    """A cause or a step as it is written in such a file."""
    name = key[0].replace("_", " ")
    return f"{name}, {key[1]}" if key[1] else name


def key_of(words: str, book: Rulebook) -> Key:
    """ "girth presses, left" as a key and a side; neither is looked up."""
    name, _, side = words.partition(",")
    said = canonical(side)
    return canonical(name), book.vocabulary.side_of.get(said, said)


def made_from(key: Key, book: Rulebook) -> Key:
    """The cause a case was made from, as an answer names it: the side of a cause that has none only says where chance fell."""
    page = book.conclusions.get(key[0])
    return key if page is not None and page.sides == "each" else (key[0], "")


def _keys(node: Node | None, what: str, file: str, book: Rulebook, problems: list[Problem]) -> tuple[Key, ...]:
    """The causes or steps of a list; one of them may also stand by itself, and `none` says that there are none."""
    if node is not None and isinstance(node.value, list) and len(node.value) == 1:
        node = node.value[0] if _says_none(node.value[0]) else node
    if node is None or node.text == "" or _says_none(node):
        if node is not None and node.text == "" and what == "causes":
            problems.append(_wrong(file, node.line, "nothing was read behind causes.", "Write a list, or `none`."))
        return ()
    if isinstance(node.value, dict):
        problems.append(_wrong(file, node.line, f"{what}: {KEYS[what]} was expected."))
        return ()
    found: list[Key] = []
    for one in _joined(node.value, book) if isinstance(node.value, list) else [node]:
        if one.text is None:
            problems.append(_wrong(file, one.line, f"{what}: {KEYS[what]} was expected.",
                                   "Write a cause and its side on one line, with a comma between."))  # fmt: skip
            continue
        key = key_of(one.text, book)
        try:
            (known_cause if what == "causes" else known_step)(key, book)
        except BadInput as bad:
            problems += [_wrong(file, one.line, p.sentence, p.hint) for p in bad.problems]
            continue
        if key in found:
            problems.append(_wrong(file, one.line, f"{named(key)} stands twice under {what}.", "Keep one of them."))
        found.append(key)
    return tuple(dict.fromkeys(found))


def _says_none(node: Node) -> bool:
    return node.text is not None and canonical(node.text) == NONE


def _joined(nodes: Sequence[Node], book: Rulebook) -> Iterator[Node]:
    """The entries of a list, each with its side: in `[girth presses, left]` YAML itself takes the comma between them."""
    before: Node | None = None
    for node in nodes:
        said = canonical(node.text or "")
        if (
            before is not None
            and before.text
            and book.vocabulary.side_of.get(said, said) in SIDES
            and "," not in before.text
        ):
            before = Node(f"{before.text}, {node.text}", before.line)
            continue
        if before is not None:
            yield before
        before = node
    if before is not None:
        yield before


def _text(node: Node | None, what: str, longest: int, file: str, problems: list[Problem]) -> str:
    if node is None:
        return ""
    text = " ".join("".join(sign if sign.isprintable() else " " for sign in node.text or "").split())
    if node.text is None or (not text and what in NEEDED):
        problems.append(
            _wrong(file, node.line, f"{what}: {KEYS[what]} was expected; nothing that reads so stands there.")
        )
    if len(text) > longest:
        problems.append(
            _wrong(file, node.line, f"{what}: {len(text)} letters were read; at most {longest} were expected.")
        )
    return text[:longest]


def _one_of(node: Node | None, what: str, words: Sequence[str], file: str, problems: list[Problem]) -> str:
    if node is None:
        return words[0]
    said = canonical(node.text or "").replace("_", " ")
    if said not in words:
        read = "a list" if node.text is None else f'"{node.text}"' if node.text else "nothing"
        problems.append(_wrong(file, node.line, f'{what}: {read} was read; one of {", ".join(words)} was '
                               "expected.", near_hint(node.text or "", words)))  # fmt: skip
        return words[0]
    return said


def _wrong(file: str, line: int, sentence: str, hint: str = "") -> Problem:
    return Problem(file, line, "TE80", sentence, hint)


def written(answer: TeachersAnswer, rules_say: Sequence[str] = ()) -> str:
    """The file, with what each line is for; `rules_say` stands below it as remarks. Read again it is the same answer."""
    return "\n".join(_lines(answer, rules_say)) + "\n"


def _lines(answer: TeachersAnswer, rules_say: Sequence[str]) -> Iterator[str]:
    yield "# A case to hand out, and your own answer to it. Nobody sees the answer before you open it."
    yield f"case: {_quoted(answer.title)}   # {KEYS['case']}"
    yield f"visit: {_quoted(answer.visit)}"
    yield f"names: {KEPT if answer.keep_names else TAKEN_OUT}   # {KEYS['names']}"
    yield f"marks: {AT_THE_END if answer.marks else BY_THE_TEACHER}   # {KEYS['marks']}: who shows what the rules say"
    yield ""
    for name, keys, why in (
        ("causes", answer.causes, "each counts as right; or none"), ("steps wanted", answer.wanted, "or none"),
        ("steps wrong", answer.wrong, "steps that would be wrong here; or none"),
    ):  # fmt: skip
        yield f"{name}:{'' if keys else ' none'}   # {why}"
        yield from (f"  - {named(key)}" for key in keys)
    yield f"referral: {answer.referral}   # of the whole case"
    yield f"what to see: {_quoted(answer.words)}   # your words for the end"
    if rules_say:
        yield ""
        yield from (f"# {line}" for line in rules_say)


def _quoted(text: str) -> str:
    """Text as YAML that reads as the same text."""
    return "'" + text.replace("'", "''") + "'"


def plain_answer(answer: TeachersAnswer) -> dict[str, Any]:
    """The answer as JSON-ready data."""
    return {
        "title": answer.title, "visit": answer.visit, "causes": [list(key) for key in answer.causes],
        "referral": answer.referral, "wanted": [list(key) for key in answer.wanted],
        "wrong": [list(key) for key in answer.wrong], "words": answer.words, "marks": answer.marks,
        "keep_names": answer.keep_names,
    }  # fmt: skip


def answer_of(said: dict[str, Any]) -> TeachersAnswer:
    """The answer of such data. Raises KeyError, TypeError or ValueError where it is none."""
    return TeachersAnswer(
        title=str(said["title"]), visit=str(said["visit"]), causes=keys_of(said["causes"]), referral=str(said["referral"]),
        wanted=keys_of(said["wanted"]), wrong=keys_of(said["wrong"]), words=str(said["words"]), marks=bool(said["marks"]),
        keep_names=bool(said["keep_names"]),
    )  # fmt: skip


def keys_of(said: Any) -> tuple[Key, ...]:
    """Keys and sides as they stand in JSON. Raises ValueError where they are none."""
    found = tuple((str(key), str(side)) for key, side in said)
    if any(side not in ("", *SIDES) for _, side in found):
        raise ValueError("no side")
    return found
