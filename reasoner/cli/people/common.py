"""What the commands of people share: the list, a password typed unseen, telling of somebody.

In: where the records are. Out: the list of who may come in; words and JSON.
Not here: any one command.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import click

if TYPE_CHECKING:
    from reasoner.page.doors.people import People, Person
    from reasoner.page.doors.sessions import Session, Sessions
    from reasoner.store.place import Place


def opened_list(place: Place) -> tuple[People, Sessions]:
    """Who may come in, and who is in. Raises BadInput (PG06)."""
    from reasoner.page.doors.kept import Kept
    from reasoner.page.doors.people import People
    from reasoner.page.doors.sessions import Sessions
    from reasoner.page.served import clock

    kept = Kept(place)
    click.get_current_context().call_on_close(kept.close)
    return People(kept, clock), Sessions(kept, clock)


def typed_unseen(may_be_empty: bool) -> str:
    """A password, typed twice and not shown; never a word of the command, where others could read it."""
    hint, default = (" (nothing: by a code alone)", "") if may_be_empty else ("", None)
    typed = click.prompt(
        f"Password{hint}",
        hide_input=True,
        confirmation_prompt="The same again",
        default=default,
        show_default=False,
        err=True,
    )
    return str(typed)


def head_json(place: Place) -> dict[str, Any]:
    """What every answer begins with."""
    return {"schema_version": "1", "records": place.shown}


def person_json(one: Person, horses: dict[str, str]) -> dict[str, Any]:
    """Somebody who may come in."""
    return {
        "name": one.name, "role": one.role, "horse": horses.get(one.horse or ""), "by_password": one.by_password,
        "since": one.since,
    }  # fmt: skip


def session_json(one: Session) -> dict[str, Any]:
    """A telephone that is in."""
    return {
        "name": one.name,
        "role": one.role,
        "telephone": one.label,
        "since": one.since,
        "last": one.last,
        "until": one.ends,
    }


def person_words(one: Person, horses: dict[str, str]) -> str:
    """The same in a line."""
    of = f" of {horses.get(one.horse, 'a horse that is not kept here')}" if one.horse else ""
    return f"{one.name}: {one.role}{of}, {'by password or code' if one.by_password else 'by code'}"
