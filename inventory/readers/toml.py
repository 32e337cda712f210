"""TOML with the line of every key.

``tomllib`` gives values without positions, so a second pass over the same text, which is by then
known to be valid, notes where each key and each array element begins.
"""

import hashlib
import re
import tomllib
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path
from typing import Any, TypeAlias

from inventory.issue import Issue, Source
from inventory.readers.tables import MOST_ROWS
from inventory.readers.text import decode, load_bytes

KeyPath: TypeAlias = tuple[str | int, ...]
"""Where a value stands: ("board", 0, "flaws", 2, "x")."""


@dataclass(frozen=True, slots=True)
class TomlDocument:
    """A parsed TOML file. Decimal numbers in ``data`` are ``Decimal``, so nothing is lost."""

    file: str
    data: dict[str, Any]
    sha256: str
    lines: dict[KeyPath, int]

    def line(self, path: KeyPath) -> int | None:
        """Return the line of the key at ``path``, or of the nearest table that holds it."""
        for end in range(len(path), 0, -1):
            if (found := self.lines.get(path[:end])) is not None:
                return found
        return None

    def source(self, path: KeyPath = ()) -> Source:
        """Return the place of the key at ``path``."""
        return Source(self.file, self.line(path))


def load_toml(path: Path | str) -> tuple[TomlDocument | None, list[Issue]]:
    """Read the TOML file ``path``: the document, or None and the issues that stand against it."""
    content = load_bytes(path)
    if isinstance(content, Issue):
        return None, [content]
    text = decode(content, path)
    if isinstance(text, Issue):
        return None, [text]
    document = parse_toml(text, str(path), hashlib.sha256(content).hexdigest())
    return (None, [document]) if isinstance(document, Issue) else (document, [])


def parse_toml(text: str, file: str, sha256: str = "") -> TomlDocument | Issue:
    """Return the document in ``text``, or the syntax error as an issue with its line."""
    try:
        data = tomllib.loads(text, parse_float=Decimal)
        lines = _Scanner(text.replace("\r\n", "\n")).scan()
    except tomllib.TOMLDecodeError as error:
        return _syntax_issue(str(error), text, file)
    except RecursionError:
        return _excess("nested too deeply", r"[\[{][^\n]*?[\[{]{20}", text, file)
    except (ValueError, ArithmeticError):  # Python does not read the longest numbers
        return _excess(
            "a number has too many digits", r"[0-9_]{4000}|[eE][+-]?[0-9]{7}", text, file
        )
    document = TomlDocument(file, data, sha256, lines)
    return _too_many(document) or document


def _too_many(document: TomlDocument) -> Issue | None:
    """Return the issue of a file with more tables in its lists than a spreadsheet may have rows."""
    counted = 0
    for key, value in document.data.items():
        if isinstance(value, list):
            if counted + len(value) > MOST_ROWS:
                accepted = f"at most {MOST_ROWS:,} in a file"
                where = document.source((key, MOST_ROWS - counted))
                found = f"{counted + len(value):,}"
                return Issue("too-large", f"too many [[{key}]]", found, accepted, source=where)
            counted += len(value)
    return None


def _excess(message: str, pattern: str, text: str, file: str) -> Issue:
    found = re.search(pattern, text)
    line = text.count("\n", 0, found.start()) + 1 if found else None
    return Issue("toml-syntax", message, source=Source(file, line))


def _syntax_issue(message: str, text: str, file: str) -> Issue:
    rows = text.splitlines() or [""]
    what, _, _ = message.partition(" (at ")
    what = re.sub(r"\('(.*?)',?\)", lambda m: f'"{m[1]}"'.replace("', '", "."), what)
    at = re.search(r"at line (\d+), column \d+\)$", message)
    line = int(at[1]) if at else len(rows)
    return Issue(
        "toml-syntax",
        f"not TOML: {what[:1].lower()}{what[1:]}",
        rows[min(line, len(rows)) - 1].strip(),
        'lines such as key = "text", key = 3 or [[table]]',
        source=Source(file, line),
    )


_BARE = re.compile(r"[A-Za-z0-9_-]*")


