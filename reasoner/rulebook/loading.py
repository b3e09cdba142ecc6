"""Folders of rule files in, one `Rulebook` out.

In: one folder or several, layered: a later folder's page of the same id replaces an earlier one, and its changes.yaml
switches rules off or re-weights them. Out: a `Rulebook` whose every reference is resolved, or BadInput with everything
that is wrong. Not here: compiling, and the finer checks of good practice.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any, get_args

from reasoner.frozen import frozen
from reasoner.problems import BadInput, Problem, near_hint, register
from reasoner.rulebook.checking import slips_of_checking
from reasoner.rulebook.filling import fill, plain
from reasoner.rulebook.layers import read_layers, shipped_rules, stamp_of
from reasoner.rulebook.loading_words import scales_from, words_from
from reasoner.rulebook.measures import bases_missing, measures_from
from reasoner.rulebook.pages import (
    Action,
    ActionKind,
    Circumstance,
    Concern,
    Conclusion,
    ConclusionKind,
    Need,
    Page,
    Source,
)
from reasoner.rulebook.references import DECLARED, resolve
from reasoner.rulebook.rulebook import Rulebook, rule_id
from reasoner.rulebook.scales import Scales
from reasoner.rulebook.strict_yaml import Node, parse
from reasoner.rulebook.vocabulary import Vocabulary, Word, canonical

register(
    {
        "RB05": "a page's id and its file name differ",
        "RB06": "the kind of a page is not known",
        "RB07": "changes.yaml names something that is not there",
        "RB08": "a rules folder is not one",
        "RB09": "two pages of one layer share an id",
    }
)

CHANGE_KEYS = ("rule", "switched", "points", "against", "because")
PAGE_FOLDERS = ("actions", "causes", "circumstances", "concerns", "mechanisms", "patterns", "sources", "traits")
_Files = dict[str, list[tuple[str, Node]]]


def load_rulebook(folders: Sequence[Path] | None = None) -> Rulebook:
    """Read one or several layered folders (default: the shipped rules). Raises BadInput with every problem."""
    return rulebook_from(read_layers(folders or [shipped_rules()]))


def load_vocabulary(folders: Sequence[Path] | None = None) -> Vocabulary:
    """Only the words. Raises BadInput."""
    problems: list[Problem] = []
    files = _parse_all(read_layers(folders or [shipped_rules()]), problems, only=("vocabulary", "scales"))
    vocabulary = words_from(files["vocabulary"], problems)
    scales = scales_from(files["scales"], problems)
    if problems:
        raise BadInput(problems)
    return _with_words(vocabulary, stops=scales.stops)


def rulebook_from(layers: Sequence[tuple[Path, str, bytes]]) -> Rulebook:
    """A rulebook from bytes already read. Raises BadInput with every problem."""
    found = read_book(layers)
    if found.book is None or any(p.severity == "error" for p in found.problems):
        raise BadInput(found.problems)
    return found.book


@frozen
class Read:
    """What could be made of the files: the book as far as it reads, what is wrong, and every file as it was parsed.

    `whole` says that every page was read and every reference looked up; else `book` may lack pages, or be None. `unread` are
    the ids of the pages it lacks.
    """

    book: Rulebook | None
    problems: tuple[Problem, ...]
    files: Mapping[str, Node]
    whole: bool
    unread: frozenset[str] = frozenset()


def read_book(layers: Sequence[tuple[Path, str, bytes]]) -> Read:
    """Read as much as can be read, for those who want everything that is wrong at once."""
    problems: list[Problem] = []
    files = _parse_all(layers, problems)
    nodes = {name: node for entries in files.values() for name, node in entries}
    vocabulary = words_from(files["vocabulary"], problems)
    try:
        scales = scales_from(files["scales"], problems)
    except (KeyError, ValueError, TypeError, AttributeError):
        return Read(None, tuple(problems), nodes, False)
    of_file = {_shown(folder, name): name for folder, name, _ in layers}
    words_read = all(_is_page(of_file.get(p.file, "")) for p in problems)
    pages = _pages(files, problems)
    readable = not problems
    unread = frozenset(Path(name).stem for _, name, _ in layers if _is_page(name)) - pages.keys()
    order = [_shown(folder, "") for folder in dict.fromkeys(folder for folder, _, _ in layers)]
    pages = _changed(pages, files["changes"], order, list(scales.strengths), problems) if readable else pages
    live = {key: page for key, page in sorted(pages.items()) if getattr(page, "status", "") != "retired"}
    live = {key: _with_agreement(page, scales) for key, page in live.items()}
    concerns = [page for page in live.values() if isinstance(page, Concern)]
    measures = measures_from(files["measures"], problems)
    reasons = dict.fromkeys([*(c.id for c in concerns), *(canonical(c.family) for c in concerns if c.family)])
    book = Rulebook(
        vocabulary=_with_words(vocabulary, stops=scales.stops, reasons_to_call=tuple(Word(key=key) for key in reasons)),
        scales=scales,
        conclusions={k: p for k, p in live.items() if isinstance(p, Conclusion)},
        concerns={k: p for k, p in live.items() if isinstance(p, Concern)},
        actions={k: p for k, p in live.items() if isinstance(p, Action)},
        circumstances={k: p for k, p in live.items() if isinstance(p, Circumstance)},
        sources={k: p for k, p in live.items() if isinstance(p, Source)},
        stamp=stamp_of(layers)[:12],
        folders=tuple(dict.fromkeys(str(folder) for folder, _, _ in layers)),
        measures=measures,
    )
    if words_read:  # else every mention of a word that is missing would be a mistake of its own
        book = dataclasses.replace(book, parsed=resolve(book, problems, unread))
        problems += slips_of_checking(book, files["scales"])
        problems += bases_missing(measures, {*DECLARED, *book.sources, *unread}, book.sources)
    return Read(book, tuple(problems), nodes, readable and all(p.severity != "error" for p in problems), unread)


def _is_page(name: str) -> bool:
    return name.split("/")[0] in PAGE_FOLDERS


def _with_agreement(page: Page, scales: Scales) -> Page:
    """An action of a kind that waits for the veterinarian's agreement has that as one more need."""
    if not isinstance(page, Action) or scales.agreement is None or page.kind not in scales.agreement_needed_for:
        return page
    need = Need(need=dict(scales.agreement.need), otherwise=scales.agreement.otherwise, line=page.line)
    return dataclasses.replace(page, only_after=(*page.only_after, need))


