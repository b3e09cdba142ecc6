"""The JSON Schema files of the rules, for editors: written from the shapes of pages, the vocabulary and the scales.

In: the shipped rules, or the folders named. Out: rules/schema/*.schema.json, written anew by
`python -m reasoner.rulecare.schema_files`, or for a layer of one's own by naming first where to put them, then the folders.
Not here: the shapes. A test compares the files with what this would write.
"""

from __future__ import annotations

import json
import sys
from collections.abc import Sequence
from pathlib import Path

from reasoner.rulebook.layers import shipped_rules
from reasoner.rulebook.loading import load_rulebook
from reasoner.rulecare.page_schemas import page_schemas
from reasoner.rulecare.visit_schema import visit_schema


def written(folders: Sequence[Path] | None = None) -> dict[str, str]:
    """File name to the text of the file, as it must stand in rules/schema."""
    book = load_rulebook(folders)
    readme = (shipped_rules() / "README.md").read_text("utf-8")
    schemas = {**page_schemas(book, readme), "visit": visit_schema(book.vocabulary)}
    return {
        f"{name}.schema.json": json.dumps(schema, indent=1, ensure_ascii=False) + "\n"
        for name, schema in schemas.items()
    }


def main(words: Sequence[str]) -> None:
    """Write the schema files of the shipped rules, or `folder rules...` for others."""
    folder = Path(words[0]) if words else shipped_rules() / "schema"
    folders = [shipped_rules() if word == "shipped" else Path(word) for word in words[1:]]
    folder.mkdir(exist_ok=True)
    for name, text in written(folders or None).items():
        (folder / name).write_text(text, encoding="utf-8")


if __name__ == "__main__":
    main(sys.argv[1:])
