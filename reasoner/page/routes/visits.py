"""One visit: what was found, the referral first, what is likely, the plan; its versions; its file.

In: the records, judged by today's rules. Out: /visits/{visit} and what hangs from it to be read.
Not here: writing (telling, changing), reports, why.
"""

from __future__ import annotations

import difflib
from typing import Any

from fastapi import APIRouter
from fastapi.responses import HTMLResponse, Response

from reasoner.consult import Answer
from reasoner.page.chain import account_of, supported
from reasoner.page.leaving import OWN, page_for
from reasoner.page.looking import NOT_THERE, Looked, Uid, looked_at, stamp, visit_seen
from reasoner.page.pages import page
from reasoner.page.pictures import alone, body_map_of
from reasoner.page.rows import parts_of, rows_of
from reasoner.page.served import Serving
from reasoner.page.signing_as import name_of
from reasoner.page.who import Asking
from reasoner.records.editing import OWN as OWN_STEP
from reasoner.rendering import first_seconds, phrases, report_unchecked, riding_words, shared_text, visit_rows, wording
from reasoner.rendering.beside_lines import TOLD, afterwards_lines, signing_lines
from reasoner.rendering.earlier_words import earlier_lines
from reasoner.rendering.edited_lines import edit_lines, edited_above
from reasoner.rendering.measured import measured, said_once
from reasoner.rendering.plan_text import expected_by, expected_words, recheck_words, withheld_groups
from reasoner.rendering.records_care_text import enclosed_lines
from reasoner.rendering.records_text import visit_head
from reasoner.store.afterwards import done_of, signatures_of
from reasoner.store.earlier_words import earlier_words
from reasoner.store.edits import approvals_of
from reasoner.store.enclosing import enclosed_with
from reasoner.store.reading import answer_of, text_of, versions_of

router = APIRouter()


@router.get("/visits/{visit}", response_class=HTMLResponse)
def one(who: Asking, served: Serving, visit: Uid) -> HTMLResponse:
    """A visit as today's rules judge it; an owner is shown what was approved for the owner and nothing else."""
    with served.store.reading() as connection:
        looked = looked_at(connection, served, who, visit)
        if not who.keeps:
            approvals = approvals_of(connection, looked.known.version)
            ready = page_for(connection, looked, OWN, approvals, served.now().date()).may_leave
            return page("visit_owner.html", who=who, visit=looked.known, day=phrases.day(looked.known.day), ready=ready)
        versions = versions_of(connection, visit)
        told = done_of(connection, visit), looked.opinions, signatures_of(connection, looked.known.version)
        enclosed = enclosed_with(connection, served.store.place, visit)
        today = served.now().date()
        earlier = earlier_words(connection, visit, looked.known.horse, today)
    answer, words = looked.answer, served.ready.book.vocabulary
    concluded = {key: c.words for key, c in answer.explanation.concluded.items()}
    own = [s for s in answer.plan.steps if s.key.startswith(OWN_STEP)]
    steps = {(s.key, s.side): s.words for s in (*looked.own.plan.steps, *own)}
    kept_by = versions[-1].rulebook
    return page(
        "visit.html", who=who, visit=looked.known, day=phrases.day(looked.known.day), head=visit_head(looked.known),
        about=", ".join(filter(None, shared_text.horse(answer.visit))), waits=looked.waits,
        signing=rows_of(signing_lines(looked.signing)), signing_of=looked.signing,
        referral=parts_of(shared_text.referral(answer))[0].rows, level=answer.referral.level,
        riding=riding_words.riding(answer), riding_because=riding_words.riding_because(answer),
        riding_question=phrases.RIDING_QUESTION.format(name=answer.visit.horse_name or "the horse"),
        **_account(answer), **_found(looked), **_plan(looked, words),
        versions=versions, enclosed=rows_of(list(enclosed_lines(enclosed, looked.wording))[2:]),
        afterwards=parts_of(afterwards_lines(*told, concluded, steps, looked.wording)),
        earlier=rows_of(list(earlier_lines(earlier, concluded, steps, today))[2:]), edits=parts_of(edit_lines(looked.edits)),
        judged=[(c.key, c.side, c.words) for c in answer.explanation.supported()],
        tell=[(key, side, words) for (key, side), words in steps.items()], answers=TOLD,
        rests_on=parts_of(shared_text.rests_on(answer, named=False))[0].rows, today=today.isoformat(),
        cautions=list(dict.fromkeys((*shared_text.always(served.ready.book), *answer.plan.cautions))),
        same_rules=kept_by == stamp(served), kept_by=kept_by[:12], name=name_of(who, served, ""), nearby=served.nearby,
    )  # fmt: skip


@router.get("/visits/{visit}/file", response_class=HTMLResponse)
def file(who: Asking, served: Serving, visit: Uid) -> HTMLResponse:
    """The visit's file, line by line, as it was kept."""
    return _version(who, served, visit, None, "file.html")


@router.get("/visits/{visit}/versions/{number}", response_class=HTMLResponse)
def version(who: Asking, served: Serving, visit: Uid, number: int) -> HTMLResponse:
    """A version: what was corrected in it, and what was said of it then."""
    return _version(who, served, visit, number, "version.html")


