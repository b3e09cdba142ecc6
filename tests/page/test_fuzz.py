"""Whatever is sent to whatever route, the program itself does not fail.

In: the application's own OpenAPI description. Out: no answer of 500 or above, no exception; the same tries every time.
Not here: whether an answer is right.
"""

from __future__ import annotations

from typing import Any

import hypothesis
import pytest
import schemathesis
from hypothesis import HealthCheck, settings
from schemathesis.core.result import Ok
from schemathesis.generation.modes import GenerationMode

from reasoner.page.gate import OPEN
from tests.page.neighbours import NEAR, Yard, yard
from tests.page.serving import SELF

TRIES = 12
_HEADERS = {"X-From-Page": "1"}


@pytest.fixture(scope="module")
def larkhope(tmp_path_factory: pytest.TempPathFactory) -> Yard:
    return yard(tmp_path_factory.mktemp("larkhope"))


def operations(app: Any) -> list[Any]:
    schema = schemathesis.openapi.from_asgi("/openapi.json", app, headers={"Host": "127.0.0.1:8173"})
    every = list(schema.get_all_operations())
    assert all(isinstance(found, Ok) for found in every)
    return [found.ok() for found in every if isinstance(found, Ok)]


def cases(operation: Any) -> Any:
    """What fits the description, and what does not."""
    fitting = operation.as_strategy()
    has_something = operation.body or any(operation.iter_parameters())
    return fitting | operation.as_strategy(generation_mode=GenerationMode.NEGATIVE) if has_something else fitting


def tried_out(operation: Any, tries: int, **how: Any) -> set[int]:
    """The statuses that so many tries of an operation are answered with; none is a fault of the program."""
    statuses, names = set[int](), how.pop("names", {})

    @settings(
        max_examples=tries, derandomize=True, database=None, deadline=None, suppress_health_check=list(HealthCheck)
    )
    @hypothesis.given(case=cases(operation))
    def tried(case: Any) -> None:
        case.path_parameters.update({key: value for key, value in names.items() if key in case.path_parameters})
        answer = case.call(headers=_HEADERS, **how)
        statuses.add(answer.status_code)
        assert answer.status_code < 500, (case.method, case.path, answer.content[:400])

    tried()
    return statuses


def test_no_answer_is_a_fault_of_the_program(larkhope: Yard) -> None:
    every = operations(larkhope.own)
    assert len(every) > 8
    found = set[int]().union(*(tried_out(one, TRIES, base_url=SELF, app=larkhope.own) for one in every))
    assert {200, 404, 422} <= found
    assert not {401, 421} & found, "the gate let everything through to the routes"


def test_nor_with_names_that_are_kept(larkhope: Yard) -> None:
    names = {"visit": larkhope.visits["Bramble"].uid, "horse": larkhope.visits["Bramble"].horse,
             "photograph": larkhope.photographs["Bramble"]}  # fmt: skip
    every = [one for one in operations(larkhope.own) if any("{" + name + "}" in one.path for name in names)]
    found = set[int]().union(*(tried_out(one, TRIES, base_url=SELF, app=larkhope.own, names=names) for one in every))
    assert {200, 422} <= found


def test_nor_with_a_case_that_is_open(larkhope: Yard) -> None:
    at = larkhope.here().post("/practise", data={"tap": "0" * 32}).headers["location"]
    ends = ("/end", "/put-away", "/answer.json")  # of an open case there is no answer: 404 by right
    every = [one for one in operations(larkhope.own) if "{practice}" in one.path and not one.path.endswith(ends)]
    names = {"practice": at.rsplit("/", 1)[1]}
    found = set[int]().union(*(tried_out(one, TRIES, base_url=SELF, app=larkhope.own, names=names) for one in every))
    assert {200, 422} <= found
    assert 404 not in found


def test_nor_at_the_doors(larkhope: Yard) -> None:
    cookies = dict(larkhope.let_in().cookies)
    every = [one for one in operations(larkhope.own) if one.path in OPEN or one.path.startswith("/telephones")]
    assert len(every) >= 6
    found = set[int]().union(
        *(tried_out(one, TRIES, base_url=NEAR, app=larkhope.near, cookies=cookies) for one in every)
    )
    assert {200, 422, 429} <= found, "whoever guesses at random is made to wait"


def test_strangers_send_what_they_like_and_learn_nothing(larkhope: Yard) -> None:
    found = set[int]().union(*(tried_out(one, 3, base_url=NEAR, app=larkhope.near) for one in operations(larkhope.own)))
    assert 401 in found
    assert 421 not in found, "it is the missing session that keeps them out"
