"""The first page, and what every answer tells the browser to refuse."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.page.serving import client


@pytest.mark.parametrize("path", ["/", "/static/page.css", "/no-such-page"])
def test_every_answer_refuses_script_frames_and_strangers(tmp_path: Path, path: str) -> None:
    answer = client(tmp_path).get(path)
    policy = answer.headers["content-security-policy"]
    assert "default-src 'none'" in policy
    assert "frame-ancestors 'none'" in policy
    assert "unsafe" not in policy
    assert answer.headers["x-content-type-options"] == "nosniff"
    assert answer.headers["x-frame-options"] == "DENY"


def test_a_page_that_is_not_there_says_so_in_words(tmp_path: Path) -> None:
    answer = client(tmp_path).get("/no-such-page", headers={"accept": "text/html"})
    assert answer.status_code == 404
    assert "no such page" in answer.text


def test_a_mistyped_address_is_answered_in_words(tmp_path: Path) -> None:
    page = client(tmp_path)
    answer = page.get("/visits/zzz", headers={"accept": "text/html"})
    assert answer.status_code == 422
    assert "cannot be read" in answer.text
    assert "detail" not in answer.text
    assert page.get("/visits/zzz", headers={"accept": "application/json"}).json()["detail"]
