"""The cache of the compiled rulebook: the same answer with and without it, and never a reason to fail.

In: cache folders in every sorry state. Out: the same program each time.
Not here: what the program says.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest

from reasoner import rules_cache
from reasoner.inference.program import to_plain
from reasoner.rulebook.layers import shipped_rules
from reasoner.rules_cache import LATE, Ready, ready_rulebook


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv(rules_cache.VARIABLE, str(tmp_path / "cache"))
    return tmp_path / "cache"


def test_what_comes_back_is_what_went_in(folder: Path) -> None:
    first = ready_rulebook()
    (kept,) = folder.glob("*.rules")
    again = ready_rulebook()
    import json

    for one, other in ((first.program, again.program), (first.lean, again.lean)):
        a, b = to_plain(one), to_plain(other)
        assert a[0].keys() == b[0].keys()
        for name, array in a[0].items():
            assert array.dtype == b[0][name].dtype
            assert np.array_equal(array, b[0][name]), name
        for rest in (a[1], b[1]):
            rest["meta"] = {**rest["meta"], **{name: list(rest["meta"][name]) for name in LATE}}
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


@pytest.mark.parametrize("kept_part", [1, 30, 1000, -100_000, -1])
def test_a_cache_cut_short_anywhere_is_made_anew(folder: Path, kept_part: int) -> None:
    ready_rulebook()
    (kept,) = folder.glob("*.rules")
    whole = kept.read_bytes()
    kept.write_bytes(whole[:kept_part])
    assert ready_rulebook().program.rule_count > 0
    assert kept.read_bytes() == whole


def test_several_processes_at_once_leave_one_whole_file(folder: Path) -> None:
    """Each starts without a cache, all write the same file, and whoever reads it reads all of it."""
    code = "from reasoner.rules_cache import ready_rulebook; print(ready_rulebook().book.stamp)"
    started = [subprocess.Popen([sys.executable, "-c", code], stdout=subprocess.PIPE, text=True) for _ in range(3)]
    told = {process.communicate(timeout=120)[0] for process in started}
    assert [process.returncode for process in started] == [0, 0, 0]
    assert told == {ready_rulebook().book.stamp + "\n"}
    assert [path.suffix for path in folder.iterdir()] == [".rules"], "nothing half written is left behind"


def test_the_order_of_the_layers_is_part_of_what_is_kept(folder: Path, tmp_path: Path) -> None:
    """Two layers weigh one rule differently: the later one is heard, whichever was asked for first."""
    rule = next(r for r in ready_rulebook_uncached().book.rules())[0]
    for name, word in (("one", "slight"), ("two", "strong")):
        layer = tmp_path / name
        layer.mkdir()
        (layer / "changes.yaml").write_text(f"- {{rule: {rule}, points: {word}, because: a trial}}\n")

    def strengths(*names: str) -> set[float]:
        made = ready_rulebook([shipped_rules(), *(tmp_path / name for name in names)])
        return {abs(entry[6]) for entry in made.program.meta["rules"] if entry[0] == rule}

    for _ in ("made", "kept"):
        assert strengths("one", "two") == {0.8}
        assert strengths("two", "one") == {0.2}


def test_a_folder_with_a_name_that_is_no_text(folder: Path, tmp_path: Path) -> None:
    own = tmp_path / os.fsdecode(b"rules-\xff")
    try:
        shutil.copytree(shipped_rules(), own)
    except OSError:
        pytest.skip("this file system takes no such name")
    assert ready_rulebook([own]).book.stamp == ready_rulebook([own]).book.stamp
    assert len(list(folder.glob("*.rules"))) == 1


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
