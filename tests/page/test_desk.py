"""The desk by its routes: what each page shows, what it refuses, and who may see it."""

from __future__ import annotations

import re
from collections.abc import Iterator
from html import unescape
from pathlib import Path

import pytest
from fastapi.testclient import TestClient

from reasoner.page.app import made
from reasoner.page.who import Who, who
from tests.page.desk_store import TAM, WREN, Desk, desk
from tests.page.serving import SELF

WORDS = {"accept": "text/html"}
INLINE = re.compile(r"<style|\sstyle=|\son[a-z]+=|<script(?![^>]*\ssrc=)", re.IGNORECASE)


@pytest.fixture(scope="module")
def kept(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Desk]:
    """Filled records, read by the tests of this file that write nothing."""
    found = desk(tmp_path_factory.mktemp("desk"))
    yield found
    found.served.store.close()


@pytest.fixture
def mine(tmp_path: Path) -> Iterator[Desk]:
    """Filled records of one test alone."""
    found = desk(tmp_path)
    yield found
    found.served.store.close()


def pages(kept: Desk) -> list[str]:
    """Every page of the desk."""
    return [
        "/horses", "/horses?find=larkhope+2017", f"/horses/{kept.bramble}", "/diary", "/day-sheet?on=2026-05-13", "/yard",
        "/track",
        *(kept.at(one, more) for one in kept.visits for more in ("", "/edit", "/send", "/why-not", "/file", "/correct")),
        kept.at("second", "/versions/2"), kept.at("first", "/why/saddle_to_one_side?side=right"),
        kept.at("first", "/why-here?place=withers&side=left"), kept.at("first", "/why-not?conclusion=tree_too_narrow/"),
    ]  # fmt: skip


def shown(client: TestClient, path: str, code: int = 200) -> str:
    """A page as a person reads it: without marks, on one line."""
    answer = client.get(path, headers=WORDS)
    assert answer.status_code == code, (path, answer.text[:500])
    return plain(answer.text)


def plain(html: str) -> str:
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", html)).split())


def change(client: TestClient, kept: Desk, visit: str = "first", **form: str) -> tuple[int, str]:
    """A change of a line, and the page that answers it."""
    told = {"deed": "reword", "by": WREN, "key": "", "side": "", **form}
    answer = client.post(kept.at(visit, "/edit"), data=told, headers=WORDS)
    return answer.status_code, plain(answer.text)


SHIM = {
    "line": "step", "key": "shims_under_the_side", "side": "right", "kind": "tack",
    "tool_words": "Put a soft shim under the right bar of the saddle and none under the left.",
}  # fmt: skip
LIGHT = {
    "line": "step", "key": "light_work_while_it_comes_over", "kind": "riding",
    "tool_words": "Light work only, until it is known why the saddle comes over.",
}  # fmt: skip


def test_every_page_keeps_the_policy_and_holds_nothing_inline(kept: Desk) -> None:
    client = kept.client()
    for path in pages(kept):
        answer = client.get(path, headers=WORDS)
        assert answer.status_code == 200, path
        assert "unsafe" not in answer.headers["content-security-policy"], path
        assert not INLINE.search(answer.text), (path, INLINE.search(answer.text))


def test_every_link_of_the_desk_leads_somewhere(kept: Desk) -> None:
    client, seen = kept.client(), set[str]()
    for path in pages(kept):
        seen |= {
            unescape(to) for to in re.findall(r'(?:href|src|action)="(/[^"]*)"', client.get(path, headers=WORDS).text)
        }
    book = client.get("/handbook").text
    anchors = set(re.findall(r'id="([^"]+)"', book))
    for to in sorted(seen):
        path, _, anchor = to.partition("#")
        if path in ("/at-the-horse",) or path.endswith((".pdf", "?download=true")) or "/agreed" in path or path.endswith(
            ("/approved", "/judged", "/told", "/countersigned")
        ):  # fmt: skip
            continue
        if path == "/handbook":
            assert not anchor or anchor in anchors, to
            continue
        code = client.get(path, headers=WORDS).status_code
        assert code == 200 or (code == 422 and "/report/" in path), (to, code)


def test_the_handbook_is_served_within_the_policy(kept: Desk) -> None:
    answer = kept.client().get("/handbook")
    assert "unsafe" not in answer.headers["content-security-policy"]
    assert not INLINE.search(answer.text)
    assert 'src="/handbook/book.js"' in answer.text
    assert kept.client().get("/handbook/book.js").headers["content-type"].startswith("text/javascript")


