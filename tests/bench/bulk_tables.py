"""Generated visits by the million, as tables with one row a finding.

In: the whole examinations of examples/, a seed. Out: Arrow tables, the same for the same seed.
Not here: judging, timing. Each visit is one of the examinations on another day, with every soreness moved by up to two points,
every tenth finding left out, and a few places read a second time after work.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from pathlib import Path
from typing import Any

import numpy as np
import pyarrow as pa

from reasoner.rules_cache import Ready
from reasoner.visit.reading import read_visit
from tests.bulk.as_rows import NAMES, rows_of

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"
WHOLE_ROUND = 40
DAYS = 60
CHUNK = 4096


class Generated:
    """An endless supply of visits."""

    def __init__(self, ready: Ready, seed: int = 1) -> None:
        vocabulary = ready.book.vocabulary
        visits = [read_visit(path, vocabulary) for path in sorted(EXAMPLES.glob("*.yaml"))]
        whole = [v for v in visits if len(v.touches) >= WHOLE_ROUND]
        rows = [rows_of(visit, "", vocabulary) for visit in whole]
        flat = [row for some in rows for row in some]
        self.texts: dict[str, list[str]] = {}
        self.codes: dict[str, Any] = {}
        for name in NAMES[2:]:
            words = sorted({row[name] or "" for row in flat if name in row} | {""})
            number = {word: n for n, word in enumerate(words)}
            self.texts[name] = words
            self.codes[name] = np.array([number[row.get(name) or ""] for row in flat], dtype=np.int32)
        self.first = np.cumsum([0, *map(len, rows)])
        self.days = np.array([(v.day - _epoch()).days for v in whole])
        halves = [f"{n / 2:g}" for n in range(21)]
        self.values = [*self.texts["value"], *(w for w in halves if w not in self.texts["value"])]
        self.half = np.array([self.values.index(w) for w in halves])
        self.points = np.full(len(self.values), -1)
        self.points[self.half] = np.arange(21)
        places = {place.name for place in vocabulary.places.values()}
        touched = np.array([row["finding"] in places for row in flat])
        self.scored = touched & (self.points[self.codes["value"]] >= 0)
        # What the examination itself reads a second time is left alone.
        spots = [(n, row.get("finding"), row.get("side")) for n, some in enumerate(rows) for row in some]
        self.once = np.array([spots.count(spot) == 1 for spot in spots])
        self.random = np.random.default_rng(seed)
        self.made = 0

    def tables(self, visits: int) -> Iterator[Any]:
        """Tables of CHUNK visits or fewer, `visits` in all."""
        for at in range(0, visits, CHUNK):
            yield self._table(min(CHUNK, visits - at))

    def _table(self, visits: int) -> Any:
        which = self.random.integers(0, len(self.days), visits)
        size = np.diff(self.first)[which]
        visit = np.repeat(np.arange(visits), size)
        starts = np.repeat(np.cumsum(size) - size, size)
        row = np.arange(len(visit)) - starts + self.first[which][visit]
        kept = self.random.random(len(row)) >= 0.1
        row, visit = row[kept], visit[kept]
        value = self.codes["value"][row].copy()
        scored = self.scored[row]
        moved = self.points[value[scored]] + self.random.integers(-4, 5, int(scored.sum()))
        value[scored] = self.half[np.clip(moved, 0, 20)]
        # After work: a few scored places again, right behind their first reading.
        again = scored & self.once[row] & (self.random.random(len(row)) < 0.01)
        times = np.where(again, 2, 1)
        index = np.repeat(np.arange(len(row)), times)
        second = np.append(False, index[1:] == index[:-1])
        when = [*self.texts["when"], "after work"]
        codes = {name: self.codes[name][row][index] for name in NAMES[2:]}
        codes["value"] = value[index]
        codes["when"] = np.where(second, len(when) - 1, codes["when"])
        days = self.days[which] + self.random.integers(0, DAYS, visits)
        names = pa.array([f"visit {self.made + n:08d}" for n in range(visits)])
        self.made += visits
        columns = {"visit": names.take(pa.array(visit[index])),
                   "date": pa.array(days[visit[index]].astype(np.int32)).cast(pa.date32())}  # fmt: skip
        for name in NAMES[2:]:
            words = {"value": self.values, "when": when}.get(name, self.texts[name])
            columns[name] = pa.array([w or None for w in words], pa.string()).take(pa.array(codes[name]))
        return pa.table(columns)


def _epoch() -> date:
    return date(1970, 1, 1)
