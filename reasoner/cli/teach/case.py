"""`reasoner teach case VISIT -o FILE`, or from a cause: begin a case to hand out.

In: a visit file, or a cause, a side, a difficulty and a seed. Out: a YAML file for the teacher's own answer, with what the rules
say below it; of a case made from a cause its visit file as well.
Not here: checking the answer (check), making cases (teaching.making).
"""

from __future__ import annotations

import os
import random
from collections.abc import Sequence
from pathlib import Path

import click

from reasoner.cli.common import Over, answering, may_be_written, print_json, ready, shared, write_all_whole
from reasoner.problems import BadInput, Problem

EPILOG = """\b
Example:
  reasoner teach case examples/bramble.yaml -o case-3.yaml
  reasoner teach case --cause "girth presses" --side left --difficulty usual -o case-4.yaml
"""


@click.command("case", epilog=EPILOG)
@click.argument("visit", type=click.Path(path_type=Path), required=False)
@click.option("--cause", metavar="NAME", help="Make the case from this cause instead of a visit.")
@click.option("--side", default="", metavar="SIDE", help="With --cause: left or right.")
@click.option(
    "--difficulty", default="usual", show_default=True, metavar="WORD", help="With --cause: plain, usual or hard."
)
@click.option("--seed", type=click.IntRange(0), help="With --cause: the same seed makes the same case again.")
@click.option(
    "--title", default="", metavar="TEXT", help="What apprentices see as its name.  [default: the file's name]"
)
@click.option(
    "--keep-names", is_flag=True, help="Leave the names of the visit in. Without it every name and note is taken out."
)
@click.option(
    "-o", "--output", type=click.Path(path_type=Path), required=True, metavar="FILE.yaml", help="Write it here."
)
@shared
@answering
def command(
    visit: Path | None, cause: str | None, side: str, difficulty: str, seed: int | None, title: str, keep_names: bool,
    output: Path, folders: Sequence[Path], as_json: bool,
) -> None:  # fmt: skip
    """Begin a case to hand out: a visit file is a case. The file written holds your own answer, begun with that of the rules;
    change it to what you hold for right, and `reasoner teach check` shows where you and the rules differ."""
    from reasoner.consult import judge
    from reasoner.rendering.teachers_answer_text import rules_say_remarks
    from reasoner.rulebook.strict_yaml import read_bytes
    from reasoner.rulebook.vocabulary import canonical
    from reasoner.teaching.beside_the_rules import rules_say
    from reasoner.teaching.handing_out import case_to_hand_out
    from reasoner.teaching.making import Maker
    from reasoner.teaching.teachers_answer import TeachersAnswer, key_of, made_from, told_by_title, written

    if (visit is None) == (cause is None):
        raise click.UsageError("name a visit file, or --cause and the name of a cause; one of them.")
    if cause is None and (side or seed is not None):
        raise click.UsageError("--side and --seed are of a case that is made; name its cause with --cause.")
    rules, files = ready(folders), list[tuple[Path, str | bytes, Over]]()
    may_be_written(output, over=None)
    if cause is not None:
        key = key_of(f"{cause},{side}" if side else cause, rules.book)
        number = random.SystemRandom().randrange(2**31) if seed is None else seed
        made = Maker(rules.book).case(*key, canonical(difficulty), number)
        place = output.with_name(f"{output.stem}-visit.yaml")
        files.append((place, made.text, None))
        data, visit = made.text.encode(), place
    else:
        assert visit is not None
        data, key = read_bytes(visit), None
    plain = TeachersAnswer(
        title=title or output.stem, visit=_beside(visit, output), causes=(), referral="none", keep_names=keep_names
    )
    told = told_by_title(plain, rules.book)
    if told:
        raise BadInput([Problem("--title", 0, "TE82", f'"{plain.title}" names "{told}", and may tell the answer; '
                                "apprentices read it before they begin.",
                                "Give it a title that tells nothing, such as a number.")])  # fmt: skip
    whole = judge(case_to_hand_out(data, str(visit), plain, rules.book).visit, rules)
    says = rules_say(whole)
    causes = says.causes if key is None else (made_from(key, rules.book),)
    answer = TeachersAnswer(title=plain.title, visit=plain.visit, causes=causes,
                            referral=says.referral, keep_names=keep_names)  # fmt: skip
    files.append((output, written(answer, rules_say_remarks(says)), None))
    write_all_whole(files)
    if as_json:
        print_json(
            {"schema_version": "1", "rulebook": rules.book.stamp, "written": [str(path) for path, _, _ in files]}
        )
        return
    for path, _, _ in files:
        click.echo(f"written: {path}")
    click.echo(f"Change it to what you hold for right, then: reasoner teach check {output}")


def _beside(visit: Path, output: Path) -> str:
    """How the visit is named from where the file will lie."""
    return os.path.relpath(visit, output.parent)
