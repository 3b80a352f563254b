"""Properties that are computed when first asked for, and then kept."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, Generic, TypeVar, overload

_T = TypeVar("_T")


class once(Generic[_T]):  # noqa: N801 - it stands where a decorator stands
    """A property whose value is kept in the object after it was first computed.

    Like functools.cached_property, but without the lock that it takes before Python 3.12: to lock costs more
    than most topics of a porch of eight piers. A Layout computed by two threads at once is computed twice.
    """

    def __init__(self, make: Callable[[Any], _T]) -> None:
        self._make = make
        self.__doc__ = make.__doc__

    def __set_name__(self, owner: type, name: str) -> None:
        self._name = name

    @overload
    def __get__(self, instance: None, owner: type) -> once[_T]: ...
    @overload
    def __get__(self, instance: object, owner: type) -> _T: ...
    def __get__(self, instance: object | None, owner: type) -> _T | once[_T]:
        if instance is None:
            return self
        value = instance.__dict__[self._name] = self._make(instance)
        return value
