"""Whether the reports of a visit may go to their readers, by what the records hold of the horse.

In: an answer, the readers, the person a report goes to. Out: what each page says of consent; a refusal (RE62) where one waits.
Not here: what counts as consent (records.may_go), the words (rendering.consent_lines).
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import TYPE_CHECKING, Any, TypeVar

import click

from reasoner.cli import clock
from reasoner.cli.signing import named, usual_store
from reasoner.problems import BadInput, Problem, near_hint, register

if TYPE_CHECKING:
    from reasoner.consult import Answer
    from reasoner.rendering.consent_lines import OnThePage
    from reasoner.rulebook.readers import Reader
    from reasoner.store.consents import Agreed

register({"RE62": "a report to somebody whom the owner has not agreed to", "RE63": "to whom a report goes"})

Command = TypeVar("Command", bound=Callable[..., Any])


def with_consent(function: Command) -> Command:
    """The options --to and --own-eyes of the command that writes reports."""
    for option in (
        click.option("--own-eyes", is_flag=True, help="It goes to nobody: write it without the owner's consent, and mark it so."),
        click.option("--to", metavar="NAME", default="", help="Into whose hands it goes, where consent names a person."),
    ):  # fmt: skip
        function = option(function)
    return function


def pages_that_may_go(
    answer: Answer, readers: Sequence[str], to: str, own_eyes: bool, store_at: str | None
) -> dict[str, OnThePage]:
    """What the page of each reader says of consent.

    Raises BadInput (RE62) where a page waits for the owner's consent: not the owner's own, nor one that nobody else will see,
    nor the veterinarian's in an emergency. What is wrong with records that nobody named is told and no more.
    """
    from reasoner.records.may_go import may_go
    from reasoner.rendering.consent_lines import how_to_record, on_the_page, why_held_back

    to, known = " ".join(to.split()), answer.ready.book.scales.readers
    if to and len(readers) > 1:
        raise BadInput([Problem("--to", 0, "RE63", f'"--to {to}" was read beside --all, which writes for every reader.',
                                "Use --for and -o FILE for one reader.")])  # fmt: skip
    said, stands, kept = _agreements(answer, store_at)
    today, pages, wrong = clock.today(), dict[str, "OnThePage"](), list[Problem]()
    for key in readers:
        reader = known[key]
        may = may_go(reader, said, to, today)
        urgent = answer.referral.level == reader.not_held_up_at
        pages[key] = on_the_page(reader, may, stands, own_eyes=own_eyes, emergency=urgent)
        if not may.held_back or own_eyes:
            continue
        if urgent:
            click.echo(f"note: {pages[key].lines[0]}", err=True)
        else:
            how = how_to_record(answer.visit.horse_name, reader, may, to, store_at or "", kept=kept)
            how = " ".join(filter(None, (near_hint(to, may.others) if to else "", how)))
            wrong.append(_held_back(answer, reader, to, why_held_back(reader, may), how))
    if wrong:
        raise BadInput(wrong)
    return pages


def _agreements(
    answer: Answer, store_at: str | None
) -> tuple[tuple[Agreed, ...] | None, Iterable[Agreed] | None, bool]:
    """(everything that was said of the horse, the newest word of each kind, whether the horse is kept); None where no records
    were asked that hold it."""
    from reasoner.records.before import horse_of
    from reasoner.store.consents import said_of, standing

    try:
        store = usual_store(store_at)
        if store is None:
            return None, None, False
        with store.reading() as connection:
            horse = horse_of(connection, answer.visit)
            if horse is None:
                # Records that were named are to be asked; a horse that they do not hold has agreed to nothing.
                return ((), (), False) if named(store_at) else (None, None, False)
            return (
                said_of(connection, horse.uid),
                standing(connection, horse.uid, day=clock.today()).get(horse.uid, ()),
                True,
            )
    except BadInput as bad:
        if named(store_at):
            raise
        for problem in bad.problems:
            click.echo(f"note: what was agreed was not looked up: {problem}", err=True)
        return None, None, False


def _held_back(answer: Answer, reader: Reader, to: str, why: str, how: str) -> Problem:
    goes, horse = f"{reader.called}{f', {to}' if to else ''}", answer.visit.horse_name or "the horse"
    what = f"{horse}: {why[:1].lower()}{why[1:].rstrip('.')}; it does not leave before the owner agrees."
    return Problem(f"report for {goes}", 0, "RE62", what, how)
