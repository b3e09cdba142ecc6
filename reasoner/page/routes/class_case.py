"""A case written at the desk: chosen, answered by the teacher beside the rules, locked and handed out.

In: plain forms. Out: /class/case; the handed-out file in the class's folder, ready for download.
Not here: where a case comes from (class_cases), locks and seals (teaching.handing_out).
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, Any

from fastapi import APIRouter, Form, Query
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from reasoner import __version__
from reasoner.page.class_cases import Source, Written, begun, choosable, source_of, written_in
from reasoner.page.pages import page
from reasoner.page.practice.sessions import whole_second
from reasoner.page.rows import parts_of
from reasoner.page.served import Served, Serving
from reasoner.page.who import Practitioner
from reasoner.problems import BadInput
from reasoner.rendering.collected_text import KEEPS
from reasoner.rendering.practise_text import names_lines
from reasoner.rendering.teachers_answer_text import both_lines, differences_lines
from reasoner.teaching.class_folder import class_in, class_of
from reasoner.teaching.handing_out import handed_out
from reasoner.teaching.making import Maker
from reasoner.teaching.session import NONE
from reasoner.teaching.teachers_answer import (
    AT_THE_END,
    BY_THE_TEACHER,
    KEPT,
    LONGEST_TITLE,
    LONGEST_WORDS,
    TAKEN_OUT,
    named,
)

router = APIRouter()
Short = Annotated[str, Form(max_length=100)]
Asked = Annotated[str, Query(max_length=100)]
Text = Annotated[str, Form(max_length=LONGEST_WORDS)]
Maybe = Annotated[str, Form(pattern="^([0-9a-f]{32})?$")]
YOU_SAY = "you say"


@router.get("/class/case", response_class=HTMLResponse)
def write(
    who: Practitioner, served: Serving, visit: Annotated[str, Query(pattern="^([0-9a-f]{32})?$")] = "", cause: Asked = "",
    side: Asked = "", difficulty: Asked = "usual", seed: Asked = "",
) -> HTMLResponse:  # fmt: skip
    """Choose a case, or the form for the answer to the one chosen."""
    if not visit and not cause:
        maker = Maker(served.ready.book)
        causes = [(key, key.replace("_", " ")) for key in maker.causes]
        difficulties = [one.name for one in maker.table.difficulties]
        return page("class_choose.html", who=who, visits=choosable(served), causes=causes, difficulties=difficulties)
    source = source_of(
        who, served, {"visit": visit, "cause": cause, "side": side, "difficulty": difficulty, "seed": seed}
    )
    return _form(who, served, source, begun(source, served), {})


@router.post("/class/case", response_class=HTMLResponse)
def written(
    who: Practitioner, served: Serving, deed: Annotated[str, Form(pattern="^(check|hand-out)$")], title: Text = "",
    causes: Text = "", referral: Short = NONE, wanted: Text = "", wrong: Text = "", words: Text = "",
    marks: Short = BY_THE_TEACHER, names: Short = TAKEN_OUT, visit: Maybe = "", cause: Short = "", side: Short = "",
    difficulty: Short = "usual", seed: Short = "",
) -> Response:  # fmt: skip
    """Set the answer beside the rules' (`check`), or lock it and hand the case out (`hand-out`)."""
    source = source_of(
        who, served, {"visit": visit, "cause": cause, "side": side, "difficulty": difficulty, "seed": seed}
    )
    fields = {
        "case": title, "causes": causes, "referral": referral, "steps wanted": wanted, "steps wrong": wrong, "what to see": words,
        "marks": marks, "names": names,
    }  # fmt: skip
    try:
        made = written_in(fields, source, served)
    except BadInput as bad:
        return _form(who, served, source, None, fields, bad)
    if deed == "check":
        return _form(who, served, source, made, fields)
    room = class_in(class_of(served.store.place), make=True)
    try:
        room.must_be_new(made.answer.title)
    except BadInput as bad:
        return _form(who, served, source, None, fields, bad)
    at = whole_second(served.now())
    given = room.hand_out(handed_out(made.case, made.answer, made.rules, room.key, at=at, made_by=__version__))
    return RedirectResponse(f"/class#given-{given.stem}", 303)


def _form(
    who: Practitioner,
    served: Served,
    source: Source,
    made: Written | None,
    fields: Mapping[str, str],
    bad: BadInput | None = None,
) -> HTMLResponse:
    """The form, as it was filled in; the rules' answer beside it, and what has to be mended first."""
    book = served.ready.book
    first = begun(source, served) if made is None else made
    shown: dict[str, Any] = dict(fields) or {
        "case": "", "causes": "\n".join(map(named, first.answer.causes)) or NONE, "referral": first.answer.referral,
        "steps wanted": "", "steps wrong": "", "what to see": "", "marks": BY_THE_TEACHER, "names": TAKEN_OUT,
    }  # fmt: skip
    beside = parts_of(both_lines(first.answer, first.rules, book, YOU_SAY))
    if not fields or made is None:
        beside = [part for part in beside if part.title.casefold() != YOU_SAY]
    else:
        beside += parts_of(differences_lines(made.differs, made.answer, made.rules))
    return page(
        "class_case.html", 200 if bad is None else 422, who=who, source=source, said=shown, beside=beside,
        problems=[] if bad is None else bad.problems, checked=made is not None and bool(fields),
        degrees=(NONE, *book.scales.calls),
        marks=(BY_THE_TEACHER, AT_THE_END), names=(TAKEN_OUT, KEPT), longest=LONGEST_TITLE, keeps=KEEPS,
        every_cause=parts_of(names_lines(book, "causes")), every_step=parts_of(names_lines(book, "steps")),
    )  # fmt: skip