def test_a_visit_shows_the_referral_before_what_is_likely_and_what_it_rests_on(kept: Desk) -> None:
    page = shown(kept.client(), kept.at("first"))
    for one, other in (
        ("Reasons to call", "What is likely"),
        ("What is likely", "What was found"),
        ("What was found", "The plan"),
    ):
        assert page.index(one) < page.index(other, page.index(one) + 1)
    assert "The saddle comes to the right" in page
    assert "Not checked" in page
    assert "What this rests on" in page
    assert "It is not a diagnosis and does not take the place of a veterinarian." in page


def test_a_horse_that_a_prompt_call_stands_on_comes_first(kept: Desk) -> None:
    page = shown(kept.client(), "/horses")
    assert page.index("Magpie") < min(page.index(name) for name in ("Larch", "Hazel", "Rook", "Bramble"))
    assert "A prompt call to the veterinarian stood then" in page
    assert "Bramble" not in shown(kept.client(), "/horses?find=magpie")


def test_why_opens_to_the_rule_its_basis_the_finding_and_what_was_not_checked(kept: Desk) -> None:
    html = kept.client().get(kept.at("first", "/why/saddle_to_one_side?side=right"), headers=WORDS).text
    assert html.count("<details") > 5
    assert re.search(r"<details.*<details.*<details", html, re.DOTALL)
    page = plain(html)
    for words in ("seen to this side", "saddle comes to: right", "line 44", "Rests on common practice", "Not checked:",
                  "By way of", "It prefers the left lead."):  # fmt: skip
        assert words in page
    assert f"{kept.at('first', '/file')}#L44" in html


def test_why_here_names_the_place_and_why_not_the_least_that_was_missing(kept: Desk) -> None:
    client = kept.client()
    assert "withers, left: 3, surface" in shown(client, kept.at("first", "/why-here?place=withers&side=left"))
    page = shown(client, kept.at("first", "/why-not?conclusion=tree_too_narrow/"))
    assert "tree width, looks right" in page
    shown(client, kept.at("first", "/why-here?place=nowhere&side=left"), 404)
    shown(client, kept.at("first", "/why/no_such_thing"), 404)


def test_a_correction_stands_beside_what_it_corrected(kept: Desk) -> None:
    page = shown(kept.client(), kept.at("second", "/versions/2"))
    assert "the croup was read off the wrong line" in page
    assert "was croup: {left: 1, right: 0}" in page
    assert "now croup: {left: 0, right: 0}" in page


# -- changing words ------------------------------------------------------------------------------------------------------


def test_words_are_changed_marked_and_kept_beside_the_tools_own(mine: Desk) -> None:
    client = mine.client()
    mine_words = "One thin shim under the right bar, and nothing under the left one."
    code, _ = change(client, mine, **SHIM, words=mine_words)
    assert code == 200
    marked = "One thin shim under the right bar, and nothing under the left one (in the practitioner's words)."
    assert marked in shown(client, mine.at("first"))
    edit = shown(client, mine.at("first", "/edit"))
    assert f"The tool says: {SHIM['tool_words']}" in edit
    assert "in the words of Wren Aldous" in edit
    change(client, mine, **SHIM, **{"deed": "back"})
    assert marked not in shown(client, mine.at("first"))
    history = shown(client, mine.at("first", "/edit"))
    assert mine_words in history
    assert "the tool's own words let stand again" in history


def test_a_forbidden_word_is_refused_with_the_sentence_and_the_nearest_words(mine: Desk) -> None:
    bad = "Light work only; it is lame on the left fore."
    code, page = change(mine.client(), mine, **LIGHT, words=bad)
    assert code == 422
    assert f'"{bad}": "lame" is a veterinarian\'s verdict' in page
    assert 'Write for instance "its steps are uneven".' in page
    assert LIGHT["tool_words"] in page
    assert "PG33" in page
    assert bad not in shown(mine.client(), mine.at("first"))


