"""Our pictures inside a page, whose policy lets no style stand inside it.

In: a picture as rendering draws it, with its style inside. Out: the same without; the styles of them all as one file; a picture
alone, as a file of its own with its style. Not here: drawing.
"""

from __future__ import annotations

import re

from fastapi.responses import Response
from markupsafe import Markup

from reasoner.rendering import body_map, limits_picture, press_picture, progress_picture, visit_rows
from reasoner.rulebook.vocabulary import Vocabulary
from reasoner.visit.model import Visit

_WIDTH = re.compile(r'(<svg[^>]*?) style="[^"]*"')
_STYLE = re.compile(r"<style>.*?</style>", re.DOTALL)
#: A picture that is asked for alone carries its own style, and nothing else may be in it.
ALONE = "default-src 'none'; style-src 'unsafe-inline'; frame-ancestors 'none'; base-uri 'none'; form-action 'none'"


def inside(picture: str) -> Markup:
    """The picture to stand inside a page that has `styles` beside it."""
    return Markup(
        _WIDTH.sub(r"\1", _STYLE.sub("", picture), count=1)
    )  # our own drawing, in which every word was escaped


def styles() -> str:
    """The styles of the pictures that stand inside pages. On a screen the page's own light counts, so that both agree."""
    return "".join(one.STYLE for one in (body_map, progress_picture, limits_picture, press_picture))


def alone(picture: str) -> Response:
    """The picture as a file of its own."""
    return Response(picture, media_type="image/svg+xml", headers={"Content-Security-Policy": ALONE})


def body_map_of(visit: Visit, words: Vocabulary, title: str) -> Markup:
    """The body map of a visit, to stand inside a page."""
    return inside(body_map.draw_body_map(visit_rows.map_points(words), visit_rows.marks(visit, words), title=title))
