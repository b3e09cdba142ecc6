"""`reasoner records consent HORSE`: what was agreed, by whom, for how long.

In: what was said. Out: it is kept; or, with nothing said, what stands.
Not here: what follows from it.
"""

from __future__ import annotations

from datetime import datetime

import click

from reasoner.cli import clock
from reasoner.cli.common import answering, print_json, ready
from reasoner.cli.days import DAY
from reasoner.cli.records.common import json_option, opened, store_option, yard_option
from reasoner.problems import BadInput, Problem

EPILOG = """\b
What can be agreed (--what):
  "owner agreed"         the owner agrees to the work; --who says so
  "veterinary practice"  the practice that looks after the horse is --who
  "veterinarian aware"   --who knows of the work
  "report may go to"     --who may be given a report; each name for itself

\b
Example:
  reasoner records consent Bramble --what "owner agreed" --given --who "Ines Tallow" --until 2027-04-18
  reasoner records consent Bramble --what "report may go to" --refused --who "the saddle fitter"
  reasoner records consent Bramble
"""


@click.command("consent", epilog=EPILOG)
@click.argument("horse")
@click.option("--what", metavar="WORDS", help="What is agreed or refused; see below.")
@click.option("--given/--refused", "given", default=None, help="Whether it was agreed.")
@click.option("--who", default="", metavar="NAME", help="Who said so, or whom it names.")
@click.option("--on", type=DAY, metavar="DAY", help="The day it was said. Default: today.")
@click.option("--until", type=DAY, metavar="DAY", help="The last day it holds. Default: until something else is said.")
@click.option("--note", default="", metavar="WORDS", help="Anything else that was said.")
@yard_option
@store_option
@json_option
@answering
def command(
    horse: str, what: str | None, given: bool | None, who: str, on: datetime | None, until: datetime | None, note: str,
    yard: str, store_at: str | None, as_json: bool,
) -> None:  # fmt: skip
    """Keep what was agreed about a horse, or tell what stands. The newest word stands; the older ones stay readable.

    It records what was said; it is no form to sign, and what the law asks for is yours to know.
    """
    from reasoner.records.may_go import spelt_as_known
    from reasoner.records.still_to_come import said_by_now
    from reasoner.rendering.earlier_words import earlier_agreed_lines
    from reasoner.rendering.records_care_json import consent_json
    from reasoner.rendering.records_care_text import consent_lines
    from reasoner.rendering.terminal import print_page
    from reasoner.store.consents import Agreed, agree, said_of, standing
    from reasoner.store.earlier_words import agreed_earlier
    from reasoner.store.place import place_of
    from reasoner.store.reading import horse_called

    place, today = place_of(store_at), clock.today()
    store = opened(place)
    with store.reading() as connection:
        known = horse_called(connection, horse, yard=yard, shown=place.shown)
    if what is None and (given is not None or who or on or until or note):
        raise BadInput([Problem("--what", 0, "ST38", "what was agreed is missing.", 'Such as --what "owner agreed".')])
    if what is not None:
        said_by_now(on.date() if on else today, today, "--on")
        if given is None:
            raise BadInput(
                [Problem("--given", 0, "ST38", "whether it was agreed is missing.", "Write --given or --refused.")]
            )
        said = Agreed(what=what, given=given, who=who, on=on.date() if on else today,
                      until=until.date() if until else None, note=note)  # fmt: skip
        spelt_as_known(said, ready(()).book.scales.readers.values(), "--who")
        agree(store, known, said)
    with store.reading() as connection:
        agreed = standing(connection, known.uid, day=today).get(known.uid, ())
        earlier = agreed_earlier(connection, known.uid, today)
        to_come = [one for one in said_of(connection, known.uid) if one.given and one.on > today]
    if as_json:
        print_json(consent_json(place, known, agreed, today, earlier))
    else:
        print_page([*consent_lines(place, known, agreed, to_come, today), *earlier_agreed_lines(earlier, today)])
