"""The page's own files: nothing in them asks for anything elsewhere, and nothing in them needs a looser policy.

In: templates, styles and scripts as text. Out: a failure for a foreign address, a script or style inside a page, a form without
its token. Not here: what a browser really asks for.
"""

from __future__ import annotations

import re
from html.parser import HTMLParser
from pathlib import Path

import pytest

from reasoner.page.pages import HERE

FILES = sorted(f for f in (HERE / "static").rglob("*") if f.is_file())
TEMPLATES = sorted((HERE / "templates").rglob("*.html"))
#: Names of languages, which nobody fetches.
NAMES = (
    "http://www.w3.org/2000/svg",
    "http://www.w3.org/1999/xhtml",
    "http://www.w3.org/1999/xlink",
    "http://www.w3.org/1998/Math/MathML",
)
#: Scripts that may put markup into a page, and whose it is.
MAY = {"body_map.js": ("dangerouslySetInnerHTML",)}  # our own drawing of a horse, as it stands in the program's files
_COMMENT = re.compile(r"/\*.*?\*/|(?<![:'\"])//[^\n]*|<!--.*?-->", re.DOTALL)


@pytest.mark.parametrize("path", [*FILES, *TEMPLATES], ids=lambda p: str(p.relative_to(HERE)))
def test_nothing_asks_for_anything_elsewhere(path: Path) -> None:
    if path.suffix in (".png", ".jpg", ".ico", ".woff2") or re.search("licen[cs]e", path.name.lower()):
        return
    text = _COMMENT.sub("", path.read_text(encoding="utf-8"))
    for name in NAMES:
        text = text.replace(name, "")
    assert not re.search(r"""(?:https?|wss?|ftp):\\?/\\?/""", text), "a foreign address"
    assert not re.search(r"""(?:src|href|action|url\(|import|from)\s*[=(]?\s*["']?//""", text), (
        "an address without its beginning"
    )
    assert "sourceMappingURL" not in text


class Looked(HTMLParser):
    """What of a template the policy would refuse, and its forms."""

    def __init__(self) -> None:
        super().__init__()
        self.wrong: list[str] = []
        self.forms = 0

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        told = dict(attrs)
        if (
            tag == "style"
            or "style" in told
            or (tag == "script" and "src" not in told)
            or tag in ("iframe", "object", "embed", "base")
        ):
            self.wrong.append(f"<{tag} {attrs}>")
        self.wrong += [f"<{tag} {name}>" for name in told if name.startswith("on")]
        if tag == "form" and (told.get("method") or "").lower() == "post":
            self.forms += 1


@pytest.mark.parametrize("path", TEMPLATES, ids=lambda p: p.name)
def test_nothing_stands_inside_a_page_that_the_policy_refuses(path: Path) -> None:
    looked = Looked()
    text = path.read_text(encoding="utf-8")
    looked.feed(re.sub(r"{%.*?%}|{{.*?}}", "", text, flags=re.DOTALL))
    assert looked.wrong == []
    assert len(re.findall(r"{{ *token\(\) *}}", text)) == looked.forms, (
        "every form that changes something carries its token"
    )
    assert "| safe" not in text
    assert "|safe" not in text


@pytest.mark.parametrize("path", [f for f in FILES if f.suffix in (".js", ".mjs")], ids=lambda p: p.name)
def test_no_script_makes_code_out_of_text(path: Path) -> None:
    if "library" in path.parts:
        return
    allowed = MAY.get(path.name, ())
    text = _COMMENT.sub("", path.read_text(encoding="utf-8"))
    for word in (
        "eval(",
        "new Function",
        "innerHTML",
        "outerHTML",
        "insertAdjacentHTML",
        "document.write",
        "dangerouslySetInnerHTML",
    ):
        assert word not in text or word in allowed, word


def test_there_is_something_to_look_at() -> None:
    assert len(FILES) >= 3
    assert len(TEMPLATES) >= 6
