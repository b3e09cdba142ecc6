"""A case that a teacher handed out is begun at the page, and the answer to it taken along.

In: the file of a case, or the name of one put out here; a name. Out: a session of practice; after its end the answer as a file.
Not here: the session's own page and forms (practise), seals and links (teaching)."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, File, UploadFile
from fastapi.responses import RedirectResponse, Response

from reasoner.page.practice.handed import begun_by, case_in, put_out_as
from reasoner.page.practice.sessions import whole_second
from reasoner.page.routes.practise import NOT_THERE, Practice, Word, held, sessions_of, start_page
from reasoner.page.served import Serving
from reasoner.page.who import Keeper
from reasoner.problems import BadInput
from reasoner.rulebook.strict_yaml import MOST_BYTES
from reasoner.teaching.handed_in import work_text

router = APIRouter()


@router.post("/practise/handed-out")
def begin(
    who: Keeper, served: Serving, given: Word = "", name: Word = "", case: Annotated[UploadFile | None, File()] = None
) -> Response:
    """Begin the case, or take it up: under one name it is begun once. Whoever is on the list of people works under the name that
    stands there."""
    try:
        one = (
            put_out_as(given, served.store.place)
            if given
            else case_in(case.file.read(MOST_BYTES + 1) if case is not None else b"")
        )
        shown, handed = begun_by(one, who.name if who.uid else name, whole_second(served.now()), served.ready.book)
        uid = sessions_of(who, served).begin(handed.tap, lambda: shown, handed)
    except BadInput as bad:
        return start_page(who, served, bad.problems, 422, name=name)
    return RedirectResponse(f"/practise/{uid}", 303)


@router.get("/practise/{practice}/answer.json", response_class=Response,
            responses={200: {"content": {"application/json": {}}}})  # fmt: skip
def answer(who: Keeper, served: Serving, practice: Practice) -> Response:
    """The answer to give to the teacher; before the end there is none."""
    handed = held(lambda: sessions_of(who, served).one(practice)).handed
    if handed is None or not handed.work.ended:
        raise NOT_THERE
    return Response(work_text(handed.work), media_type="application/json",
                    headers={"Content-Disposition": f'attachment; filename="{handed.file}"'})  # fmt: skip
