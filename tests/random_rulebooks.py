"""Random rulebases over a small vocabulary, built as `Rulebook` objects through the reader of conditions itself.

In: a `Chooser`. Out: a `Rulebook` with its parsed conditions: traits, causes and patterns that read one another, groups,
gates, discounts, evidence against, concerns, actions. Not here: visits, and what a rulebase should answer.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping, Sequence
from typing import Any

from reasoner.rulebook.pages import Action, Circumstance, Concern, Conclusion, Evidence, Forbid, Need, Sign, Source
from reasoner.rulebook.references import resolve
from reasoner.rulebook.rulebook import Rulebook
from reasoner.rulebook.scales import Ramp, Scales
from reasoner.rulebook.vocabulary import Observation, Place, Vocabulary, Word
from tests.chance import Chooser, happens, pick, some

Raw = dict[str, Any]


def _place(key: str, sides: Any, region: str, walk: int, *groups: str) -> Place:
    return Place(key=key, name=key.replace("_", " "), region=region, sides=sides, walk=walk, groups=groups)


def _seen(key: str, kind: Any, *readings: str, sides: Any = "none", **more: Any) -> Observation:
    words = tuple(Word(key=r, notable=r in ("high", "slight", "marked")) for r in readings)
    return Observation(key=key, name=key, section="in_hand", kind=kind, sides=sides, readings=words, **more)


VOCABULARY = Vocabulary(
    places={
        p.key: p
        for p in (
            _place("behind_the_poll", "each", "poll", 10),
            _place("girth_line", "each", "chest", 20, "under_the_girth"),
            _place("breastbone", "midline", "chest", 21, "under_the_girth"),
            _place("withers", "each", "withers", 30, "under_the_saddle"),
            _place("loin", "each", "loin", 40, "under_the_saddle"),
            _place("space_t14_t15", "midline", "back", 50, "spinous_spaces"),
            _place("space_t15_t16", "midline", "back", 51, "spinous_spaces"),
            _place("space_t16_t17", "midline", "back", 52, "spinous_spaces"),
        )
    },
    observations={
        o.key: o
        for o in (
            _seen("saddle_front", "choice", "level", "high", "low"),
            _seen("painkillers", "choice", "none", "given"),
            _seen("settled_under_the_hand", "choice", "seen", "not_seen"),
            _seen("hind_step", "choice", "even", "slight", "marked", sides="each"),
            _seen("seen_at", "choice", "walk", "trot_in_hand", "ridden_only"),
            _seen("lead_preferred_ridden", "side", "left", "right", "none"),
            _seen("temperature", "number", unit="°C", range=(34.0, 43.0)),
            _seen("stirrups", "number", sides="each", unit="mm", range=(300.0, 1200.0)),
            _seen("fall_or_blow", "date", none_word="none"),
        )
    },
    sections={},
    sides={"left": ("near",), "right": ("off",), "both": ()},
    limbs={"fore": (), "hind": ()},
    qualities={
        "responses": tuple(Word(key=k) for k in ("none", "skin_twitch", "flinches", "threatens", "would_not_allow")),
        "felt": tuple(Word(key=k) for k in ("nothing", "hot", "knot", "spasm")),
        "depth": (Word(key="surface"), Word(key="deep")),
        "touch": (Word(key="light"), Word(key="firm")),
        "not_examined_reasons": (Word(key="no_time"), Word(key="covered")),
    },
    round=("withers", "loin"),
)

SCALES = Scales(
    strengths={
        "slight": 0.2,
        "fair": 0.4,
        "clear": 0.6,
        "strong": 0.8,
        "faint": 0.05,
        "middling": 0.35,
        "utmost": 0.95,
    },
    bands={"slight": 0.2, "fair": 0.4, "strong": 0.7},
    fires_above=0.2,
    ramps={
        "sore": Ramp(key="sore", of="soreness", none_at=1, full_at=6),
        "marked": Ramp(key="marked", of="soreness", none_at=4, full_at=7),
        "more": Ramp(key="more", of="difference", none_at=1, full_at=4),
    },
    notable_degree=0.6,
    notable_ramp="sore",
    step=0.5,
    covering_k=1.0,
    calls={"routine": "before the next session", "prompt": "today", "emergency": "now"},
    stops=(Word(key="hands_on_work"), Word(key="riding"), Word(key="this_place")),
    action_order=("call", "riding", "tack", "bodywork"),
    stopped_by={"bodywork": ("hands_on_work",)},
)

_LIMITS = {"temperature": ("38.5 °C", "101.3 °F", "39 °C"), "stirrups": ("700 mm", "28 in", "710 mm")}


@dataclasses.dataclass(frozen=True)
class _Page:
    """What a condition of one page may say."""

    sided: bool = True
    this_place: bool = False
    crisp: bool = False
    recorded: bool = False
    rising: bool = False  # only what one more observation can never turn down
    conclusions: Mapping[str, str] = dataclasses.field(default_factory=dict)


class _Maker:
    def __init__(self, chooser: Chooser, vocabulary: Vocabulary, scales: Scales, rising: bool) -> None:
        self.chooser, self.vocabulary, self.scales, self.rising = chooser, vocabulary, scales, rising

    # -- conditions --------------------------------------------------------------------------------------------------

    def condition(self, page: _Page, depth: int = 2) -> Raw:
        shape = self.chooser.integer(0, 10) if depth else 0
        if shape < 5:
            return self.leaf(page)
        if shape == 5 and not page.rising:
            return {"not": self.condition(page, depth - 1)}
        if shape <= 8:
            parts = [self.condition(page, depth - 1) for _ in range(self.chooser.integer(1, 4))]
            return {"any" if shape == 8 else "all": parts}
        if shape == 9:
            parts = [self.condition(page, depth - 1) for _ in range(self.chooser.integer(3, 5))]
        else:  # so many that no evaluator writes out every choice of k of them
            parts = [self.leaf(page) for _ in range(self.chooser.integer(7, 9))]
        return {f"at_least_{self.chooser.integer(2, len(parts) - 1)}_of": parts}

    def leaf(self, page: _Page) -> Raw:
        kinds = ["place", "place", "choice", "side", "number", "date", "places"]
        kinds += ["this_place"] * 4 if page.this_place else []
        kinds += ["conclusion"] * 5 if page.conclusions and not page.recorded else []
        kind = pick(self.chooser, kinds)
        make = {"choice": self._choice, "side": self._choice, "number": self._number, "date": self._date,
                "place": self._place, "places": self._places, "this_place": self._this_place,
                "conclusion": self._conclusion}[kind]  # fmt: skip
        return make(page, kind) if kind in ("choice", "side", "number", "date") else make(page, "")

    def _side(self, page: _Page, single: bool = False) -> str:
        own = ["this", "other"] if page.sided else []
        return pick(self.chooser, own if single else [*own, "both", "either"])

    def _observed(self, kind: str) -> Observation:
        return pick(self.chooser, [o for o in self.vocabulary.observations.values() if o.kind == kind])

    def _choice(self, page: _Page, kind: str) -> Raw:
        observation = self._observed(kind)
        words: Any = [w.key for w in observation.readings]
        if kind == "side":
            words = [w for w in words if w not in ("left", "right")]
            words += ["this", "other"] if page.sided else []
        read = some(self.chooser, words, 1, 2)
        if kind == "side" and happens(self.chooser, 10):
            read = ["left", "right"]
        if observation.sides == "each":
            return {observation.key: {"side": self._side(page), "is": read}}
        return {observation.key: read[0] if len(read) == 1 else read}

    def _number(self, page: _Page, kind: str) -> Raw:
        observation = self.vocabulary.observations[pick(self.chooser, list(_LIMITS))]
        test = pick(self.chooser, ["at_least", "above", "at_most", "below"])
        body = {test: pick(self.chooser, _LIMITS[observation.key])}
        if observation.sides == "each":
            body["side"] = self._side(page)
        return {observation.key: body}

    def _date(self, page: _Page, kind: str) -> Raw:
        test = pick(self.chooser, ["within", "longer_ago_than"])
        return {self._observed("date").key: {test: pick(self.chooser, ["7 days", "8 weeks"])}}

    def _touch(self, page: _Page, side: str) -> Raw:
        body: Raw = {"side": side} if side else {}
        ramps = [] if page.crisp else ["sore", "sore", "marked"]
        tests = [*ramps, "number", "response", "felt", "guarded"]
        tests += [] if page.rising else ["depth", "touch", "unsettled"]
        if side in ("this", "other") and not page.crisp:
            tests += ["more", "more"]
        test = pick(self.chooser, tests)
        # A concern names the reading it asks for; anything else may leave it to the reading before work.
        unsaid = ["worst", "worst", "first"] if page.crisp else ["effective"] * 4
        reading = "worst" if page.rising else pick(self.chooser, [*unsaid, "worst", "settled", "after_work"])
        if test in ("sore", "marked"):
            body["at_least"] = test
        elif test == "number":
            body["at_least"] = str(pick(self.chooser, [1, 2, 3, 5, 7, 2.5]))
        elif test == "more":
            body["more_than_other"] = "more"
        elif test in ("guarded", "unsettled"):
            return body | {test: "yes"} | ({"reading": "worst"} if page.crisp and test == "guarded" else {})
        else:
            quality = "responses" if test == "response" else test
            words = [w.key for w in self.vocabulary.qualities[quality]]
            if page.rising:  # "none" and "nothing" are taken back by the next reading
                words = words[1:]
            body[test] = some(self.chooser, words, 1, 2)
        if test in ("sore", "marked", "number", "more", "response"):
            body["reading"] = reading
        elif page.crisp and test == "felt":
            body["reading"] = "worst"
        return body

    def _place(self, page: _Page, _: str) -> Raw:
        place = pick(self.chooser, list(self.vocabulary.places.values()))
        side = "" if place.sides == "midline" else self._side(page, single=happens(self.chooser, 60) and page.sided)
        return {place.key: self._touch(page, side)}

    def _this_place(self, page: _Page, _: str) -> Raw:
        body = self._touch(page, "")
        side = pick(self.chooser, ["", "this", "other"])
        return {"this_place": body | {"side": side} if side else body}

    def _places(self, page: _Page, _: str) -> Raw:
        group = pick(self.chooser, ["spinous_spaces", "under_the_girth", "under_the_saddle", "back"])
        members = self.vocabulary.group(group)
        paired = any(self.vocabulary.places[m].sides == "each" for m in members)
        mixed = any(self.vocabulary.places[m].sides == "midline" for m in members)
        side = self._side(page, single=page.sided) if paired else ""
        body = self._touch(page, "" if mixed else side)
        if mixed and paired:
            body["side"] = side
        return {"places": body | {"group": group, "how_many": str(self.chooser.integer(1, len(members)))}}

    def _conclusion(self, page: _Page, _: str) -> Raw:
        key = pick(self.chooser, list(page.conclusions))
        crisp = happens(self.chooser, 30)
        body: Raw = {"at_least": pick(self.chooser, list(self.scales.bands))} if crisp else {}
        if page.conclusions[key] == "none":
            return {key: body or "yes"}
        side = self._side(page)
        return {key: body | {"side": side} if crisp else side}

    # -- pages -------------------------------------------------------------------------------------------------------

    def evidence(self, number: int, page: _Page, depth: int) -> Evidence:
        word = pick(self.chooser, list(self.scales.strengths))
        gate = self.condition(dataclasses.replace(page, recorded=True), 1) if happens(self.chooser, 20) else None
        against = happens(self.chooser, 30)
        return Evidence(
            rule=f"rule {number}", when=self.condition(page, depth), because="made up", basis="own setting",
            points=None if against else word, against=word if against else None,
            group=pick(self.chooser, ["", "", "felt by hand", "seen"]), only_if=gate, line=number + 1,
        )  # fmt: skip

    def conclusion(self, number: int, earlier: Mapping[str, str], rules: int, depth: int) -> Conclusion:
        sides: Any = pick(self.chooser, ["each", "each", "each", "none"])
        page = _Page(sided=sides == "each", conclusions=earlier)
        kinds: Sequence[Any] = ("cause", "trait", "pattern", "mechanism")
        return Conclusion(
            id=f"made_up_{number}", says="Made up on the {side}.", kind=pick(self.chooser, kinds), sides=sides,
            status="sketch", can_mislead="-", lesson="-", examples=(), file=f"made_up_{number}.yaml",
            evidence=tuple(self.evidence(n, page, depth) for n in range(self.chooser.integer(1, rules))),
        )  # fmt: skip

    def circumstance(self, number: int) -> Circumstance:
        place = pick(self.chooser, ["", "", "place"])
        of: Any = pick(self.chooser, ["every place", "withers", "loin", "chest", "back", ("withers", "girth_line")])
        lessens: Any = pick(self.chooser, ["soreness", "quiet"])
        page = _Page(sided=False, this_place=bool(place), recorded=True)
        for_each: Any = place
        return Circumstance(
            id=f"circumstance_{number}", says="-", when=self.condition(page, 1), lessens=lessens, of=of,
            by=pick(self.chooser, [0.5, 0.25, 1.0, 0.3]), because="-", basis="own setting", lesson="-", for_each=for_each,
        )  # fmt: skip

    def concern(self, number: int) -> Concern:
        for_each: Any = pick(self.chooser, ["", "", "place", "spinous_space", "under_the_girth"])
        sides: Any = "none" if for_each else pick(self.chooser, ["none", "each"])
        page = _Page(sided=sides == "each", crisp=True, recorded=True, rising=self.rising, this_place=bool(for_each))
        call: Any = pick(self.chooser, list(self.scales.calls))
        signs = tuple(
            Sign(sign=f"sign {n}", when=self.condition(page, 1), because="-", basis="own setting")
            for n in range(self.chooser.integer(1, 2))
        )
        return Concern(
            id=f"concern_{number}", says="-", kind="concern", call=call, stops=("riding",), status="sketch", signs=signs,
            while_you_wait=("-",), can_mislead="-", lesson="-", examples=(), sides=sides, for_each=for_each,
        )  # fmt: skip

    def action(self, number: int, names: Mapping[str, str]) -> Action:
        sides: Any = pick(self.chooser, ["each", "none"])
        page = _Page(sided=sides == "each", conclusions=names)
        kind: Any = pick(self.chooser, list(self.scales.action_order))
        return Action(
            id=f"action_{number}", says="-", kind=kind, status="sketch", because="-", basis="own setting", lesson="-",
            can_mislead="-", examples=(), sides=sides,
            wanted_by=tuple(self.condition(page, 1) for _ in range(self.chooser.integer(1, 2))),
            only_after=tuple(
                Need(need=self.condition(page, 1), otherwise="-") for _ in range(self.chooser.integer(0, 2))
            ),
            forbidden_by=tuple(
                Forbid(when=self.condition(page, 1), because="-") for _ in range(self.chooser.integer(0, 2))
            ),
        )  # fmt: skip


def random_rulebook(
    chooser: Chooser, *, conclusions: int = 5, rules: int = 4, depth: int = 2, concerns: int = 2, actions: int = 2,
    rising: bool = False, vocabulary: Vocabulary = VOCABULARY, scales: Scales = SCALES,
) -> Rulebook:  # fmt: skip
    """A random rulebase; the numbers are the most of each. With `rising` no concern can be turned down by a re-reading."""
    maker = _Maker(chooser, vocabulary, scales, rising)
    pages: dict[str, Conclusion] = {}
    for number in range(chooser.integer(1, conclusions)):
        page = maker.conclusion(number, {key: p.sides for key, p in pages.items()}, rules, depth)
        pages[page.id] = page
    raised = [maker.concern(n) for n in range(chooser.integer(0, concerns))]
    names: dict[str, str] = {key: page.sides for key, page in pages.items()}
    names |= {c.id: c.sides for c in raised if not c.for_each}
    plan = [maker.action(n, dict(names)) for n in range(chooser.integer(0, actions))]
    lessened = [maker.circumstance(n) for n in range(chooser.integer(0, 3))]
    return assembled(
        vocabulary, scales, pages, {c.id: c for c in raised}, {a.id: a for a in plan}, {c.id: c for c in lessened}
    )


def random_evidence(chooser: Chooser, vocabulary: Vocabulary, scales: Scales, *, sided: bool) -> Evidence:
    """One rule that reads recorded findings only."""
    return _Maker(chooser, vocabulary, scales, rising=False).evidence(0, _Page(sided=sided), 2)


def assembled(
    vocabulary: Vocabulary, scales: Scales, conclusions: Mapping[str, Conclusion], concerns: Mapping[str, Concern],
    actions: Mapping[str, Action], circumstances: Mapping[str, Circumstance], sources: Mapping[str, Source] | None = None,
) -> Rulebook:  # fmt: skip
    """A rulebook of these pages, every condition parsed. Raises AssertionError where a reference does not resolve."""
    book = Rulebook(
        vocabulary=vocabulary, scales=scales, conclusions=conclusions, concerns=concerns, actions=actions,
        circumstances=circumstances, sources=sources or {}, stamp="made up", folders=(),
    )  # fmt: skip
    problems: list[Any] = []
    parsed = resolve(book, problems)
    assert not problems, "\n".join(map(str, problems))
    return dataclasses.replace(book, parsed=parsed)
