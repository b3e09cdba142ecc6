"""Records that nobody changes, and that cost little to define.

In: a class of annotated fields. Out: a dataclass whose equality, hash and repr are shared functions.
Not here: validation. The type checker keeps the fields from being assigned; defining sixty of the standard library's frozen
dataclasses takes as long as reading and judging a visit, and every command pays for it at its start.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Callable
from threading import RLock
from typing import Any, TypeVar, dataclass_transform, overload

Class = TypeVar("Class", bound=type)
_ONE_AT_A_TIME = RLock()
_NOT_THE_TWINS = ("__init__", "__dataclass_fields__", "__dict__", "__weakref__")


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
        for name, method in (("__eq__", _equal), ("__hash__", _hash), ("__repr__", _repr)):
            if name not in body.__dict__:
                setattr(body, name, method)
        # The rest when the class is first used: a command defines many records that it never makes one of.
        late = _Late(body, kw_only)
        body.__dataclass_fields__ = late
        body.__init__ = late.first
        return body

    return made if cls is None else made(cls)


class _Late:
    """Stands for a class's fields and initialiser until somebody asks for either; then the standard library makes both."""

    def __init__(self, body: Any, kw_only: bool) -> None:
        self.body, self.kw_only = body, kw_only

        def first(record: Any, *args: Any, **more: Any) -> None:
            self.make()
            body.__init__(record, *args, **more)

        self.first = first

    def make(self) -> None:
        """Once: fields and initialiser take the place of this.

        They are made on a twin, so that a class never stands without an initialiser: another thread may be making a record.
        """
        with _ONE_AT_A_TIME:
            body = self.body
            if body.__dict__.get("__dataclass_fields__") is not self:
                return
            own = {name: one for name, one in body.__dict__.items() if name not in _NOT_THE_TWINS}
            twin = type(body)(body.__name__, body.__bases__, own)
            dataclasses.dataclass(init=True, repr=False, eq=False, kw_only=self.kw_only, match_args=False)(twin)
            for field in twin.__dataclass_fields__:
                if field in twin.__dict__:  # its default, no longer a description of it
                    setattr(body, field, twin.__dict__[field])
                elif field in body.__dict__:
                    delattr(body, field)
            body.__dataclass_params__ = twin.__dataclass_params__
            body.__init__ = twin.__init__
            body.__dataclass_fields__ = twin.__dataclass_fields__

    def __get__(self, record: Any, owner: Any = None) -> Any:
        self.make()
        return self.body.__dataclass_fields__


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
