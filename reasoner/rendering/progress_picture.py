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

from reasoner.records.course import Seen, error_of_difference
from reasoner.records.progress import Progress, Site, sides_of
from reasoner.rendering import phrases
from reasoner.rendering.progress_words import CHANGES, place_words, seen_words
from reasoner.rulebook.vocabulary import Vocabulary
from reasoner.visit.model import Side

WIDTH, HEIGHT = 390, 168
TOP, LOW = 58.0, 134.0  # where 10 and 0 stand
PLOTS: dict[Side | None, tuple[float, float]] = {"left": (38.0, 196.0), "right": (224.0, 382.0), None: (38.0, 382.0)}
NAMES: dict[Side | None, str] = {"left": "LEFT", "right": "RIGHT", None: "MIDDLE LINE"}
LETTER = 12.5
CROWDED = 7  # from so many visits on only the first, the last and the sorest carry their number
ROOM = 26.0  # between two numbers at one height
MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
LEGEND = (
    "Dot: soreness before work, from 0 to 10.",
    "Grey band: the hand's own error; where two bands do not",
    "meet, it is a change. Broken line: a gap between.",
    "! would not allow touch. w: examined, no number.",
    "Hollow triangle: after work, counts for that day only.",
)
STYLE = """
.pg{font-family:system-ui,"Liberation Sans",Arial,sans-serif;color:#16181c;background:#fff}
.pg text{fill:currentColor;font-size:12.5px}
.pg .pg-name{font-weight:700;font-size:14px}
.pg .pg-side{font-weight:700}
@media(prefers-color-scheme:dark){.pg{color:#eceff4;background:#14161a}}
"""


def panels(progress: Progress, words: Vocabulary) -> tuple[tuple[str, str], ...]:
    """(name of the place, its panel as a whole SVG) of every place that ever answered, in walking order."""
    return tuple(
        (name, _svg(HEIGHT, f"{progress.horse.name}: {name}", said, body))
        for name, said, body in _each(progress, words)
    )  # fmt: skip


def picture(progress: Progress, words: Vocabulary) -> str:
    """All panels, one under the other, as one SVG of 390 units; what the marks mean stands at the end."""
    every = list(_each(progress, words))
    parts, y = [], 28.0
    title = f"{progress.horse.name}: soreness over {phrases.counted(len(progress.held), 'visit')}"
    parts.append(f'<text class="pg-name" x="8" y="20">{escape(title)}</text>')
    for _, _, body in every:
        parts.append(f'<g transform="translate(0 {y:g})">{body}</g>')
        y += HEIGHT
    if not every:
        parts.append(f'<text x="8" y="{y + 20:g}">Nothing answered to the hand at any visit.</text>')
        y += 34
    for line in LEGEND:
        y += 18
        parts.append(f'<text x="8" y="{y:g}">{escape(line)}</text>')
    said = " ".join(said for _, said, _ in every) or "Nothing answered to the hand at any visit."
    return _svg(y + 14, title, said, "\n".join(parts), ' style="max-width:100%;height:auto"')


def _svg(height: float, title: str, said: str, body: str, look: str = "") -> str:
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" class="pg" viewBox="0 0 {WIDTH} {height:g}" width="{WIDTH}" '
        f'height="{height:g}" role="img"{look}>\n<title>{escape(title)}</title>\n'
        f"<desc>{escape(said)}</desc>\n<style>{STYLE}</style>\n{body}\n</svg>\n"
    )


def _each(progress: Progress, words: Vocabulary) -> Iterator[tuple[str, str, str]]:
    """(name, in words, body) of each place."""
    for place, sides in sides_of(progress).items():
        if all(site.quiet for site in sides.values()):
            continue
        name = place_words(place, "", words)
        said = " ".join(_told(site, words) for site in sides.values())
        yield name, said, "\n".join(_panel(name, sides, progress))


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
    xs = _across([visit.day.toordinal() for visit in progress.comparing.visits], x0 + 9, x1 - 9)
    yield from _bands(site.course.seen, xs, progress)
    yield from _marks(site, xs)
    days = [visit.day for visit in progress.comparing.visits]
    first, last = (f"{day.day} {MONTHS[day.month - 1]} {day.year % 100:02}" for day in (days[0], days[-1]))
    yield f'<text x="{x0:g}" y="{LOW + 22:g}">{first}</text>'
    if len(days) > 1:
        yield f'<text x="{x1:g}" y="{LOW + 22:g}" text-anchor="end">{last}</text>'


def _across(days: Sequence[int], x0: float, x1: float) -> list[float]:
    """Where each visit stands, by its day."""
    span = days[-1] - days[0]
    return [x0 + (x1 - x0) * ((day - days[0]) / span if span else 0.5) for day in days]


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


def _marks(site: Site, xs: Sequence[float]) -> Iterator[str]:
    seen = site.course.seen
    scores = [(at, one.score) for at, one in enumerate(seen) if one is not None and one.score is not None]
    told = _told_numbers(scores, xs)
    radius = 3.6 if len(scores) < CROWDED else 2.4
    for (at, score), (to, other) in pairwise(scores):
        broken = "" if to == at + 1 else ' stroke-dasharray="3 4"'
        yield (
            f'<path d="M{xs[at]:.1f} {_y(score):.1f}L{xs[to]:.1f} {_y(other):.1f}" stroke="currentColor" '
            f'stroke-width="1.6" fill="none"{broken}/>'
        )
    for at, score in scores:
        yield f'<circle cx="{xs[at]:.1f}" cy="{_y(score):.1f}" r="{radius:g}" fill="currentColor"/>'
        if at in told:
            yield f'<text x="{xs[at]:.1f}" y="{_y(score) - 6.5:.1f}" text-anchor="middle">{score:g}</text>'
    for at, one in enumerate(seen):
        if one is not None and one.mark == "refused":
            yield f'<text class="pg-side" x="{xs[at]:.1f}" y="{_y(10) + 4.4:.1f}" text-anchor="middle">!</text>'
        elif one is not None and one.mark == "words":
            yield f'<text x="{xs[at]:.1f}" y="{_y(0) - 3:.1f}" text-anchor="middle">w</text>'
    for at, after in enumerate(site.course.after_work):
        if after is not None:
            x, y = xs[at], _y(after)
            yield f'<path d="M{x:.1f} {y - 5:.1f}l4.6 8h-9.2z" fill="none" stroke="currentColor" stroke-width="1.3"/>'


def _told_numbers(scores: Sequence[tuple[int, float]], xs: Sequence[float]) -> set[int]:
    """Which readings carry their number: all of few, of many the sorest, and the first and last where there is room beside it."""
    if len(scores) < CROWDED:
        return {at for at, _ in scores}
    sorest = max(scores, key=lambda pair: pair[1])[0]
    return {sorest} | {at for at in (scores[0][0], scores[-1][0]) if abs(xs[at] - xs[sorest]) >= ROOM}
