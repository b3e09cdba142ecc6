"""An apprentice's visit names who answers for it.

In: visits with and without names. Out: passes or refusals.
Not here: countersigning.
"""

from __future__ import annotations

import pytest

from reasoner.page.apprentices import must_wait_for_another
from reasoner.page.who import Role, Who
from reasoner.problems import BadInput
from reasoner.visit.model import Visit
from reasoner.visit.reading import visit_from_bytes
from tests.asking import shipped


def visit(examined: str, checked: str) -> Visit:
    text = f"horse: {{name: Juniper}}\nvisit: 2026-04-18\nexamined by: {examined}\nchecked by: {checked}\nquiet: {{neck: both}}\n"
    lines = [line for line in text.splitlines() if not line.endswith(": ")]
    return visit_from_bytes("\n".join(lines).encode(), "visit.yaml", shipped().book.vocabulary)


@pytest.mark.parametrize(
    ("role", "examined", "checked", "may"),
    [
        ("practitioner", "", "", True),
        ("practitioner", "Wren Aldous", "", True),
        ("apprentice", "Tam Orrin", "Wren Aldous", True),
        ("apprentice", "", "Wren Aldous", True),
        ("apprentice", "Tam Orrin", "", False),
        ("apprentice", "Tam Orrin", "tam  orrin", False),
        ("apprentice", "Wren Aldous", "Wren Aldous", False),
        ("apprentice", "Wren Aldous", "Tam Orrin", False),
        ("apprentice", "", "", False),
    ],
)
def test_somebody_else_answers_for_it(role: Role, examined: str, checked: str, may: bool) -> None:
    tam = Who(name="Tam Orrin", role=role)
    if may:
        must_wait_for_another(tam, visit(examined, checked))
    else:
        with pytest.raises(BadInput, match="PG13"):
            must_wait_for_another(tam, visit(examined, checked))
