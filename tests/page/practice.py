"""Practice at the page for its tests: a chosen case put into a session, and everything that came back.

In: a client and a case. Out: a `Played` that asks as a browser's forms do and keeps every answer whole; a case as a teacher
hands it out.
Not here: expectations.
"""

from __future__ import annotations

import re
from typing import Any

import pytest
from fastapi.testclient import TestClient
from httpx2 import Response

from reasoner.page.routes import practise
from reasoner.teaching.beside_the_rules import RulesSay
from reasoner.teaching.handing_out import HandedOut, file_text, handed_out
from reasoner.teaching.making import Case, Maker
from reasoner.teaching.teachers_answer import TeachersAnswer
from tests.page.serving import rules


def case_of(cause: str, side: str, difficulty: str = "plain", seed: int = 3) -> Case:
    """A case made from a cause by the shipped rules."""
    return Maker(rules().book).case(cause, side, difficulty, seed)


#: What a teacher writes for the end, and nobody else says.
WORDS = "Feel how the left elbow meets the girth ring: zinnober."


def given(case: Case, *, marks: bool = False, key: bytes = b"k" * 32, title: str = "Case 3") -> HandedOut:
    """The case as a teacher hands it out; in the lock its cause, a call and the teacher's words."""
    cause = (case.cause, case.side)
    answer = TeachersAnswer(title=title, visit="v", causes=(cause,), referral="prompt", words=WORDS, marks=marks)
    says = RulesSay(begins=(cause,), causes=(cause,), referral="routine", steps=(), stamp=rules().book.stamp)
    return handed_out(case, answer, says, key, at="2026-11-28T08:00:00+00:00", made_by="1")


def as_file(one: HandedOut | bytes) -> dict[str, tuple[str, bytes, str]]:
    """The field of a form that holds a case."""
    data = one if isinstance(one, bytes) else file_text(one).encode()
    return {"case": ("case-3.json", data, "application/json")}


class Played:
    """One person before one case. `answers` holds every answer: how it was asked, its status, headers and body."""

    def __init__(self, client: TestClient, patch: pytest.MonkeyPatch, case: Case | None = None) -> None:
        self.client, self.answers = client, list[tuple[str, Response]]()
        if case is not None:
            patch.setattr(practise, "made_case", lambda *_: case)
        self.get("/practise")
        self.at = self.post("/practise", tap=self.tap(), origin="made", difficulty="").headers["location"]
        self.uid = self.at.rsplit("/", 1)[1]
        self.get(self.at)

    @classmethod
    def handed(cls, client: TestClient, one: HandedOut, name: str = "Tam Orrin") -> Played:
        """The same before a case that a teacher handed out."""
        self = cls.__new__(cls)
        self.client, self.answers = client, []
        self.get("/practise")
        answer = client.post("/practise/handed-out", data={"name": name}, files=as_file(one), follow_redirects=False)
        self.answers.append(("POST /practise/handed-out", answer))
        self.at = answer.headers["location"]
        self.uid = self.at.rsplit("/", 1)[1]
        self.get(self.at)
        return self

    def tap(self) -> str:
        """What the button to begin sends, as the last page had it."""
        found = re.search(r'name="tap" value="([0-9a-f]{32})"', self.answers[-1][1].text)
        assert found
        return found[1]

    def get(self, path: str) -> Response:
        answer = self.client.get(path, follow_redirects=False)
        self.answers.append((f"GET {path}", answer))
        return answer

    def post(self, path: str, **fields: Any) -> Response:
        answer = self.client.post(path, data=fields, follow_redirects=False)
        self.answers.append((f"POST {path} {sorted(fields.items())}", answer))
        return answer

    def does(self, what: str, **fields: Any) -> Response:
        """A form of the session, and the page it leads to."""
        answer = self.post(f"{self.at}/{what}", **fields)
        return self.get(answer.headers["location"].partition("#")[0]) if answer.status_code == 303 else answer

    def looks(self) -> list[str]:
        """The looks that the session's page offers."""
        return re.findall(r'name="look" value="(\w+)"', self.get(self.at).text)

    def whole(self) -> list[str]:
        """Every answer as text with all its headers; what differs between any two sessions is taken out."""
        found = []
        for asked, answer in self.answers:
            head = sorted((k, v) for k, v in answer.headers.items() if k not in ("date", "content-length"))
            text = f"{asked}\n{answer.status_code}\n{head}\n{answer.text}".replace(self.uid, "UID")
            found.append(re.sub(r"(tap['\"]?[^0-9a-f]{1,12}(?:value=\")?)[0-9a-f]{32}", r"\1TAP", text))
        return found
