"""What came of a practice session: the shapes.

In: nothing. Out: frozen records that marking fills and rendering reads.
Not here: how they are worked out or said.
"""

from __future__ import annotations

from reasoner.explanation.model import Finding
from reasoner.frozen import frozen
from reasoner.questions.checks import Check
from reasoner.questions.next_check import Left
from reasoner.questions.telling import Effect
from reasoner.teaching.session import Key


@frozen
class LookMade:
    """A look the apprentice made: what it could have told then, its place among those that could be made (1 is most), of how
    many, whether that counts as telling, and whether the case had it to show. `standing`: it could not change or narrow
    anything."""

    effect: Effect
    place: int
    of: int
    telling: bool
    had: bool


@frozen
class Told:
    """One rule, or sign of a reason to call, that would have told them: its name, why, its file and line, and what it rests on;
    `unseen` are those of its findings that no look of theirs had shown."""

    rule: str
    name: str
    because: str
    basis: tuple[str, ...]
    file: str
    line: int
    findings: tuple[Finding, ...]
    unseen: tuple[Finding, ...] = ()


@frozen
class Cause:
    """A cause beside the reasoner's: how likely the apprentice held it, its certainty after what was seen and after everything,
    and the rules that would have told them."""

    key: str
    side: str
    words: str
    share: float
    seen: float
    whole: float
    told: tuple[Told, ...]


@frozen
class Referred:
    """The referral beside the reasoner's to what was seen: `low` and `high` by how many degrees it was off, `not_seen` by how
    many looks that were open to the end would have raised it above both; `whole` what stands once everything is seen, and
    `told` the signs that raise it."""

    said: str
    seen: str
    whole: str
    low: int
    high: int
    not_seen: int
    told: tuple[Told, ...]


@frozen
class Step:
    """A step proposed or missed. `stopped`: why something standing stops it; empty where nothing does."""

    key: str
    side: str
    words: str
    stopped: tuple[str, ...] = ()


@frozen
class Sureness:
    """The two scores of the last thought, and of one that holds every cause for equally likely. Less is better. `share`: what was
    given to what came. `came`: what it was measured by; None where the account names no one cause, and nothing was scored."""

    came: Key | None
    share: float
    brier: float
    logarithmic: float
    alike_brier: float
    alike_logarithmic: float


@frozen
class Marked:
    """A whole session beside the reasoner. `truth`: what the case was made from, None of a real visit. `starting_points`:
    where the account of everything begins. `closed`: looks that something seen stood in the way of at the end, and what.
    `found`: causes held that are among the starting points, or that the case was made from; `on_the_way`: held, and part of
    the same chain; `jumped_to`: held with nothing seen that speaks for them; `other_side`: held on the wrong side; `missed`:
    not held; `out_of_reach`: not held either, and no error, for an emergency stood or no look that was open would have shown
    it. `lost`: points taken off a hundred, by what for; `points`: what is left. `skills`: each from 0 to 1, None where
    not shown."""

    truth: Key | None
    starting_points: tuple[Cause, ...]
    looks: tuple[LookMade, ...]
    looks_missed: tuple[Effect, ...]
    closed: tuple[Left, ...]
    found: tuple[Cause, ...]
    on_the_way: tuple[Cause, ...]
    supported: tuple[Cause, ...]
    jumped_to: tuple[Cause, ...]
    other_side: tuple[Cause, ...]
    missed: tuple[Cause, ...]
    out_of_reach: tuple[Cause, ...]
    referral: Referred
    steps_right: tuple[Step, ...]
    steps_other: tuple[Step, ...]
    steps_stopped: tuple[Step, ...]
    steps_missed: tuple[Step, ...]
    sureness: Sureness
    lost: tuple[tuple[str, float], ...]
    points: float
    skills: tuple[tuple[str, float | None], ...]

    @property
    def closed_by(self) -> tuple[tuple[str, tuple[Check, ...]], ...]:
        """Each thing that stood in the way at the end, with the looks it took away."""
        found: dict[str, list[Check]] = {}
        for one in self.closed:
            found.setdefault(one.because, []).append(one.check)
        return tuple((because, tuple(checks)) for because, checks in found.items())