def _with_words(vocabulary: Vocabulary, **lists: tuple[Word, ...]) -> Vocabulary:
    """The vocabulary with the lists of words that a veterinarian's word in a visit may use."""
    return dataclasses.replace(vocabulary, qualities={**vocabulary.qualities, **lists})


def _parse_all(
    layers: Sequence[tuple[Path, str, bytes]], problems: list[Problem], only: tuple[str, ...] = ()
) -> _Files:
    files: _Files = {name: [] for name in ("vocabulary", "scales", "measures", "changes", *PAGE_FOLDERS)}
    for folder, name, data in layers:
        kind = "changes" if name == "changes.yaml" else name.split("/")[0]
        shown = _shown(folder, name)
        if kind == "schema" or (only and kind not in only):
            continue
        if kind not in files:
            hint = near_hint(kind, files) or f"Folders: vocabulary, scales, measures, {', '.join(PAGE_FOLDERS)}."
            what = (
                f'a folder "{kind}" is not part of a rulebook.'
                if "/" in name
                else "a page lies in the folder of its kind."
            )
            problems.append(Problem(shown, 0, "RB08", what, hint))
            continue
        try:
            files[kind].append((shown, parse(data, shown)))
        except BadInput as bad:
            problems.extend(bad.problems)
    return files


def _shown(folder: Path, name: str) -> str:
    """A page's name for people: rules/... for the shipped pages, the given path for a practice's own."""
    return f"rules/{name}" if folder.resolve() == shipped_rules().resolve() else str(folder / name)


def _shape(node: Node, folder: str, file: str, problems: list[Problem]) -> Any:
    if folder == "sources":
        return Source
    if folder == "circumstances":
        return Circumstance
    kind_node = node.get("kind")
    kind = canonical(kind_node.text or "") if kind_node else ""
    if kind == "concern":
        return Concern
    if kind in get_args(ConclusionKind):
        return Conclusion
    if kind in get_args(ActionKind):
        return Action
    known = ["concern", *get_args(ConclusionKind), *get_args(ActionKind)]
    line = kind_node.line if kind_node else node.line
    problems.append(Problem(file, line, "RB06", f'the kind "{kind}" is not known.', f"Known: {', '.join(known)}."))
    return None


