"""What `reasoner agree` is given: two files, a folder, two folders, sealed visits or the records; and making a seal.

In: paths and options. Out: `Found` pairs of visits; two files for a seal.
Not here: comparing them.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import click

from reasoner.cli.common import folder_in, print_json, ready, write_all_whole
from reasoner.frozen import frozen
from reasoner.problems import BadInput, Problem, register

if TYPE_CHECKING:
    from reasoner.rulebook.rulebook import Rulebook
    from reasoner.teaching.compared import Earlier
    from reasoner.teaching.sealing import Seal
    from reasoner.visit.model import Visit

register({"TE13": "a question about two hands that names too little or too much"})

HOW = "`reasoner agree ONE TWO` with two visit files or two folders, one folder, or --store with the records."


@frozen(kw_only=True)
class Found:
    """Pairs of visits by the two hands, visits without another, the openings that fitted their seals, and of the records the
    visits before the day of each (None: they are files, which have none)."""

    pairs: Mapping[tuple[str, str], tuple[tuple[Visit, Visit], ...]]
    alone: tuple[Visit, ...]
    sealed: tuple[str, ...]
    earlier: Earlier | None = None


def checked_question(
    places: Sequence[Path], store_at: str | None, to_seal: Path | None, seals: Sequence[Path], into: Path | None
) -> None:
    """Whether the words of the command ask one thing. Raises BadInput (TE13)."""

    def wrong(said: str, hint: str = HOW) -> BadInput:
        return BadInput([Problem("reasoner agree", 0, "TE13", said, hint)])

    if to_seal is not None:
        if places or store_at is not None or seals or into is not None:
            raise wrong("--seal locks one visit and compares nothing; other visits were named as well.",
                        "Seal first; compare once both seals are handed over.")  # fmt: skip
        return
    if store_at is not None and places:
        raise wrong("visits were named and records as well; one of the two was expected.")
    if store_at is None and not 1 <= len(places) <= 2:
        raise wrong(f"{len(places)} files or folders were named; one folder, or two of either, was expected.")
    if store_at is None and len(places) == 1 and not places[0].is_dir():
        raise wrong(f'"{places[0]}" is one file; two were expected, one for each hand.')
    if len(places) == 2 and places[0].is_dir() != places[1].is_dir() and all(p.exists() for p in places):
        raise wrong("one is a folder and one a file; two of a kind were expected.")
    if seals and (store_at is not None or any(place.is_dir() for place in places)):
        raise wrong("--sealed goes with two files; folders and records are not sealed.")


def collected(places: Sequence[Path], store_at: str | None, horse: str, seals: Sequence[Path], book: Rulebook) -> Found:
    """Read what was named and make pairs of it. Raises BadInput with everything wrong in the files."""
    from reasoner.teaching.pairing import across, gathered

    if store_at is not None:
        from reasoner.cli.records.common import opened
        from reasoner.store.place import place_of
        from reasoner.store.reading import horse_called
        from reasoner.teaching.pairing import kept_twice

        place = place_of(store_at)
        with opened(place).reading() as connection:
            known = horse_called(connection, horse, shown=place.shown).uid if horse else ""
            kept = kept_twice(connection, place, book.vocabulary, known)
            found = gathered(kept.visits, place.shown, kept.days)
        return Found(pairs=found.pairs, alone=(), sealed=(), earlier=kept.earlier)
    if places[0].is_dir():
        folders = [_in_folder(place, book) for place in places]
        shown = " and ".join(map(str, places))
        found = gathered(folders[0], shown) if len(folders) == 1 else across(folders[0], folders[1], shown)
        return Found(pairs=found.pairs, alone=found.alone, sealed=())
    return _two_files(places, seals, book)


def _two_files(places: Sequence[Path], seals: Sequence[Path], book: Rulebook) -> Found:
    from reasoner.rulebook import strict_yaml
    from reasoner.store.names import folded
    from reasoner.teaching.paired import hand_of
    from reasoner.teaching.sealing import is_opening, is_seal, must_fit, opening_from, seal_from
    from reasoner.visit.reading import visit_from_bytes

    problems: list[Problem] = []
    visits: list[Visit] = []
    fitted: list[str] = []
    known: dict[str, Seal] = {}
    for path in seals:
        try:
            seal_read = seal_from(strict_yaml.read_bytes(path), str(path))
            if seal_read.commitment in {other.commitment for other in known.values()}:
                said = "this seal is a copy of another; each hand seals its own visit, and no two seals are alike."
                raise BadInput([Problem(str(path), 0, "TE06", said, "Ask for the seal that this hand made.")])
            known[str(path)] = seal_read
        except BadInput as bad:
            problems += bad.problems
    for path in places:
        try:
            data = strict_yaml.read_bytes(path)
            if is_seal(data):
                said = "this is a seal, which holds no reading; the opening, or a visit file, was expected."
                raise BadInput(
                    [Problem(str(path), 0, "TE07", said, "Name it with --sealed, and its .opening.json here.")]
                )
            if not is_opening(data):
                visits.append(visit_from_bytes(data, str(path), book.vocabulary))
                continue
            if not seals:
                said = "this visit was sealed; the seal that was handed over was expected as well."
                raise BadInput([Problem(str(path), 0, "TE07", said, "Name it: --sealed FILE.seal.json.")])
            opening = opening_from(data, str(path))
            if known:
                seal_of = must_fit(opening, str(path), known)
                known.pop(seal_of)  # each seal opens once: a seal that was merely copied is no second hand's
                fitted.append(f"{path} ({seal_of})")
            visits.append(visit_from_bytes(opening.data, f"{path}/{opening.file}", book.vocabulary, opening.beside))
        except BadInput as bad:
            problems += bad.problems
    if not problems and known:
        said = f"{' and '.join(known)} fits neither file; each seal was expected with its opening."
        problems.append(Problem("--sealed", 0, "TE06", said, "An opening is compared, not the visit file itself."))
    if problems:
        raise BadInput(problems)
    one, two = visits
    return Found(pairs={(folded(hand_of(one)), folded(hand_of(two))): ((one, two),)}, alone=(), sealed=tuple(fitted))


def _in_folder(folder: Path, book: Rulebook) -> list[Visit]:
    """Every visit file of a folder, by name. Raises BadInput with what is wrong in any of them."""
    from reasoner.visit.reading import read_visit

    problems: list[Problem] = []
    visits = []
    for path in sorted(p for p in folder.iterdir() if p.suffix in (".yaml", ".yml")):
        try:
            visits.append(read_visit(path, book.vocabulary))
        except BadInput as bad:
            problems += bad.problems
    if not visits and not problems:
        problems.append(Problem(str(folder), 0, "TE13", "this folder holds no visit file (*.yaml).", HOW))
    if problems:
        raise BadInput(problems)
    return visits


def seal(path: Path, output: Path | None, folders: Sequence[Path], as_json: bool) -> None:
    """Lock a visit: write NAME.seal.json and NAME.opening.json beside it or into a folder.

    Raises BadInput for what does not read, and where either file exists.
    """
    from reasoner.rendering.answer_head import SCHEMA_VERSION
    from reasoner.rulebook import strict_yaml
    from reasoner.teaching.paired import hand_of
    from reasoner.teaching.sealing import opening_text, seal_text, sealed
    from reasoner.visit.reading import visit_from_bytes

    data = strict_yaml.read_bytes(path)
    visit = visit_from_bytes(data, str(path), ready(folders).book.vocabulary)
    found, opening = sealed(
        path.name, data, dict(visit.beside), horse=visit.horse_name, day=visit.day.isoformat(), by=hand_of(visit)
    )
    folder = path.parent if output is None else folder_in(output, ".")
    to_give, to_keep = folder / f"{path.stem}.seal.json", folder / f"{path.stem}.opening.json"
    write_all_whole([(to_give, seal_text(found), None), (to_keep, opening_text(opening), None)])
    if as_json:
        print_json({"schema_version": SCHEMA_VERSION, "seal": str(to_give), "opening": str(to_keep), "horse": found.horse,
                    "visit": found.day, "examined_by": found.by, "commitment": found.commitment})  # fmt: skip
        return
    click.echo(f"written: {to_give} - hand this over now. It holds no reading.")
    click.echo(f"written: {to_keep} - keep this, and hand it over once you hold the other's seal.")
    click.echo(f"The seal, to read aloud or note on paper: {found.commitment[:16]} ...")
    click.echo("From now on a changed grade, even a blank, no longer fits the seal.")
