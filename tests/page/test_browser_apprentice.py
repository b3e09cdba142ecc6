"""An apprentice at the horse: who answers for the visit is asked before it begins, and is known after the signal is gone."""

from __future__ import annotations

from pathlib import Path

from playwright.sync_api import Browser, expect

from reasoner.page.who import Who, who
from reasoner.store.reading import text_of, visits
from tests.page.browser import held_to_wcag, no_sideways_scroll, pictured, running, telephone
from tests.page.horse import finished, graded, opened, over, ready_without_signal, store_in


def test_who_answers_for_it_is_asked_before_the_visit_begins(tmp_path: Path, browser: Browser) -> None:
    store = store_in(tmp_path)
    app = over(store)
    app.dependency_overrides[who] = lambda: Who(name="Tam Orrin", role="apprentice")
    with running(app) as base:
        context, seen = telephone(browser)
        page = opened(context, base)
        expect(page.get_by_label("Examined by")).to_have_value("Tam Orrin")
        checker = page.get_by_label("Checked by: the practitioner who answers for it")
        begin = page.get_by_role("button", name="Begin with Bramble")
        page.get_by_label("Its name").fill("Bramble")
        expect(begin).to_be_disabled()
        expect(page.get_by_text("Say first who answers for it")).to_be_visible()
        checker.fill("tam  orrin")
        expect(begin).to_be_disabled()
        held_to_wcag(page, "an apprentice begins")
        no_sideways_scroll(page, "an apprentice begins")
        pictured(page, "apprentice-begins-360-light")
        checker.fill("Wren Aldous")
        begin.click()
        graded(page, "Withers", "withers", "left (near)", "5")
        finished(page)
        expect(page.locator(".where-line")).to_contain_text("kept in the records of Bramble at")
        with store.reading() as connection:
            (text,) = [text_of(connection, one.version).decode() for one in visits(connection)]
        assert "examined by: Tam Orrin\n" in text
        assert "checked by: Wren Aldous\n" in text
        ready_without_signal(page)
        context.set_offline(True)
        page.goto("about:blank")
        page.goto(base + "/at-the-horse")
        expect(page.get_by_label("Checked by: the practitioner who answers for it")).to_have_value("Wren Aldous")
        seen.only_from(base)
        context.close()


def test_a_practitioner_is_not_asked_who_answers(tmp_path: Path, browser: Browser) -> None:
    store = store_in(tmp_path)
    with running(over(store)) as base:
        context, _ = telephone(browser)
        page = opened(context, base)
        expect(page.get_by_label("Examined by")).to_have_value("")
        expect(page.get_by_label("Checked by")).to_have_count(0)
        context.close()
