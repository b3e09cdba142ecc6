"""A log of pushes on a floor scale, typed or from a table.

In: words of the command line, or the bytes of a CSV file. Out: `Push`es in the order they were made; the text of a new log.
Not here: working them out (press).

A table has a row a push and the columns `kg` (or `reading`), `hand` (left, right or both; left out: both) and `day` (left out:
one session). A reading may carry its unit.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterator, Mapping, Sequence
from decimal import Decimal

from reasoner.problems import BadInput, Problem, near_hint, register
from reasoner.quantities import NotAQuantity, read_quantity
from reasoner.teaching.press import HANDS, Hand, Push

register(
    {
        "TE10": "a push that cannot be read",
        "TE11": "a log of pushes without its columns",
        "TE12": "no push at all",
    }
)

COLUMNS = {
    "kg": "kg",
    "reading": "kg",
    "weight": "kg",
    "hand": "hand",
    "day": "session",
    "session": "session",
    "date": "session",
}
KG = "kg"
MOST_KG = 300  # what a floor scale for people reads
WRITTEN = "hand,kg,day\n"
_COMMA = re.compile(r"(?<=\d),(?=\d)")


def typed(hand: Hand, text: str, option: str, session: str = "", unit: str = KG) -> list[Push]:
    """Pushes typed one after the other, parted by blanks, commas or semicolons: "19.5, 20, 21.5 kg"; those without a unit are in
    `unit`. Raises BadInput (TE10)."""
    problems: list[Problem] = []
    between = re.search(r"\d+,\d+", text)
    if between is not None:
        one, two = between[0].split(",")
        said = f'"{between[0]}" may be {one}.{two} or two readings, {one} and {two}.'
        problems.append(Problem(option, 0, "TE10", said, "Write a point in a number, and a blank between readings."))
        raise BadInput(problems)
    found = [_kg(word, option, 0, problems, unit) for word in _with_units(text.replace(";", " ").replace(",", " "))]
    if problems:
        raise BadInput(problems)
    return [Push(kg=float(kg), hand=hand, session=session) for kg in found if kg is not None]


def _with_units(text: str) -> list[str]:
    """The readings, each with the unit that stands behind it."""
    found: list[str] = []
    for word in text.split():
        if word.isalpha() and found and not any(c.isalpha() for c in found[-1]):
            found[-1] += f" {word}"
        else:
            found.append(word)
    return found


def unit_of(text: str) -> str:
    """The unit a weight was written in, the last where there are two; kg where there is none.

    >>> unit_of("44 lb"), unit_of("20")
    ('lb', 'kg')
    """
    written = re.findall(r"[A-Za-z]+", text)
    return written[-1] if written else KG


def aim_of(text: str, shown: str = "--aim") -> float:
    """What was aimed at, in kg; `shown` is where it was written. Raises BadInput (TE10)."""
    problems: list[Problem] = []
    found = _kg(text.strip(), shown, 0, problems)
    if found is None:
        raise BadInput(problems)
    return float(found)


def from_csv(data: bytes, file: str) -> list[Push]:
    """The pushes of a table. Raises BadInput (TE10, TE11) with everything wrong at once."""
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise BadInput(
            [Problem(file, 0, "TE11", "this is not a table of text in UTF-8; save it again as CSV.")]
        ) from None
    first = text.partition("\n")[0]
    dialect = ";" if first.count(";") > first.count(",") else "\t" if "\t" in first else ","
    rows = list(csv.reader(io.StringIO(text), delimiter=dialect))
    if not rows:
        raise BadInput([Problem(file, 0, "TE11", "this table is empty; a row of headings with `kg` was expected.")])
    at = _columns(rows[0], file)
    problems: list[Problem] = []
    comma = (
        dialect != ","
    )  # a sheet of a country that writes 19,5: where no comma parts the columns it can be nothing else
    found = list(_pushes(rows[1:], at, file, problems, comma=comma))
    if problems:
        raise BadInput(problems)
    return found


def some(pushes: Sequence[Push], shown: str) -> Sequence[Push]:
    """The pushes, of which there must be one. Raises BadInput (TE12)."""
    if not pushes:
        hint = 'Type them: --left "19.5 20 21", --right, --both; or name a table with --log FILE.csv.'
        raise BadInput([Problem(shown, 0, "TE12", "no push was given; at least one reading in kg was expected.", hint)])
    return pushes


def as_csv(pushes: Sequence[Push]) -> str:
    """The log as a table that `from_csv` reads again."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(WRITTEN.strip().split(","))
    writer.writerows((p.hand, f"{p.kg:g}", p.session) for p in pushes)
    return out.getvalue()


def _columns(header: Sequence[str], file: str) -> Mapping[str, int]:
    at: dict[str, int] = {}
    problems = []
    for number, name in enumerate(header):
        word = name.strip().casefold()
        if word in COLUMNS:
            at.setdefault(COLUMNS[word], number)
        elif word:
            hint = near_hint(word, COLUMNS) or "Columns read here: kg, hand, day."
            problems.append(Problem(file, 1, "TE11", f'the column "{name.strip()}" is not read here.', hint))
    if "kg" not in at:
        problems.append(Problem(file, 1, "TE11", "no column `kg` was found.", "Columns read here: kg, hand, day."))
    if problems:
        raise BadInput(problems)
    return at


def _pushes(
    rows: Sequence[Sequence[str]], at: Mapping[str, int], file: str, problems: list[Problem], *, comma: bool
) -> Iterator[Push]:  # fmt: skip
    for line, row in enumerate(rows, 2):
        if not any(cell.strip() for cell in row):
            continue
        cells = {name: row[number].strip() if number < len(row) else "" for name, number in at.items()}
        reading = _COMMA.sub(".", cells["kg"]) if comma else cells["kg"]
        kg, hand = _kg(reading, file, line, problems), _hand(cells.get("hand", ""), file, line, problems)
        if kg is not None and hand is not None:
            yield Push(kg=float(kg), hand=hand, session=cells.get("session", ""))


def _hand(word: str, file: str, line: int, problems: list[Problem]) -> Hand | None:
    for hand in HANDS:
        if word.casefold() in (hand, f"{hand} hand", f"{hand} hands") or (not word and hand == "both"):
            return hand
    hint = near_hint(word.casefold(), HANDS) or "Expected left, right or both."
    problems.append(Problem(file, line, "TE10", f'"{word}" is no hand.', hint))
    return None


def _kg(word: str, file: str, line: int, problems: list[Problem], unit: str = KG) -> Decimal | None:
    text = word if any(c.isalpha() for c in word) else f"{word} {unit}"
    try:
        found = read_quantity(text, "mass")
    except NotAQuantity as fault:
        problems.append(Problem(file, line, "TE10", f'"{word}" is no reading of a floor scale: {fault.sentence}',
                                fault.hint or "Expected kilograms, such as 19.5."))  # fmt: skip
        return None
    if not 0 < found <= MOST_KG:
        said = f'"{word}" is {found:g} kg; a push above 0 and up to {MOST_KG} kg was expected.'
        problems.append(Problem(file, line, "TE10", said))
        return None
    return found
