"""A handed-out case in a real browser, at the size of a telephone: from the file to the answer's file, and picked on the machine.

In: fresh records with a class, Chromium. Out: a failure where a screen breaks WCAG 2.2 AA, scrolls sideways, asks a stranger, or
the road stops.
Not here: what may not leak (test_practise_leaks), what is refused (test_practise_handed_out).
"""

from __future__ import annotations

from pathlib import Path
from typing import Literal

import pytest
from playwright.sync_api import Browser, Page, expect

from reasoner.page.app import made
from reasoner.teaching.handed_in import work_from
from reasoner.teaching.handing_out import file_text
from tests.page.browser import looked_over, running, telephone
from tests.page.practice import given
from tests.page.serving import served_in
from tests.page.test_browser_practise import SLOW, small_targets
from tests.page.test_practise_handed_out import CASE, put_out


def looks_and_says(page: Page) -> None:
    """A look, what one thinks, and on to the end."""
    page.get_by_label("Find a look").fill("girth line")
    page.get_by_role("button", name="girth line", exact=True).click()
    expect(page.locator("#seen")).to_contain_text("girth line:")
    page.get_by_label("routine: before the next session").check()
    page.get_by_role("button", name="Keep this answer").click()
    expect(page.locator("#refer")).to_contain_text("You said: routine.")
    page.get_by_role("link", name="To the end of the case").click()


@pytest.mark.parametrize(("width", "scheme"), [(360, "light"), (360, "dark"), (768, "dark"), (1280, "light")])
def test_from_the_file_to_the_answer(
    browser: Browser, tmp_path: Path, width: int, scheme: Literal["light", "dark"]
) -> None:
    served = served_in(tmp_path)
    file = tmp_path / "case-3.json"
    file.write_text(file_text(given(CASE)))
    (tmp_path / "torn.json").write_text(file.read_text()[:-300])
    with running(made(served)) as base:
        context, seen = telephone(browser, width, scheme)
        page = context.new_page()
        page.goto(base + "/practise")
        page.get_by_label("Your name, for your teacher").fill("Tam Orrin")
        page.get_by_label("The file of the case").set_input_files(tmp_path / "torn.json")
        page.get_by_role("button", name="Work on this file").click()
        expect(page.get_by_role("alert")).to_contain_text("only a part of one")
        looked_over(page, f"handed-torn-{width}-{scheme}")
        expect(page.get_by_label("Your name, for your teacher")).to_have_value("Tam Orrin")
        page.get_by_label("The file of the case").set_input_files(file)
        page.get_by_role("button", name="Work on this file").click()
        expect(page.get_by_role("heading", level=1)).to_have_text("Case 3")
        looked_over(page, f"handed-begun-{width}-{scheme}")
        assert small_targets(page) == []
        looks_and_says(page)
        looked_over(page, f"handed-before-{width}-{scheme}")
        page.get_by_role("button", name="End it and hand it in").dblclick()
        expect(page.get_by_role("heading", level=1)).to_have_text('Tam Orrin: "Case 3" is ended')
        expect(page.get_by_text("Handed in: your teacher opens it.")).to_be_visible()
        looked_over(page, f"handed-in-{width}-{scheme}")
        assert small_targets(page) == []
        with page.expect_download() as taken:
            page.get_by_role("link", name="Download your answer").click()
        assert taken.value.suggested_filename == "case-3.tam-orrin.answer.json"
        taken.value.save_as(tmp_path / "answer.json")
        work = work_from((tmp_path / "answer.json").read_bytes(), "answer.json")
        assert [one.get("look") or one.get("refer") or one.get("end") for one in work.choices] == [
            "girth_line", "routine", True,
        ]  # fmt: skip
        expect(page.get_by_text(work.receipt)).to_be_visible()
        page.go_back()
        page.wait_for_load_state()
        expect(page.get_by_role("heading", level=1)).to_have_text('Tam Orrin: "Case 3" is ended')
        page.goto(base + "/practise/record")
        expect(page.get_by_role("link", name="Case 3")).to_contain_text("handed in")
        looked_over(page, f"handed-record-{width}-{scheme}")
        seen.only_from(base)
        seen.quiet("422")  # the browser notes the refusal that was asked for
        context.close()
    served.store.close()


def test_picked_on_the_machine_without_script_and_the_marks_the_teacher_allowed(
    browser: Browser, tmp_path: Path
) -> None:
    served = served_in(tmp_path)
    room, _ = put_out(served.store.place, marks=True)
    with running(made(served)) as base:
        context, seen = telephone(browser, 360, java_script_enabled=False)
        page = context.new_page()
        page.goto(base + "/practise")
        page.get_by_role("button", name="Work on it Case 3").click()
        expect(page.get_by_role("alert")).to_contain_text("was read as your name")
        page.get_by_label("Your name, for your teacher").fill("Tam Orrin")
        page.get_by_role("button", name="Work on it Case 3").dblclick()
        expect(page.get_by_role("heading", level=1)).to_have_text("Case 3")
        case = page.url
        page.get_by_label("Find a look").fill("girth line")
        page.get_by_role("button", name="Find", exact=True).click()
        page.get_by_role("button", name="girth line", exact=True).click()
        expect(page.locator("#seen")).to_contain_text("girth line:")
        page.goto(case + "/end")
        page.get_by_role("button", name="End it and hand it in").click(timeout=SLOW)
        expect(page.get_by_text("It lies ready where your teacher takes answers in")).to_be_visible(timeout=SLOW)
        page.reload(timeout=SLOW)
        assert len(list((room.folder / "received").iterdir())) == 1
        seen.only_from(base)
        seen.quiet("422")
        context.close()
        for scheme in ("light", "dark"):
            context, _ = telephone(browser, 360, scheme)
            page = context.new_page()
            page.goto(base + "/practise")
            looked_over(page, f"handed-start-{scheme}")
            assert small_targets(page) == []
            page.goto(case)
            expect(page.get_by_role("heading", level=2, name="of 100 points")).to_be_visible()
            looked_over(page, f"handed-marks-{scheme}")
            context.close()
    served.store.close()