@pytest.mark.parametrize(
    ("form", "code"),
    [
        ({**SHIM, "words": "Put the shim in as I showed you."}, "PG35"),
        ({**SHIM, "words": "Put a soft shim under the left bar and none under the right hand, or the right."}, ""),
        ({**SHIM, "words": "Put a soft shim under the left bar."}, "PG35"),
        ({**SHIM, "words": ""}, "PG31"),
        ({**SHIM, "words": "x " * 400}, "PG36"),
        ({**SHIM, "deed": "strike"}, "PG31"),
        ({**SHIM, "words": "The right one, not the left.", "tool_words": "Something else."}, "PG37"),
        ({**SHIM, "words": "Some.", "key": "shims_under_the_sid"}, "PG30"),
        ({**SHIM, "words": "Some.", "line": "caution"}, "PG30"),
        ({"line": "step", "deed": "strike", "key": "dentist_due", "kind": "feet_and_teeth", "because": "seen last week",
          "tool_words": "Have the teeth looked at by a veterinarian or a qualified dental technician."}, "PG32"),
        ({"line": "step", "key": "dentist_due", "kind": "feet_and_teeth", "words": "Have the teeth looked at by a technician.",
          "tool_words": "Have the teeth looked at by a veterinarian or a qualified dental technician."}, "PG32"),
        ({"line": "step", "deed": "add", "kind": "gardening", "words": "Rest it for a day.", "because": "it was tired"}, "PG30"),
        ({"line": "step", "deed": "add", "kind": "exercise", "words": "Rest it.", "because": "it was diagnosed"}, "PG33"),
    ],
)  # fmt: skip
def test_what_may_not_be_changed_is_refused_by_its_code(mine: Desk, form: dict[str, str], code: str) -> None:
    answered, page = change(mine.client(), mine, **form)
    assert (answered == 200) == (code == "")
    assert code in page


def test_what_is_stopped_today_is_not_added_beside_the_stop(mine: Desk) -> None:
    form = {"line": "step", "deed": "add", "words": "Long strokes along the back.", "because": "it likes them"}
    code, page = change(mine.client(), mine, "apprentice", **form, kind="bodywork")
    assert (code, "PG34" in page) == (422, True)
    code, page = change(mine.client(), mine, "hazel", **form, kind="exercise")
    assert (code, "PG34" in page) == (422, True)
    assert change(mine.client(), mine, "hazel", **form, kind="bodywork")[0] == 200


def test_a_step_taken_out_waits_with_its_reason_and_one_added_is_marked(mine: Desk) -> None:
    client = mine.client()
    assert change(client, mine, **SHIM, **{"deed": "strike", "because": "the saddler comes tomorrow"})[0] == 200
    form = {
        "line": "step",
        "deed": "add",
        "kind": "exercise",
        "words": "Walk in hand over three poles.",
        "because": "it was keen",
    }
    assert change(client, mine, **form)[0] == 200
    visit = shown(client, mine.at("first"))
    assert "Taken out by Wren Aldous: the saddler comes tomorrow." in visit
    assert "Walk in hand over three poles (in the practitioner's words)." in visit
    report = shown(client, mine.at("first", "/report/owner.html"))
    assert "Walk in hand over three poles (in the practitioner's words)." in report
    assert "Ride lightly with the shim exactly as it was laid in today" not in report
    assert "were written by Wren Aldous in place of the tool's" in report


# -- reports ---------------------------------------------------------------------------------------------------------------


def approve(client: TestClient, kept: Desk, visit: str, reader: str, by: str = WREN) -> int:
    """The answer to approving the page that is shown."""
    html = client.get(kept.at(visit, "/send"), headers=WORDS).text
    part = html[html.index(f'id="{reader}"') :]
    found = re.search(r'name="sha256" value="([0-9a-f]{64})"', part)
    sha = found[1] if found else "0" * 64
    return client.post(
        kept.at(visit, f"/report/{reader}/approved"), data={"sha256": sha, "by": by}, headers=WORDS
    ).status_code


def test_a_page_is_a_draft_until_approved_and_again_when_its_words_change(mine: Desk) -> None:
    client = mine.client()
    at = mine.at("first", "/report/owner.html")
    assert "DRAFT" in shown(client, at)
    assert approve(client, mine, "first", "owner") == 200
    assert "Approved by Wren Aldous, for the visit of 18 April 2026." in shown(client, at)
    assert "in these very words" in shown(client, mine.at("first", "/send"))
    change(client, mine, **LIGHT, words="Light work only, please.")
    change(client, mine, **{**LIGHT, "line": "owner", "tool_words": owner_words(mine)}, words="Please ride lightly.")
    assert "DRAFT" in shown(client, at)
    assert "it has changed since, so it is a draft again" in shown(client, mine.at("first", "/send"))


def owner_words(kept: Desk) -> str:
    html = kept.client().get(kept.at("first", "/edit"), headers=WORDS).text
    part = html[html.index('id="owner-light_work_while_it_comes_over-"') :]
    found = re.search(r'name="tool_words" value="([^"]+)"', part)
    assert found
    return unescape(found[1])


