"""Words that no page of ours may hold: verdicts, blame, diseases.

In: nothing. Out: a pattern, and `found_in`.
Not here: who checks what. "No diagnosis" and "not a diagnosis" are said on purpose, and are the only uses let through.
"""

from __future__ import annotations

import re

FORBIDDEN = (
    r"fault of", r"at fault", r"to blame", r"blam\w+", r"sound", r"unsound", r"soundness", r"healthy", r"no vet needed",
    r"no veterinarian needed", r"fit to ride", r"fit for riding", r"cured?", r"guarantee\w*", r"diagnos\w+",
    r"kissing spines?", r"arthritis", r"arthros\w+", r"laminitis", r"tying[- ]up", r"tendonitis", r"tendinitis",
    r"ulcers?", r"navicular", r"strangles", r"spavin", r"myopath\w+", r"azoturia", r"sacroiliac disease",
    r"left[- ]handed", r"right[- ]handed", r"lame", r"lameness",
)  # fmt: skip
_PATTERN = re.compile(r"(?<![\w-])(?:" + "|".join(FORBIDDEN) + r")(?![\w-])", re.IGNORECASE)
_LET_THROUGH = re.compile(r"\b(?:no|not a) diagnosis\b|\bAAEP\b", re.IGNORECASE)


def found_in(text: str) -> list[str]:
    """Every forbidden word with what stands round it."""
    text = _LET_THROUGH.sub("", text)
    return [text[max(0, m.start() - 40) : m.end() + 40] for m in _PATTERN.finditer(text)]
