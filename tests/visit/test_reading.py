"""What the reader makes of a visit file, entry by entry.

In: short visit files. Out: the touches, things noted, work done and words given that stand in them.
Not here: mistakes (test_faults.py), files that are no visit at all (test_hostile.py).
"""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest

from reasoner.problems import BadInput
from reasoner.rulebook.strict_yaml import parse
from reasoner.rulebook.vocabulary import Vocabulary
from reasoner.visit import DateSpan, Grade, Touch, Visit, mirrored, read_visit, visit_from_node

DAY = date(2026, 4, 18)


def read(text: str, vocabulary: Vocabulary, *, default_day: date | None = DAY) -> Visit:
    return visit_from_node(parse(text.encode(), "visit.yaml"), "visit.yaml", vocabulary, default_day=default_day)


def by_place(visit: Visit) -> dict[tuple[str, str | None, str], Touch]:
    return {(t.place, t.side, t.when): t for t in visit.touches}


def test_numbers_sides_and_lines(shipped: Vocabulary) -> None:
    visit = read("palpation:\n  jaw muscle: {left: 4, right: 1.5}\n  crest of the neck: 0\n", shipped)
    touches = by_place(visit)
    assert touches["jaw_muscle", "left", "first"].soreness == 4
    assert touches["jaw_muscle", "right", "first"].soreness == Decimal("1.5")
    assert touches["jaw_muscle", "right", "first"].line == 2
    assert touches["crest_of_the_neck", None, "first"].soreness == 0
    assert touches["crest_of_the_neck", None, "first"].line == 3


@pytest.mark.parametrize(
    "line",
    [
        "withers: {left: 4, right: 2}",
        "Withers: {near: 4, off: 2}",
        "withers: {near side: 4, o/s: 2}",
        "left withers: 4\n  off withers: 2",
        "M. trapezius, pars thoracica: {left: 4, right: 2}",
        "Trapezius pars thoracica: {left: 4, right: 2}",
        "near M. trapezius pars thoracica: 4\n  right withers: 2",
    ],
)
def test_every_spelling_of_a_place_and_a_side(line: str, shipped: Vocabulary) -> None:
    touches = by_place(read(f"palpation:\n  {line}\n", shipped))
    assert {key: t.soreness for key, t in touches.items()} == {
        ("withers", "left", "first"): 4, ("withers", "right", "first"): 2,
    }  # fmt: skip


@pytest.mark.parametrize("line", ["left loin: 4", "loin left: 4", "near loin: 4", "loin near side: 4"])
def test_the_side_may_stand_before_a_place_or_behind_it(line: str, shipped: Vocabulary) -> None:
    (touch,) = read(f"palpation:\n  {line}\n", shipped).touches
    assert (touch.place, touch.side) == ("loin", "left")
    assert touch.soreness == 4


def test_both_is_the_same_on_both_sides(shipped: Vocabulary) -> None:
    touches = by_place(read("palpation: {withers: {both: {soreness: 4, felt: warm}}}", shipped))
    assert touches["withers", "left", "first"].felt == touches["withers", "right", "first"].felt == ("warm",)
    assert touches == by_place(read("palpation: {both withers: {soreness: 4, felt: [warm]}}", shipped))


def test_everything_a_reading_may_say(shipped: Vocabulary) -> None:
    text = """palpation: {withers: {left: {soreness: 2, response: [tightens, twitch], felt: [knots], depth: deep,
      touch: light, note: cold}}}"""
    (touch,) = read(text, shipped).touches
    assert touch == Touch(
        place="withers", side="left", soreness=Decimal(2), responses=("tightens", "skin_twitch"), felt=("knot",),
        depth="deep", touch="light", line=1, note="cold",
    )  # fmt: skip


def test_the_five_things_stay_apart(shipped: Vocabulary) -> None:
    text = """
palpation:
  withers: {left: 0, right: 3}
  girth line: {left: would not allow touch, right: not examined - no time}
"""
    touches = by_place(read(text, shipped))
    assert touches["withers", "left", "first"].soreness == 0
    assert touches["withers", "right", "first"].soreness == 3
    refused = touches["girth_line", "left", "first"]
    assert (refused.soreness, refused.refused, refused.not_examined) == (None, True, None)
    passed_over = touches["girth_line", "right", "first"]
    assert (passed_over.soreness, passed_over.refused, passed_over.not_examined) == (None, False, "no_time")
    assert ("loin", "left", "first") not in touches


