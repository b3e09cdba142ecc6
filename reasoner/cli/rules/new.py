"""`reasoner rules new KIND ID`: a page to fill in.

In: a kind, an id, and a file or folder to write to. Out: that file; an existing one is never written over.
Not here: what a page holds (rulecare.new_page and its skeletons).
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import click

from reasoner.cli.common import answering, folder_in, print_json, rules_folders, shared, write_whole
from reasoner.problems import BadInput, Problem

EPILOG = """\
Kinds: cause, pattern, trait, mechanism; concern (a reason to call the veterinarian); action, or one of its
kinds tack, rider, bodywork, exercise, feet_and_teeth, look, recheck, call, riding; circumstance; source.
The page is a sketch, which `reasoner rules check` accepts as it is. Give --rules as you do when you use the
rules, so that an id they already have is refused.

\b
Example:
  reasoner rules new cause rug_rubs -o rug_rubs.yaml
  reasoner rules new action brush_against_the_hair --into my-practice/
"""


@click.command("new", epilog=EPILOG)
@click.argument("kind")
@click.argument("name", metavar="ID")
@click.option("-o", "--output", type=click.Path(path_type=Path), metavar="FILE", help="The file to write: ID.yaml.")
@click.option("--into", type=click.Path(path_type=Path), metavar="DIR",
              help="A rules folder: the page is put into the folder of its kind, made if need be.")  # fmt: skip
@shared
@answering
def command(
    kind: str, name: str, output: Path | None, into: Path | None, folders: Sequence[Path], as_json: bool
) -> None:
    """Write the skeleton of a page, with remarks that say what goes where."""
    from reasoner.rulecare.new_page import new_page

    if (output is None) == (into is None):
        both = "" if output is None else ", not both"
        raise click.UsageError(f"say where to write it: -o FILE, or --into DIR{both}.")
    page = new_page(kind, name, _used(folders, into), apart=_apart(output, into))
    if into is not None:
        output = folder_in(into, Path(page.place).parent.name) / Path(page.place).name
    assert output is not None
    if output.stem != name or output.suffix != ".yaml":
        raise BadInput([Problem(str(output), 0, "CL04", "a page's file has the name of its id.",
                                f'Write it to "{name}.yaml".')])  # fmt: skip
    write_whole(output, page.text, over=None)
    if as_json:
        print_json({"schema_version": "1", "written": [str(output)]})
        return
    click.echo(f"written: {output}")
    if into is None:
        click.echo(f"It belongs into {page.place} of a rules folder.")


def _used(folders: Sequence[Path], into: Path | None) -> list[Path] | None:
    """The rules the new page must get along with: those asked for, and what the folder already holds."""
    from reasoner.rulebook.layers import shipped_rules

    used = rules_folders(folders) or [shipped_rules()]
    if (
        into is not None
        and into.is_dir()
        and any(path.parent.name not in ("fences", "schema") for path in into.rglob("*.yaml"))
        and into.resolve() not in [f.resolve() for f in used]
    ):
        used.append(into)
    return used


def _apart(output: Path | None, into: Path | None) -> bool:
    """Whether the page lies anywhere but in a folder of the shipped rules."""
    from reasoner.rulebook.layers import shipped_rules

    top = into if into is not None else (output or Path()).parent.parent
    return top.resolve() != shipped_rules().resolve()
