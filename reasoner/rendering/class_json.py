"""The commands of `reasoner teach` for machines.

In: a teacher's answer, verdicts, figures. Out: dicts ready for json.dumps.
Not here: their shapes (class_schema).
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

from reasoner.rendering.numbers import number
from reasoner.rendering.practise_json import marks_json
from reasoner.rendering.teachers_answer_text import difference_words
from reasoner.rulebook.rulebook import Rulebook
from reasoner.teaching.beside_the_rules import Differs, RulesSay
from reasoner.teaching.beside_the_teacher import Beside
from reasoner.teaching.class_figures import CaseFigures, Counted
from reasoner.teaching.class_marks import Look
from reasoner.teaching.collecting import Verdict
from reasoner.teaching.handing_out import HandedOut, Locked
from reasoner.teaching.marked import Marked
from reasoner.teaching.session import Key
from reasoner.teaching.teachers_answer import TeachersAnswer

VERSION = "1"


def checked_json(answer: TeachersAnswer, rules: RulesSay, some: Sequence[Differs]) -> dict[str, Any]:
    """A teacher's answer beside the rules'."""
    return {
        "schema_version": VERSION, "rulebook": rules.stamp, "teacher": _teacher(answer), "rules": _rules(rules),
        "differs": [
            {"what": one.what, **_key(one.key), "words": difference_words(one, answer, rules), "because": list(one.because)}
            for one in some
        ],
    }  # fmt: skip


def handed_out_json(
    case: HandedOut, file: str, answer: TeachersAnswer, rules: RulesSay, some: Sequence[Differs]
) -> dict[str, Any]:
    """A case that was handed out."""
    return {**checked_json(answer, rules, some), "file": file, "seal": case.seal, "handed_out": case.at}


def collected_json(verdicts: Sequence[Verdict]) -> dict[str, Any]:
    """What became of each file."""
    return {
        "schema_version": VERSION,
        "files": [
            {
                "file": one.file, "became": one.kind, "by": one.work.by if one.work else None,
                "case": one.work.title if one.work else None, "receipt": one.work.receipt if one.work else None,
                "why": one.why, "notes": list(one.notes),
            }
            for one in verdicts
        ],
    }  # fmt: skip


def class_json(cases: Sequence[CaseFigures], book: Rulebook) -> dict[str, Any]:
    """The class."""
    return {"schema_version": VERSION, "rulebook": book.stamp, "cases": [_case(one) for one in cases]}


def given_back_json(one: Beside, locked: Locked, marks: Marked, book: Rulebook) -> dict[str, Any]:
    """One apprentice's answer beside the teacher's and the rules'."""
    return {
        "schema_version": VERSION, "rulebook": book.stamp, "case": one.work.title, "answer": _answer(one),
        "teacher": _teacher(locked.answer), "rules": _rules(locked.rules), "choices": [dict(c) for c in one.work.choices],
        "marks": marks_json(marks),
    }  # fmt: skip


def _case(case: CaseFigures) -> dict[str, Any]:
    return {
        "case": case.given.case.title, "seal": case.given.case.seal, "handed_out": case.given.case.at,
        "teacher": _teacher(case.given.locked.answer), "rules": _rules(case.given.locked.rules),
        "called_later": list(case.low), "called_sooner": list(case.high),
        "calls": [{"said": one.key[0], "who": list(one.who)} for one in case.calls],
        "taken_for": [_counted(one) for one in case.taken_for], "other_side": [_counted(one) for one in case.turned],
        "looks_left": [{**_look(one.look), "who": list(one.who), "nobody_made_it": one.nobody} for one in case.left],
        "answers": [_answer(one) for one in case.answers],
        "not_counted": [{"by": one.work.by, "file": one.path.name, "ended_at": one.work.ended_at} for one in case.second],
        "not_read": [{"by": one.kept.work.by, "file": one.kept.path.name, "why": one.why} for one in case.unread],
    }  # fmt: skip


def _answer(one: Beside) -> dict[str, Any]:
    return {
        "by": one.work.by, "begun": one.work.begun, "ended_at": one.work.ended_at, "receipt": one.work.receipt,
        "call": {
            "said": one.said, "teacher": one.asked, "later": one.low, "sooner": one.high, "not_looked_at": one.unseen,
            "rules_on_what_was_seen": one.marks.referral_seen, "rules_on_everything": one.marks.referral_whole,
        },
        "thinks": [{**_key(key), "share": number(share)} for key, share in one.thinks.items()],
        "found": _keys(one.found), "other_side": _keys(one.turned), "not_found": _keys(one.missed), "also_right": _keys(one.also),
        "jumped_to": _keys(one.jumped_to), "named_beside": _keys(one.others),
        "by_the_rules": {
            "found": _keys(one.marks.found), "other_side": _keys(one.marks.other_side), "missed": _keys(one.marks.missed),
        },
        "looks": [{**_look(look), "telling": look.telling, "place": look.place, "of": look.of} for look in one.marks.looks],
        "looks_left": [_look(look) for look in one.marks.left],
        "steps": {
            "wanted": _keys(one.wanted), "not_proposed": _keys(one.left), "wrong": _keys(one.wrong),
            "stopped": _keys(one.stopped),
        },
        "certainty": None if one.scored is None else {
            "share": number(one.scored.share), "brier": number(one.scored.brier), "logarithmic": number(one.scored.logarithmic),
            "alike_brier": number(one.scored.alike_brier), "alike_logarithmic": number(one.scored.alike_logarithmic),
        },
    }  # fmt: skip


def _teacher(answer: TeachersAnswer) -> dict[str, Any]:
    return {
        "case": answer.title, "causes": _keys(answer.causes), "referral": answer.referral, "steps_wanted": _keys(answer.wanted),
        "steps_wrong": _keys(answer.wrong), "what_to_see": answer.words, "marks_shown": answer.marks,
        "names_kept": answer.keep_names,
    }  # fmt: skip


def _rules(rules: RulesSay) -> dict[str, Any]:
    return {
        "begins": _keys(rules.begins), "causes": _keys(rules.causes), "referral": rules.referral, "steps": _keys(rules.steps),
        "rulebook": rules.stamp,
    }  # fmt: skip


def _look(look: Look) -> dict[str, Any]:
    return {"look": look.key, "name": look.name, "calls": look.level, "plan": look.plan}


def _counted(one: Counted) -> dict[str, Any]:
    return {**_key(one.key), "who": list(one.who)}


def _keys(keys: Iterable[Key]) -> list[dict[str, Any]]:
    return [_key(key) for key in keys]


def _key(key: Key) -> dict[str, Any]:
    return {"key": key[0], "side": key[1] or None}