@pytest.mark.parametrize(
    "value", ["would not allow touch", "{response: would not allow}", "{soreness: 8, response: refused}"]
)
def test_a_refusal_by_word_or_by_response(value: str, shipped: Vocabulary) -> None:
    (touch,) = read(f"palpation: {{withers: {{left: {value}}}}}", shipped).touches
    assert touch.refused


@pytest.mark.parametrize(
    "text", ["not examined - covered", "Not examined: covered", "not examined (covered)", "not-examined covered"]
)
def test_a_reason_for_passing_over(text: str, shipped: Vocabulary) -> None:
    (touch,) = read(f'palpation: {{withers: {{left: "{text}"}}}}', shipped).touches
    assert touch.not_examined == "covered"


@pytest.mark.parametrize("text", ["7 of 10", "7/10", "7 out of 10", "7"])
def test_seven_of_ten(text: str, shipped: Vocabulary) -> None:
    (touch,) = read(f"palpation: {{withers: {{left: {text}}}}}", shipped).touches
    assert touch.soreness == 7


def test_second_readings(shipped: Vocabulary) -> None:
    text = "palpation: {loin: {left: {soreness: 6, once settled: 4, after work: {soreness: 2, response: none}}}}"
    touches = by_place(read(text, shipped))
    assert [t.soreness for t in touches.values()] == [6, 4, 2]
    assert touches["loin", "left", "after_work"].responses == ("none",)
    (only_settled,) = read("palpation: {loin: {left: {once settled: 4}}}", shipped).touches
    assert only_settled.when == "settled"


def test_spaces_between_the_spines(shipped: Vocabulary) -> None:
    text = """between the spinous processes:
  T14-T15: {soreness: 4, touch: light, response: flinches, once settled: 4}
  T18-L1: 0"""
    touches = by_place(read(text, shipped))
    assert touches["space_t14_t15", None, "first"].touch == "light"
    assert touches["space_t14_t15", None, "settled"].soreness == 4
    assert touches["space_t18_l1", None, "first"].soreness == 0


def test_quiet_marks_the_places_of_the_round_and_no_others(shipped: Vocabulary) -> None:
    visit = read("quiet: {croup: both, withers: off}", shipped)
    marked = {(t.place, t.side) for t in visit.touches}
    expected: set[tuple[str, str | None]] = set()
    for place in shipped.places.values():
        if place.key in shipped.round and place.region == "croup":
            expected |= {(place.key, side) for side in (("left", "right") if place.sides == "each" else (None,))}
        if place.key in shipped.round and place.region == "withers" and place.sides == "each":
            expected.add((place.key, "right"))
    assert marked == expected
    assert ("withers", "right") in marked
    assert ("top_of_the_withers", None) not in marked  # one side of a region says nothing of its midline
    assert all(t.quiet_list and t.soreness == 0 and t.responses is None for t in visit.touches)


def test_what_is_written_out_wins_over_quiet(shipped: Vocabulary) -> None:
    text = """
quiet: {croup: both}
palpation:
  croup: {left: not examined - no time}
  top of the croup: {right: would not allow touch}
"""
    touches = by_place(read(text, shipped))
    assert touches["croup", "left", "first"].not_examined == "no_time"
    assert touches["croup", "right", "first"].quiet_list
    assert touches["top_of_the_croup", "right", "first"].refused
    assert touches["top_of_the_croup", "left", "first"].quiet_list


