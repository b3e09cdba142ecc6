"""A practice's own errors of reading as a file of its rules: one examiner written in, the others kept.

In: an own error of reading, and the file that is there. Out: the text of the file, and lines about it.
Not here: estimating (teaching.repeatability), writing the file, reading rules.
"""

from __future__ import annotations

import json
from collections.abc import Iterator

from reasoner.problems import BadInput, Problem, register
from reasoner.rendering.agreement_words import estimate
from reasoner.rendering.phrases import counted
from reasoner.rendering.text_page import Line, heading
from reasoner.rulebook import strict_yaml
from reasoner.rulebook.measures.agreement import AgreementTable
from reasoner.rulebook.scales import ReadingError
from reasoner.rulebook.vocabulary import canonical
from reasoner.teaching.repeatability import Wavering

register(
    {
        "TE08": "too little for an error of reading of one's own",
        "TE09": "a file of errors of reading that cannot be added to",
    }
)

MARK = "# Own errors of reading, written by `reasoner agree --into`."
BASIS = "own setting"


def error_of(told: Wavering, usual: ReadingError | None, table: AgreementTable, shown: str) -> ReadingError:
    """The error to write down, to two decimals; `shared` stays the usual one where there is too little for it.

    Raises BadInput (TE08).
    """
    enough = table.enough
    if told.noise is None or (told.shared is None and usual is None):
        said = (
            f"too little for an error of reading of {told.examiner}: {counted(told.readings, 'place')} graded twice away "
            f"from the ends of the scale, and {enough.own_noise.readings} are asked for."
        )
        raise BadInput(
            [Problem(shown, 0, "TE08", said, "Grade more horses twice on one day, and give all the files together.")]
        )
    shared = told.shared.value if told.shared is not None else usual.shared if usual is not None else 0.0
    return ReadingError(shared=round(shared, 2), noise=round(told.noise.value, 2), basis=BASIS)


def layer_text(told: Wavering, error: ReadingError, before: bytes | None, file: str) -> str:
    """The whole file: the examiners of the file that is there (None: there is none), this one written in or anew.

    Raises BadInput (TE09) where the file that is there is not of this kind.
    """
    examiners = {} if before is None else dict(_kept(before, file))
    mine = next((name for name in examiners if canonical(name) == canonical(told.examiner)), told.examiner)
    examiners[mine] = (error, _remark(told))
    lines = [
        MARK,
        "# Lay its folder over the shipped rules: --rules shipped --rules FOLDER. It replaces any other table `examiners`.",
        "# Standard deviations in points of the soreness scale, from horses graded twice by the same hand on one day.",
        "examiners:",
    ]
    for name, (kept, remark) in sorted(examiners.items()):
        lines += [f"  # {line}" for line in remark]
        lines.append(f"  {_quoted(name)}: {{shared: {kept.shared:g}, noise: {kept.noise:g}, basis: {kept.basis}}}")
    return "\n".join(lines) + "\n"


def own_error_lines(told: Wavering, error: ReadingError | None, table: AgreementTable) -> Iterator[Line]:
    """What the hand's own error comes to, and what is missing for it."""
    enough = table.enough
    yield from heading("this hand's own error")
    yield Line(
        f"{counted(told.readings, 'place')} graded twice away from the ends of the scale, in {counted(told.pairs, 'pair')} of "
        f"visits; {told.left_out} at an end either time are left out, because the scale hides there how far a hand goes."
    )
    if told.noise is None:
        yield Line(
            f"Too few for an error of one's own: {enough.own_noise.readings} are asked for (an own setting).", "open"
        )
        return
    yield Line(f"of each place by itself: {estimate(told.noise)} points", "strong", 2)
    if told.shared is None:
        usual = "none is known" if error is None else f"{error.shared:g} of the rules stays"
        yield Line(f"shared by a visit: too few pairs ({enough.own_shared.pairs} are asked for); {usual}", "open", 2)
    else:
        yield Line(f"shared by a visit: {estimate(told.shared)} points", "strong", 2)
    yield Line(
        f"The second time lies {told.shift:+.2f} points from the first in the mean; a pressed horse may have changed.",
        "faint",
        2,
    )


def _remark(told: Wavering) -> list[str]:
    noise = "" if told.noise is None else f"noise {estimate(told.noise)}"
    shared = "shared: the usual one, too few pairs" if told.shared is None else f"shared {estimate(told.shared)}"
    return [
        f"{counted(told.readings, 'place')} graded twice in {counted(told.pairs, 'pair')} of visits; {noise}; {shared}"
    ]


def _kept(before: bytes, file: str) -> Iterator[tuple[str, tuple[ReadingError, list[str]]]]:
    """The examiners of an earlier file of this kind, with the remarks above them."""
    if not before.decode("utf-8", "replace").startswith(MARK):
        hint = "Name a new file; or write the examiner into that one by hand, as rules/scales/reading_error.yaml shows."
        raise BadInput(
            [Problem(file, 0, "TE09", "this file was not written by this command and is left as it is.", hint)]
        )
    table = strict_yaml.parse(before, file).get("examiners")
    remarks = _remarks(before.decode("utf-8"))
    for name, _, node in table.items() if table is not None else ():
        said = {key: value.text or "" for key, _, value in node.items()}
        try:
            shared, noise, basis = float(said["shared"]), float(said["noise"]), said["basis"] or BASIS
        except (KeyError, ValueError):
            what = f'the error kept for "{name}" cannot be read; {{shared: 0.3, noise: 0.5, basis: own setting}} was expected.'
            raise BadInput([Problem(file, node.line, "TE09", what)]) from None
        yield name, (ReadingError(shared=shared, noise=noise, basis=basis), remarks.get(node.line, []))


def _remarks(text: str) -> dict[int, list[str]]:
    """Line of an examiner to the remarks right above it."""
    found: dict[int, list[str]] = {}
    some: list[str] = []
    for number, line in enumerate(text.splitlines(), 1):
        if line.startswith("  # "):
            some.append(line.removeprefix("  # "))
        else:
            if some:
                found[number] = some
            some = []
    return found


def _quoted(name: str) -> str:
    """A name as YAML reads it again, whatever stands in it."""
    return json.dumps(name, ensure_ascii=False)
