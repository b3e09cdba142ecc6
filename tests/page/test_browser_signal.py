"""No signal: the visit is kept on the telephone, opens again without a network, and arrives in the records exactly once."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Error, Page, Route, expect

from reasoner.store.opening import Store
from reasoner.store.reading import text_of, visits
from tests.page.browser import held_to_wcag, pictured, telephone
from tests.page.horse import begun, finished, graded, opened, practice, ready_without_signal, to_station, told

#: What Chromium writes down itself when the network is off.
OFF = ("net::ERR_INTERNET_DISCONNECTED", "net::ERR_FAILED", "Failed to load resource")


def kept(store: Store) -> list[str]:
    with store.reading() as connection:
        return [text_of(connection, one.version).decode() for one in visits(connection)]


def acts_on(page: Page) -> list[dict[str, object]]:
    """The acts of the one visit on this telephone, read from the browser's database beside the page."""
    found: list[dict[str, object]] = page.evaluate(
        """() => new Promise((done, no) => {
          const asked = indexedDB.open("at-the-horse");
          asked.onerror = no;
          asked.onsuccess = () => {
            const all = asked.result.transaction("visits").objectStore("visits").getAll();
            all.onsuccess = () => done(all.result.flatMap((visit) => visit.acts));
          };
        })"""
    )
    return found


def test_a_visit_goes_on_without_a_signal_and_arrives_once(tmp_path: Path, browser: Browser) -> None:
    with practice(tmp_path) as (base, store):
        context, seen = telephone(browser)
        page = opened(context, base)
        begun(page)
        ready_without_signal(page)
        graded(page, "Withers", "withers", "left (near)", "5")
        context.set_offline(True)
        graded(page, "Loin", "loin", "right (off)", "7")
        expect(page.locator("button.referral")).to_contain_text("No signal: answers come back with it")
        held_to_wcag(page, "no signal")
        page.reload()
        expect(page.get_by_role("button", name="loin, right (off): 7")).to_be_visible()
        graded(page, "Croup", "croup", "left (near)", "2")
        pictured(page, "no-signal-360-light")
        page.get_by_role("button", name="Say it").click()
        page.get_by_label("A line, such as").fill("trap left four")
        page.get_by_role("button", name="Read it", exact=True).click()
        told(page, "kept as it is, to be read later", whole=False)
        finished(page)
        expect(page.locator(".where-line")).to_contain_text("kept on this telephone only, finished, waits")
        held_to_wcag(page, "finished without a signal")
        pictured(page, "finished-no-signal-360-light")
        page.goto(
            "about:blank"
        )  # the same tab: Chromium switches the network off tab by tab, a new one only after it has begun
        page.goto(base + "/at-the-horse")
        expect(page.get_by_text("kept on this telephone only, finished, waits")).to_be_visible()
        assert kept(store) == []
        context.set_offline(False)
        expect(page.get_by_text("kept in the records of Bramble at")).to_be_visible(timeout=20_000)
        (text,) = kept(store)
        for part in ("withers: {left: 5}", "loin: {right: 7}", "croup: {left: 2}", "to be read later: trap left four"):
            assert part in text, part
        page.reload()
        expect(page.get_by_text("kept in the records of Bramble at")).to_be_visible()
        page.get_by_role("button", name="Take off this telephone").click()
        expect(page.get_by_text("Taken off this telephone. The records keep it.")).to_be_visible()
        assert len(kept(store)) == 1
        seen.only_from(base)
        seen.quiet(*OFF)
        context.close()


def test_the_answer_to_a_hand_over_is_lost_on_the_way(tmp_path: Path, browser: Browser) -> None:
    """The records took the visit and the telephone never heard of it: it sends again, and nothing is kept twice."""
    with practice(tmp_path) as (base, store):
        context, _ = telephone(browser)
        context.add_init_script(
            "window.setInterval = () => 0;"
        )  # by itself it tries again only where the page is opened anew
        page = opened(context, base)
        begun(page)
        graded(page, "Withers", "withers", "left (near)", "5")
        statuses: list[int] = []

        def lost(route: Route) -> None:
            answer = route.fetch()
            statuses.append(answer.status)
            if len(statuses) < 3:
                route.abort("connectionreset")
            else:
                route.fulfill(response=answer)

        context.route("**/api/hand-over", lost)
        finished(page)
        expect(page.locator(".where-line")).to_contain_text("waits to be handed over")
        assert statuses == [201]
        page.get_by_role("button", name="Hand over now").click()
        expect(page.locator(".where-line")).to_contain_text("waits to be handed over")
        page.reload()
        expect(page.locator(".where-line")).to_contain_text("kept in the records of Bramble at")
        assert statuses == [201, 200, 200]
        assert len(kept(store)) == 1
        context.close()


