"""Files that are no visit: refused with a sentence, never a traceback, never a wait.

In: bytes. Out: a reading or `BadInput`, within seconds.
Not here: ordinary mistakes (test_faults.py).
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from reasoner.problems import BadInput, Problem
from reasoner.rulebook.loading import load_vocabulary
from reasoner.rulebook.strict_yaml import parse
from reasoner.rulebook.vocabulary import Vocabulary
from reasoner.visit import read_visit, reader, visit_from_node


def _bomb() -> bytes:
    rows = ["a: &a [x, x, x, x, x, x, x, x, x, x]"]
    rows += [
        f"{name}: &{name} [" + ", ".join([f"*{before}"] * 10) + "]"
        for before, name in zip("abcdefg", "bcdefgh", strict=True)
    ]
    return "\n".join(rows).encode()


@pytest.mark.parametrize(
    ("data", "code"),
    [
        (b"x" * 20_000_000, "YM02"),
        (b"[" * 30 + b"]" * 30, "YM07"),
        (b"[" * 100_000, "YM04"),
        (b"{a: " * 5_000, "YM07"),
        (b"- " * 5_000, "YM07"),
        (_bomb(), "YM06"),
        (b"\x89PNG\r\n\x1a\n\x00\x00\x00\rIHDR", "YM03"),
        (bytes(range(256)) * 50, "YM03"),
        (b"\xff\xfe\x00\xd8", "YM03"),
        (b"visit: 2026-04-18\nvisit: 2026-04-19\n", "YM05"),
        (b"horse: !!python/object/apply:os.system [ls]\n", "YM06"),
        (b"palpation:\n\twithers: 4\n", "YM08"),
        (b"visit: 2026-04-18\n---\nvisit: 2026-04-19\n", "YM04"),
        (b"visit: {2026-04-18\n", "YM04"),
        (b"? [a, b]\n: c\n", "YM04"),
        (b"just words\n", "YM10"),
        (b"- a\n- b\n", "YM10"),
        (b"", "VF01"),
        (b"# nothing but a comment\n", "VF01"),
    ],
    ids=lambda value: value if isinstance(value, str) else "",
)
def test_is_refused_with_its_code(data: bytes, code: str, tmp_path: Path, shipped: Vocabulary) -> None:
    path = tmp_path / "visit.yaml"
    path.write_bytes(data)
    with pytest.raises(BadInput) as caught:
        read_visit(path, shipped)
    assert code in {p.code for p in caught.value.problems}
    assert all(p.file == str(path) for p in caught.value.problems)


def test_a_missing_file_and_a_folder(tmp_path: Path, shipped: Vocabulary) -> None:
    for path in (tmp_path / "nowhere.yaml", tmp_path):
        with pytest.raises(BadInput, match="YM01"):
            read_visit(path, shipped)


def test_latin_1_reads_with_a_warning(tmp_path: Path, shipped: Vocabulary) -> None:
    path = tmp_path / "visit.yaml"
    path.write_bytes("visit: 2026-04-18\nhorse: {name: Bérénice}\n".encode("latin-1"))
    visit = read_visit(path, shipped)
    assert visit.horse_name == "Bérénice"
    assert [w.code for w in visit.warnings] == ["YM09"]


def test_a_megabyte_of_mistakes_is_not_read_to_its_end(
    tmp_path: Path, shipped: Vocabulary, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Reading stops at 200 problems, and the slow part, looking for the nearest word, long before that."""
    looked: list[str] = []

    def look(word: str, known: object) -> str:
        looked.append(word)
        return ""

    monkeypatch.setattr(reader, "near_hint", look)
    path = tmp_path / "visit.yaml"
    rows = [f"  wither{n}: {{left: {n}, right: flinchs}}" for n in range(20_000)]
    path.write_text("visit: 2026-04-18\npalpation:\n" + "\n".join(rows))
    with pytest.raises(BadInput) as caught:
        read_visit(path, shipped)
    assert len(caught.value.problems) == 201
    assert 0 < len(looked) <= reader.MOST_HINTS