def test_observations_of_every_kind(shipped: Vocabulary) -> None:
    text = """
horse: {name: Bramble, born: 2017, height: 15.2 hh}
before the visit: {shod: 2026-03-02, teeth seen: 2026-04, fall or blow: none}
vital signs: {temperature: 101.3 °F, pulse: 36 /min}
at first sight: {gums: {is: pink, note: a little dry}}
tacked up: {saddle: {type: panelled, shims in place: both}, rests: near}
after work: {dry patch: {left: none}, off dry patch: seen}
ridden: {stirrups: {left: 62 cm, right: 24 1/2 in}}
"""
    visit = read(text, shipped)
    assert visit.horse_name == "Bramble"
    assert visit.noted_value("born") == DateSpan(first=date(2017, 1, 1), last=date(2017, 12, 31))
    assert visit.noted_value("height") == 62 * Decimal("25.4")
    assert visit.noted_value("shod") == DateSpan(first=date(2026, 3, 2), last=date(2026, 3, 2))
    assert visit.noted_value("teeth_seen") == DateSpan(first=date(2026, 4, 1), last=DAY)  # not after the visit
    never = visit.noted_value("fall_or_blow")
    assert isinstance(never, DateSpan)
    assert never.never
    assert visit.noted_value("temperature") == Decimal("38.5")
    (gums,) = [n for n in visit.noted if n.key == "gums"]
    assert (gums.value, gums.written, gums.note, gums.line) == ("pink", "pink", "a little dry", 5)
    assert visit.noted_value("saddle_type") == "panelled"
    assert visit.noted_value("shims_in_place") == "both"
    assert visit.noted_value("rests") == "left"
    assert visit.noted_value("dry_patch", "left") == "none"
    assert visit.noted_value("dry_patch", "right") == "seen"
    assert visit.noted_value("stirrups", "right") == Decimal("24.5") * Decimal("25.4")
    assert visit.noted_value("breathing") is None


def test_yes_no_and_off_are_words(shipped: Vocabulary) -> None:
    visit = read("tacked up: {rests: off}\nin hand: {stiff after work: no}\n", shipped)
    assert visit.noted_value("rests") == "right"
    assert visit.noted_value("stiff_after_work") == "no"


def test_uneven_steps_by_leg(shipped: Vocabulary) -> None:
    text = """
uneven steps:
  left hind: {is: slight, seen at: trot in hand, seen by a veterinarian: no, note: on the turn}
  off fore: {is: marked, seen at: walk}
  hind step: {right: even}
"""
    visit = read(text, shipped)
    assert visit.noted_value("hind_step", "left") == "slight"
    assert visit.noted_value("hind_step", "right") == "even"
    assert visit.noted_value("fore_step", "right") == "marked"
    seen = {n.about: n.value for n in visit.noted if n.key == "seen_at"}
    assert seen == {("hind_step", "left"): "trot_in_hand", ("fore_step", "right"): "walk"}
    (vet,) = [n for n in visit.noted if n.key == "seen_by_a_veterinarian"]
    assert vet.about == ("hind_step", "left")
    assert isinstance(vet.value, DateSpan)
    assert vet.value.never


def test_a_veterinarians_word(shipped: Vocabulary) -> None:
    text = """
veterinarian's word:
  - who: Dr Mossop
    seen: 2026-04-10
    about: [uneven steps, left loin]
    allows: [hands-on work, riding]
    until: 2026-05-10
  - {who: Dr Mossop, seen: 2026-04-17, grade: {scale: AAEP, left hind: 2, off fore: 1/5}}
"""
    first, second = read(text, shipped).vets_words
    assert (first.who, first.seen, first.until) == ("Dr Mossop", date(2026, 4, 10), date(2026, 5, 10))
    assert first.about == ("uneven_steps", "loin")
    assert first.sides == (None, "left")
    assert first.allows == ("hands_on_work", "riding")
    assert second.grades == (
        Grade(scale="AAEP", limb="hind", side="left", grade="2", line=8),
        Grade(scale="AAEP", limb="fore", side="right", grade="1/5", line=8),
    )


@pytest.mark.parametrize("heading", ["veterinarian's word", "veterinarian’s word", "Veterinarians word", "vet's word"])
def test_the_heading_of_a_veterinarians_word(heading: str, shipped: Vocabulary) -> None:
    assert read(f"{heading}: {{who: Dr Mossop, seen: 2026-04-10, forbids: riding}}", shipped).vets_words