@router.get("/visits/{visit}/measured/{number}.svg")
def measure(who: Asking, served: Serving, visit: Uid, number: int) -> Response:
    """The picture of one measure of a visit."""
    with served.store.reading() as connection:
        looked = looked_at(connection, served, who, visit)
    told = said_once(measured(looked.answer.visit, served.ready.book))
    if not who.keeps or not 0 <= number < len(told) or not told[number].picture:
        raise NOT_THERE
    return alone(told[number].picture)


def _version(who: Asking, served: Serving, visit: str, number: int | None, template: str) -> HTMLResponse:
    shown = served.store.place.shown
    with served.store.reading() as connection:
        known = visit_seen(connection, who, visit)
        versions = versions_of(connection, visit)
        at = next((n for n, row in enumerate(versions) if number in (None, row.number) and
                   (number is not None or row.number == versions[-1].number)), None)  # fmt: skip
        if at is None or not who.keeps:
            raise NOT_THERE
        row, text = versions[at], _text(text_of(connection, versions[at].uid, shown=shown))
        before = _text(text_of(connection, versions[at - 1].uid, shown=shown)) if at else []
        answer = answer_of(connection, row.uid, shown=shown)
    changed = [
        line for line in difflib.unified_diff(before, text, n=0, lineterm="") if line[:2] not in ("--", "++", "@@")
    ]
    return page(
        template, who=who, visit=known, day=phrases.day(known.day), row=row, versions=versions, text=text,
        changed=[(line[0], line[1:].strip()) for line in changed] if at else [],
        said=[(c["words"], phrases.certainty(c["certainty"])) for c in answer["conclusions"]
              if c["band"] not in ("none", "against")],
        concerns=[(c["call"], c["words"]) for c in answer["referral"]["concerns"]],
        steps=[s["words"] for s in answer["plan"]["steps"]], engine=answer["engine"],
    )  # fmt: skip


def _text(data: bytes) -> list[str]:
    return data.decode("utf-8", "replace").splitlines()


def _account(answer: Answer) -> dict[str, Any]:
    explanation, words = answer.explanation, answer.ready.book.vocabulary
    account, felt = explanation.account, wording.touched(answer.visit)
    later = first_seconds.later(answer, explanation.not_checked)
    too_little = phrases.TOO_LITTLE if account.look_at else phrases.TOO_LITTLE_BUT_STOP
    return {
        "account": account_of(answer), "too_little": too_little if account.too_little else "",
        "look_at": report_unchecked.looked_at_first(answer),
        "no_start": phrases.sentence(wording.no_starting_point(answer)), "ties_say": phrases.TIES,
        "ties": [[(key, side, wording.conclusion_words(explanation, key, side)) for key, side in choice]
                 for choice in account.ties] if len(account.ties) > 1 else [],
        "others": [(c.key, c.side, c.words, shared_text.firmness(c)) for c in supported(answer)],
        "unexplained": [(wording.finding(f, words), f.where if f.where in words.places else "", f.side)
                        for f in account.unexplained],
        "not_checked": [*first_seconds.unseen_group(answer), *wording.unchecked_by_region(later, words, felt)],
        "not_a_probability": phrases.NOT_A_PROBABILITY,
    }  # fmt: skip


def _found(looked: Looked) -> dict[str, Any]:
    visit, book = looked.answer.visit, looked.answer.ready.book
    words = book.vocabulary
    noted: dict[str, list[visit_rows.NotedRow]] = {}
    for row in visit_rows.noted_rows(visit, words, lambda key: True):
        noted.setdefault(row.section or "the visit", []).append(row)
    told = said_once(measured(visit, book))
    return {
        "body_map": body_map_of(visit, words, visit.horse_name or "the horse"),
        "touches": visit_rows.touch_rows(visit, words, lambda place: True),
        "quiet": visit_rows.quiet_names(visit, words, lambda place: True),
        "passed_over": wording.passed_over(visit, words, lambda place: True), "noted": noted,
        "not_possible": phrases.NOT_POSSIBLE, "left_is": f"{phrases.SCALE_IS} {phrases.LEFT_IS}",
        "measured": [(n, one, wording.basis(one.rests_on, book)) for n, one in enumerate(told)],
        "warnings": [f"{p.sentence} {p.hint}".strip() for p in visit.warnings],
    }  # fmt: skip


def _plan(looked: Looked, words: Any) -> dict[str, Any]:
    answer = looked.answer
    plan, visit, book = answer.plan, answer.visit, answer.ready.book
    urgent = answer.referral.level in ("prompt", "emergency")
    return {
        "steps": [(step, [expected_words(e) for e in step.expects], wording.basis(step.basis, book),
                   [(key, said) for key, said in step.because]) for step in plan.steps],
        "no_steps": phrases.NO_STEPS_UNTIL_SEEN if urgent else phrases.NO_STEPS,
        "withheld": withheld_groups(plan.withheld), "tasks": plan.owner_tasks,
        "expected": [(days, [expected_words(e).rpartition(", within")[0] for e in some]) for days, some in expected_by(plan)],
        "recheck": recheck_words(plan, visit) if plan.recheck_days is not None else "", "look_for": phrases.LOOK_FOR,
        "if_not_so": phrases.IF_NOT_SO, "draft": phrases.DRAFT_PLAN, "above": rows_of(edited_above(looked.edited)),
        "releases": [shared_text.release_words(release) for release in answer.referral.releases],
    }  # fmt: skip
