"""Somebody at a horse, for the load tool: one touch after the other, and between two touches an empty route of the same page.

In: the address the load tool was given, and where to write (the variables REASONER_LOAD_*). Out: a JSON file with the
milliseconds of every request by name.
Not here: the server, what the figures should be (page_bench.py). Run by `locust`, which makes its own loop over sockets.
"""

from __future__ import annotations

import json
import os
import random
import time
import uuid
from pathlib import Path
from typing import Any

from locust import HttpUser, between, events, task

HERE, TOUCH, NEXT = "here", "touch", "next"
#: Seconds between one request of a person and the next: a touch comes every two to four seconds, which is quicker than a hand.
PAUSE_S = between(1.0, 2.0)
#: People do not begin with one bang: each begins somewhere within this, and what the page does in it is not counted.
BEGINNING_S = 6.0
#: A person whose thumb rests asks what to look at next, once in so many touches.
TOUCHES_A_REST = 6
_BEGUN = time.monotonic()
_TIMES: dict[str, list[float]] = {HERE: [], TOUCH: [], NEXT: []}
_FAILED: list[str] = []
_PLACES: tuple[str, ...] = tuple(json.loads(os.environ.get("REASONER_LOAD_PLACES", "[]")))


class Person(HttpUser):
    """One person at one horse: places are pressed in a seeded order, left and right, until the horse is done."""

    wait_time = PAUSE_S

    def on_start(self) -> None:
        """Begin a horse."""
        number = len(_TIMES[HERE]) + id(self) % 1009
        self.chance = random.Random(number)
        self._begin()
        time.sleep(self.chance.uniform(0, BEGINNING_S))

    def _begin(self) -> None:
        self.left = [(place, side) for place in _PLACES for side in ("left", "right")]
        self.chance.shuffle(self.left)
        entries = {
            "name": f"Horse {self.chance.randrange(10_000)}",
            "yard": "Larkhope",
            "breathing": "easy",
            "gums": "pink",
        }
        self.draft: dict[str, Any] = {
            "draft": str(uuid.UUID(int=self.chance.getrandbits(128), version=4)), "visit": "2026-11-28", "entries": entries,
            "palpation": {}, "quiet": {}, "notes": [],
        }  # fmt: skip

    @task
    def examine(self) -> None:
        """A touch; a rest; an empty route."""
        if not self.left:
            self._begin()
        place, side = self.left.pop()
        score = self.chance.choice((0, 0, 0, 1, 2, 3, 5, 7))
        self.draft["palpation"].setdefault(place, {})[side] = {"soreness": str(score)}
        self._send("/api/answer", TOUCH)
        if self.chance.randrange(TOUCHES_A_REST) == 0:
            self._send("/api/next", NEXT)
        self.wait()  # type: ignore[no-untyped-call]
        self.client.get("/api/here", name=HERE)

    def _send(self, path: str, name: str) -> None:
        self.client.post(path, json=self.draft, name=name, headers={"X-From-Page": "1"})


def _timed(name: str, response_time: float, exception: Exception | None, **_: object) -> None:
    if exception is not None:
        _FAILED.append(f"{name}: {exception}")
    elif time.monotonic() - _BEGUN > BEGINNING_S:
        _TIMES[name].append(response_time)


def _written(**_: object) -> None:
    Path(os.environ["REASONER_LOAD_OUT"]).write_text(json.dumps({"times": _TIMES, "failed": _FAILED}))


events.request.add_listener(_timed)  # type: ignore[no-untyped-call]
events.quitting.add_listener(_written)  # type: ignore[no-untyped-call]