def test_a_report_leaves_only_with_consent_and_the_owners_own_without(mine: Desk) -> None:
    client = mine.client()
    assert approve(client, mine, "first", "saddle-fitter") == 422
    assert client.get(mine.at("first", "/report/saddle-fitter.pdf"), headers=WORDS).status_code == 422
    assert client.get(mine.at("first", "/report/vet.pdf")).headers["content-type"] == "application/pdf"
    agreed = {"what": "report may go to", "given": "true", "by": "The saddle fitter"}
    assert client.post(f"/horses/{mine.bramble}/agreed", data=agreed, headers=WORDS).status_code == 200
    assert approve(client, mine, "first", "saddle-fitter") == 200
    found = client.get(mine.at("first", "/report/saddle-fitter.pdf?download=true"))
    assert found.content.startswith(b"%PDF-")
    assert found.headers["content-disposition"] == 'attachment; filename="bramble-2026-04-18-saddle-fitter.pdf"'
    slip = {**agreed, "given": "false", "by": "the sadle fitter"}  # kept under that name, it would hold nothing back
    assert client.post(f"/horses/{mine.bramble}/agreed", data=slip, headers=WORDS).status_code == 422
    client.post(f"/horses/{mine.bramble}/agreed", data={**agreed, "given": "false"}, headers=WORDS)
    assert "DRAFT" in shown(client, mine.at("first", "/report/saddle-fitter.html"))
    assert client.get(mine.at("first", "/report/saddle-fitter.pdf"), headers=WORDS).status_code == 422


def test_an_apprentices_visit_waits_for_who_answers_for_it(mine: Desk) -> None:
    client = mine.client()
    at = mine.at("apprentice", "/report/owner.html")
    shown(client, at, 422)
    assert client.post(mine.at("apprentice", "/countersigned"), data={"by": TAM}, headers=WORDS).status_code == 422
    assert client.post(mine.at("apprentice", "/countersigned"), data={"by": WREN}, headers=WORDS).status_code == 200
    assert "countersigned by Wren Aldous" in shown(client, at)


# -- what is told afterwards ----------------------------------------------------------------------------------------------


def test_a_judgement_is_kept_beside_the_tools_words_and_script_in_it_stays_words(mine: Desk) -> None:
    client = mine.client()
    told = {
        "conclusion": "saddle_to_one_side/right",
        "agrees": "false",
        "because": "<script>alert(1)</script> it came straight",
    }
    assert client.post(mine.at("first", "/judged"), data={**told, "by": WREN}, headers=WORDS).status_code == 200
    html = client.get(mine.at("first"), headers=WORDS).text
    assert "<script>alert" not in html
    assert "Wren Aldous does not see it so" in plain(html)


def test_what_was_said_earlier_stands_folded_on_the_visit_and_on_the_horse(mine: Desk) -> None:
    client = mine.client()
    judged = {"conclusion": "saddle_to_one_side/right", "by": WREN}
    for agrees, because in (("false", "it came straight on grass"), ("true", "it came over again")):
        kept = client.post(
            mine.at("first", "/judged"), data={**judged, "agrees": agrees, "because": because}, headers=WORDS
        )
        assert kept.status_code == 200
    for given, note in (("true", "by telephone"), ("false", "by letter")):
        said = {"what": "owner agreed", "by": "Ines Tallow", "given": given, "note": note}
        assert client.post(f"/horses/{mine.bramble}/agreed", data=said, headers=WORDS).status_code == 200
    html = client.get(mine.at("first"), headers=WORDS).text
    folded = html.partition("Said earlier, and otherwise since (")[2].partition("</details>")[0]
    assert "it came straight on grass" in plain(folded)
    assert "it came over again" not in plain(folded)
    assert "by telephone" in plain(folded)
    of_horse = client.get(f"/horses/{mine.bramble}", headers=WORDS).text
    folded = of_horse.partition("Said earlier, and otherwise since (")[2].partition("</details>")[0]
    assert "by telephone" in plain(folded)
    assert "by letter" not in plain(folded)


def test_a_judgement_at_the_desk_is_held_to_the_words_and_kept_under_the_kept_name(mine: Desk) -> None:
    client = mine.client()
    told = {"conclusion": "saddle_to_one_side/right", "agrees": "true", "by": "wren aldous"}
    refused = client.post(mine.at("first", "/judged"), data={**told, "because": "the horse is lame"}, headers=WORDS)
    assert refused.status_code == 422
    assert "its steps are uneven" in unescape(refused.text)
    assert (
        client.post(mine.at("first", "/judged"), data={**told, "because": "felt so"}, headers=WORDS).status_code == 200
    )
    html = plain(client.get(mine.at("first"), headers=WORDS).text)
    assert "Wren Aldous sees it so too" in html
    assert "the horse is lame" not in html


