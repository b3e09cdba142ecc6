"""`reasoner why VISIT SITE`: why is it sore here.

In: a visit file and a place. Out: the reasons for that place, as words or JSON.
Not here: wording (rendering), finding the reasons (explanation.why). Fast from a cold start: nothing is imported in vain.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import click

from reasoner.cli.common import (
    answering,
    consulted,
    print_json,
    shared,
    since_told,
    visit_argument,
    width,
    with_records,
)
from reasoner.problems import BadInput, Problem, near_hint
from reasoner.rulebook.vocabulary import Place, Vocabulary, canonical

if TYPE_CHECKING:
    from reasoner.consult import Answer
    from reasoner.explanation.why import WhyHere

EPILOG = """\b
Example:
  reasoner why examples/bramble.yaml withers --side left
  reasoner why examples/bramble.yaml "behind the shoulder blade"
"""


@click.command("why", epilog=EPILOG)
@visit_argument
@click.argument("site", nargs=-1, required=True)
@click.option("--side", metavar="SIDE", help="left (near) or right (off): the horse's own. Without it, both sides.")
@with_records
@shared
@answering
def command(
    visit: Path, site: Sequence[str], side: str | None, store_at: str | None, part: int | None, folders: Sequence[Path],
    as_json: bool,
) -> None:  # fmt: skip
    """Everything that may make the horse sore at one place, what speaks for and against it, and what was not checked."""
    answer = consulted(visit, folders, as_json, store_at, part)
    place, sides = _place(" ".join(site), side, answer.ready.book.vocabulary)
    reasons = [_why(answer, place, at) for at in sides]
    more, below = since_told(answer, store_at)
    if as_json:
        from reasoner.rendering.answer_json import why_json

        print_json({**why_json(answer, reasons), **more})
        return
    from reasoner.rendering.why_text import why_text

    click.echo("\n".join(why_text(why, answer, width()) for why in reasons), nl=False)
    if below:
        from reasoner.rendering.text_page import plain_text

        click.echo(plain_text(below, width()), nl=False)


def _place(site: str, side: str | None, vocabulary: Vocabulary) -> tuple[Place, tuple[str, ...]]:
    """The place and the sides meant. Raises BadInput (CL01, CL02)."""
    word, wanted = canonical(site), side
    for spelling in sorted(vocabulary.side_of, key=len, reverse=True):
        if word not in vocabulary.place_of and word.startswith(f"{spelling}_"):
            word, wanted = word.removeprefix(f"{spelling}_"), wanted or spelling
        elif word not in vocabulary.place_of and word.endswith(f"_{spelling}"):
            word, wanted = word.removesuffix(f"_{spelling}"), wanted or spelling
    key = vocabulary.place_of.get(word)
    if key is None:
        names = [p.name for p in vocabulary.places.values()]
        hint = near_hint(site, names) or f"Such as {', '.join(sorted(names)[:: len(names) // 6])}."
        raise BadInput([Problem("SITE", 0, "CL01", f'"{site}" is no place to palpate.', hint)])
    place = vocabulary.places[key]
    if place.sides == "midline":
        if wanted:
            raise BadInput([Problem("--side", 0, "CL02", f"{place.name} is on the midline: leave the side out.")])
        return place, ("",)
    if wanted is None:
        return place, ("left", "right")
    at = vocabulary.side_of.get(canonical(wanted))
    if at is None:
        raise BadInput([Problem("--side", 0, "CL02", f'"{wanted}" is no side.', "left (near) or right (off).")])
    return place, ("left", "right") if at == "both" else (at,)


def _why(answer: Answer, place: Place, side: str) -> WhyHere:
    from reasoner.explanation.why import why_of

    return why_of(answer.explanation, answer.record, answer.facts, answer.visit, place, side)
