"""Typed values out of one record of a user's file, with an issue for each that cannot be had.

A ``Fields`` stands for one table of a TOML file or one row of a spreadsheet. Its getters never
raise: a value that is missing or wrong adds an issue with its place, marks the record ``faulty``
and gives a stand-in of the right type, so that a reader goes on and finds every fault at once::

    fields = Fields.of_toml(document, ("board", 3), issues, units="in", round_up=False)
    fields.known("id", "length", "count")             # any other key is an issue
    fields.subject = name = fields.name("id")         # must be there
    length = fields.length("length", size=True)       # must be there and more than zero
    count = fields.whole_or("count", 1, most=10_000)  # may be left out
    if not fields.faulty: ...

``x(key)`` is for a key that must be there, ``x_or(key, default)`` for one that may be left out.
"""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from enum import Enum
from fractions import Fraction
from typing import Any, TypeVar

from inventory.issue import Issue, Severity, Source
from inventory.length import Length
from inventory.parse import (
    ACCEPTED,
    LengthError,
    Units,
    is_bare_fraction,
    is_quarters,
    parse_length,
    shown,
)
from inventory.readers.tables import Row, Table
from inventory.readers.toml import KeyPath, TomlDocument
from inventory.readers.values import (
    LONGEST_NAME,
    LONGEST_TEXT,
    FieldError,
    check_range,
    is_date,
    nearest,
    to_choice,
    to_flag,
    to_list,
    to_members,
    to_name,
    to_nested,
    to_number,
    to_points,
    to_text,
    to_whole,
)
from inventory.stock import Point

Member = TypeVar("Member", bound=Enum)
S = TypeVar("S")
T = TypeVar("T")

_TAKEN_FOR_DATE = "the spreadsheet took this for a date; format its cells as text"
_A_DATE = "this is a date, not a length; write it in quotes"


