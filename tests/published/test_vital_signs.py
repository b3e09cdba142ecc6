"""Temperature, pulse, breathing and gum refill at rest, against the ranges that are quoted.

In: numbers at the edges of the quoted ranges. Out: which level of call they raise.
Not here: our own settings beyond them (the pages of the concerns). Confidence as read: the span of quoted ranges high, the
cautious gate medium (own setting), the line at 102 °F high; no page of a professional body with these numbers was found.
"""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal

import pytest

from reasoner.quantities import read_quantity
from tests.asking import Asked

Ask = Callable[[str], Asked]
# VS01, six veterinary practices' pages for grown horses at rest (rules/sources/practice_vital_ranges).
QUOTED = {
    "temperature": [("99 °F", "101 °F"), ("99 °F", "101.5 °F"), ("37.5 °C", "38.5 °C")],
    "pulse": [("28 /min", "44 /min"), ("30 /min", "44 /min"), ("28 /min", "40 /min")],
    "breaths": [("8 /min", "16 /min"), ("10 /min", "24 /min"), ("12 /min", "20 /min")],
    "gum refill": [("0 s", "2 s")],
}
DIMENSION = {"temperature": "temperature", "pulse": "rate", "breaths": "rate", "gum refill": "time"}
UNIT = {"temperature": "°C", "pulse": "/min", "breaths": "/min", "gum refill": "s"}
STEP = {"temperature": "0.05", "pulse": "1", "breaths": "1", "gum refill": "0.1"}


def base(sign: str, text: str) -> Decimal:
    """A quantity in its base unit."""
    return read_quantity(text, DIMENSION[sign])  # type: ignore[arg-type]


def level(ask: Ask, sign: str, value: Decimal | str) -> str:
    """What one number at rest, and nothing else, comes to."""
    text = value if isinstance(value, str) else f"{value} {UNIT[sign]}"
    return ask(f"vital signs: {{{sign}: {text}}}").level


@pytest.mark.parametrize("sign", QUOTED)
def test_what_every_quoted_range_allows_raises_nothing(ask: Ask, sign: str) -> None:
    """VS01: the part common to all quoted ranges, both ends included, is usual."""
    low = max(base(sign, low) for low, _ in QUOTED[sign])
    high = min(base(sign, high) for _, high in QUOTED[sign])
    assert low < high
    for value in (low, (low + high) / 2, high):
        assert level(ask, sign, round(value, 2)) == "none"


@pytest.mark.parametrize("sign", QUOTED)
def test_what_no_quoted_range_allows_is_asked_about(ask: Ask, sign: str) -> None:
    """VS01: above the highest end that any page quotes, somebody asks a veterinarian."""
    high = max(base(sign, high) for _, high in QUOTED[sign])
    assert level(ask, sign, round(high + Decimal(STEP[sign]), 2)) != "none"


def test_the_gate_stands_where_it_is_declared(ask: Ask) -> None:
    """VS02 (own setting from VS01, medium): above 38.5 °C, 44, 20, and 2 s it is counted again and hands stay off."""
    for sign, at, above in [
        ("temperature", "38.5 °C", "38.6 °C"),
        ("pulse", "44 /min", "45 /min"),
        ("breaths", "20 /min", "21 /min"),
        ("gum refill", "2 s", "2.1 s"),
    ]:
        assert level(ask, sign, at) == "none"
        answer = ask(f"vital signs: {{{sign}: {above}}}")
        assert answer.level != "none"
        assert {"hands_on_work", "riding"} <= answer.stops()


def test_fever_is_for_the_same_day_from_102_fahrenheit(ask: Ask) -> None:
    """RF06, Hourdebaigt's massage handbook (high): 39 °C/102 °F; its pairs are rounded, and we take the lower one."""
    assert level(ask, "temperature", "102 °F") == "prompt"
    assert level(ask, "temperature", "39 °C") == "prompt"
    assert level(ask, "temperature", "38.89 °C") == "prompt"
    assert level(ask, "temperature", "38.88 °C") == "routine"
    assert level(ask, "temperature", "101.9 °F") == "routine"


@pytest.mark.parametrize(("fahrenheit", "celsius"), [("101.5", "38.61"), ("102", "38.89"), ("102.5", "39.17")])
def test_fahrenheit_becomes_celsius(fahrenheit: str, celsius: str) -> None:
    """VS05 (arithmetic): 101.5 °F is 38.61 °C, 102 is 38.89, 102.5 is 39.17."""
    assert round(read_quantity(f"{fahrenheit} °F", "temperature"), 2) == Decimal(celsius)


def test_a_resting_pulse_above_50_is_for_today(ask: Ask) -> None:
    """VS03, a teaching page (medium): above 50 at rest is called distress that needs looking into."""
    assert level(ask, "pulse", "50 /min") == "routine"
    assert level(ask, "pulse", "51 /min") == "prompt"


def test_what_cannot_wait(ask: Ask) -> None:
    """RF03 (own placement, medium): a pulse above 60 at rest, refill above 3 s, gums dark, white or blue."""
    for sign, at, above in [("pulse", "60 /min", "61 /min"), ("gum refill", "3 s", "3.1 s")]:
        assert level(ask, sign, at) == "prompt"
        assert level(ask, sign, above) == "emergency"
    for colour in ("white", "dark or blue"):
        assert ask(f"at first sight: {{gums: {colour}}}").level == "emergency"


def test_moist_and_pink_is_usual(ask: Ask) -> None:
    """VS01: gums are pink."""
    assert ask("at first sight: {gums: pink}").level == "none"


def test_hard_breathing_is_rung_for_at_once(ask: Ask) -> None:
    """RF01, the equine practitioners' association's list of what is rung for at once (high)."""
    for text in (
        "at first sight: {breathing: laboured}",
        "at first sight: {bleeding: heavy}",
        "at first sight: {eyes: injured}",
        "at first sight: {belly signs: looks at flank}",
        "at first sight: {ten steps of walk: unsteady}",
        "before the visit: {appetite: off feed}",
        "before the visit: {other horses ill: yes}\nat first sight: {attitude: dull}",
    ):
        assert ask(text).level == "emergency"


def test_a_practice_sheet_tells_now_from_today(ask: Ask) -> None:
    """RF02, one practice's triage sheet (high as its advice).

    No weight on a leg now, uneven and bearing weight today.
    """
    assert ask("uneven steps: {left fore: not bearing weight}").level == "emergency"
    assert ask("at first sight: {wound: near a joint}").level == "emergency"
    assert ask("at first sight: {wound: into the foot}").level == "emergency"
    assert ask("uneven steps: {left fore: marked}").level == "prompt"
    assert ask("uneven steps: {left fore: slight}").level == "routine"
