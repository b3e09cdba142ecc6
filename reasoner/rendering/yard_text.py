"""The page of `reasoner yard`: what several horses show together, with its trace and how likely it is by chance.

In: a `YardView`, the rules' words. Out: lines for the terminal.
Not here: counting. A run is evidence about what horses share; the page says what else they share, and is about nobody's doing.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from reasoner.records.sided import CONCLUDED, FELT
from reasoner.records.yard import EXAMINER, KINDS, RIDER, SADDLE, YARD, Horse, Run, YardView
from reasoner.rendering import phrases
from reasoner.rendering.phrases import counted, listed
from reasoner.rendering.text_page import GAP, Line, heading
from reasoner.rulebook.practice import YardSettings
from reasoner.rulebook.rulebook import Rulebook
from reasoner.store.place import Place

UNDER = {RIDER: "ridden by {}", SADDLE: "in the saddle {}", EXAMINER: "examined by {}", YARD: "at {}"}
SEVERAL = {RIDER: "riders", SADDLE: "saddles", EXAMINER: "examiners", YARD: "yards"}
TRACED = 6
"""Of how many horses of a run the short page tells where it stands."""
NOBODYS_DOING = (
    "What several horses show together belongs to something they share, or to chance. It is a question to look into: the "
    "saddle, the horses, the ground and the hand that wrote it down as much as the seat. It says nothing of anybody's doing."
)
HANDS = (
    "What one examiner finds on many horses may be in the hand that finds it: let somebody else feel two of them without "
    "being told."
)
OWN_CALLS = "A horse's own reasons to call the veterinarian stand on its own visit; nothing here lowers one."


def yard_lines(
    place: Place, view: YardView, book: Rulebook, settings: YardSettings, *, name: str = "", since: str = "",
    full: bool = False,
) -> Iterator[Line]:  # fmt: skip
    """The page; `name` and `since` (a day in words) are what it was narrowed to."""
    yield Line(f"What the horses show together{f': {name}' if name else ''}", "title", tail=place.shown)
    since = f" since {since}" if since else ""
    yield Line(
        f"{counted(view.visits, 'visit')} to {counted(view.horses, 'horse')}{since}; each horse by its last visit in a group."
    )
    yield Line(looked_at(view, settings))
    if not view.runs:
        yield GAP
        yield Line("Nothing that several horses show alike.")
    shown = view.runs if full else list(_once(view.runs))[: settings.told]
    for run in shown:
        yield GAP
        yield from _run(run, view, book, settings, full)
    if len(view.runs) > len(shown):
        yield GAP
        yield Line(
            f"(and {len(view.runs) - len(shown)} more, likelier by chance or of the same horses under another name: --full)",
            "faint",
        )
    left = tuple(left_out(view, settings))
    if left:
        yield from heading("not counted")
    for line in left:
        yield Line(line, mark="-", hang=2)
    yield from heading("what this rests on")
    for line in rests_on(settings):
        yield Line(line, "faint", mark="-", hang=2)


def _once(runs: Iterable[Run]) -> Iterator[Run]:
    """Each run of the same horses once: what else these have in common is told with it."""
    known = set()
    for run in runs:
        same = (run.question, run.side, tuple(horse.visit.version for horse in run.horses))
        if same not in known:
            known.add(same)
            yield run


def looked_at(view: YardView, settings: YardSettings) -> str:
    """How many groups and questions were looked at, in a sentence."""
    groups = listed(counted(n, kind) for kind, n in view.groups.items() if n) or "no group"
    return (
        f"Laid side by side: {groups} with {settings.horses} horses or more, {counted(view.looked_at, 'question')} in all. "
        "Among so many some run alike by chance; the rarer ones stand first."
    )


def left_out(view: YardView, settings: YardSettings) -> Iterator[str]:
    """What could not be laid side by side, a sentence each."""
    for kind in KINDS:
        parts = []
        if view.unnamed[kind]:
            parts.append(f"{counted(view.unnamed[kind], 'visit')} with no {kind} written down")
        if view.erased[kind]:
            parts.append(f"{counted(view.erased[kind], 'visit')} whose {kind}'s name was taken out")
        if view.too_few[kind]:
            parts.append(f"{counted(view.too_few[kind], kind)} with fewer than {settings.horses} horses")
        if parts:
            yield f"{SEVERAL[kind]}: {listed(parts)}"


def rests_on(settings: YardSettings) -> tuple[str, ...]:
    """What the figures mean and what they do not."""
    return (
        NOBODYS_DOING,
        HANDS,
        OWN_CALLS,
        f"A run is told from {settings.horses} horses on, where at least {settings.share:.0%} of those looked at agree; a "
        f"side is held against the other horses' where {settings.others} of them lean to one, else against one half "
        f"({settings.basis}).",
        "Chance: the exact binomial for sides, Fisher's exact test for conclusions, Benjamini and Hochberg (1995) for all "
        "together. They reckon as if the horses had nothing else in common.",
    )


# -- one run -----------------------------------------------------------------------------------------------------------


def _run(run: Run, view: YardView, book: Rulebook, settings: YardSettings, full: bool) -> Iterator[Line]:
    yield Line(run_words(run, book), "strong")
    yield Line(chance_words(run, view, settings), indent=2)
    if run.shared:
        also = listed(UNDER[kind].format(name) for kind, name in run.shared)
        yield Line(f"All of them were also {also}: the run may belong to that as well.", "against", indent=2)
    shown = run.horses if full else run.horses[:TRACED]
    for horse in shown:
        yield Line(trace(horse), "faint", indent=2, mark="-", hang=2)
    if len(run.horses) > len(shown):
        yield Line(f"(and {len(run.horses) - len(shown)} more: --full)", "faint", indent=2)


def run_words(run: Run, book: Rulebook) -> str:
    """A run in a sentence."""
    group = UNDER[run.kind].format(run.name)
    more = f" (of {run.in_group} in all)" if run.in_group > run.of else ""
    if not run.side:
        return f"{run.count} of {run.of} horses {group}: {_named(run.question, book)}."
    rest = [f"{run.to_the_other} to the other side" if run.to_the_other else "",
            f"{run.neither} to neither" if run.neither else ""]  # fmt: skip
    others = f"; {listed(filter(None, rest))}" if any(rest) else ""
    return f"{run.count} of {run.of} horses {group}{more}, {_named(run.question, book)}: {run.side}{others}."


def _named(question: tuple[str, str], book: Rulebook) -> str:
    kind, key = question
    if kind == FELT:
        place = book.vocabulary.places.get(key)
        return f'sorer on one side, "{place.name if place else phrases.plain(key)}"'
    if kind == CONCLUDED:
        return f'concluded "{phrases.plain(key)}"'
    observation = book.vocabulary.observations.get(key)
    return observation.name if observation is not None else phrases.plain(key)


def chance_words(run: Run, view: YardView, settings: YardSettings) -> str:
    """How likely a run is by chance, alone and among all that was looked at."""
    if run.usual_of:
        held = f"elsewhere {run.usual:.0%} of {run.usual_of} horses"
    else:
        held = "too few other horses to say what is usual, so one half was taken"
    alone = f"By chance alone so uneven a split comes {often(run.chance)} ({held})."
    if run.after_all <= settings.rare:
        return f"{alone} After all {view.looked_at} questions that is still rare: worth looking into first."
    expected = run.chance * view.looked_at
    among = (
        f"about {expected:.0f} such" if expected >= 1.5 else "one such" if expected >= 0.5 else "fewer than one such"
    )
    return f"{alone} Among {counted(view.looked_at, 'question')} {among} would be no surprise: it may well be chance."


def often(chance: float) -> str:
    """A probability as a person says it.

    >>> often(0.25), often(0.9), often(0.0001), often(0.004)
    ('about once in 4 times', 'most times', 'less than once in 1,000 times', 'about once in 250 times')
    """
    if chance > 0.6:
        return "most times"
    return "less than once in 1,000 times" if chance < 0.001 else f"about once in {1 / chance:,.0f} times"


def trace(horse: Horse) -> str:
    """Where it stands: horse, day, line and what was written."""
    visit, seen = horse.visit, horse.seen
    line = f", line {seen.line}" if seen.line else ""
    yard = f" ({visit.yard})" if visit.yard else ""
    return f"{visit.name}{yard}, {phrases.day(visit.day)}{line}: {seen.words}"


def left_out_json(view: YardView) -> dict[str, Mapping[str, int]]:
    """The same as `left_out` for programs: counts by kind."""
    return {"unnamed": view.unnamed, "erased": view.erased, "too_few_horses": view.too_few}