def test_what_was_done_needs_its_reason_where_it_was_stopped(mine: Desk) -> None:
    client = mine.client()
    told = {"step": "shims_under_the_side/right", "answer": "stopped", "by": "the Larkhope riding group"}
    assert client.post(mine.at("first", "/told"), data=told, headers=WORDS).status_code == 422
    assert (
        client.post(mine.at("first", "/told"), data={**told, "because": "it rocked"}, headers=WORDS).status_code == 200
    )
    assert 'Stopped, in the owner\'s words: "it rocked".' in unescape(shown(client, mine.at("first")))


def test_a_correction_made_at_the_desk_is_a_new_version(mine: Desk) -> None:
    client = mine.client()
    html = client.get(mine.at("larch", "/correct"), headers=WORDS).text
    text = unescape(re.search(r"<textarea[^>]*>(.*?)</textarea>", html, re.DOTALL)[1])  # type: ignore[index]
    form = {"text": text + "\n# the yard's name was looked up\n", "why": "the yard's name", "by": WREN}
    assert client.post(mine.at("larch", "/correct"), data=form, headers=WORDS).status_code == 200
    assert "the yard's name" in shown(client, mine.at("larch", "/versions/2"))
    slip = client.post(mine.at("larch", "/correct"), data={**form, "text": "visit: tomorrow"}, headers=WORDS)
    assert slip.status_code == 422
    assert '<textarea id="text"' in slip.text
    assert ">visit: tomorrow</textarea>" in slip.text, "what was written is not lost over a slip in it"
    assert 'value="the yard&#39;s name"' in slip.text
    assert "Not kept yet" in slip.text
    nobody = client.post(
        mine.at("larch", "/correct"), data={**form, "by": " ", "text": text + "\n# x\n"}, headers=WORDS
    )
    assert nobody.status_code == 422
    assert "--by" not in nobody.text, "a page has no options to write"


# -- who may see what ------------------------------------------------------------------------------------------------------


@pytest.fixture
def owner(mine: Desk) -> TestClient:
    """The owner of Bramble at the page, who may read what is approved and writes nothing."""
    app = made(mine.served)
    app.dependency_overrides[who] = lambda: Who(name="Ines Tallow", role="owner", horse=mine.bramble)
    return TestClient(app, base_url=SELF)


def test_an_owner_sees_the_own_horse_and_what_was_approved(mine: Desk, owner: TestClient) -> None:
    page = shown(owner, "/horses")
    assert "Bramble" in page
    assert "Magpie" not in page
    assert "has not been approved yet" in shown(owner, mine.at("first"))
    shown(owner, mine.at("first", "/report/owner.html"), 403)
    assert approve(mine.client(), mine, "first", "owner") == 200
    assert "Read the page about this visit" in shown(owner, mine.at("first"))
    assert "Approved by" in shown(owner, mine.at("first", "/report/owner.html"))
    shown(owner, mine.at("first", "/report/vet.html"), 403)


def test_an_owner_is_told_nothing_of_other_horses_and_changes_nothing(mine: Desk, owner: TestClient) -> None:
    for more in ("", "/report/owner.html", "/report/owner.pdf"):
        shown(owner, mine.at("rook", more), 404)
    for path in (mine.at("first", "/edit"), mine.at("first", "/send"), mine.at("first", "/why-not"), mine.at("first", "/correct"),
                 "/diary", "/yard", "/track", "/day-sheet", "/diary.ics"):  # fmt: skip
        shown(owner, path, 403)
    shown(owner, mine.at("first", "/file"), 404)
    assert owner.post(mine.at("first", "/edit"), data={"line": "step", "deed": "strike"}).status_code == 403
    assert (
        owner.post(
            f"/horses/{mine.bramble}/agreed", data={"what": "owner agreed", "given": "true", "by": "x"}
        ).status_code
        == 403
    )


def test_an_apprentice_neither_approves_nor_countersigns(mine: Desk) -> None:
    app = made(mine.served)
    app.dependency_overrides[who] = lambda: Who(name=TAM, role="apprentice")
    client = TestClient(app, base_url=SELF)
    sha = "0" * 64
    assert client.post(mine.at("first", "/report/owner/approved"), data={"sha256": sha, "by": TAM}).status_code == 403
    assert client.post(mine.at("apprentice", "/countersigned"), data={"by": WREN}).status_code == 403
