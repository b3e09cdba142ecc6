"""The plan and the owner's sentences, changed before they go out.

In: plain forms, one a line. Out: /visits/{visit}/edit, and rows beside the visit.
Not here: what may be changed (records.changing), the answer with it (records.editing).
"""

from __future__ import annotations

from typing import Annotated, Any, cast, get_args

from fastapi import APIRouter, Form
from fastapi.responses import HTMLResponse, RedirectResponse

from reasoner.page.looking import Looked, Uid, looked_at
from reasoner.page.pages import page
from reasoner.page.rows import hint_here, parts_of, rows_of
from reasoner.page.served import Served, Serving
from reasoner.page.signing_as import name_of
from reasoner.page.who import Keeper, Who
from reasoner.page.words import wording
from reasoner.problems import BadInput
from reasoner.records.changing import MOST_LETTERS, Wanted, checked, own_key, stays
from reasoner.records.editing import observed
from reasoner.rendering import phrases
from reasoner.rendering.edited_lines import aside_words, edit_lines
from reasoner.rendering.shared_text import referral
from reasoner.store.edits import Deed, Edit, Line, add_edit, standing
from reasoner.store.fresh import new_uid

router = APIRouter()
Word = Annotated[str, Form(max_length=80)]
Text = Annotated[str, Form(max_length=4000)]


@router.get("/visits/{visit}/edit", response_class=HTMLResponse)
def edit(who: Keeper, served: Serving, visit: Uid) -> HTMLResponse:
    """Every line that can be changed, with the tool's own words beside, and those that stay."""
    with served.store.reading() as connection:
        looked = looked_at(connection, served, who, visit)
    return _page(who, served, looked)


@router.post("/visits/{visit}/edit", response_model=None)
def change(
    who: Keeper, served: Serving, visit: Uid, line: Word, deed: Word, key: Word = "", side: Word = "", kind: Word = "",
    tool_words: Text = "", words: Text = "", because: Text = "", by: Word = "",
) -> HTMLResponse | RedirectResponse:  # fmt: skip
    """Keep a change, or show the page again with what has to be mended and nothing of it lost."""
    with served.store.reading() as connection:
        looked = looked_at(connection, served, who, visit)
    wanted = Wanted(
        line=cast(Line, line), deed=cast(Deed, deed), key=key, side=side, kind=kind, tool_words=tool_words, words=words,
        because=because, by=name_of(who, served, by),
    )  # fmt: skip
    try:
        if line not in get_args(Line) or deed not in get_args(Deed):
            wanted = _nothing(wanted)
        one = checked(wanted, looked.own, wording(served.folders), standing(looked.edits))
    except BadInput as bad:
        problems = [(p.sentence, hint_here(p.hint), p.code) for p in bad.problems]
        return _page(who, served, looked, wanted, problems)
    add_edit(
        served.store, looked.known.version, line=one.line, deed=one.deed,
        key=own_key(new_uid()) if one.deed == "add" else one.key, side=one.side, kind=one.kind,
        tool_words=one.tool_words, words=one.words, because=one.because, by=one.by,
    )  # fmt: skip
    return RedirectResponse(f"/visits/{visit}/edit#{one.line}-{one.key}-{one.side}", 303)


def _nothing(wanted: Wanted) -> Wanted:
    """A change of a line that no page has."""
    return Wanted(line="step", deed="reword", key="?", side="", kind="", tool_words="", words=wanted.words or "?",
                  because="", by=wanted.by or "?")  # fmt: skip


def _page(
    who: Who,
    served: Served,
    looked: Looked,
    failed: Wanted | None = None,
    problems: list[tuple[str, str, str]] | None = None,
) -> HTMLResponse:
    plan, kept = looked.own.plan, {one.at: one for one in looked.edited.made}
    steps = [
        {
            "step": _line("step", step.key, step.side, step.words, kept, step.kind),
            "owner": _line("owner", step.key, step.side, step.plain, kept, step.kind),
            "struck": kept.get(("struck", step.key, "")), "kind": phrases.plain(step.kind),
            "stays": stays(step.kind, step.words, wording(served.folders)),
        }
        for step in plan.steps
    ]  # fmt: skip
    return page(
        "edit.html", 422 if problems else 200, who=who, visit=looked.known, day=phrases.day(looked.known.day), steps=steps,
        tasks=[(_line("task", t.key, t.side, t.words, kept, ""), t) for t in plan.owner_tasks],
        observed=[_line("observed", c.key, c.side, c.plain, kept, "") for c in observed(looked.own)],
        added=[one for one in looked.edited.made if one.deed == "add"], aside=[aside_words(one) for one in looked.edited.aside],
        kinds=[(kind, phrases.plain(kind)) for kind in served.ready.book.scales.action_order],
        referral=parts_of(referral(looked.own))[0].rows, cautions=plan.cautions,
        history=rows_of(list(edit_lines(looked.edits))[2:]), failed=failed, problems=problems or [],
        name=failed.by if failed else name_of(who, served, ""), nearby=served.nearby,
        most=MOST_LETTERS,
    )  # fmt: skip


def _line(
    line: Line, key: str, side: str, tool: str, kept: dict[tuple[str, str, str], Edit], kind: str
) -> dict[str, Any]:
    """One line of the form: the tool's own words, and the practitioner's where they stand."""
    edit = kept.get((line, key, side))
    return {"line": line, "key": key, "side": side, "kind": kind, "tool": tool, "edit": edit}