def _pages(files: _Files, problems: list[Problem]) -> dict[str, Page]:
    out: dict[str, Page] = {}
    seen: dict[tuple[str, str], str] = {}
    for folder in PAGE_FOLDERS:
        for file, node in files[folder]:
            shape = _shape(node, folder, file, problems)
            page: Page | None = fill(shape, node, file, problems) if shape else None
            if page is None:
                continue
            name = Path(file).stem
            if page.id != name:
                problems.append(Problem(file, page.line, "RB05", f'the id is "{page.id}", the file is "{name}.yaml".'))
            layer = file[: -len(f"{folder}/{Path(file).name}")]
            if (layer, page.id) in seen:
                other = seen[layer, page.id]
                problems.append(Problem(file, page.line, "RB09", f'the id "{page.id}" is also the id of {other}.'))
            seen[layer, page.id] = file
            out[page.id] = page  # a later layer's page replaces an earlier one
    return out


def _layer(file: str, order: Sequence[str]) -> int:
    """Which of the layers (by the beginning of their files' names) a file is in; the longest beginning tells."""
    return max((len(start), n) for n, start in enumerate(order) if file.startswith(start))[1]


def _changed(
    pages: dict[str, Page],
    changes: list[tuple[str, Node]],
    order: Sequence[str],
    strengths: Sequence[str],
    problems: list[Problem],
) -> dict[str, Page]:
    """Apply each layer's changes.yaml: `{rule: page/rule, switched: off}` or `{rule: ..., points: word}`, with because.

    A layer changes what lies in it or below it; a page that a later layer lays over it stands as that layer wrote it.
    """
    for file, root in changes:
        for node in root.value if isinstance(root.value, list) else [root]:
            change, line = plain(node, lines=False), node.line
            wanted = change.get("rule") if isinstance(change, dict) else None
            if not isinstance(wanted, str):
                problems.append(Problem(file, line, "RB01", "a change names its rule.",
                                        "Write `rule: page/its_rule` and what changes."))  # fmt: skip
                continue
            for key in change.keys() - set(CHANGE_KEYS):
                problems.append(Problem(file, line, "RB02", f"`{key}` is not known here.", near_hint(key, CHANGE_KEYS)))
            page = pages.get(wanted.split("/")[0])
            if isinstance(page, Conclusion) and _layer(page.file, order) > _layer(file, order):
                continue
            rules = {rule_id(page.id, e.rule): e for e in page.evidence} if isinstance(page, Conclusion) else {}
            if not isinstance(page, Conclusion) or wanted not in rules:
                causes = [k for k, p in pages.items() if isinstance(p, Conclusion)]
                hint = near_hint(wanted, list(rules) or causes)
                problems.append(Problem(file, line, "RB07", f'"{wanted}" is no rule of this rulebook.', hint))
                continue
            if not change.get("because"):
                problems.append(Problem(file, line, "RB01", "a change needs `because`."))
            rule = rules[wanted]
            if change.get("switched") == "off":
                kept = tuple(e for e in page.evidence if e is not rule)
            elif change.get("points") or change.get("against"):
                words = [str(change[key]) for key in ("points", "against") if change.get(key)]
                if wrong := [word for word in words if canonical(word) not in strengths]:
                    problems.append(Problem(file, line, "RB21", f'the strength "{wrong[0]}" is not on the scale.',
                                            near_hint(wrong[0], strengths) or f"Known: {', '.join(strengths)}."))  # fmt: skip
                    continue
                new = dataclasses.replace(
                    rule, points=change.get("points"), against=change.get("against"),
                    because=f"{rule.because} Changed here: {change.get('because', '')}",
                )  # fmt: skip
                kept = tuple(new if e is rule else e for e in page.evidence)
            else:
                read = f'; `switched:` reads "{change["switched"]}"' if "switched" in change else ""
                wanted_words = f"a change says `switched: off`, `points:` or `against:`{read}."
                problems.append(Problem(file, line, "RB07", wanted_words))
                continue
            pages[page.id] = dataclasses.replace(page, evidence=kept)
    return pages
