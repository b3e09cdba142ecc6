"""The commands that answer the next questions: words, JSON that fits its schema, and errors that a hurried person can act on.

In: commands. Out: what they print and return.
Not here: whether the answers are right (tests/questions).
"""

from __future__ import annotations

import json
from pathlib import Path

import jsonschema
import pytest

import reasoner
from tests.cli.test_commands import BRAMBLE, EXAMPLES, run

SCHEMAS = Path(reasoner.__file__).parent / "rendering" / "schemas"
OTTER = str(EXAMPLES / "otter.yaml")
ASKED = (
    ("next.json", ["next", BRAMBLE]),
    ("next.json", ["next", OTTER]),
    ("next_minutes.json", ["next", BRAMBLE, "--minutes", "10"]),
    ("next_telephone.json", ["next", "--telephone"]),
    ("next_telephone.json", ["next", BRAMBLE, "--telephone"]),
    ("why_not.json", ["why-not", BRAMBLE, "tree too narrow"]),
    ("why_not.json", ["why-not", OTTER, "left", "hind pushes off less"]),
    ("suppose.json", ["suppose", BRAMBLE, "--set", "loin, left = 0", "--set", "trot in hand = uneven"]),
    ("which_of.json", ["which-of", BRAMBLE, "saddle to one side", "saddle follows the hind limb"]),
    ("which_of.json", ["which-of", OTTER, "tree too narrow", "tree too wide"]),
)


@pytest.mark.parametrize(("schema", "words"), ASKED, ids=lambda x: x if isinstance(x, str) else " ".join(x[::2]))
def test_json_fits_its_schema_and_words_are_words(schema: str, words: list[str]) -> None:
    plain, data = run(*words), run(*words, "--json")
    assert plain.exit_code == data.exit_code == 0
    told = json.loads(data.output)
    jsonschema.validate(told, json.loads((SCHEMAS / schema).read_text()))
    assert told["rulebase"] in plain.output or told.get("stop")
    assert "Traceback" not in plain.output


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["next"], "--telephone"),
        (["next", BRAMBLE, "--minutes", "nan"], "a number of minutes"),
        (["next", BRAMBLE, "--telephone", "--minutes", "5"], "do not go together"),
        (["why-not", BRAMBLE, "tree to narow"], "tree too narrow"),
        (["why-not", BRAMBLE, "tree too narrow", "--side", "left"], "no sides"),
        (["why-not", BRAMBLE, "saddle to one side", "--side", "up"], "left (near)"),
        (["suppose", BRAMBLE], "--set"),
        (["suppose", BRAMBLE, "--set", "lion, left = 0"], "loin"),
        (["suppose", BRAMBLE, "--set", "loin, left: 0"], "a name, ="),
        (["suppose", BRAMBLE, "--set", "loin, left = 11", "--set", "gums = pnk"], "pink"),
        (["which-of", BRAMBLE, "tree too narrow", "tree too narrow"], "the same conclusion"),
        (["which-of", BRAMBLE, "tree too narrow"], "TWO"),
        (["why-not", BRAMBLE, "hind pushes off less", "--side", "both"], "one side at a time"),
        (
            ["suppose", BRAMBLE, "--set", "loin, off = 4", "--set", "loin, right = not examined"],
            "speaks of the same thing",
        ),
        (["suppose", BRAMBLE, "--set", "loin, near = quiet"], "A place that was quiet is 0."),
        (["suppose", BRAMBLE, "--set", "left hind, right = slight"], "two different sides"),
        (["why-not", BRAMBLE, "left hind pushes off less", "--side", "off"], "two different sides"),
        (["why-not", BRAMBLE, "left hind pushes off less, right"], "two different sides"),
        (["suppose", BRAMBLE, "--set", "visit = 2026-01-01"], "the day of the visit"),
    ],
)
def test_a_slip_is_told_and_exit_code_is_2(words: list[str], told: str) -> None:
    result = run(*words)
    assert result.exit_code == 2
    assert told in result.stderr
    assert "Traceback" not in result.stderr


def test_an_emergency_says_stop_before_anything_else() -> None:
    lines = run("next", OTTER).output.splitlines()
    assert "Stop here and telephone the veterinarian now" in " ".join(lines[:4])