def test_a_very_long_word_is_quoted_short(shipped: Vocabulary) -> None:
    with pytest.raises(BadInput) as caught:
        visit_from_node(
            parse(b"at first sight: {gums: " + b"pink" * 200_000 + b"}", "v"), "v", shipped, default_day=DAY
        )
    assert all(len(str(p)) < 400 for p in caught.value.problems)


DAY = date(2026, 4, 18)
VOCABULARY = load_vocabulary()
_HEADINGS = """palpation; quiet; between the spinous processes; uneven steps; worked on; veterinarian's word; horse
    tacked up; saddle; ridden; after work; at first sight; vital signs; visit; notes"""
_WORDS = """left; right; both; near; off fore; left hind; withers; loin; left loin; tail head; neck; T14-T15; soreness
    response; felt; once settled; after; note; is; place; side; how; minutes; who; seen; about; allows; until; grade
    scale; gums; pink; stirrups; 62 cm; 11; 4; -1; 4.5; nan; 1875; 2026-04-10; 2026-02-30; right-handed
    would not allow touch; not examined - no time; not examined; flinches; none; ; seen at; no; rests; dry patch"""
HEADINGS = [word.strip() for word in _HEADINGS.replace("\n", ";").split(";")]
KNOWN = HEADINGS + [word.strip() for word in _WORDS.replace("\n", ";").split(";")]


def _mappings(inner: st.SearchStrategy[object]) -> st.SearchStrategy[object]:
    keys = st.sampled_from(KNOWN)
    return st.dictionaries(keys, inner, max_size=4) | st.lists(inner, max_size=3)


TREES = st.recursive(st.sampled_from(KNOWN), _mappings, max_leaves=12)


def _yaml(tree: object) -> Iterator[str]:
    if isinstance(tree, dict):
        yield "{" + ", ".join(f"{_quoted(key)}: {''.join(_yaml(value))}" for key, value in tree.items()) + "}"
    elif isinstance(tree, list):
        yield "[" + ", ".join("".join(_yaml(item)) for item in tree) + "]"
    else:
        yield _quoted(str(tree))


def _quoted(text: str) -> str:
    return "'" + text.replace("'", "''") + "'"


def _survives(data: bytes) -> None:
    problems: tuple[Problem, ...] = ()
    visit = None
    try:
        visit = visit_from_node(parse(data, "v"), "v", VOCABULARY, default_day=DAY)
    except BadInput as bad:
        problems = bad.problems
    assert visit is not None or problems
    assert all(p.code and p.sentence and "\n" not in str(p) for p in problems)
    if visit is not None:
        assert len({(t.place, t.side, t.when) for t in visit.touches}) == len(visit.touches)
        assert len({(n.key, n.side, n.about) for n in visit.noted}) == len(visit.noted)


@settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(st.dictionaries(st.sampled_from(HEADINGS), TREES, max_size=4))
def test_any_arrangement_of_known_words(tree: dict[str, object]) -> None:
    _survives("".join(_yaml(tree)).encode())


@settings(max_examples=150, deadline=None)
@given(st.text(max_size=200))
def test_any_text(text: str) -> None:
    _survives(text.encode("utf-8", "surrogatepass"))


@settings(max_examples=150, deadline=None)
@given(st.binary(max_size=200))
def test_any_bytes(data: bytes) -> None:
    _survives(data)


@settings(max_examples=100, deadline=None)
@given(st.sampled_from(KNOWN), st.text(max_size=30), st.text(max_size=30))
def test_any_text_under_a_known_key(key: str, inner: str, value: str) -> None:
    def double(text: str) -> str:
        return '"' + "".join(f"\\u{ord(c):04x}" if ord(c) < 0x10000 else f"\\U{ord(c):08x}" for c in text) + '"'

    _survives(f"palpation: {{{_quoted(key)}: {{{double(inner)}: {double(value)}}}}}\nnotes: {double(value)}\n".encode())
