"""Small multiples of a horse's progress: for each place its soreness over the visits, LEFT and RIGHT beside each other.

In: a `Progress` and the words. Out: one panel a place, or one whole SVG of them all.
Not here: comparing, the page around them. Left is the horse's own left and stands at the left.

Round every reading stands a band of half the difference that counts as a change: two readings by the same hand differ by more
than that hand's own error where their bands do not meet.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from html import escape
from itertools import pairwise
from textwrap import wrap

from reasoner.records.course import Seen, error_of_difference
from reasoner.records.expectations import answer_key
from reasoner.records.progress import Progress, Site, sides_of
from reasoner.rendering import phrases
from reasoner.rendering.progress_words import CHANGES, place_words, seen_words
from reasoner.rendering.time_axis import across, ticks
from reasoner.rulebook.vocabulary import Vocabulary
from reasoner.visit.model import Side

WIDTH, HEIGHT = 390, 170
TOP, LOW = 58.0, 134.0  # where 10 and 0 stand
#: Beside the end of each stands the last reading of many.
PLOTS: dict[Side | None, tuple[float, float]] = {"left": (30.0, 178.0), "right": (222.0, 370.0), None: (30.0, 370.0)}
NAMES: dict[Side | None, str] = {"left": "LEFT", "right": "RIGHT", None: "MIDDLE LINE"}
CROWDED = 7  # from so many visits on only the sorest and the last carry their number
LEGEND = (
    "LEFT: round marks. RIGHT: square marks. Each is the",
    "soreness before work at one visit, from 0 to 10.",
    "Grey band: the hand's own error; where two bands do not",
    "meet, it is a change. Broken line: a gap between.",
    "Wedge under the line: after that visit a step meant for",
    "the place was carried out; a stroke: partly.",
    "! would not allow touch. w: examined, no number.",
    "Hollow triangle: after work, counts for that day only.",
)
#: How many letters of a sentence stand on one line.
LINE = 54
NOTHING = "Nothing answered to the hand at any visit."
STYLE = """
.pg{font-family:system-ui,"Liberation Sans",Arial,sans-serif;color:#16181c;background:#fff}
.pg text{fill:currentColor;font-size:12.5px}
.pg .pg-name{font-weight:700;font-size:14px}
.pg .pg-side{font-weight:700}
@media(prefers-color-scheme:dark){.pg{color:#eceff4;background:#14161a}}
"""


def panels(progress: Progress, words: Vocabulary) -> tuple[tuple[str, str], ...]:
    """(name of the place, its panel as a whole SVG) of every place that was ever sore, the sorest first; see `the_rest`."""
    return tuple(
        (name, _svg(HEIGHT, f"{progress.horse.name}: {name}", said, body))
        for name, said, body in _each(progress, words)
    )  # fmt: skip


def picture(progress: Progress, words: Vocabulary) -> str:
    """All panels, one under the other, as one SVG of 390 units; what was folded and what the marks mean stands at the end."""
    every = list(_each(progress, words))
    parts, y = [], 46.0
    title = f"{progress.horse.name}: soreness over {phrases.counted(len(progress.held), 'visit')}"
    days = [visit.day for visit in progress.comparing.visits]
    span = f"{phrases.day(days[0])} to {phrases.day(days[-1])}" if len(days) > 1 else phrases.day(days[0])
    parts.append(f'<text class="pg-name" x="8" y="20">{escape(title)}</text>')
    parts.append(f'<text x="8" y="38">{escape(span)}</text>')
    for _, _, body in every:
        parts.append(f'<g transform="translate(0 {y:g})">{body}</g>')
        y += HEIGHT
    rest = the_rest(progress, words)
    nothing = () if every or rest else (NOTHING,)
    for line in (*nothing, *(wrap(rest, LINE) if rest else ()), *LEGEND):
        y += 18
        parts.append(f'<text x="8" y="{y:g}">{escape(line)}</text>')
    said = " ".join([*(said for _, said, _ in every), *([rest] if rest else nothing)])
    return _svg(y + 14, title, said, "\n".join(parts), ' style="max-width:100%;height:auto"')


def _svg(height: float, title: str, said: str, body: str, look: str = "") -> str:
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" class="pg" viewBox="0 0 {WIDTH} {height:g}" width="{WIDTH}" '
        f'height="{height:g}" role="img"{look}>\n<title>{escape(title)}</title>\n'
        f"<desc>{escape(said)}</desc>\n<style>{STYLE}</style>\n{body}\n</svg>\n"
    )


def the_rest(progress: Progress, words: Vocabulary) -> str:
    """The places that answered and never by more than the hand's own error above quiet, with their highest readings, in a
    sentence; empty where there are none. Where nothing says how far the hand wavers, every place has its panel."""
    named = []
    for place, sides in _shown(progress, sore=False).items():
        highest = ", ".join(f"{side or 'middle'} {_highest(site):g}" for side, site in sides.items())
        named.append(f"{place_words(place, '', words)} ({highest})")
    if not named:
        return ""
    count = phrases.counted(len(named), "more place")
    return f"{count} never answered by more than the hand's own error; the highest readings: {'; '.join(named)}."


def _each(progress: Progress, words: Vocabulary) -> Iterator[tuple[str, str, str]]:
    """(name, in words, body) of each place that was ever sore, the sorest first."""
    for place, sides in _shown(progress, sore=True).items():
        name = place_words(place, "", words)
        said = " ".join(_told(site, words) for site in sides.values())
        yield name, said, "\n".join(_panel(name, sides, progress))


def _shown(progress: Progress, *, sore: bool) -> dict[str, Mapping[Side | None, Site]]:
    """The places that ever answered: those that were `sore`, the sorest first, or the others in walking order."""
    every = {place: sides for place, sides in sides_of(progress).items() if not all(s.quiet for s in sides.values())}
    some = {place: sides for place, sides in every.items() if any(_sore(s, progress) for s in sides.values()) == sore}
    return dict(sorted(some.items(), key=lambda one: -max(map(_highest, one[1].values())))) if sore else {**some}


def _sore(site: Site, progress: Progress) -> bool:
    """Whether a reading was ever further from 0 than the hand errs on an unchanged horse, or was no number at all."""
    beyond, hands = progress.comparing.table.better_or_worse.beyond, progress.comparing.hands
    for seen, hand in zip(site.course.seen, hands, strict=True):
        if seen is None or seen.mark == "not_examined":
            continue
        if seen.score is None or hand is None:
            return True
        if seen.score > beyond * error_of_difference(hand.shared, hand.noise, hand.shared, hand.noise):
            return True
    return False


def _highest(site: Site) -> float:
    """The sorest reading; where touch was refused, the top of the scale."""
    marks = [seen for seen in site.course.seen if seen is not None]
    return max((10.0 if seen.mark == "refused" else seen.score or 0.0 for seen in marks), default=0.0)


def _told(site: Site, words: Vocabulary) -> str:
    """One side in a sentence, for whoever does not see the picture."""
    name = place_words(site.course.place, site.course.side, words)
    readings = ", ".join(seen_words(seen) for seen in site.course.seen)
    return f"{name}: {readings}; {CHANGES[site.since_last.change]} since the last visit."


def _panel(name: str, sides: Mapping[Side | None, Site], progress: Progress) -> Iterator[str]:
    yield f'<text class="pg-name" x="8" y="20">{escape(name)}</text>'
    yield f'<path d="M8 27H{WIDTH - 8}" stroke="currentColor" stroke-opacity=".25"/>'
    shown: tuple[Side | None, ...] = (None,) if None in sides else ("left", "right")
    for side in shown:
        yield from _plot(side, sides.get(side), progress)


def _plot(side: Side | None, site: Site | None, progress: Progress) -> Iterator[str]:
    x0, x1 = PLOTS[side]
    yield f'<text class="pg-side" x="{x0:g}" y="44">{NAMES[side]}</text>'
    for score in (0, 5, 10):
        y = _y(score)
        yield f'<path d="M{x0:g} {y:g}H{x1:g}" stroke="currentColor" stroke-opacity=".22" stroke-width="1"/>'
        yield f'<text x="{x0 - 6:g}" y="{y + 4.4:g}" text-anchor="end">{score}</text>'
    if site is None:
        yield f'<text x="{(x0 + x1) / 2:g}" y="{_y(5) - 5:g}" text-anchor="middle">not examined</text>'
        return
    days = [visit.day for visit in progress.comparing.visits]
    xs = across(days, x0 + 8, x1 - 8)
    for tick in ticks(days, xs, x1):
        if tick.line:
            yield f'<path d="M{tick.x:.1f} {TOP:g}V{LOW + 12:g}" stroke="currentColor" stroke-opacity=".3" stroke-width=".8"/>'
        if tick.words:
            anchor = ' text-anchor="end"' if tick.at_end else ""
            yield f'<text x="{tick.x + tick.pushed:.1f}" y="{LOW + 26:g}"{anchor}>{tick.words}</text>'
    yield from _bands(site.course.seen, xs, progress)
    yield from _carried_out(site, progress, xs)
    yield from _marks(site, xs, square=side == "right")


def _carried_out(site: Site, progress: Progress, xs: Sequence[float]) -> Iterator[str]:
    """A wedge under the line where a step that was to change this place was told as done, a stroke where only in part."""
    spot, table = (site.course.place, site.course.side), progress.comparing.table
    for x, held in zip(xs, progress.held, strict=True):
        meant = [step for step in held.steps if any((one.place, one.side) == spot for one in step.expects)]
        answers = {answer_key(step.told.answer) for step in meant if step.told is not None}
        if answers.intersection(table.carried_out):
            yield f'<path class="pg-done" d="M{x:.1f} {LOW + 2.5:g}l3.2 7.5h-6.4z" fill="currentColor"/>'
        elif answers.intersection(table.in_part.answers):
            yield f'<path class="pg-done" d="M{x:.1f} {LOW + 2.5:g}v7.5" stroke="currentColor" stroke-width="1.6"/>'


def _y(score: float) -> float:
    return LOW - (LOW - TOP) * score / 10.0


def _runs(seen: Sequence[Seen | None]) -> Iterator[list[int]]:
    """Scores that follow each other without a gap."""
    run: list[int] = []
    for at, one in enumerate(seen):
        if one is not None and one.score is not None:
            run.append(at)
        elif run:
            yield run
            run = []
    if run:
        yield run


def _bands(seen: Sequence[Seen | None], xs: Sequence[float], progress: Progress) -> Iterator[str]:
    beyond, hands = progress.comparing.table.better_or_worse.beyond, progress.comparing.hands
    for run in _runs(seen):
        edges: tuple[list[str], list[str]] = ([], [])
        for at in run:
            one, hand = seen[at], hands[at]
            assert one is not None
            assert one.score is not None
            if hand is None:
                return
            half = beyond * error_of_difference(hand.shared, hand.noise, hand.shared, hand.noise) / 2
            wide = (xs[at] - 4, xs[at] + 4) if len(run) == 1 else (xs[at],)
            for x in wide:
                edges[0].append(f"{x:.1f} {_y(min(10.0, one.score + half)):.1f}")
                edges[1].append(f"{x:.1f} {_y(max(0.0, one.score - half)):.1f}")
        yield f'<path d="M{"L".join([*edges[0], *reversed(edges[1])])}Z" fill="currentColor" fill-opacity=".14"/>'


def _marks(site: Site, xs: Sequence[float], *, square: bool) -> Iterator[str]:
    seen = site.course.seen
    scores = [(at, one.score) for at, one in enumerate(seen) if one is not None and one.score is not None]
    crowded = len(scores) >= CROWDED
    sorest = max(scores, key=lambda pair: pair[1])[0] if scores else 0
    radius = 3.6 if not crowded else 2.2
    for (at, score), (to, other) in pairwise(scores):
        broken = "" if to == at + 1 else ' stroke-dasharray="3 4"'
        yield (
            f'<path d="M{xs[at]:.1f} {_y(score):.1f}L{xs[to]:.1f} {_y(other):.1f}" stroke="currentColor" '
            f'stroke-width="1.6" fill="none"{broken}/>'
        )
    for at, score in scores:
        x, y = xs[at], _y(score)
        if square:
            corner, wide = f'x="{x - radius:.1f}" y="{y - radius:.1f}"', f"{2 * radius:g}"
            yield f'<rect {corner} width="{wide}" height="{wide}" fill="currentColor"/>'
        else:
            yield f'<circle cx="{x:.1f}" cy="{y:.1f}" r="{radius:g}" fill="currentColor"/>'
        if crowded and at == scores[-1][0]:
            yield f'<text x="{x + 6:.1f}" y="{y + 4.4:.1f}">{score:g}</text>'
        elif not crowded or at == sorest:
            first = at == scores[0][0]  # over it stands the number of the axis, where it is centred
            look = f'x="{x - 4:.1f}"' if first else f'x="{x:.1f}" text-anchor="middle"'
            yield f'<text {look} y="{y - 6.5:.1f}">{score:g}</text>'
    for at, one in enumerate(seen):
        if one is not None and one.mark == "refused":
            yield f'<text class="pg-side" x="{xs[at]:.1f}" y="{_y(10) + 4.4:.1f}" text-anchor="middle">!</text>'
        elif one is not None and one.mark == "words":
            yield f'<text x="{xs[at]:.1f}" y="{_y(0) - 3:.1f}" text-anchor="middle">w</text>'
    for at, after in enumerate(site.course.after_work):
        if after is not None:
            x, y = xs[at], _y(after)
            yield f'<path d="M{x:.1f} {y - 5:.1f}l4.6 8h-9.2z" fill="none" stroke="currentColor" stroke-width="1.3"/>'