def test_two_telephones_with_the_same_horse_and_day(tmp_path: Path, browser: Browser) -> None:
    with practice(tmp_path) as (base, store):
        one, _ = telephone(browser)
        first = opened(one, base)
        begun(first)
        graded(first, "Withers", "withers", "left (near)", "5")
        finished(first)
        expect(first.locator(".where-line")).to_contain_text("kept in the records")
        for choice in ("second", "correction"):
            other, seen = telephone(browser)
            page = opened(other, base)
            begun(page, hands="Wren's apprentice")
            graded(page, "Withers", "withers", "right (off)", "3" if choice == "second" else "4")
            finished(page)
            expect(
                page.get_by_role("heading", name="Another visit to Bramble on this day is kept already")
            ).to_be_visible()
            expect(page.locator(".where-line")).to_contain_text(
                "kept on this telephone only: something has to be decided"
            )
            expect(page.get_by_text("Where they differ")).to_be_visible()
            apart = page.locator(".apart")
            if choice == "second":
                expect(apart).to_contain_text("withers · LEFT (near)in the records: 5on this telephone: nothing")
                expect(apart).to_contain_text("withers · RIGHT (off)in the records: nothingon this telephone: 3")
            else:
                expect(apart).to_contain_text("withers · RIGHT (off)in the records: 3on this telephone: 4")
            expect(page.get_by_text("Nothing is lost, whatever you choose.")).to_be_visible()
            expect(page.get_by_text("The other stays to be read as an earlier version")).to_be_visible()
            held_to_wcag(page, "conflict")
            pictured(page, f"conflict-{choice}-360-light", whole=True)
            before = kept(store)
            page.reload()
            expect(page.get_by_text("Where they differ")).to_be_visible()
            assert kept(store) == before
            if choice == "second":
                page.get_by_role("button", name="Keep both").click()
            else:
                page.get_by_label("Or this one is right and corrects the kept one").fill(
                    "the other one took the wrong side"
                )
                page.get_by_role("button", name="Keep this one as a correction").click()
            expect(page.locator(".where-line")).to_contain_text("kept in the records of Bramble at")
            seen.quiet("409")
            other.close()
        texts = kept(store)
        assert any("left: 5" in text for text in texts) or any("right: 4" in text for text in texts)
        assert len(texts) == 2
        one.close()


def test_a_crash_loses_no_touch(tmp_path: Path, browser: Browser) -> None:
    """The tab is killed the moment a grade was said to be entered."""
    with practice(tmp_path) as (base, _):
        context, _ = telephone(browser)
        page = opened(context, base)
        begun(page)
        graded(page, "Loin", "loin", "left (near)", "8")
        with pytest.raises(Error, match="crash"):
            page.goto("chrome://crash", timeout=5_000)
        page = opened(context, base)
        assert [act["kind"] for act in acts_on(page)] == ["touch"]
        page.get_by_role("button", name="Go on").click()
        to_station(page, "Loin")
        expect(page.get_by_role("button", name="loin, left (near): 8")).to_be_visible()
        context.close()


def test_a_touch_that_the_telephone_refuses_is_not_shown_as_entered(tmp_path: Path, browser: Browser) -> None:
    with practice(tmp_path) as (base, _):
        context, _ = telephone(browser)
        page = opened(context, base)
        begun(page)
        to_station(page, "Loin")
        page.get_by_role("button", name="loin, left (near): not looked at").first.click()
        page.evaluate(
            "() => { IDBObjectStore.prototype.put = () => { throw new DOMException('full', 'QuotaExceededError'); }; }"
        )
        page.get_by_role("button", name="4, loin, left (near)").click()
        expect(page.get_by_role("alert")).to_contain_text("That was not kept")
        expect(page.get_by_role("button", name="loin, left (near): not looked at").first).to_be_visible()
        expect(page.get_by_role("button", name="4, loin, left (near)")).to_have_attribute("aria-pressed", "false")
        held_to_wcag(page, "refused by the telephone")
        context.close()


def test_plain_http_from_nearby_says_to_keep_the_tab_open(tmp_path: Path, browser: Browser) -> None:
    """Over a connection on which a browser allows no service worker, the visit is kept all the same, and that is said."""
    with practice(tmp_path) as (base, store):
        context, _ = telephone(browser)
        context.add_init_script("delete Navigator.prototype.serviceWorker; delete Crypto.prototype.randomUUID;")
        page = opened(context, base)
        begun(page)
        expect(page.get_by_text("Keep this tab open until the visit is handed over")).to_be_visible()
        held_to_wcag(page, "no service worker")
        pictured(page, "keep-the-tab-360-light")
        context.set_offline(True)
        graded(page, "Loin", "loin", "left (near)", "4")
        finished(page)
        expect(page.locator(".where-line")).to_contain_text("kept on this telephone only, finished, waits")
        context.set_offline(False)
        expect(page.locator(".where-line")).to_contain_text("kept in the records of Bramble at")
        assert len(kept(store)) == 1
        context.close()


