"""The reports: what each reader is told and not told, drafts, escaping, one self-contained file.

In: every example in every reader's version, and a hostile visit. Out: passes or fails.
Not here: how it looks (test_browser.py, and the eye).
"""

from __future__ import annotations

import re

import pytest

from reasoner.rendering import phrases, riding_words
from reasoner.rendering.grade_colours import contrast
from reasoner.rendering.report import MARK, report_html
from tests.asking import shipped
from tests.rendering.answers import HOSTILE, NAMES, READERS, Seen, answer, hostile, report, words_of
from tests.rendering.forbidden import found_in

every_example = pytest.mark.parametrize("name", NAMES)
every_reader = pytest.mark.parametrize("reader", READERS)


# -- one file, nothing fetched, nothing run ----------------------------------------------------------------------------


@every_reader
def test_one_self_contained_file(reader: str) -> None:
    for name in NAMES:
        page = report(name, reader)
        seen = Seen(page)
        assert seen.tags.isdisjoint(
            {"script", "link", "img", "iframe", "object", "embed", "base", "form", "audio", "video"}
        )
        assert not {a for a, _ in seen.attributes if a.startswith("on") or a in ("src", "href", "srcset", "action")}
        assert "url(" not in page
        assert "@import" not in page
        assert set(re.findall(r"https?://[^\s\"'<]*", page)) <= {"http://www.w3.org/2000/svg"}
        assert MARK in page[: len(MARK) + 200]


@every_reader
def test_every_text_of_a_visit_is_escaped(reader: str) -> None:
    page = report_html(hostile(), reader, HOSTILE)
    plain = Seen(report("hazel", reader, "Wren Aldous"))
    seen = Seen(page)
    assert "<script" not in page
    assert "<img" not in page
    assert seen.tags <= plain.tags | {
        "p",
        "ul",
        "li",
        "table",
        "thead",
        "tr",
        "th",
        "td",
        "span",
        "ol",
        "rect",
        "text",
        "g",
    }
    assert not {a for a, _ in seen.attributes if a.startswith("on") or a == "src"}
    assert HOSTILE in seen.text, "the text itself is still there to be read"
    assert "49" not in words_of(page).split(), "nothing in a visit is run as a template"


def test_the_hostile_visit_reaches_every_place_text_can_stand() -> None:
    told = words_of(report_html(hostile(), "vet", None))
    for beside in ("grade ", "The practitioner's notes", "Done at this visit", "A veterinarian's word"):
        assert beside in told
    assert told.count("<script>") > 20


# -- drafts ------------------------------------------------------------------------------------------------------------


@every_reader
def test_a_draft_says_so_on_the_screen_and_on_every_printed_page(reader: str) -> None:
    for name in NAMES:
        page = report(name, reader)
        assert "DRAFT" in words_of(page)
        assert re.search(r"@page\{@top-center\{content:\"DRAFT", page)
        assert "Approved by" not in page


@every_reader
def test_approved_names_who_and_holds_no_draft(reader: str) -> None:
    page = report("bramble", reader, "  Wren   Aldous ")
    assert "Approved by Wren Aldous, for the visit of 18 April 2026." in words_of(page)
    assert "draft" not in page.replace(".status.draft", "").replace("--draft", "").casefold()


def test_an_approval_without_a_name_is_none() -> None:
    assert "DRAFT" in report("bramble", "owner", "   ")


@every_reader
def test_the_same_visit_gives_the_same_bytes(reader: str) -> None:
    assert report_html(answer("juno"), reader) == report("juno", reader)


# -- what each reader is told ------------------------------------------------------------------------------------------


@every_example
def test_the_owner_hears_the_answer_about_riding_first(name: str) -> None:
    told = words_of(report(name, "owner"))
    riding = told.index(riding_words.riding(answer(name)))
    assert "be ridden?" in told[:riding]
    for later in ("Where it answered to the hand", "What was observed", "What you can do", "What this rests on"):
        assert later not in told[:riding]
    if answer(name).referral.level in ("emergency", "prompt"):
        title = phrases.CALLS[answer(name).referral.level]
        assert title in told[:riding], "a pressing call stands above it"
        assert told.index("be ridden?") > told.index(title)


@every_example
def test_the_owner_is_given_no_certainty_and_no_forbidden_word(name: str) -> None:
    told = words_of(report(name, "owner"))
    for concluded in answer(name).explanation.concluded.values():
        for value in (concluded.certainty, concluded.lower, concluded.upper):
            assert f" {phrases.certainty(value)}" not in told
    assert not re.search(r"\b(?:strong|fair|slight) pointers\b|certainty", told)
    assert found_in(told) == []


@every_example
def test_the_owner_is_given_every_task_with_both_lines(name: str) -> None:
    told = words_of(report(name, "owner"))
    for task in answer(name).plan.owner_tasks:
        for text in (task.words, task.stop_and_ring_me_if, task.ring_the_vet_if):
            assert " ".join(text.split()).rstrip(".")[1:] in told


@every_example
def test_the_veterinarian_is_given_findings_and_no_cause(name: str) -> None:
    told = words_of(report(name, "vet"))
    said = answer(name)
    assert phrases.VET_SENTENCE in told
    for concluded in said.explanation.concluded.values():
        for text in (concluded.words, concluded.plain):
            assert " ".join(text.split()).rstrip(".") not in told
    for step in said.plan.steps:
        for text in (step.plain, step.reason, step.dose):
            assert not text or " ".join(text.split()) not in told
    for concern in said.referral.concerns:
        assert concern.words.rstrip(".") in told
    assert "Hand pressure" in told


