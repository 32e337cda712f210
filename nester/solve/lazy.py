"""Attributes that are worked out when they are first read."""

from collections.abc import Callable
from typing import Any, Generic, TypeVar, overload

T = TypeVar("T")


class Lazy(Generic[T]):
    """A property that is worked out once for each instance and then kept in it.

    Before Python 3.12 ``functools.cached_property`` holds one lock for all instances of a class, so
    that one worker waits while another works out the same property of something else. Here nobody
    waits: two that read the same property of one instance at once both work it out.
    """

    def __init__(self, function: Callable[[Any], T]) -> None:
        self.function = function
        self.__doc__ = function.__doc__

    def __set_name__(self, owner: type, name: str) -> None:
        self.name = name

    @overload
    def __get__(self, instance: None, owner: type) -> "Lazy[T]": ...

    @overload
    def __get__(self, instance: object, owner: type) -> T: ...

    def __get__(self, instance: object | None, owner: type) -> "Lazy[T] | T":
        if instance is None:
            return self
        value = self.function(instance)
        instance.__dict__[self.name] = value
        return value