def test_taking_back_and_putting_a_side_right(tmp_path: Path, browser: Browser) -> None:
    with practice(tmp_path) as (base, _):
        context, _ = telephone(browser)
        page = opened(context, base)
        begun(page)
        graded(page, "Loin", "loin", "left (near)", "4")
        page.get_by_role("button", name="Wrong side: to RIGHT").click()
        told(page, "loin: moved to right (off)")
        expect(page.get_by_role("button", name="loin, right (off): 4")).to_be_visible()
        page.get_by_role("button", name="Take back").click()
        told(page, "Taken back: loin: left and right exchanged. It is on LEFT (near) again")
        page.get_by_role("button", name="LEFT (near)", exact=True).first.click()
        expect(page.get_by_role("button", name="loin, left (near): 4")).to_be_visible()
        page.wait_for_timeout(400)
        page.get_by_role("button", name="Take back").click()
        expect(page.get_by_role("button", name="loin, left (near): not looked at").first).to_be_visible()
        expect(page.get_by_role("button", name="Take back")).to_be_disabled()
        assert [act["kind"] for act in acts_on(page)] == ["touch", "exchange", "undo", "undo"], (
            "nothing is ever rubbed out"
        )
        context.close()


def test_every_version_of_the_files_is_its_own(tmp_path: Path, browser: Browser) -> None:
    """The worker names each file of the page, and holds exactly the bytes that are served."""
    with practice(tmp_path) as (base, _):
        context, _ = telephone(browser)
        page = opened(context, base)
        ready_without_signal(page)
        worker = context.request.get(base + "/service-worker.js")
        assert worker.headers["content-type"].startswith("text/javascript")
        named = json.loads(re.search(r"const FILES = (\[.*\]);", worker.text()).group(1))  # type: ignore[union-attr]
        asked = page.evaluate("performance.getEntriesByType('resource').map((one) => new URL(one.name).pathname)")
        loaded = {path for path in asked if path.startswith("/static/")}
        assert loaded <= set(named), loaded - set(named)
        for path in named:
            assert context.request.get(base + path).ok, path
        context.close()


def test_a_horse_of_the_records_can_be_begun_without_a_signal(tmp_path: Path, browser: Browser) -> None:
    with practice(tmp_path) as (base, store):
        context, _ = telephone(browser)
        page = opened(context, base)
        begun(page, "Clover")
        ready_without_signal(page)
        to_station(page, "Visit, examined by")
        page.get_by_label("visit", exact=True).fill("2026-04-25")
        page.get_by_label("visit", exact=True).blur()
        graded(page, "Loin", "loin", "left (near)", "2")
        finished(page)
        page.get_by_role("button", name="To the next horse").click()
        expect(page.get_by_role("button", name="Clover Larkhope, last seen 25 April 2026")).to_be_visible()
        context.set_offline(True)
        page.reload()
        expect(page.get_by_label("Examined by")).to_have_value("Wren Aldous")
        expect(page.get_by_text("these are the horses as this telephone last saw them")).to_be_visible()
        held_to_wcag(page, "start without a signal")
        page.get_by_role("button", name="Clover Larkhope, last seen 25 April 2026").click()
        expect(page.get_by_role("heading", level=1, name="The first sixty seconds")).to_be_visible()
        graded(page, "Loin", "loin", "left (near)", "5")
        finished(page)
        context.set_offline(False)
        expect(page.locator(".where-line")).to_contain_text("kept in the records of Clover at")
        assert ["left: 2" in kept(store)[0], "left: 5" in kept(store)[1]] == [True, True]
        context.close()


def test_a_session_that_ended_loses_nothing(tmp_path: Path, browser: Browser) -> None:
    """The records ask who somebody is, in the middle of a visit: it is said, and the visit stays and goes on."""
    with practice(tmp_path) as (base, store):
        context, _ = telephone(browser)
        page = opened(context, base)
        begun(page)
        context.route("**/api/*", lambda route: route.fulfill(status=401, json={"says": "Say who you are first."}))
        graded(page, "Loin", "loin", "left (near)", "4")
        expect(page.get_by_text("The records want to know who you are.")).to_be_visible()
        held_to_wcag(page, "signed out")
        finished(page)
        expect(page.locator(".where-line")).to_contain_text("kept on this telephone only, finished, waits")
        assert kept(store) == []
        context.unroute("**/api/*")
        page.get_by_role("button", name="Hand over now").click()
        expect(page.locator(".where-line")).to_contain_text("kept in the records of Bramble at")
        expect(page.get_by_text("The records want to know who you are.")).to_be_hidden()
        context.close()