@every_example
@every_reader
def test_every_report_says_what_it_rests_on_and_what_was_not_checked(name: str, reader: str) -> None:
    told = words_of(report(name, reader))
    assert "Not checked" in told
    assert "What this rests on" in told
    assert answer(name).ready.book.stamp in told
    assert found_in(told) == []


def test_a_veterinarians_word_and_grade_are_handed_on() -> None:
    told = words_of(report("hazel", "vet"))
    assert "Dr Mossop, seen 10 April 2026" in told
    assert "allows hands-on work; forbids riding; until 10 May 2026" in told
    assert "grade AAEP 2, left hind" in told
    assert "AAEP" not in words_of(report("hazel", "owner")).replace("AAEP 2, left hind", "")


def test_work_done_and_work_stopped_are_in_the_veterinarians_report() -> None:
    told = words_of(report("hazel", "vet"))
    assert "behind the poll, left: held, 4 min, soreness afterwards 3 of 10" in told
    assert "Stopped by the practitioner Riding and exercises." in told


def test_the_saddle_fitter_and_the_farrier_are_asked_in_their_own_trade() -> None:
    fitter, farrier = words_of(report("thistle", "saddle-fitter")), words_of(report("thistle", "farrier"))
    steps = {step.key: step for step in answer("thistle").plan.steps}
    assert steps["fitter_for_the_side"].folds
    assert "Please say whether this saddle comes to the left, and why." in fitter
    assert "Please look at the underside of this saddle on this back." in fitter  # told with it, and asked all the same
    assert "Please trim or shoe" in farrier
    assert "Please trim or shoe" not in fitter
    assert "1 March 2026 (78 days before)" in farrier
    assert "cool and quiet" in farrier
    assert "panelled" not in farrier


#: Said to the practitioner or the owner; a reader of the trade is nobody to ask a fitter, and has no page at hand to read out.
NOT_TO_THE_TRADE = re.compile(
    r"\b(?:ask (?:a |the |your )?(?:qualified )?(?:saddle )?fitter|ask the farrier|tell the (?:saddle )?(?:fitter|farrier)"
    r"|ring a qualified|have the farrier|from us|by us|we watch|ask for what was found)\b",
    re.IGNORECASE,
)


@every_example
@pytest.mark.parametrize("reader", ["saddle-fitter", "farrier"])
def test_a_report_for_a_trade_speaks_to_that_trade(name: str, reader: str) -> None:
    assert NOT_TO_THE_TRADE.findall(words_of(report(name, reader))) == []


def test_every_step_that_asks_a_trade_has_words_for_it() -> None:
    """A page whose sentence asks a fitter or farrier says the same to that person too."""
    readers = [r for r in shipped().book.scales.readers.values() if r.trade]
    assert [r.key for r in readers] == ["saddle-fitter", "farrier"]
    for page in shipped().book.actions.values():
        for reader in readers:
            if re.search(rf"\b(?:ask|have|until)\b.*\b{reader.trade}\b", page.says, re.IGNORECASE):
                assert reader.key in {told.reader for told in page.told_to}, page.id


def test_four_kinds_of_silence_stay_apart() -> None:
    told = words_of(report("sorrel", "vet"))
    assert "withers (both sides, covered)" in told
    assert "loin (both sides, owner said no)" in told
    assert "Examined and quiet" in told


def test_second_readings_are_shown_beside_the_first() -> None:
    told = words_of(report("plover", "vet"))
    assert re.search(r"\d, [a-z ]+; once settled \d|\d; once settled \d", told)


def test_vertebra_numbers_are_told_as_estimates() -> None:
    for reader in ("owner", "vet"):
        told = words_of(report("magpie", reader))
        assert not re.search(r"(?<!about )any hand on T\d", told)
    assert "about T15-T16" in words_of(report("magpie", "vet"))


# -- tables that must keep up with the rules ---------------------------------------------------------------------------


def test_what_a_reader_hears_of_is_in_the_vocabulary() -> None:
    words = shipped().book.vocabulary
    for reader in shipped().book.scales.readers.values():
        assert set(reader.sections) <= set(words.sections)
        assert set(reader.keys) <= set(words.observations)
        assert set(reader.regions) <= {place.region for place in words.places.values()}
        assert set(reader.groups) <= {group for place in words.places.values() for group in place.groups}


def test_colours_stand_out_in_the_light_and_in_the_dark() -> None:
    css = report("bramble", "owner")
    light, dark = re.findall(r":root\{(?:color-scheme:light dark;)?(--paper[^}]*)\}", css)[:2]
    pairs = (
        ("ink", "paper"), ("ink", "card"), ("ink", "alarm-card"), ("soft", "paper"), ("soft", "card"),
        ("alarm", "alarm-card"), ("alarm", "card"), ("draft", "draft-card"), ("done", "paper"),
    )  # fmt: skip
    for scheme in (light, dark):
        colours = dict(re.findall(r"--([a-z-]+):(#[0-9a-f]{6})", scheme))
        for ink, ground in pairs:
            assert contrast(colours[ink], colours[ground]) >= 4.5, (ink, ground)
