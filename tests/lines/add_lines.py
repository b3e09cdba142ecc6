"""Appends the sha256 of every new test line to the ledger: `python -m tests.lines.add_lines`.

In: the cases and the ledger. Out: rows at the end of the ledger, one a case: sha256 of the words, sha256 of the whole case.
Not here: taking a row away. A case that turns out to be wrong is mended in its file, told in `mended.yaml` with the reason, and
gets a new row; the old row stays.
"""

from __future__ import annotations

from tests.lines.cases import HERE, Case, cases

LEDGER = HERE / "ledger.sha256"


def rows() -> list[tuple[str, str]]:
    """(sha256 of the words, sha256 of the whole case) in the order in which they were added."""
    if not LEDGER.exists():
        return []
    found = [tuple(row.split()) for row in LEDGER.read_text().splitlines()]
    return [(said, whole) for said, whole in found]


def missing(known: list[tuple[str, str]], now: tuple[Case, ...]) -> list[tuple[str, str]]:
    """The rows of cases that the ledger does not hold yet."""
    held = set(known)
    return [row for case in now if (row := (case.said, case.sha)) not in held]


if __name__ == "__main__":
    new = missing(rows(), cases())
    with LEDGER.open("a") as ledger:
        ledger.writelines(f"{said} {whole}\n" for said, whole in new)
    print(f"{len(new)} added, {len(rows())} in all")
