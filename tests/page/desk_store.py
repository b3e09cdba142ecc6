"""Records with visits in them for the tests of the desk: a horse with a course, a pressing one, an apprentice's visit.

In: a folder. Out: a `Served` over filled records, and the uids of its visits.
Not here: expectations.
"""

from __future__ import annotations

import atexit
import re
import shutil
import tempfile
from datetime import UTC, date, datetime
from functools import cache
from pathlib import Path

from fastapi.testclient import TestClient

from reasoner.frozen import frozen
from reasoner.page.app import made
from reasoner.page.served import Served
from reasoner.records.before import with_history
from reasoner.records.keeping import kept_of
from reasoner.rendering.kept_json import kept_json
from reasoner.store.afterwards import add_done
from reasoner.store.consents import Agreed, agree
from reasoner.store.opening import Store, open_store
from reasoner.store.place import place_of
from reasoner.store.reading import horse_called
from reasoner.store.saving import Kept, Saved, correct, save
from tests.page.serving import SELF, rules
from tests.store.keeping import EXAMPLES

NOW = datetime(2026, 5, 12, 9, 0, tzinfo=UTC)
WREN, TAM = "Wren Aldous", "Tam Orrin"


@frozen(kw_only=True)
class Desk:
    """The page over filled records, and the uids of what is in them."""

    served: Served
    bramble: str
    visits: dict[str, str]

    def client(self) -> TestClient:
        """One who speaks to it without a network, from the own machine."""
        return TestClient(made(self.served), base_url=SELF, headers={"X-From-Page": "1"})

    def at(self, name: str, more: str = "") -> str:
        """The address of a visit, or of something that hangs from it."""
        return f"/visits/{self.visits[name]}{more}"


def desk(folder: Path) -> Desk:
    """Filled records: Bramble twice (the second corrected), Rook and Hazel, Larch with tracings, Magpie by an apprentice."""
    shutil.copytree(_made()[0], folder, dirs_exist_ok=True)
    served = Served(
        store=open_store(place_of(str(folder / "practice.db"))), ready=rules(), folders=None, now=lambda: NOW
    )
    return Desk(served=served, bramble=_made()[1], visits=dict(_made()[2]))


@cache
def _made() -> tuple[Path, str, tuple[tuple[str, str], ...]]:
    """The folder of the records, made once, the horse Bramble and the visits."""
    folder = Path(tempfile.mkdtemp(prefix="desk-"))
    atexit.register(shutil.rmtree, folder, ignore_errors=True)
    store = open_store(place_of(str(folder / "practice.db")), make=True)
    text = _text("bramble")
    kept = {
        "first": _keep(store, text),
        "second": _keep(store, _lower(text.replace("visit: 2026-04-18", "visit: 2026-05-02"), 1)),
        "rook": _keep(store, _text("rook")),
        "hazel": _keep(store, _text("hazel")),
        "larch": _keep(store, _text("larch"), shown=str(EXAMPLES / "larch.yaml")),
        "apprentice": _keep(store, _text("magpie").replace(
            "examined by: Wren Aldous", f"examined by: {TAM}\nchecked by: {WREN}"), by=TAM),
    }  # fmt: skip
    second = _lower(text.replace("visit: 2026-04-18", "visit: 2026-05-02"), 2)
    correct(store, kept["second"].visit, _kept(store, second), by=WREN, why="the croup was read off the wrong line")
    add_done(store, kept["first"].version, step="shims_under_the_side", side="right", answer="done", because="",
             by="the Larkhope riding group", on=date(2026, 5, 2))  # fmt: skip
    with store.reading() as connection:
        bramble = horse_called(connection, "Bramble")
    agree(
        store,
        bramble,
        Agreed(what="owner agreed", given=True, who="Ines Tallow", on=date(2026, 4, 18), until=None, note=""),
    )
    agree(store, bramble, Agreed(what="report may go to", given=True, who="the veterinarian", on=date(2026, 4, 18), until=None,
                                 note=""))  # fmt: skip
    store.close()
    return folder, bramble.uid, tuple((name, saved.visit) for name, saved in kept.items())


def _text(name: str) -> str:
    return (EXAMPLES / f"{name}.yaml").read_text(encoding="utf-8")


def _lower(text: str, points: int) -> str:
    """The visit with every place as much less sore, as far as there is something to lessen."""
    head, palpation, rest = re.split(r"(?=palpation:)|(?=quiet: )", text, maxsplit=2)
    lowered = re.sub(
        r"(left: |right: |soreness: )(\d)", lambda found: f"{found[1]}{max(int(found[2]) - points, 0)}", palpation
    )
    return head + lowered + rest


def _kept(store: Store, text: str, shown: str = "visit.yaml") -> Kept:
    book = rules().book
    with store.reading() as connection:
        return kept_of(text.encode(), shown, rules(), None, kept_json, lambda one: with_history(connection, one, book))[
            1
        ]


def _keep(store: Store, text: str, by: str = WREN, shown: str = "visit.yaml") -> Saved:
    return save(store, _kept(store, text, shown), by=by)
