"""A class on the command line: a case written, handed out, worked by three apprentices, collected.

In: a folder. Out: the files of the road, and what was printed on it.
Not here: what any of it must be (test_teach_road, test_teach_tampering, test_class_figures).
"""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path

from click.testing import CliRunner, Result

from reasoner.cli import cli

WORDS = "Feel how the left elbow meets the girth ring: zinnober."
CASE = f"""\
case: Case 3
visit: case-3-visit.yaml
marks: by the teacher
causes:
  - girth presses, left
referral: routine
steps wanted:
  - fitter for the girth
  - leave the girth off
steps wrong: [shims under the side, right]
what to see: "{WORDS}"
"""
#: Three different answers: found and called too late; missed and on the other side; found and called too soon.
LINES = {
    "Tam Orrin": ("look girth line", "look withers", "think girth presses, left = 60 %", "refer none",
                  "step fitter for the girth", "end"),
    "Ida Fenn": ("look withers", "think withers pinch, left = 50 %", "think girth presses, right = 20 %", "refer none",
                 "step shims under the side, right", "end"),
    "Perdita Holme": ("look girth line", "think girth presses, left = 30 %", "refer prompt", "end"),
}  # fmt: skip


def run(*words: str, typed: str | None = None) -> Result:
    return CliRunner().invoke(cli, list(words), input=typed, catch_exceptions=False)


@dataclass
class Road:
    """The teacher's folder, the apprentices', and everything that was printed to an apprentice."""

    home: Path
    away: Path
    printed: list[str] = field(default_factory=list)

    @property
    def room(self) -> str:
        return str(self.home / "my-class")

    @property
    def given(self) -> Path:
        return self.away / "case-3.json"

    def answer(self, name: str) -> Path:
        return self.away / f"case-3.{name.lower().replace(' ', '-')}.answer.json"

    def works(self, name: str, *lines: str, more: tuple[str, ...] = ()) -> Result:
        file = self.home / "lines.txt"
        file.write_text("\n".join(lines) + "\n")
        done = run("practise", str(self.given), "--name", name, "--answers", str(file), *more)
        self.printed.append(done.output)
        return done


def handed_out(folder: Path, case: str = CASE) -> Road:
    """The case written and handed out."""
    road = Road(home=folder / "teacher", away=folder / "apprentices")
    road.home.mkdir()
    road.away.mkdir()
    made = run("teach", "case", "--cause", "girth presses", "--side", "left", "--difficulty", "plain", "--seed", "4",
               "-o", str(road.home / "case-3.yaml"))  # fmt: skip
    assert made.exit_code == 0, made.output
    (road.home / "case-3.yaml").write_text(case)
    done = run("teach", "hand-out", str(road.home / "case-3.yaml"), "--class", road.room, "-o", str(road.given))
    assert done.exit_code == 0, done.output
    return road


def worked(folder: Path) -> Road:
    """The same, worked by all three."""
    road = handed_out(folder)
    for name, lines in LINES.items():
        assert road.works(name, *lines).exit_code == 0
    return road
