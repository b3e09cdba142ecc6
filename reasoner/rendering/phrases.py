"""The catalogue of connectives and fixed sentences: one wording for terminal, report and page.

In: small values (a band, a side, a date, a certainty). Out: words.
Not here: anything a page of the rulebook says, layout, choosing what is shown.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterable
from datetime import UTC, date, datetime

MONTHS = ("January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November",
          "December")  # fmt: skip
_ISO_DAY = re.compile(r"\b\d{4}-\d\d-\d\d\b")
#: A certainty never reaches 1: no number of pointers makes a thing beyond doubt.
MOST_SHOWN = 0.99

NOT_A_PROBABILITY = (
    "Certainty runs from -1 (all speaks against it) to just short of 1 (all speaks for it). It adds up pointers and is "
    "not a probability."
)
NO_CONCERN = "None of the listed reasons to call the veterinarian was met by what was written down today."
NO_CONCERN_MEANS = "That says only what was looked at and written down."
NOTHING_FOUND = "Nothing found today by hand"
QUIET_IN_DOUBT = "Nothing answered the hand today, which says little, because of {circumstances}"
ONLY_MILD = "Nothing points clearly to one starting point; what answered was mild, or counts for less today: {found}"
TOO_LITTLE = "Too little to say what lies behind it. Look at these first, in the order of one walk round the horse:"
NOTHING_SEEN_FIRST = "Not said: nothing of the first sixty seconds was looked at."
UNSEEN_FIRST = "Not looked at in the first sixty seconds: {names}."
FIRST_SECONDS = "the first sixty seconds"
NOTHING_OF_IT = "nothing of it was looked at"
TOO_LITTLE_SO_FAR = "Too little so far to say what lies behind it."
TOO_LITTLE_BUT_STOP = (
    "Too little to say what lies behind it, and no more is looked for today: the veterinarian comes first."
)
NO_STARTING_POINT = "No starting point: nothing that was written down points clearly enough to one."
ALL_ACCOUNTED_FOR = "Every finding that asks for an explanation is accounted for."
NOTHING_NOTABLE = "Nothing that was written down asks for an explanation."
ONLY_MILD_NOTABLE = "Nothing that asks for an explanation by itself; mild, or counting for less today: {found}."
TIES = "Other starting points would account for it equally well:"
VET_SENTENCE = "Hands-on findings by a non-veterinarian; no diagnosis is offered."
LEFT_IS = "Left is always the horse's own left (the near side)."
SCALE_IS = "Soreness from 0 (quiet) to 10, as answered to the hand before any work."

NO_REASON_HERE = "Nothing that these rules conclude today accounts for this place."
NOT_POSSIBLE = "Could not be examined, which says nothing either way"
QUIET_HERE = "It was examined and did not answer."
QUIET_HERE_IN_DOUBT = "It was examined and did not answer, which says little, because of {circumstances}."
ASKS_FOR_NOTHING = "It was not marked enough to ask for an explanation by itself."
DRAFT_PLAN = "A draft for the practitioner to approve, change or throw away."
NO_STEPS = "No step of ours is called for by what was written down today."
NO_STEPS_UNTIL_SEEN = "None of ours. The plan is the veterinarian, and the lines above until then."

LOOK_FOR = "What we look for by when, and when we look again"
IF_NOT_SO = "That is what we look for, not a promise: where it is not so by then, ring, and we look for another reason."

RIDING_QUESTION = "May {name} be ridden?"
RIDING_FORBIDDEN = "Not until {who} allows it."
RIDING = {
    "as usual": "As usual, as far as was looked at: no rule read today asks for less.",
    "lightly": "Lightly.",
    "not in this saddle": "Not in this saddle.",
    "led, not ridden": "Not today; led in hand.",
    "not until the veterinarian has seen it": "Not until the veterinarian has seen it.",
}

CALLS = {
    "emergency": "Ring the veterinarian now",
    "prompt": "Ring the veterinarian today",
    "routine": "Have the veterinarian look before the next session",
}


def called(call: str, when: str) -> str:
    """The line above a group of reasons to call.

    >>> called("emergency", "now"), called("routine", "before the next session")
    ('EMERGENCY: ring the veterinarian now', 'ROUTINE: the veterinarian, before the next session')
    """
    return f"{call.upper()}: " + ("the veterinarian, " if call == "routine" else "ring the veterinarian ") + when


def as_well(call: str) -> str:
    """The line above a less pressing group, which the same call settles.

    >>> as_well("prompt")
    'AND ON THE SAME CALL (by itself prompt):'
    """
    return f"AND ON THE SAME CALL (by itself {call}):"


def riding(answer: str) -> str:
    """The answer to the owner's first question.

    >>> riding("lightly")
    'Lightly.'
    """
    return RIDING.get(answer, sentence(answer))


def stop(key: str) -> str:
    """A thing that is stopped, as it is written.

    >>> stop("hands_on_work"), stop("this_saddle")
    ('hands-on work', 'this saddle')
    """
    return plain(key).replace("hands on", "hands-on")


FOLDED = "Not shown here: {counts}what can mislead, the rules' lines and sources. --full shows all of it."
FOLDED_PLAN = "Not shown here: [...], reasons in full, what each step answers and rests on. --full shows all of it."


def listed(words: Iterable[str], joiner: str = "and") -> str:
    """Words in a row.

    >>> listed(["walk", "trot", "canter"]), listed(["walk"]), listed([])
    ('walk, trot and canter', 'walk', '')
    """
    known = list(words)
    return ", ".join(known[:-1]) + f" {joiner} {known[-1]}" if len(known) > 1 else "".join(known)


def plain(key: str) -> str:
    """A key as a person writes it.

    >>> plain("behind_the_poll")
    'behind the poll'
    """
    return key.replace("_", " ")


def pointers(band: str) -> str:
    """The band of a certainty, in words.

    >>> pointers("strong"), pointers("against"), pointers("none")
    ('strong pointers', 'spoken against', 'too little to say')
    """
    return {"against": "spoken against", "none": "too little to say"}.get(band, f"{band} pointers")


def certainty(value: float) -> str:
    """A certainty with two digits, never rounded up past a limit and never 1.

    >>> certainty(0.6999), certainty(1.0), certainty(0.4), certainty(-0.256), certainty(0.0)
    ('0.69', '0.99', '0.40', '-0.25', '0.00')
    """
    hundredths = math.floor(round(abs(value) * 100, 6))
    shown = min(hundredths / 100, MOST_SHOWN)
    return f"{'-' if value < 0 and shown else ''}{shown:.2f}"


def signed(value: float) -> str:
    """A contribution with its sign.

    >>> signed(0.6), signed(-0.2), signed(0.0666)
    ('+0.60', '-0.20', '+0.07')
    """
    return f"{value:+.2f}"


def day(when: date) -> str:
    """A date that reads the same everywhere.

    >>> day(date(2026, 4, 8))
    '8 April 2026'
    """
    return f"{when.day} {MONTHS[when.month - 1]} {when.year}"


def iso_day(text: str) -> str:
    """A date written year first, in words; any other text as it is.

    >>> iso_day("2026-04-08"), iso_day("")
    ('8 April 2026', '')
    """
    try:
        return day(date.fromisoformat(text))
    except ValueError:
        return text


def moment(text: str) -> str:
    """A moment as it is kept, in words and in UTC, wherever it was written; without a zone it is UTC, any other text as it is.

    >>> moment("2026-11-29T00:34:55.120000+00:00"), moment("2026-11-29T00:34:55+02:00")
    ('29 November 2026, 00:34 UTC', '28 November 2026, 22:34 UTC')
    """
    try:
        at = datetime.fromisoformat(text)
    except ValueError:
        return text
    at = at.replace(tzinfo=UTC) if at.tzinfo is None else at.astimezone(UTC)
    return f"{day(at.date())}, {at:%H:%M} UTC"


def days_before(days: int) -> str:
    """How long before the visit something was.

    >>> days_before(0), days_before(1), days_before(47)
    ('the same day', '1 day before', '47 days before')
    """
    if days <= 0:
        return "the same day"
    return f"{days} day before" if days == 1 else f"{days} days before"


def a_call(level: str) -> str:
    """A call by its level, with its article.

    >>> a_call("emergency"), a_call("prompt")
    ('an emergency call', 'a prompt call')
    """
    return f"{'an' if level[:1] in 'aeiou' else 'a'} {level} call"


def counted(number: int, one: str, several: str = "") -> str:
    """A number with its noun.

    >>> counted(1, "place"), counted(3, "place"), counted(2, "entry", "entries")
    ('1 place', '3 places', '2 entries')
    """
    return f"{number} {one if number == 1 else several or one + 's'}"


def at_side(name: str, side: str) -> str:
    """A place or observation with its side.

    >>> at_side("withers", "left"), at_side("breathing", "")
    ('withers, left', 'breathing')
    """
    return f"{name}, {side}" if side else name


def sentence(text: str) -> str:
    """The text with a capital and a full stop.

    >>> sentence("no riding"), sentence("Why? ")
    ('No riding.', 'Why?')
    """
    text = text.strip()
    if not text:
        return ""
    return text[0].upper() + text[1:] + ("" if text[-1] in ".!?:" else ".")


def rest(text: str) -> str:
    """The end of a sentence begun by somebody else: its case is kept, a full stop is added.

    >>> rest("its steps become uneven")
    'its steps become uneven.'
    """
    text = text.strip()
    return text + ("" if text.endswith((".", "!", "?")) else ".")


def clause(text: str) -> str:
    """A page's sentence to stand after a colon, without its full stop.

    >>> clause("its steps become uneven.")
    'its steps become uneven'
    """
    return text.strip().rstrip(".")


def days_in_words(text: str) -> str:
    """A sentence in which every date is written in words.

    >>> days_in_words("better on 2026-02-10.")
    'better on 10 February 2026.'
    """
    return _ISO_DAY.sub(lambda found: iso_day(found.group()), text)


def first_sentence(text: str) -> str:
    """The first sentence of several.

    >>> first_sentence("The place lies deep. A slow hold is what it accepts."), first_sentence("About 1.5 m of rope")
    ('The place lies deep.', 'About 1.5 m of rope')
    """
    end = text.find(". ")
    return text[: end + 1] if end >= 0 else text


def opening_of(text: str, most: int) -> str:
    """Whole sentences up to about `most` letters, at least one; what is left out is marked.

    >>> opening_of("Hold ten seconds. Walk ten steps. Grade it again.", 34)
    'Hold ten seconds. Walk ten steps. [...]'
    >>> opening_of("Hold ten seconds.", 5)
    'Hold ten seconds.'
    """
    said = ""
    for one in text.replace(". ", ".\n").split("\n"):
        if said and len(said) + len(one) > most:
            return f"{said} [...]"
        said = f"{said} {one}".strip()
    return said


def of_ten(value: float) -> str:
    """A soreness for people.

    >>> of_ten(3.5), of_ten(4.0)
    ('3.5 of 10', '4 of 10')
    """
    return f"{value:g} of 10"


def owners_words(because: str) -> str:
    """A reason as an owner gave it, marked as the owner's own words: nobody of ours says it.

    >>> print(owners_words('it looked "off"'))
    in the owner's words: "it looked 'off'"
    """
    inside = because.strip().replace('"', "'")
    return f'in the owner\'s words: "{inside}"'
