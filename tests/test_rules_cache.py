"""The cache of the compiled rulebook: the same answer with and without it, and never a reason to fail.

In: cache folders in every sorry state. Out: the same program each time.
Not here: what the program says.
"""

from __future__ import annotations

import os
from pathlib import Path

import numpy as np
import pytest

from reasoner import rules_cache
from reasoner.inference.program import to_plain
from reasoner.rules_cache import Ready, ready_rulebook


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv(rules_cache.VARIABLE, str(tmp_path / "cache"))
    return tmp_path / "cache"


def test_what_comes_back_is_what_went_in(folder: Path) -> None:
    first = ready_rulebook()
    (kept,) = folder.glob("*.rules")
    again = ready_rulebook()
    a, b = to_plain(first.program), to_plain(again.program)
    assert a[0].keys() == b[0].keys()
    for name, array in a[0].items():
        assert array.dtype == b[0][name].dtype
        assert np.array_equal(array, b[0][name]), name
    import json

    for rest in (a[1], b[1]):
        rest["meta"] = {**rest["meta"], "columns": list(rest["meta"]["columns"])}
    assert json.loads(json.dumps(a[1])) == json.loads(json.dumps(b[1]))
    assert again.book.stamp == first.book.stamp
    assert kept.stat().st_size > 0


def test_pages_come_back_equal_but_for_their_examples(folder: Path) -> None:
    import dataclasses

    first, again = ready_rulebook().book, ready_rulebook().book
    for kind in ("conclusions", "concerns", "actions", "circumstances", "sources"):
        for key, page in getattr(first, kind).items():
            bare = dataclasses.replace(page, examples=()) if hasattr(page, "examples") else page
            assert getattr(again, kind)[key] == bare
    assert again.vocabulary.places == first.vocabulary.places
    assert again.vocabulary.observations == first.vocabulary.observations
    assert again.scales == first.scales


@pytest.mark.parametrize("harm", [b"", b"nonsense", b"half"])
def test_a_damaged_cache_is_made_anew(folder: Path, harm: bytes) -> None:
    first = ready_rulebook()
    (kept,) = folder.glob("*.rules")
    whole = kept.read_bytes()
    kept.write_bytes(whole[: len(whole) // 2] if harm == b"half" else harm)
    assert ready_rulebook().program.slots == first.program.slots
    assert kept.read_bytes() == whole


def test_one_flipped_byte_is_noticed(folder: Path) -> None:
    ready_rulebook()
    (kept,) = folder.glob("*.rules")
    data = bytearray(kept.read_bytes())
    data[len(data) // 2] ^= 1
    kept.write_bytes(bytes(data))
    damaged = bytes(data)
    first = ready_rulebook()
    assert kept.read_bytes() != damaged
    assert first.program.rule_count > 0


def test_a_folder_that_cannot_be_written_only_costs_time(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    blocked = tmp_path / "a_file"
    blocked.write_text("in the way")
    monkeypatch.setenv(rules_cache.VARIABLE, str(blocked / "cache"))
    assert ready_rulebook().program.rule_count > 0
    assert blocked.read_text() == "in the way"


def test_off_keeps_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(rules_cache.VARIABLE, "off")
    monkeypatch.setenv("HOME", str(tmp_path))
    ready_rulebook()
    assert not os.listdir(tmp_path)


def test_other_bytes_are_another_rulebook(folder: Path, tmp_path: Path) -> None:
    layer = tmp_path / "own"
    layer.mkdir()
    rule = next(name for name, _, _ in ready_rulebook_uncached().book.rules())
    (layer / "changes.yaml").write_text(f"- {{rule: {rule}, switched: off, because: a trial}}\n")
    from reasoner.rulebook.layers import shipped_rules

    one = ready_rulebook()
    two = ready_rulebook([shipped_rules(), layer])
    assert two.program.rule_count < one.program.rule_count
    assert len(list(folder.glob("*.rules"))) == 2


def ready_rulebook_uncached() -> Ready:
    from reasoner.rulebook.loading import load_rulebook

    return rules_cache.compiled(load_rulebook())


def test_no_pickle_anywhere() -> None:
    """Data only: the cache module neither pickles nor lets numpy do it."""
    text = Path(rules_cache.__file__).read_text()
    assert "import pickle" not in text
    assert "np.load" not in text
