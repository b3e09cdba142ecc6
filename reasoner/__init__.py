"""Why is this horse sore here: a rule-based reasoner for hands-on findings.

In: a visit file and a rulebook. Out: the five public names below.
Not here: any logic; each name lives in the room that owns it, and is imported only when asked for.
"""

from importlib import import_module
from typing import Any

__version__ = "0.1.0"
__all__ = ["Answer", "BadInput", "Problem", "consult", "load_rulebook"]

_HOMES = {
    "Answer": "reasoner.consult",
    "BadInput": "reasoner.problems",
    "Problem": "reasoner.problems",
    "consult": "reasoner.consult",
    "load_rulebook": "reasoner.consult",
}


def __getattr__(name: str) -> Any:
    """Import a public name from its room on first use, so that a short command pays only for what it needs."""
    if name in _HOMES:
        return getattr(import_module(_HOMES[name]), name)
    raise AttributeError(f"module 'reasoner' has no attribute {name!r}")
