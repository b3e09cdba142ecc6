"""Whether a report may go to a reader: whose word counts, until when, and which of several.

In: words of consent. Out: nothing. Not here: the command that refuses (tests/cli/test_consent_commands.py).
"""

from __future__ import annotations

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reasoner.records.may_go import may_go
from reasoner.store.consents import Agreed
from tests.asking import shipped

READERS = shipped().book.scales.readers
DAY = date(2026, 5, 20)
MAY = "report may go to"


def word(day: int, who: str, *, given: bool = True, until: date | None = None, what: str = MAY) -> Agreed:
    return Agreed(what=what, given=given, who=who, on=date(2026, 5, day), until=until, note="")


def state(reader: str, *said: Agreed, to: str = "") -> str:
    return may_go(READERS[reader], said, to, DAY).state


def test_the_owners_page_needs_no_consent_and_without_records_nothing_is_known() -> None:
    assert state("owner") == "not needed"
    assert state("owner", word(1, "the owner", given=False)) == "not needed"
    for reader in ("vet", "saddle-fitter", "farrier"):
        assert may_go(READERS[reader], None, "", DAY).state == "not known"
        assert state(reader) == "not asked"


@pytest.mark.parametrize(
    ("reader", "who"),
    [("vet", "Vet"), ("vet", "the  veterinarian"), ("saddle-fitter", "the saddle fitter"), ("saddle-fitter", "fitter"),
     ("farrier", "Farrier")],
)  # fmt: skip
def test_a_reader_goes_by_several_names(reader: str, who: str) -> None:
    assert state(reader, word(1, who)) == "agreed"
    others = {"vet", "saddle-fitter", "farrier"} - {reader}
    assert {state(other, word(1, who)) for other in others} == {"not asked"}


def test_withdrawn_later_wins_under_any_of_the_names() -> None:
    assert state("saddle-fitter", word(1, "the saddle fitter"), word(5, "fitter", given=False)) == "refused"
    assert state("saddle-fitter", word(1, "fitter", given=False), word(5, "the saddle fitter")) == "agreed"
    named = word(1, "Ada Brook"), word(5, "the saddle fitter", given=False)
    assert state("saddle-fitter", *named, to="Ada Brook") == "refused"
    assert state("saddle-fitter", word(1, "fitter"), word(5, "Ada Brook", given=False), to="ada brook") == "refused"
    assert state("saddle-fitter", word(1, "fitter"), word(5, "Ada Brook", given=False), to="Ines Roe") == "agreed"


def test_an_owner_who_no_longer_agrees_to_the_work_takes_it_all_back() -> None:
    no = word(5, "Ines Tallow", given=False, what="owner agreed")
    assert state("farrier", word(1, "farrier"), no) == "refused"
    assert state("farrier", no, word(6, "farrier")) == "agreed"
    assert state("farrier", word(1, "farrier"), no, word(7, "Ines Tallow", what="owner agreed")) == "agreed"


def test_days() -> None:
    assert state("vet", word(1, "vet", until=date(2026, 5, 20))) == "agreed"
    assert state("vet", word(1, "vet", until=date(2026, 5, 19))) == "over"
    assert state("vet", word(1, "vet"), word(3, "vet", until=date(2026, 5, 4))) == "over", "the newest word counts"
    assert state("vet", word(21, "vet")) == "not asked", "consent counts from its day"
    assert state("vet", word(1, "vet"), word(21, "vet", given=False)) == "refused", "a refusal counts once it is kept"


def test_a_person_is_known_for_a_veterinarian_by_the_other_agreements() -> None:
    mossop = word(1, "Dr Mossop")
    assert state("vet", mossop) == "not asked"
    assert may_go(READERS["vet"], (mossop,), "", DAY).others == ("Dr Mossop",)
    assert state("vet", mossop, to="dr  mossop") == "agreed"
    for what in ("veterinary practice", "veterinarian aware"):
        assert state("vet", word(1, "Dr Mossop", what=what), mossop) == "agreed"
        assert state("vet", word(1, "Dr Mossop", what=what)) == "not asked", (
            "to know of the work is no consent to a report"
        )
        assert state("farrier", word(1, "Dr Mossop", what=what), mossop) == "not asked"


WORDS = st.builds(
    word, st.integers(1, 19), st.sampled_from(["vet", "the veterinarian", "Dr Mossop", "farrier"]), given=st.booleans()
)


@given(st.lists(WORDS, max_size=6), st.sampled_from(["", "Dr Mossop"]))
def test_a_refusal_at_the_end_always_holds_back_and_a_consent_always_lets_go(said: list[Agreed], to: str) -> None:
    ordered = sorted(said, key=lambda one: one.on)
    assert state("vet", *ordered, word(19, "vet", given=False), to=to) == "refused"
    assert state("vet", *ordered, word(19, "vet"), to=to) == "agreed"