@dataclass(slots=True)
class Fields:
    """One record of a file, being read.

    ``where`` gives the place of a path below this record; ``label`` stands before the key in a
    message ("flaw 2 "); ``subject`` is the id or name that the issues carry, once it is known. In a
    ``loose`` record, a spreadsheet's row, numbers and flags may stand as text. ``reported`` are
    keys whose absence has been told already, once for the whole table.
    """

    values: dict[str, Any]
    where: Callable[[KeyPath], Source]
    issues: list[Issue] = field(repr=False)
    units: Units
    round_up: bool
    loose: bool = False
    decimal_comma: bool = False
    label: str = ""
    subject: str | None = None
    reported: frozenset[str] = frozenset()
    parent: "Fields | None" = field(default=None, repr=False)
    faulty: bool = field(default=False, init=False)

    @classmethod
    def of_toml(
        cls,
        document: TomlDocument,
        path: KeyPath,
        issues: list[Issue],
        *,
        units: Units,
        round_up: bool,
    ) -> "Fields":
        """Return the fields of the table at ``path``; the caller has seen that it is a table."""
        values: Any = document.data
        for step in path:
            values = values[step]
        return cls(values, lambda below: document.source((*path, *below)), issues, units, round_up)

    @classmethod
    def of_row(
        cls,
        row: Row,
        issues: list[Issue],
        *,
        units: Units,
        round_up: bool,
        decimal_comma: bool = False,
        reported: frozenset[str] = frozenset(),
    ) -> "Fields":
        """Return the fields of a spreadsheet's row."""

        def where(below: KeyPath) -> Source:
            return row.source(str(below[0]) if below else None)

        fields = cls(dict(row.values), where, issues, units, round_up, True, decimal_comma)
        fields.reported = reported
        return fields

    # Issues

    def source(self, *below: str | int) -> Source:
        """Return the place of this record, or of a key below it."""
        return self.where(below)

    def fault(
        self,
        code: str,
        key: str | None,
        message: str,
        value: object = None,
        accepted: str | None = None,
    ) -> None:
        """Add an error about ``key`` (None: the whole record); the record becomes faulty."""
        self._add(code, (key,) if key else (), message, value, accepted)
        self._mark()

    def caution(
        self,
        code: str,
        key: str | None,
        message: str,
        value: object = None,
        accepted: str | None = None,
    ) -> None:
        """Add a caution about ``key``; the record stays good."""
        self._add(code, (key,) if key else (), message, value, accepted, Severity.CAUTION)

    def known(self, *keys: str) -> None:
        """Add an error for every key of the record that is not one of ``keys``."""
        for key in self.values:
            if key not in keys:
                accepted = _nearest_key(key, keys)
                text = f"{self.label.strip()}: unknown key" if self.label else "unknown key"
                place = self.where((key,))
                self.issues.append(Issue("unknown-key", text, key, accepted, self.subject, place))
                self._mark()

    def has(self, key: str) -> bool:
        """Return whether the key is given."""
        return key in self.values

    # Getters

    def length(self, key: str, *, size: bool = False, thickness: bool = False) -> Length:
        """Return a length [1/320 mm]; ``size`` refuses zero, ``thickness`` reads "5/4"."""
        return self._needed(
            key, lambda value: self._length(key, value, size, thickness), 0, ACCEPTED
        )

    def length_or(
        self, key: str, default: T, *, size: bool = False, thickness: bool = False
    ) -> Length | T:
        """Return a length [1/320 mm], or ``default``."""
        return self._optional(key, lambda value: self._length(key, value, size, thickness), default)

    def lengths(self, key: str, least: int, most: int, *, size: bool = False) -> list[Length]:
        """Return a list of ``least`` to ``most`` lengths; one value stands for a list of one."""

        def take(value: object) -> list[Length]:
            items = to_list(value, loose=self.loose, decimal_comma=self.decimal_comma)
            one = lambda item: self._length(key, item, size, False)  # noqa: E731
            return to_members(one, items, least=least, most=most)

        return self._needed(key, take, [0] * least, ACCEPTED)

    def points_or(self, key: str, default: T) -> tuple[Point, ...] | T:
        """Return an outline of points (x, y) [1/320 mm], or ``default``."""

        def take(value: object) -> tuple[Point, ...]:
            raw = to_points(value, loose=self.loose)
            one = lambda item: self._length(key, item, False, False)  # noqa: E731
            pairs = to_members(lambda pair: to_members(one, pair), raw)
            return tuple((x, y) for x, y in pairs)

        return self._optional(key, take, default)

    def name(self, key: str, most: int = LONGEST_NAME) -> str:
        """Return an id or name: one line of 1 to ``most`` characters."""
        take = lambda value: to_name(value, loose=self.loose, most=most)  # noqa: E731
        return self._needed(key, take, "", "a name")

    def text_or(self, key: str, default: T, most: int = LONGEST_TEXT) -> str | T:
        """Return a text that may be empty, or ``default``."""
        return self._optional(
            key, lambda value: to_text(value, loose=self.loose, most=most), default
        )

    def names_or(self, key: str, default: T, most: int = LONGEST_NAME) -> tuple[str, ...] | T:
        """Return a list of names (a single one may stand alone), or ``default``."""

        def take(value: object) -> tuple[str, ...]:
            items = to_list(value, loose=self.loose)
            return tuple(to_members(lambda item: to_name(item, loose=self.loose, most=most), items))

        return self._optional(key, take, default)

    def choice(self, key: str, kind: type[Member]) -> Member:
        """Return a member of the enum ``kind`` by its value."""
        accepted = ", ".join(f'"{member.value}"' for member in kind)
        return self._needed(
            key, lambda value: self._member(value, kind), next(iter(kind)), accepted
        )

    def choice_or(self, key: str, kind: type[Member], default: T) -> Member | T:
        """Return a member of the enum ``kind`` by its value, or ``default``."""
        return self._optional(key, lambda value: self._member(value, kind), default)

    def choices_or(self, key: str, kind: type[Member], default: T) -> tuple[Member, ...] | T:
        """Return a list of members of the enum ``kind``, or ``default``."""

        def take(value: object) -> tuple[Member, ...]:
            items = to_list(value, loose=self.loose)
            return tuple(to_members(lambda item: self._member(item, kind), items))

        return self._optional(key, take, default)

    def word(self, key: str, words: Sequence[str]) -> str:
        """Return one of ``words``."""
        accepted = ", ".join(f'"{word}"' for word in words)
        take = lambda value: to_choice(value, words, loose=self.loose)  # noqa: E731
        return self._needed(key, take, words[0], accepted)

    def word_or(self, key: str, words: Sequence[str], default: T) -> str | T:
        """Return one of ``words``, or ``default``."""
        return self._optional(key, lambda value: to_choice(value, words, loose=self.loose), default)

    def whole_or(self, key: str, default: T, *, least: int = 1, most: int) -> int | T:
        """Return a whole number from ``least`` to ``most``, or ``default``."""
        take = lambda value: to_whole(value, loose=self.loose, least=least, most=most)  # noqa: E731
        return self._optional(key, take, default)

    def number_or(self, key: str, default: T, *, least: int = 0, most: int = 10**9) -> Fraction | T:
        """Return a number (a price, a percentage, degrees), or ``default``."""

        def take(value: object) -> Fraction:
            number = to_number(value, decimal_comma=self.decimal_comma)
            check_range(number, least, most, f"a number from {least:,} to {most:,}")
            return number

        return self._optional(key, take, default)

    def flag_or(self, key: str, default: T) -> bool | T:
        """Return true or false, or ``default``."""
        return self._optional(key, lambda value: to_flag(value, loose=self.loose), default)

    def table(self, key: str) -> "Fields | None":
        """Return the fields of a table within this record, None where it is not given."""
        value = self._nested(key)
        if value is None:
            return None
        if not isinstance(value, dict):
            self.fault("wrong-type", key, "not a table", value, "a table such as {key = value}")
            return None
        return self._below(value, (key,), f"{self.label}{key} ")

    def tables(self, key: str, each: str) -> list["Fields"]:
        """Return the fields of every table in a list; messages call the third one "``each`` 3"."""
        value = self._nested(key)
        if value is None:
            return []
        if not isinstance(value, list):
            accepted = f"[[{key}]] or {key} = [{{…}}, {{…}}]"
            self.fault("wrong-type", key, "not a list of tables", value, accepted)
            return []
        below = []
        for number, item in enumerate(value):
            label = f"{self.label}{each} {number + 1} "
            fields = self._below(item if isinstance(item, dict) else {}, (key, number), label)
            if isinstance(item, dict):
                below.append(fields)
            else:
                fields.fault("wrong-type", None, "is not a table", item, "{key = value}")
        return below

    # Inside

    def _length(self, key: str, value: object, size: bool, thickness: bool) -> Length:
        if is_date(value):
            raise FieldError("wrong-type", _TAKEN_FOR_DATE if self.loose else _A_DATE, ACCEPTED)
        try:
            length = parse_length(
                value,
                self.units,
                round_up=self.round_up,
                thickness=thickness,
                size=size,
                decimal_comma=self.decimal_comma,
            )
        except LengthError as error:
            raise FieldError(error.code, str(error), error.accepted) from None
        if (
            self.units == "mm"
            and is_bare_fraction(value)
            and not (thickness and is_quarters(value))
        ):
            message = "a fraction without a unit is read as millimetres"
            self.caution(
                "bare-fraction", key, message, value, f"{shown(value)} in, where inches are meant"
            )
        return length

    def _member(self, value: object, kind: type[Member]) -> Member:
        return kind(to_choice(value, [str(member.value) for member in kind], loose=self.loose))

    def _needed(self, key: str, take: Callable[[object], T], stand_in: T, accepted: str) -> T:
        if key in self.reported:
            self._mark()
        elif key not in self.values:
            self.fault("missing-key", key, "it is missing", None, accepted)
        return self._optional(key, take, stand_in)

    def _optional(self, key: str, take: Callable[[object], S], default: T) -> S | T:
        if key not in self.values:
            return default
        value = self.values[key]
        try:
            return take(value)
        except FieldError as wrong:
            found = wrong.found if wrong.at else value
            self._add(wrong.code, (key, *wrong.at), str(wrong), found, wrong.accepted)
            self._mark()
            return default

    def _nested(self, key: str) -> object:
        value = self.values.get(key)
        if self.loose and isinstance(value, str):
            try:
                return to_nested(value)
            except FieldError as wrong:
                self.fault(wrong.code, key, str(wrong), value, wrong.accepted)
                return None
        return value

    def _below(self, values: dict[str, Any], path: KeyPath, label: str) -> "Fields":
        return Fields(
            values,
            lambda below: self.where((*path, *below)),
            self.issues,
            self.units,
            self.round_up,
            False,
            self.decimal_comma,
            label,
            self.subject,
            parent=self,
        )

    def _add(
        self,
        code: str,
        path: KeyPath,
        message: str,
        value: object,
        accepted: str | None,
        severity: Severity = Severity.ERROR,
    ) -> None:
        place = self.where(path if path and path[0] in self.values else ())
        text = f"{self.label}{path[0]}: {message}" if path else f"{self.label}{message}"
        found = None if value is None else shown(value)
        self.issues.append(Issue(code, text, found, accepted, self.subject, place, severity))

    def _mark(self) -> None:
        record: Fields | None = self
        while record is not None:
            record.faulty = True
            record = record.parent


def check_columns(
    table: Table, known: Sequence[str], needed: Iterable[str]
) -> tuple[frozenset[str], list[Issue]]:
    """Return the needed columns that ``table`` has not, and the issues of its column names.

    Give the set to ``Fields.of_row`` as ``reported``, and drop unknown columns with ``only``.
    """
    issues = []
    for column in table.columns:
        if column not in known:
            accepted = _nearest_key(column, known)
            issues.append(
                Issue("unknown-key", "unknown column", column, accepted, source=table.header)
            )
    missing = [column for column in needed if column not in table.columns]
    for column in missing:
        message = f'there is no column "{column}"'
        names = ", ".join(table.columns)
        where = table.header
        issues.append(Issue("missing-column", message, names, f'a column "{column}"', source=where))
    return frozenset(missing), issues


def only(row: Row, known: Sequence[str]) -> Row:
    """Return ``row`` without the columns that are not known; they have been told once."""
    kept = {column: value for column, value in row.values.items() if column in known}
    return Row(kept, row.place, row.places)


def _nearest_key(key: str, known: Sequence[str]) -> str:
    near = nearest(key, known)
    return f'"{near}" is the nearest known key' if near else ", ".join(known)
