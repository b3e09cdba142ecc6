"""The teacher's desk: cases handed out, answers collected, the class seen, an answer given back.

In: the class's folder beside the records, files that apprentices sent. Out: /class and its pages; copies in that folder.
Not here: writing a case (class_case), counting (teaching.class_figures), wording (rendering).
"""

from __future__ import annotations

from collections.abc import Iterable
from contextlib import suppress
from functools import lru_cache
from pathlib import Path
from typing import Annotated

from fastapi import APIRouter, File, HTTPException, UploadFile
from fastapi.responses import HTMLResponse, Response

from reasoner.page.looking import NOT_THERE
from reasoner.page.pages import page
from reasoner.page.routes.reports import INSIDE
from reasoner.page.rows import parts_of
from reasoner.page.served import Served, Serving
from reasoner.page.who import Practitioner
from reasoner.problems import BadInput
from reasoner.rendering.class_page import class_html, class_parts
from reasoner.rendering.collected_text import KEEPS, collected_lines
from reasoner.rendering.given_back_text import given_back_lines
from reasoner.rendering.pdf import pdf_of
from reasoner.rendering.taught_page import taught_html
from reasoner.rulebook.strict_yaml import MOST_BYTES
from reasoner.rules_cache import Ready
from reasoner.teaching.class_figures import CaseFigures, figures
from reasoner.teaching.class_folder import ANSWERS, KEY, RECEIVED, ClassFolder, class_in, class_of
from reasoner.teaching.class_marks import marks_held, marks_of
from reasoner.teaching.collecting import Verdict, answers_in, bytes_of, collected, without_case
from reasoner.teaching.handed_in import Work, session_of
from reasoner.teaching.handing_out import HandedOut, case_of
from reasoner.teaching.marked import Marked
from reasoner.teaching.marking import marked

router = APIRouter()
Answer = tuple[str, bytes | BadInput]


@router.get("/class", response_class=HTMLResponse)
def desk(who: Practitioner, served: Serving) -> HTMLResponse:
    """Every case that was handed out, and what has come back."""
    return _desk(who, served, [])


@router.post("/class/collected", response_class=HTMLResponse)
def collect(who: Practitioner, served: Serving, answers: Annotated[list[UploadFile], File()]) -> HTMLResponse:
    """Take in what apprentices sent; each file is told what became of it, and none is taken twice."""
    files = [(one.filename, one.file.read(MOST_BYTES + 1)) for one in answers if one.filename]
    return _desk(who, served, _collected(served, files))


@router.post("/class/received", response_class=HTMLResponse)
def collect_received(who: Practitioner, served: Serving) -> HTMLResponse:
    """Take in what lies in the folder for answers that arrive by other ways; nothing is taken away from there."""
    return _desk(
        who, served, _collected(served, ((path.name, bytes_of(path)) for path in _received(_class(served).folder)))
    )


@router.get("/class/handed-out/{name}", response_class=Response, responses={200: {"content": {"application/json": {}}}})
def download(who: Practitioner, served: Serving, name: str) -> Response:
    """The file to give to apprentices, by the name it has in the class's folder."""
    for given in _class(served).given():
        if given.path.name == name:
            return Response(given.path.read_bytes(), media_type="application/json",
                            headers={"Content-Disposition": f'attachment; filename="{given.path.name}"'})  # fmt: skip
    raise NOT_THERE


@router.get("/class/shown.html", response_class=HTMLResponse)
def shown(who: Practitioner, served: Serving) -> HTMLResponse:
    """The class as one page, to keep and to print."""
    return HTMLResponse(class_html(_cases(served), served.ready.book), headers={"Content-Security-Policy": INSIDE})


@router.get("/class/shown.pdf")
def shown_on_paper(who: Practitioner, served: Serving) -> Response:
    """The same on paper."""
    return _paper(class_html(_cases(served), served.ready.book), "class.pdf")


@router.get("/class/given-back/{name}.html", response_class=HTMLResponse)
def given_back(who: Practitioner, served: Serving, name: str) -> HTMLResponse:
    """One answer beside the teacher's and the rules', by the first letters of its receipt."""
    return HTMLResponse(_given_back(served, name), headers={"Content-Security-Policy": INSIDE})


@router.get("/class/given-back/{name}.pdf")
def given_back_on_paper(who: Practitioner, served: Serving, name: str) -> Response:
    """The same on paper, to give back."""
    return _paper(_given_back(served, name), "answer.pdf")


def _desk(who: Practitioner, served: Served, verdicts: list[Verdict]) -> HTMLResponse:
    folder = class_of(served.store.place)
    cases = _cases(served) if (folder / KEY).is_file() else []
    parts = class_parts(cases, served.ready.book)
    for part, case in zip(parts["cases"], cases, strict=True):
        part["file"] = case.given.path.name
        part["marks"] = case.given.case.marks
        for one, answer in zip(part["answers"], case.answers, strict=True):
            one["back"] = answer.work.last[:16]
    told = parts_of(collected_lines(verdicts)) if verdicts else []
    lost = len(without_case(class_in(folder))) if (folder / KEY).is_file() else 0
    return page("class.html", who=who, told=told, keeps=KEEPS, received=len(_received(folder)), lost=lost, **parts)


def _collected(served: Served, files: Iterable[Answer]) -> list[Verdict]:
    """Each weighed in the process beside by itself: somebody at a horse waits for one of them at most."""
    room = _class(served)
    return [verdict for file in files for verdict in served.worked_out(_taken_in, room, file)]


def _taken_in(rules: Ready, room: ClassFolder, file: Answer) -> list[Verdict]:
    return list(collected(room, [file], rules))


def _marks(rules: Ready, work: Work, case: HandedOut, file: str) -> Marked:
    return marked(session_of(work, case_of(case, file, rules.book), rules, file), rules)


def _weighed(rules: Ready, work: Work, case: HandedOut, file: str, room: ClassFolder) -> None:
    marks_of(work, case, rules, file, room)


def _received(folder: Path) -> list[Path]:
    """What lies ready and is not kept under the same name yet, as answers handed in at the page are once they were taken in."""
    return [path for path in sorted((folder / RECEIVED).glob("*.json")) if not (folder / ANSWERS / path.name).exists()]


def _class(served: Served) -> ClassFolder:
    """The class; what is missing is told as a page that is not there, for nothing was handed out yet."""
    folder = class_of(served.store.place)
    if not (folder / KEY).is_file():
        raise HTTPException(404, "No case has been handed out from here yet.")
    return class_in(folder)


def _cases(served: Served) -> list[CaseFigures]:
    """The figures. What no marks are kept of, as after the rules were changed, is weighed in the process beside, one by one."""
    room = _class(served)
    for one in answers_in(room):
        if one.counts and marks_held(one.work, served.ready, room) is None:
            with suppress(BadInput):  # told with the figures
                served.worked_out(_weighed, one.work, one.given.case, one.path.name, room)
    return figures(room, served.ready)


def _given_back(served: Served, name: str) -> str:
    book = served.ready.book
    for case in _cases(served):
        for one in case.answers:
            if one.work.last[:16] == name:
                marks = served.worked_out(_marks, one.work, case.given.case, case.given.path.name)
                lines = given_back_lines(one, case.given.locked, marks, book)
                return taught_html(lines, (), f"For {one.work.by}.")
    raise NOT_THERE


def _paper(html: str, name: str) -> Response:
    return Response(_laid(html), media_type="application/pdf",
                    headers={"Content-Disposition": f'inline; filename="{name}"'})  # fmt: skip


@lru_cache(maxsize=4)
def _laid(html: str) -> bytes:
    return pdf_of(html)
