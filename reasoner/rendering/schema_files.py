"""The JSON Schema files of the package, written from the shapes of the answers.

In: the shapes in the modules *_schema.py beside this one. Out: reasoner/rendering/schemas/*.json, written anew by
`python -m reasoner.rendering.schema_files`.
Not here: the shapes. A test compares the files with what this would write.
"""

from __future__ import annotations

import json
from pathlib import Path

from reasoner.rendering import (
    answer_schema,
    asked_schema,
    command_schema,
    firmness_schema,
    measured_schema,
    records_track_schema,
    rules_schema,
)

FOLDER = Path(__file__).parent / "schemas"
DRAFT = "https://json-schema.org/draft/2020-12/schema"


def written() -> dict[str, str]:
    """File name to the text of the file, as it must stand in the package."""
    of = (
        answer_schema,
        asked_schema,
        command_schema,
        firmness_schema,
        measured_schema,
        records_track_schema,
        rules_schema,
    )
    shapes = {name: shape for module in of for name, shape in module.SHAPES.items()}
    schemas = {name: {"$schema": DRAFT, **shape.model_json_schema(by_alias=True)} for name, shape in shapes.items()}
    return {name: json.dumps(schema, indent=1, ensure_ascii=False) + "\n" for name, schema in schemas.items()}


def main() -> None:
    """Write the schema files into the package."""
    FOLDER.mkdir(exist_ok=True)
    for name, text in written().items():
        (FOLDER / name).write_text(text, encoding="utf-8")


if __name__ == "__main__":
    main()
