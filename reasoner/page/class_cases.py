"""Where a case that is written at the desk comes from: a kept visit, or a cause.

In: what a form says. Out: a `Source`; the teacher's answer beside the rules' (`Beside`).
Not here: the form, locking, handing out.
"""

from __future__ import annotations

from collections.abc import Mapping
from random import SystemRandom

from reasoner.consult import judge
from reasoner.frozen import frozen
from reasoner.page.looking import visit_seen
from reasoner.page.served import Served
from reasoner.page.who import Who
from reasoner.problems import BadInput, Problem
from reasoner.records.signing import waiting
from reasoner.rendering import phrases
from reasoner.rulebook.vocabulary import canonical
from reasoner.store.reading import beside_of, text_of, visits
from reasoner.teaching.beside_the_rules import Differs, RulesSay, differences, rules_say
from reasoner.teaching.handing_out import case_to_hand_out
from reasoner.teaching.making import Case, Maker
from reasoner.teaching.session import Key
from reasoner.teaching.teachers_answer import TeachersAnswer, answer_of_form, key_of, made_from, named

FORM = "the form"
SEEDS = 2**31
#: Visits to choose from; an older one is reached from its own page.
SHOWN = 200


@frozen(kw_only=True)
class Source:
    """Where a case comes from: its words, the visit file, the files beside it, the fields of the form that lead to it again, the
    cause it was made from (None of a real visit)."""

    words: str
    data: bytes
    beside: Mapping[str, bytes]
    fields: Mapping[str, str]
    made_from: Key | None


@frozen(kw_only=True)
class Written:
    """A teacher's answer with its case, what the rules say of the whole of it, and where they differ."""

    answer: TeachersAnswer
    case: Case
    rules: RulesSay
    differs: tuple[Differs, ...]


def choosable(served: Served) -> list[tuple[str, str]]:
    """The newest visits that may be a case: (uid, words). What waits for a countersignature may not."""
    with served.store.reading() as connection:
        every = visits(connection)
        waits = {one.uid for one in waiting(connection, every)}
    return [(one.uid, f"{one.name}, {phrases.day(one.day)}") for one in reversed(every) if one.uid not in waits][:SHOWN]


def source_of(who: Who, served: Served, fields: Mapping[str, str]) -> Source:
    """The source that these fields name: `visit`, else `cause`, `side`, `difficulty` and `seed`. Raises BadInput (TE41 to TE43,
    TE56); 404 where the visit is none of theirs."""
    if fields["visit"]:
        with served.store.reading() as connection:
            known = visit_seen(connection, who, fields["visit"])
            if known.uid in {one.uid for one in waiting(connection, [known])}:
                raise BadInput(
                    [Problem(FORM, 0, "TE56", "this visit waits for its countersignature, and is no case before.")]
                )
            data = text_of(connection, known.version, shown=served.store.place.shown)
            beside = beside_of(connection, served.store.place, known.version)
        return Source(words=f"The visit of {known.name}, {phrases.day(known.day)}", data=data, beside=beside,
                      fields={"visit": known.uid}, made_from=None)  # fmt: skip
    said = f"{fields['cause']},{fields['side']}" if fields["side"] else fields["cause"]
    key, difficulty = key_of(said, served.ready.book), canonical(fields["difficulty"])
    seed = (
        int(fields["seed"])
        if fields["seed"].isdecimal() and len(fields["seed"]) < 10
        else SystemRandom().randrange(SEEDS)
    )
    made = Maker(served.ready.book).case(*key, difficulty, seed)
    cause = named((key[0], fields["side"]))
    return Source(
        words=f"A case made from {cause} ({difficulty})",
        data=made.text.encode(), beside={}, made_from=made_from(key, served.ready.book),
        fields={"cause": fields["cause"], "side": fields["side"], "difficulty": difficulty, "seed": str(seed)},
    )  # fmt: skip


def begun(source: Source, served: Served) -> Written:
    """The answer that a form begins with: that of the rules, or the cause a case was made from."""
    bare = TeachersAnswer(title="", visit=source.words, causes=(), referral="none")
    whole = judge(_case(source, bare, served).visit, served.ready)
    says = rules_say(whole)
    causes = says.causes if source.made_from is None else (source.made_from,)
    answer = TeachersAnswer(title="", visit=source.words, causes=causes, referral=says.referral)
    return Written(answer=answer, case=_case(source, answer, served), rules=says, differs=())


def written_in(fields: Mapping[str, str], source: Source, served: Served) -> Written:
    """The answer that a form holds. Raises BadInput (TE80 to TE82, and what is wrong in the visit)."""
    answer = answer_of_form({**fields, "visit": source.words}, FORM, served.ready.book)
    case = _case(source, answer, served)
    whole = judge(case.visit, served.ready)
    return Written(answer=answer, case=case, rules=rules_say(whole), differs=tuple(differences(answer, whole)))


def _case(source: Source, answer: TeachersAnswer, served: Served) -> Case:
    return case_to_hand_out(source.data, FORM, answer, served.ready.book, source.beside)
