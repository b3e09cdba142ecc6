"""What was understood put into a visit file: each line under its heading, everything else byte for byte as it was.

In: the bytes of a visit file and what was understood, with no question left open. Out: the new bytes.
Not here: writing to disk; how YAML text is cut (yaml_text.py).

INVARIANT: the new text is read again by the reader of visit files before it is handed out: it holds every entry it held, and each
new one.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace

from reasoner.lines.model import Finding, PassedOver, Understood
from reasoner.lines.outcome import NO_REASON
from reasoner.lines.replaced import touch_words
from reasoner.lines.writing import flow, plain_reading
from reasoner.lines.yaml_text import Added, with_added
from reasoner.problems import BadInput, Problem
from reasoner.rulebook.vocabulary import Vocabulary
from reasoner.visit.model import Side, Touch, Visit
from reasoner.visit.reader import Reader, plain
from reasoner.visit.reading import visit_from_bytes
from reasoner.visit.touches import PALPATION, SPACES, is_space

_SIDES: tuple[Side, Side] = ("left", "right")


def written_into(data: bytes, file: str, told: Understood, vocabulary: Vocabulary) -> bytes:
    """The file with what was understood in it. Raises BadInput: what is wrong with the file itself, LN03 where it already says
    something else of a spot, LN04 where it cannot take the entries."""
    before = visit_from_bytes(data, file, vocabulary)
    clashes = [*_clashes(before, told, vocabulary, file)]
    if clashes:
        raise BadInput(clashes)
    added = [*_added(before, told, vocabulary)]
    notes, comments = _notes(told, vocabulary)
    new = with_added(data, file, added, notes, comments, vocabulary)
    try:
        after = visit_from_bytes(new, file, vocabulary)
    except BadInput as bad:
        raise BadInput([_cannot(file, bad.problems[0].sentence)]) from None
    if not _all_there(before, after, told, vocabulary):
        raise BadInput([_cannot(file, "what was written would not be read as it was said.")])
    return new


def _cannot(file: str, why: str) -> Problem:
    return Problem(file, 0, "LN04", f"the file cannot take these entries: {why}", "Write them into the file by hand.")


def _touches(visit: Visit) -> Mapping[tuple[str, Side | None], Touch]:
    return {(t.place, t.side): t for t in visit.touches if t.when == "first" and not t.quiet_list}


def _clashes(before: Visit, told: Understood, vocabulary: Vocabulary, file: str) -> Iterator[Problem]:
    touches = _touches(before)
    noted = {(n.key, n.side): n for n in before.noted if n.about is None}
    for finding in told.findings:
        known = touches.get((finding.key, finding.side)) if finding.kind == "place" else None
        entry = noted.get((finding.key, finding.side)) if finding.kind == "entry" else None
        name = _name(finding.key, finding.side, vocabulary)
        if known is not None and not _same(known, finding):
            said = f'{name} is {touch_words(known)} in the file already, and "{finding.words}" says something else.'
            yield Problem(file, known.line, "LN03", said, "Change it there, or leave it out of the line.")
        elif entry is not None and entry.written.replace("_", " ") != finding.reading.value:
            said = f'{name} is "{entry.written}" in the file already, and "{finding.words}" was said.'
            yield Problem(file, entry.line, "LN03", said, "Change it there, or leave it out of the line.")
    for one in told.not_examined:
        if one.kind == "place":
            for side in _sides(one, vocabulary, one.key):
                if (known := touches.get((one.key, side))) is not None and known.not_examined is None:
                    yield Problem(file, known.line, "LN03", f"{_name(one.key, side, vocabulary)} has a reading in the file, and "
                                  f'"{one.words}" says it was not examined.', "Change it there.")  # fmt: skip


def _same(touch: Touch, finding: Finding) -> bool:
    reading = finding.reading
    return (
        touch.soreness == reading.soreness and {*(touch.responses or ())} == {*reading.responses}
        and {*(touch.felt or ())} == {*reading.felt} and (touch.depth or "") == reading.depth
        and (touch.touch or "") == reading.touch and touch.not_examined is None
    )  # fmt: skip


def _added(before: Visit, told: Understood, vocabulary: Vocabulary) -> Iterator[Added]:
    touches = _touches(before)
    noted = {(n.key, n.side) for n in before.noted if n.about is None}
    here: set[tuple[str, Side | None]] = set()
    for finding in told.findings:
        if (finding.key, finding.side) in (touches if finding.kind == "place" else noted):
            continue  # it says the same already
        here.add((finding.key, finding.side))
        heading = _heading(finding, vocabulary)
        yield Added(heading, _name(finding.key, finding.side, vocabulary), flow(plain_reading(finding)))
    for one in told.not_examined:
        for key in (
            vocabulary.regions.get(one.key, ()) if one.kind == "region" else (one.key,) if one.kind == "place" else ()
        ):
            for side in _sides(one, vocabulary, key):
                if (key, side) not in touches and (key, side) not in here:
                    here.add((key, side))
                    reason = plain(one.reason or NO_REASON)
                    yield Added(_hand(key, vocabulary), _name(key, side, vocabulary), f"not examined - {reason}")


def _sides(one: PassedOver, vocabulary: Vocabulary, key: str) -> tuple[Side | None, ...]:
    if vocabulary.places[key].sides == "midline":
        return (None,)
    return (one.side,) if one.side == "left" or one.side == "right" else _SIDES


def _name(key: str, side: Side | None, vocabulary: Vocabulary) -> str:
    place = vocabulary.places.get(key)
    name = place.name if place else vocabulary.observations[key].name
    return f"{side} {name}" if side else name


def _hand(key: str, vocabulary: Vocabulary) -> tuple[str, ...]:
    return (SPACES,) if is_space(vocabulary.places[key]) else (PALPATION,)


def _heading(finding: Finding, vocabulary: Vocabulary) -> tuple[str, ...]:
    if finding.kind == "place":
        return _hand(finding.key, vocabulary)
    section = vocabulary.observations[finding.key].section
    return () if section == "top" else tuple(section.split("/"))


def _notes(told: Understood, vocabulary: Vocabulary) -> tuple[list[str], list[str]]:
    """Pieces for the notes; and those that no free text of a visit may hold, which stand as comments."""
    pieces = [*told.kept]
    pieces += [f"not looked at: {_name(one.key, None, vocabulary)}" for one in told.not_examined if one.kind == "entry"]
    reader = Reader("", vocabulary)
    refused = [piece for piece in pieces if reader.refusal(piece, free=True)]
    return [piece for piece in pieces if piece not in refused], refused


def _all_there(before: Visit, after: Visit, told: Understood, vocabulary: Vocabulary) -> bool:
    """Whether nothing went missing and everything said is there."""
    was, now = _touches(before), _touches(after)
    if any(replace(now[key], line=0) != replace(touch, line=0) for key, touch in was.items() if key in now):
        return False
    if {*was} - {*now} or len(after.worked) != len(before.worked) or len(after.vets_words) != len(before.vets_words):
        return False
    noted = {(n.key, n.side, n.about): n.value for n in after.noted}
    if any(noted.get((n.key, n.side, n.about)) != n.value for n in before.noted if n.key != "notes"):
        return False
    for finding in told.findings:
        if finding.kind == "entry" and (finding.key, finding.side, None) not in noted:
            return False
        if finding.kind == "place" and not (
            (touch := now.get((finding.key, finding.side))) is not None and (_same(touch, finding))
        ):
            return False
    return True
