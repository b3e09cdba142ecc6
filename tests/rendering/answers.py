"""Answers for the rendering tests: every example of the yard, and one visit whose every text is hostile.

In: examples/*.yaml and the shipped rules. Out: answers, judged once; the words a reader sees of a page.
Not here: expectations.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from html.parser import HTMLParser
from pathlib import Path

from reasoner.consult import Answer, judge
from reasoner.rendering.report import report_html
from reasoner.visit.model import Noted, Visit
from reasoner.visit.reading import read_visit
from tests.asking import shipped

ROOT = Path(__file__).resolve().parents[2]
NAMES = tuple(sorted(path.stem for path in (ROOT / "examples").glob("*.yaml")))
READERS = ("owner", "vet", "saddle-fitter", "farrier")
HOSTILE = "<script>alert('x')</script><img src=x onerror=y>\"&{{ 7 * 7 }}{% raw %}[bold]"


@cache
def answer(name: str) -> Answer:
    """The answer to an example, named as a reader in the checkout names it: no page depends on where the checkout lies."""
    visit = read_visit(ROOT / "examples" / f"{name}.yaml", shipped().book.vocabulary)
    return judge(replace(visit, file=f"examples/{name}.yaml"), shipped())


@cache
def report(name: str, reader: str, approved_by: str | None = None) -> str:
    """The report of an example."""
    return report_html(answer(name), reader, approved_by)


@cache
def hostile() -> Answer:
    """A visit with everything in it, and every text that a person may write freely turned hostile."""
    rich = replace(
        _example("hazel"),
        touches=(*_example("magpie").touches, *_only_new(_example("hazel"), _example("magpie"))),
        warnings=(),
    )
    return judge(_poisoned(rich), shipped())


def _example(name: str) -> Visit:
    return answer(name).visit


def _only_new(more: Visit, than: Visit) -> list:  # type: ignore[type-arg]
    known = {(t.place, t.side, t.when) for t in than.touches}
    return [t for t in more.touches if (t.place, t.side, t.when) not in known]


def _poisoned(visit: Visit) -> Visit:
    texts = {"name", "breed", "kept", "examined_by", "yard", "owner", "notes"}
    noted = tuple(_noted(n) for n in visit.noted if n.key not in texts)
    noted += tuple(Noted(key=key, value=HOSTILE, written=HOSTILE, kind="text", note=HOSTILE) for key in sorted(texts))
    return replace(
        visit,
        file=f"somewhere/{HOSTILE.replace('/', '')}.yaml",
        noted=noted,
        touches=tuple(replace(t, note=HOSTILE) for t in visit.touches),
        worked=tuple(replace(w, note=HOSTILE, how=HOSTILE) for w in visit.worked),
        vets_words=tuple(
            replace(
                w, who=HOSTILE, note=HOSTILE, grades=tuple(replace(g, scale=HOSTILE, grade=HOSTILE) for g in w.grades)
            )
            for w in visit.vets_words
        ),
    )


def _noted(noted: Noted) -> Noted:
    return replace(noted, note=HOSTILE, written=HOSTILE)


class Seen(HTMLParser):
    """What a page is made of: its tags, attributes, and the words a reader or a screen reader meets."""

    def __init__(self, page: str) -> None:
        super().__init__(convert_charrefs=True)
        self.tags: set[str] = set()
        self.attributes: set[tuple[str, str]] = set()
        self.words: list[str] = []
        self._silent = 0
        self.feed(page)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.add(tag)
        self.attributes.update((name, value or "") for name, value in attrs)
        self._silent += tag == "style"

    def handle_endtag(self, tag: str) -> None:
        self._silent -= tag == "style"

    def handle_data(self, data: str) -> None:
        if not self._silent:
            self.words.append(data)

    @property
    def text(self) -> str:
        """All words in one line."""
        return " ".join(" ".join(self.words).split())


def words_of(page: str) -> str:
    """The words of a page."""
    return Seen(page).text
