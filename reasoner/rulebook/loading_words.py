"""The vocabulary and the scales from their files.

In: parsed YAML files of rules/vocabulary/ and rules/scales/, layer upon layer. Out: `Vocabulary` and `Scales`.
Not here: pages, and anything the files say.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any

from reasoner.problems import Problem, near_hint, register
from reasoner.quantities import is_unit, units
from reasoner.rulebook.checking import checking_from
from reasoner.rulebook.filling import fill, plain
from reasoner.rulebook.practice import impossible, track_from, yard_from
from reasoner.rulebook.readers import readers_from
from reasoner.rulebook.reminders import no_hour, reminders_from
from reasoner.rulebook.scales import STOPS_READ, Agreement, Caution, Ramp, ReadingError, Scales
from reasoner.rulebook.strict_yaml import Node
from reasoner.rulebook.vocabulary import Observation, Place, Refused, Section, Vocabulary, Word, canonical, clashes

register(
    {
        "RB32": "a setting of the scales, or a discount, is out of its range",
        "RB33": "a stop that the plan reads is not on the list of stops",
        "RB70": "a unit that is not read here",
    }
)

MOST_SORENESS = 10.0
MOST_STRENGTH = 0.95  # of the certainty-factor model: nothing is ever certain, and -ln(1 - strength) stays finite
Files = Iterable[tuple[str, Node]]
QUALITIES = ("responses", "felt", "depth", "touch", "not_examined_reasons")
_TABLES = ("places", "observations", "sections", "map", "round", "sides", "limbs", "refused", *QUALITIES)


def words_from(files: Files, problems: list[Problem]) -> Vocabulary:
    """The vocabulary of all layers; a later file's entry of the same key replaces an earlier one."""
    places: dict[str, Place] = {}
    observations: dict[str, Observation] = {}
    sections: dict[str, Section] = {}
    sides: dict[str, tuple[str, ...]] = {}
    limbs: dict[str, tuple[str, ...]] = {}
    qualities: dict[str, tuple[Word, ...]] = {}
    refused: tuple[Refused, ...] = ()
    walk_round: tuple[str, ...] = ()
    round_at = "", 0
    facts: dict[str, object] = {}
    marks: dict[str, tuple[str, tuple[float, float]]] = {}
    for file, root in files:
        for table, key_node, body in root.items():
            if table == "places" and root.get("map") is not None:
                marks |= {canonical(k): _mark(node) for k, _, node in body.items()}
            elif table == "places":
                for key, _, node in body.items():
                    _put(places, canonical(key), fill(Place, node, file, problems, key=canonical(key)))
            elif table == "observations":
                for key, _, node in body.items():
                    _put(observations, canonical(key), _observation(canonical(key), node, file, problems))
            elif table == "sections":
                for key, _, node in body.items():
                    entry = plain(node, lines=False)
                    known = {k: entry[k] for k in ("name", "walk", "says", "also") if k in entry}
                    known |= {"walk": int(known.get("walk", 0)), "also": tuple(known.get("also", ()))}
                    sections[_path(key)] = Section(key=_path(key), **known)
            elif table in ("sides", "limbs"):
                target = sides if table == "sides" else limbs
                target |= {canonical(k): tuple(plain(v, lines=False)) for k, _, v in body.items()}
            elif table in QUALITIES:
                qualities[table] = _words(body, qualities.get(table, ()))
            elif table == "refused":
                refused += tuple(
                    Refused(words=tuple(entry["words"]), because=entry["because"]) for entry in plain(body, lines=False)
                )
            elif table == "round":
                walk_round = tuple(canonical(k) for k in plain(body, lines=False)["places"])
                round_at = file, key_node.line
            elif table not in _TABLES or table == "map":
                facts[table] = plain(body, lines=False)
    for key in walk_round:
        if key not in places:
            problems.append(Problem(*round_at, "RB11", f'"{key}" in the round is no place.'))
    for key, (view, at) in marks.items():
        if key in places:
            fields = {f: getattr(places[key], f) for f in Place.__dataclass_fields__}
            places[key] = Place(**fields | {"view": view, "at": at})
    vocabulary = Vocabulary(
        places=dict(sorted(places.items())), observations=dict(sorted(observations.items())), sections=sections,
        sides=sides, limbs=limbs, qualities=qualities, refused=refused, round=walk_round, facts=facts,
    )  # fmt: skip
    _find_clashes(vocabulary, problems)
    return vocabulary


def _mark(node: Node) -> tuple[str, tuple[float, float]]:
    entry = plain(node, lines=False)
    x, y = (float(v) for v in entry["at"])
    return entry["view"], (x, y)


def _put(table: dict[str, Any], key: str, entry: Any) -> None:
    if entry is not None:
        table[key] = entry


def _path(written: str) -> str:
    return "/".join(canonical(part) for part in written.split("/"))