def words_of(*words: str) -> str:
    """What a command prints, as one line."""
    return " ".join(run(*words).output.split())


def test_each_answer_on_the_telephone_has_its_own_haste() -> None:
    told = words_of("next", "--telephone")
    assert '"injured": the veterinarian, now "half closed or watering": the veterinarian, today' in told
    assert "unsteady" in told, "no more than ten questions, and every emergency among them"
    assert "walk round the horse" not in told


def test_each_reason_to_call_is_told_with_its_own_readings(tmp_path: Path) -> None:
    visit = tmp_path / "empty.yaml"
    visit.write_text("visit: 2026-05-11\n")
    told = words_of("next", str(visit))
    assert (
        '"leg not loaded" would be a reason to call the veterinarian, now: It stands without loading one leg.' in told
    )
    assert '"down" would be a reason to call the veterinarian, now: It is down and does not rise.' in told
    assert '"white", "dark or blue" or "brick red" would be' in told
    assert (
        '"left" would be a reason to call the veterinarian, before the next session: The saddle comes to the left'
        in told
    )
    assert "outside the box" not in told, "feet and gums are not looked at from there"


def test_a_count_is_a_whole_number_and_a_stroke_along_the_back_is_told_as_one() -> None:
    assert '"3" or "4" would be' in words_of("next", str(EXAMPLES / "rook.yaml"))
    stroke = words_of("next", str(EXAMPLES / "clover.yaml")).partition("between the spinous processes")[2]
    assert "how: Along the middle line from the withers to the loin" in stroke
    assert "front foot of the withers" not in stroke


def test_a_look_speaks_only_for_what_it_speaks_for() -> None:
    """Bramble's left hind against her right one: nothing under the rider brings the left up, and a temper brings up neither."""
    told = words_of("which-of", BRAMBLE, "hind pushes off less, left", "hind pushes off less, right", "--most", "50")
    assert '"canter worse" tips it towards the second' in told
    assert '"same" tips it towards' not in told
    assert "temperament" not in told


def test_what_is_drawn_already_is_not_drawn_then() -> None:
    told = words_of("why-not", BRAMBLE, "hind pushes off less", "--side", "left")
    assert "it is drawn already, and would then stand at: strong pointers, 0.83" in told
    assert "it would then be drawn" not in told


def test_why_not_asks_once_for_both_sides_of_a_place() -> None:
    told = words_of("why-not", BRAMBLE, "tree too narrow")
    assert told.count("Find the rear top corner of the shoulder blade") == 1


def test_without_scores_nothing_was_read_again() -> None:
    told = words_of("firm", OTTER)
    assert "No score was written down" in told
    assert "2,000 times" not in told


@pytest.mark.parametrize(
    "words",
    [["next"], ["firm", "--rows", "20"], ["overturn"], ["why-not", "tree too narrow"]],
    ids=lambda words: words[0],
)
def test_one_reason_for_both_sides_is_told_once(words: list[str], tmp_path: Path) -> None:
    visit = tmp_path / "grump.yaml"
    visit.write_text("visit: 2026-05-11\npalpation: {withers: {both: {soreness: 5, response: threatens}}}\n")
    told = words_of(words[0], str(visit), *words[1:]).partition("WHAT WOULD")[0]
    assert told.partition("NOT PROPOSED")[0].count("or the horse threatens when it is touched") == 1


def test_a_table_with_semicolons_is_told_so(tmp_path: Path) -> None:
    (tmp_path / "t.csv").write_text("visit;date;finding;value\nA;2026-04-18;attitude;dull\n")
    result = run("batch", str(tmp_path / "t.csv"), "-o", str(tmp_path / "out.csv"))
    assert result.exit_code == 2
    assert 'apart by ";", and commas were expected' in result.stderr
    assert "is missing" not in result.stderr


def test_a_place_that_was_graded_is_not_called_unexamined() -> None:
    told = words_of("why-not", str(EXAMPLES / "barley.yaml"), "lumbar back guards", "--side", "left")
    assert "loin, left spasm or hard: of this nothing was written down" in told
    assert "loin, left spasm or hard: not examined" not in told


def test_what_is_stopped_is_told_as_the_trade_writes_it() -> None:
    told = words_of("suppose", BRAMBLE, "--set", "trot in hand = uneven")
    assert "stops hands-on work, riding, exercises" in told
