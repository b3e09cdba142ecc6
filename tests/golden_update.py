"""Write down anew what the examples answer; whoever runs this reads the difference before keeping it.

In: examples/*.yaml and the shipped rules. Out: tests/golden/*.json, one short summary for each visit.
Not here: comparing (test_examples.py). Run from anywhere: `python tests/golden_update.py`.
"""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import Any

HERE = Path(__file__).resolve().parent
EXAMPLES, GOLDEN = HERE.parent / "examples", HERE / "golden"

if __name__ == "__main__":
    sys.path.insert(0, str(HERE.parent))

from reasoner.consult import Answer, judge  # noqa: E402
from reasoner.explanation.model import Chain  # noqa: E402
from reasoner.visit.reading import read_visit  # noqa: E402
from tests.asking import shipped  # noqa: E402


def answers() -> dict[str, Answer]:
    """The answer to every example, by the name of its file."""
    ready = shipped()
    return {
        path.stem: judge(read_visit(path, ready.book.vocabulary), ready) for path in sorted(EXAMPLES.glob("*.yaml"))
    }


def summary(answer: Answer) -> dict[str, Any]:
    """What a practitioner would compare: when to call, riding, causes, account, what is left over, steps and tasks."""
    explanation, plan = answer.explanation, answer.plan
    return {
        "level": answer.referral.level,
        "concerns": sorted(
            {" ".join(filter(None, (c.call, c.key, c.side, c.place))) for c in answer.referral.concerns}
        ),
        "riding": plan.riding.answer,
        "leading": [_named(*key) for key in explanation.leading],
        "supported": {_named(c.key, c.side): c.band for c in explanation.supported()},
        "account": [_chain(chain) for chain in explanation.account.starting_points],
        "unexplained": [_named(f.name, f.side) + f": {f.value}" for f in explanation.account.unexplained],
        "too little to say": explanation.account.too_little,
        "look first at": [_named(u.name, u.side) for u in explanation.account.look_at],
        "steps": [_named(s.key, s.side) for s in plan.steps],
        "withheld": {_named(w.key, w.side): list(w.because) for w in plan.withheld},
        "tasks": [t.key for t in plan.owner_tasks],
        "look again on": plan.recheck_on,
    }


def _named(key: str, side: str) -> str:
    return f"{key} {side}".strip()


def _chain(chain: Chain) -> Any:
    names = [_named(chain.key, chain.side), *(_named(*key) for key in chain.loop)]
    return {" = ".join(names): [_chain(below) for below in chain.leads]}


def as_text(told: dict[str, Any]) -> str:
    """A summary as it is kept."""
    return json.dumps(told, indent=1, ensure_ascii=False) + "\n"


def main() -> None:
    """Write every summary; take away those whose visit is gone."""
    GOLDEN.mkdir(exist_ok=True)
    told = {name: as_text(summary(answer)) for name, answer in answers().items()}
    for path in GOLDEN.glob("*.json"):
        if path.stem not in told:
            path.unlink()
            print(f"gone:    {path.name}")
    for name, text in told.items():
        path = GOLDEN / f"{name}.json"
        if not path.exists() or path.read_text("utf-8") != text:
            path.write_text(text, "utf-8")
            print(f"written: {path.name}")


if __name__ == "__main__":
    main()
