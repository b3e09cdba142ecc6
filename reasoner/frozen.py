"""Records that nobody changes, and that cost little to define.

In: a class of annotated fields. Out: a dataclass whose equality, hash and repr are shared functions.
Not here: validation. The type checker keeps the fields from being assigned; defining sixty of the standard library's frozen
dataclasses takes as long as reading and judging a visit, and every command pays for it at its start.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Callable
from typing import Any, TypeVar, dataclass_transform, overload

Class = TypeVar("Class", bound=type)


@overload
@dataclass_transform(frozen_default=True, field_specifiers=(dataclasses.field,))
def frozen(cls: Class, /) -> Class: ...
@overload
@dataclass_transform(frozen_default=True, field_specifiers=(dataclasses.field,))
def frozen(*, kw_only: bool = False) -> Callable[[Class], Class]: ...
@dataclass_transform(frozen_default=True, field_specifiers=(dataclasses.field,))
def frozen(cls: Any = None, /, *, kw_only: bool = False) -> Any:
    """Make a class a record: an initialiser from its fields, equality by class and fields, a hash where they have one."""

    def made(body: Any) -> Any:
        record = dataclasses.dataclass(body, init=True, repr=False, eq=False, kw_only=kw_only, match_args=False)
        for name, method in (("__eq__", _equal), ("__hash__", _hash), ("__repr__", _repr)):
            if name not in body.__dict__:
                setattr(record, name, method)
        return record

    return made if cls is None else made(cls)


def _values(record: Any) -> tuple[Any, ...]:
    return tuple(getattr(record, name) for name in record.__dataclass_fields__)


def _equal(self: Any, other: object) -> Any:
    if other.__class__ is not self.__class__:
        return NotImplemented
    return self is other or _values(self) == _values(other)


def _hash(self: Any) -> int:
    return hash(_values(self))


def _repr(self: Any) -> str:
    fields = ", ".join(f"{name}={getattr(self, name)!r}" for name in self.__dataclass_fields__)
    return f"{self.__class__.__qualname__}({fields})"
