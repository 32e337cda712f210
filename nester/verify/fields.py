"""Reading one object of the document key by key, with a fault for each key that is amiss."""

from collections.abc import Collection, Mapping, Sequence
from fractions import Fraction
from typing import Any

from nester.verify.fault import Fault, shown
from nester.verify.number import exact, whole_units


class Fields:
    """The keys of one object.

    Missing and unknown keys are faults from the start. Each getter returns a value of its type
    whatever is found: where the key is not as it must be it notes a fault, clears ``good`` and
    returns a harmless stand-in, so that all faults of an object are found at once.
    """

    def __init__(
        self,
        data: object,
        place: str,
        faults: list[Fault],
        needed: Collection[str],
        allowed: Collection[str] = (),
    ) -> None:
        self.place = place
        self.good = True
        self._faults = faults
        self._data: Mapping[str, Any] = {}
        if not isinstance(data, Mapping):
            self.fault("wrong-type", "must be an object", shown(data))
            return
        self._data = data
        for key in needed:
            if key not in data:
                self.fault("missing-key", f'the key "{key}" is missing')
        for key in data:
            if key not in needed and key not in allowed:
                self.fault("unknown-key", "a key that a plan does not have here", shown(key))

    def fault(self, code: str, message: str, value: str | None = None) -> None:
        """Note a fault at this object."""
        self.good = False
        self._faults.append(Fault(code, message, self.place, value))

    def has(self, key: str) -> bool:
        """Whether the key is there and not null."""
        return self._data.get(key) is not None

    def raw(self, key: str) -> Any:
        """Return what stands under ``key``, None where nothing does."""
        return self._data.get(key)

    def text(self, key: str, *, needed: bool = False) -> str:
        """Return a text; ``needed``: not an empty one."""
        if key not in self._data:
            return ""
        value = self._data[key]
        if not isinstance(value, str):
            self.fault("wrong-type", f'"{key}" must be text', shown(value))
            return ""
        if needed and not value.strip():
            self.fault("wrong-value", f'"{key}" must not be empty', value)
        return value

    def choice(self, key: str, options: Sequence[str], *, null: bool = False) -> str:
        """Return one of ``options``; "" for null where ``null`` allows it."""
        if key not in self._data:
            return ""
        value = self._data[key]
        if value is None and null:
            return ""
        if not isinstance(value, str) or value not in options:
            wanted = ", ".join(options)
            self.fault("wrong-value", f'"{key}" must be one of: {wanted}', shown(value))
            return options[0]
        return value

    def flag(self, key: str) -> bool:
        """Return true or false; a missing key is false."""
        value = self._data.get(key, False)
        if not isinstance(value, bool):
            self.fault("wrong-type", f'"{key}" must be true or false', shown(value))
            return False
        return value

    def whole(self, key: str, least: int) -> int:
        """Return a whole number of at least ``least``."""
        if key not in self._data:
            return least
        value = exact(self._data[key])
        if value is None or value.denominator != 1 or value < least:
            wanted = f'"{key}" must be a whole number of at least {least}'
            self.fault("wrong-value", wanted, shown(self._data[key]))
            return least
        return int(value)

    def amount(self, key: str, most: int | None = None) -> Fraction:
        """Return a number of at least 0, and at most ``most``."""
        if key not in self._data:
            return Fraction(0)
        value = exact(self._data[key])
        if value is None or value < 0 or (most is not None and value > most):
            ceiling = "" if most is None else f" and at most {most}"
            self.fault(
                "wrong-value",
                f'"{key}" must be a number of at least 0{ceiling}',
                shown(self._data[key]),
            )
            return Fraction(0)
        return value

    def number(self, key: str) -> Fraction | None:
        """Return a number, None for null."""
        value = self._data.get(key)
        if value is None:
            return None
        number = exact(value)
        if number is None:
            self.fault("wrong-type", f'"{key}" must be a number or null', shown(value))
        return number

    def length(self, key: str, *, size: bool = False) -> int:
        """Return a length in 1/320 mm; ``size``: more than 0."""
        if key not in self._data:
            return 1
        return self.measure(self._data[key], f'"{key}"', size=size)

    def maybe_length(self, key: str) -> int | None:
        """Return a length in 1/320 mm, None for null."""
        return self.length(key) if self.has(key) else None

    def measure(self, value: object, name: str, *, size: bool = False) -> int:
        """Return ``value`` [mm] as a length in 1/320 mm; ``name`` says in a fault what it is."""
        number = exact(value)
        if number is None:
            self.fault("wrong-type", f"{name} must be a length in millimetres", shown(value))
            return 1
        length = whole_units(number)
        if length is None:
            self.fault("length-unit", f"{name} must be a multiple of 0.003125 mm", shown(value))
            return 1
        if length < 0 or (size and length == 0):
            least = "more than 0" if size else "at least 0"
            self.fault("wrong-value", f"{name} must be {least}", shown(value))
            return 1
        return length

    def items(self, key: str) -> Sequence[Any]:
        """Return a list."""
        if key not in self._data:
            return ()
        value = self._data[key]
        if not isinstance(value, (list, tuple)):
            self.fault("wrong-type", f'"{key}" must be a list', shown(value))
            return ()
        return value

    def texts(self, key: str) -> tuple[str, ...]:
        """Return a list of texts."""
        found = self.items(key)
        if not all(isinstance(item, str) for item in found):
            self.fault("wrong-type", f'"{key}" must be a list of texts', shown(found))
            return ()
        return tuple(found)

    def lengths(self, key: str, count: int) -> tuple[int, ...]:
        """Return a list of ``count`` lengths."""
        found = self.items(key)
        if key in self._data and len(found) != count:
            self.fault("wrong-value", f'"{key}" must hold {count} lengths', shown(found))
        if len(found) != count:
            return (1,) * count
        return tuple(self.measure(item, f'"{key}"') for item in found)
