"""The first page in a browser, at three widths, light and dark."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal

import pytest
from playwright.sync_api import Browser

from tests.page.browser import SCHEMES, WIDTHS, held_to_wcag, no_sideways_scroll, pictured, running, telephone
from tests.page.serving import application


@pytest.fixture(scope="module")
def base(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    with running(application(tmp_path_factory.mktemp("practice"))) as address:
        yield address


@pytest.mark.parametrize("width", WIDTHS)
@pytest.mark.parametrize("scheme", SCHEMES)
def test_the_first_page_can_be_read_by_anyone(
    browser: Browser, base: str, width: int, scheme: Literal["light", "dark"]
) -> None:
    context, seen = telephone(browser, width, scheme)
    page = context.new_page()
    page.goto(base + "/")
    held_to_wcag(page, "first")
    no_sideways_scroll(page, "first")
    pictured(page, f"first-{width}-{scheme}")
    seen.only_from(base)
    seen.quiet()
    context.close()