def _observation(key: str, node: Node, file: str, problems: list[Problem]) -> Observation | None:
    if not isinstance(node.value, dict):
        problems.append(Problem(file, node.line, "RB01", f"`{key}` needs at least name, section and kind."))
        return None
    readings = node.get("readings")
    bare = Node({k: v for k, v in node.value.items() if k != "readings"}, node.line)
    section = node.get("section")
    more: dict[str, Any] = {"key": key, "readings": _words(readings, ()) if readings else ()}
    if section is not None and section.text:
        more["section"] = _path(section.text)
    unit = node.get("unit")
    if unit is not None and unit.text and not is_unit(unit.text):
        problems.append(Problem(file, unit.line, "RB70", f'`{key}`: the unit "{unit.text}" is not read here.',
                                near_hint(unit.text, units())))  # fmt: skip
    return fill(Observation, bare, file, problems, **more)


def _words(node: Node, earlier: tuple[Word, ...]) -> tuple[Word, ...]:
    out = {word.key: word for word in earlier}
    entries = plain(node, lines=False)
    if isinstance(entries, list):
        entries = {entry: {} for entry in entries}
    for key, entry in entries.items():
        entry = entry if isinstance(entry, dict) else {}
        out[canonical(key)] = Word(
            key=canonical(key), also=tuple(entry.get("also", ())), says=entry.get("says", ""),
            notable=entry.get("notable", "no") in ("yes", "true"),
        )  # fmt: skip
    return tuple(out.values())


def _find_clashes(vocabulary: Vocabulary, problems: list[Problem]) -> None:
    places = [(p.key, (p.key, p.name, p.latin, *p.also)) for p in vocabulary.places.values()]
    tables: list[tuple[str, list[tuple[str, tuple[str, ...]]]]] = [("place", places)]
    for observation in vocabulary.observations.values():
        words = [(w.key, (w.key, *w.also)) for w in observation.readings]
        tables.append((f"reading of {observation.name}", words))
    sections = {o.section for o in vocabulary.observations.values()}
    for section in sorted(sections):
        inside = [o for o in vocabulary.observations.values() if o.section == section]
        tables.append((f"name in {section}", [(o.key, (o.key, o.name, *o.also)) for o in inside]))
    files = {p.key: (p.file, p.line) for p in vocabulary.places.values()}
    files |= {o.key: (o.file, o.line) for o in vocabulary.observations.values()}
    for what, entries in tables:
        for spelling, one, two in clashes(entries):
            file, line = files.get(two, ("rules/vocabulary", 0))
            problems.append(
                Problem(file, line, "RB04", f'"{spelling}" is a {what} twice over: {one} and {two}.', "Keep one.")
            )


def scales_from(files: Files, problems: list[Problem]) -> Scales:
    """The scales of all layers; a later layer's table of the same name replaces an earlier one."""
    tables: dict[str, Any] = {}
    where = "rules/scales"
    places: dict[str, tuple[str, int]] = {}
    for file, root in files:
        where = file
        for key, _, node in root.items():
            tables[key] = plain(node, lines=False)
            places[key] = file, node.line
    try:
        ramps = {
            canonical(k): Ramp(key=canonical(k), of=r["of"], none_at=float(r["none_at"]), full_at=float(r["full_at"]),
                               says=r.get("says", ""))
            for k, r in tables["ramps"].items()
        }  # fmt: skip
        bands = {k: float(v) for k, v in tables["bands"].items()}
        scales = Scales(
            strengths={canonical(k): float(v) for k, v in tables["strengths"].items()},
            bands=dict(sorted(bands.items(), key=lambda band: band[1])),
            fires_above=float(tables["fires_above"]),
            ramps=ramps,
            notable_degree=float(tables["notable"]["degree"]),
            notable_ramp=canonical(tables["notable"]["ramp"]),
            step=float(tables["step"]),
            covering_k=float(tables["k"]),
            calls=dict(tables["calls"]),
            stops=tuple(
                Word(key=canonical(k), also=tuple(v.get("also", ())), says=k) for k, v in tables["stops"].items()
            ),
            action_order=tuple(canonical(k) for k in tables["action_order"]),
            cautions=tuple(
                Caution(key=canonical(k), says=c["says"], when=c["when"]) for k, c in tables["cautions"].items()
            ),
            readers=readers_from(tables["report_head"], tables["readers"]),
            waiting_subjects={k: tuple(v) for k, v in tables["waiting_subjects"].items()},
            most_a_day={canonical(k): int(v) for k, v in tables.get("most_a_day", {}).items()},
            agreement_needed_for=tuple(canonical(k) for k in tables.get("agreement_needed_for", ())),
            agreement=Agreement(**tables["agreement"]) if "agreement" in tables else None,
            checking=checking_from(tables["checking"]) if "checking" in tables else None,
            reading_error=_error(tables["reading_error"]) if "reading_error" in tables else None,
            examiners={canonical(k): _error(v) for k, v in tables.get("examiners", {}).items()},
            track=track_from(tables["track"]) if "track" in tables else None,
            yard=yard_from(tables["yard"]) if "yard" in tables else None,
            reminders=reminders_from(tables["reminders"]) if "reminders" in tables else None,
            stopped_by={
                canonical(k): tuple(canonical(s) for s in v) for k, v in tables["stopped_by_default"].items()
            },
        )  # fmt: skip
    except (KeyError, ValueError, TypeError, AttributeError) as fault:
        hint = "A layer of your own lies on the shipped rules: --rules shipped --rules DIR."
        problems.append(Problem(where, 0, "RB01", f"the scales lack, or cannot read, {fault}.", hint))
        raise
    problems += [Problem(*places[table], "RB32", wrong) for table, wrong in _impossible(scales)]
    problems += [Problem(*places[table], "RB32", wrong) for table, wrong in impossible(scales.track, scales.yard)]
    problems += [Problem(*places[table], "RB32", wrong) for table, wrong in no_hour(scales.reminders)]
    problems += [Problem(*places[table], "RB33", wrong, hint) for table, wrong, hint in _missing_stops(scales)]
    return scales