class _Scanner:
    """Walks valid TOML and notes the line of each key. It checks nothing."""

    def __init__(self, text: str) -> None:
        self.text = text
        self.at = 0
        self.newlines = 0
        self.counted = 0
        self.lines: dict[KeyPath, int] = {}
        self.tables: dict[KeyPath, int] = {}  # arrays of tables: how many so far

    def scan(self) -> dict[KeyPath, int]:
        here: KeyPath = ()
        while self._skip(" \t\n"):
            if self.text[self.at] == "[":
                here = self._header()
            else:
                self._pair(here)
        return self.lines

    def _line(self) -> int:
        self.newlines += self.text.count("\n", self.counted, self.at)
        self.counted = self.at
        return self.newlines + 1

    def _note(self, path: KeyPath) -> None:
        self.lines.setdefault(path, self._line())

    def _skip(self, blanks: str) -> bool:
        """Go past blanks and comments; return whether anything is left."""
        while self.at < len(self.text):
            letter = self.text[self.at]
            if letter == "#":
                end = self.text.find("\n", self.at)
                self.at = len(self.text) if end < 0 else end
            elif letter in blanks:
                self.at += 1
            else:
                return True
        return False

    def _header(self) -> KeyPath:
        double = self.text.startswith("[[", self.at)
        line_at = self.at
        self.at += 2 if double else 1
        names = self._key()
        end, self.at = self.at, line_at
        path: KeyPath = ()
        for number, name in enumerate(names):
            path = (*path, name)
            self._note(path)
            if double and number == len(names) - 1:
                self.tables[path] = self.tables.get(path, 0) + 1
            if path in self.tables:
                path = (*path, self.tables[path] - 1)
                self._note(path)
        self.at = end
        self._skip(" \t")
        self.at += 2 if double else 1
        return path

    def _pair(self, here: KeyPath) -> None:
        start = self.at
        names = self._key()
        end, self.at = self.at, start
        path = here
        for name in names:
            path = (*path, name)
            self._note(path)
        self.at = end + 1  # past the equals sign
        self._value(path)

    def _key(self) -> list[str]:
        """Read a dotted key up to what follows it."""
        names = []
        while True:
            self._skip(" \t")
            if self.text[self.at] in "\"'":
                start = self.at
                self._pass_quoted()
                quoted = self.text[start : self.at]
                names.append(str(tomllib.loads(f"v = {quoted}")["v"]))
            else:
                match = _BARE.match(self.text, self.at)
                assert match is not None
                names.append(match[0])
                self.at = match.end()
            self._skip(" \t")
            if self.text[self.at] != ".":
                return names
            self.at += 1

    def _pass_quoted(self) -> None:
        mark = self.text[self.at]
        if self.text.startswith(mark * 3, self.at):
            self.at += 3
            self._to_end_of_long(mark)
        else:
            self.at += 1
            while self.text[self.at] != mark:
                self.at += 2 if mark == '"' and self.text[self.at] == "\\" else 1
            self.at += 1

    def _to_end_of_long(self, mark: str) -> None:
        while not self.text.startswith(mark * 3, self.at):
            self.at += 2 if mark == '"' and self.text[self.at] == "\\" else 1
        self.at += 3
        while self.text.startswith(mark, self.at):  # up to two marks may end the text itself
            self.at += 1

    def _value(self, path: KeyPath) -> None:
        self._skip(" \t\n")
        letter = self.text[self.at]
        if letter in "\"'":
            self._pass_quoted()
        elif letter == "[":
            self._array(path)
        elif letter == "{":
            self._inline(path)
        else:
            while self.at < len(self.text) and self.text[self.at] not in ",]}#\n":
                self.at += 1

    def _array(self, path: KeyPath) -> None:
        self.at += 1
        number = 0
        while self._skip(" \t\n,") and self.text[self.at] != "]":
            self._note((*path, number))
            self._value((*path, number))
            number += 1
        self.at += 1

    def _inline(self, path: KeyPath) -> None:
        self.at += 1
        while self._skip(" \t\n,") and self.text[self.at] != "}":
            self._pair(path)
        self.at += 1