def test_work_done_and_its_second_reading(shipped: Vocabulary) -> None:
    text = """
palpation: {behind the poll: {left: 5}}
worked on:
  - {place: behind the poll, side: near, how: held, minutes: 4, after: 4}
  - {place: left behind the poll, how: long strokes, minutes: 90 s, after: 2.5}
  - {place: withers, side: both, how: flat hand}
"""
    visit = read(text, shipped)
    assert [(w.place, w.side, w.how) for w in visit.worked] == [
        ("behind_the_poll", "left", "held"), ("behind_the_poll", "left", "long strokes"),
        ("withers", "left", "flat hand"), ("withers", "right", "flat hand"),
    ]  # fmt: skip
    assert [w.minutes for w in visit.worked] == [4, Decimal("1.5"), None, None]
    assert [w.after for w in visit.worked][:2] == [4, Decimal("2.5")]
    after = by_place(visit)["behind_the_poll", "left", "after_work"]
    assert after.soreness == 4  # the highest is kept; nothing felt is hidden by a later number
    assert after.line == 4


def test_every_mistake_at_once_in_the_order_of_lines(shipped: Vocabulary) -> None:
    text = """visit: 2026-04-18
at first sight: {gums: green}
palpation:
  withers: {left: 11}
  girth lien: {left: 3}
quiet: {nek: both}
vital signs: {temperature: 37.8}
"""
    with pytest.raises(BadInput) as caught:
        read(text, shipped, default_day=None)
    assert [(p.line, p.code) for p in caught.value.problems] == [
        (2, "VF06"), (4, "VF11"), (5, "VF05"), (6, "VF15"), (7, "VF16"),
    ]  # fmt: skip


def test_the_day_of_a_page_example(shipped: Vocabulary) -> None:
    assert read("palpation: {withers: {left: 5}}", shipped).day == DAY
    assert read("visit: 2025-01-02", shipped).day == date(2025, 1, 2)
    with pytest.raises(BadInput, match="VF01"):
        read("palpation: {withers: {left: 5}}", shipped, default_day=None)


def test_a_missing_day_does_not_hide_other_mistakes(shipped: Vocabulary) -> None:
    with pytest.raises(BadInput) as caught:
        read("at first sight: {gums: green}\nbefore the visit: {shod: 2026-03-02}\n", shipped, default_day=None)
    assert [p.code for p in caught.value.problems] == ["VF01", "VF06"]


MIRROR = """
visit: 2026-04-18
horse: {name: Left}
palpation: {withers: {left: 5, right: {soreness: 2, once settled: 1}}, crest of the neck: 1}
quiet: {croup: left}
ridden: {lead preferred: left, saddle comes to: right, stirrups: {left: 62 cm, right: 63 cm}}
uneven steps: {left hind: {is: slight, seen at: walk}}
veterinarian's word:
  {who: Dr Mossop, seen: 2026-04-10, about: [left loin], forbids: riding, grade: {scale: AAEP, left hind: 2}}
worked on: [{place: withers, side: left, how: held, after: 2}]
"""


def test_the_mirror_image(shipped: Vocabulary) -> None:
    visit = read(MIRROR, shipped)
    image = mirrored(visit)
    swapped = MIRROR.replace("left", "RIGHT").replace("right", "left").replace("RIGHT", "right")
    other = read(swapped, shipped)
    assert by_place(image) == by_place(other)
    assert set(image.noted) == set(other.noted)
    assert image.vets_words == other.vets_words
    assert image.worked == other.worked
    assert image.horse_name == "Left"  # free text has no mirror
    assert mirrored(image) == visit
    near = read("tacked up: {rests: near}", shipped)
    assert mirrored(mirrored(near)) == near


def test_a_file_with_windows_line_ends_and_a_byte_order_mark(tmp_path: Path, shipped: Vocabulary) -> None:
    path = tmp_path / "visit.yaml"
    path.write_bytes(b"\xef\xbb\xbfvisit: 2026-04-18\r\npalpation:\r\n  withers: {left: 4}\r\n")
    visit = read_visit(path, shipped)
    assert visit.file == str(path)
    assert [t.line for t in visit.touches] == [3]