def _error(said: Any) -> ReadingError:
    return ReadingError(shared=float(said["shared"]), noise=float(said["noise"]), basis=said["basis"])


def _missing_stops(scales: Scales) -> Iterator[tuple[str, str, str]]:
    """(table, sentence, hint) for each stop that something reads and the list does not hold.

    A key, not a synonym: the plan compares keys, and "the saddle" as a key would silently stop nothing.
    """
    keys = [stop.key for stop in scales.stops]
    spellings = {canonical(word) for stop in scales.stops for word in (stop.key, *stop.also)}
    for key in STOPS_READ:
        if key not in keys:
            said = f'the list of stops lacks "{key.replace("_", " ")}", which the plan reads.'
            yield "stops", said, "Other spellings of it belong under `also`."
    for kind, stops in scales.stopped_by.items():
        for stop in stops:
            if stop not in spellings:
                said = f'"{stop.replace("_", " ")}", which stops {kind}, is not on the list of stops.'
                yield "stopped_by_default", said, near_hint(stop, spellings)


def _impossible(scales: Scales) -> Iterator[tuple[str, str]]:
    """(table, sentence) for each setting with which the engine would not mean what it says.

    Every comparison here is false for "nan" as well.
    """
    for word, strength in scales.strengths.items():
        if not 0.0 < strength <= MOST_STRENGTH:
            yield (
                "strengths",
                f'the strength "{word}" is {strength:g}; a strength lies above 0 and is at most {MOST_STRENGTH:g}.',
            )
    for word, band in scales.bands.items():
        if not 0.0 < band < 1.0:
            yield "bands", f'the band "{word}" begins at {band:g}; a band begins above 0 and below 1.'
    if not 0.0 < scales.fires_above < 1.0:
        yield (
            "fires_above",
            f"`fires_above` is {scales.fires_above:g}; it lies between 0 and 1, or silence would speak.",
        )
    for ramp in scales.ramps.values():
        if not 0.0 <= ramp.none_at < ramp.full_at <= MOST_SORENESS:
            yield (
                "ramps",
                f'the ramp "{ramp.key}" runs from {ramp.none_at:g} to {ramp.full_at:g}; it rises, within 0 to 10.',
            )
    if not 0.0 < scales.notable_degree <= 1.0:
        yield "notable", f"a finding is notable from {scales.notable_degree:g}; that is a degree above 0, at most 1."
    if scales.notable_ramp not in scales.ramps:
        yield "notable", f'notable findings are read from the ramp "{scales.notable_ramp}", which is not there.'
    for kind, most in scales.most_a_day.items():
        if most < 1:
            yield "most_a_day", f"`most_a_day` of {kind} is {most}; a day holds at least one, or leave the kind out."
    if scales.agreement_needed_for and scales.agreement is None:
        yield "agreement_needed_for", "`agreement_needed_for` names kinds, and no `agreement` says what they wait for."
    for kind in {*scales.most_a_day, *scales.agreement_needed_for} - {*scales.action_order}:
        yield "action_order", f'"{kind}" is no kind of action of `action_order`.'
    usual = [("reading_error", "the usual hand", scales.reading_error)] if scales.reading_error is not None else []
    for table, whose, error in (*usual, *(("examiners", name, error) for name, error in scales.examiners.items())):
        for name, size in (("shared", error.shared), ("noise", error.noise)):
            if not 0.0 <= size <= MOST_SORENESS:
                said = f"`{name}` of {whose.replace('_', ' ')} is {size:g}; an error of reading lies within 0 to 10 points."
                yield table, said
    if not 0.0 < scales.covering_k < float("inf"):
        yield "k", f"`k` is {scales.covering_k:g}; one more starting point has a price above 0."
