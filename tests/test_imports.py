"""Who may import whom: the layers hold, and the command starts without the heavy libraries."""

import ast
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent
PACKAGES = ("inventory", "nester")
HEAVY = (
    "highspy",
    "numba",
    "numpy",
    "openpyxl",
    "pulp",
    "pydantic",
    "rectpack",
    "rich",
    "sqlite3",
    "svgwrite",
    "tomlkit",
)


def modules() -> list[Path]:
    """Return every source file of both packages."""
    return sorted(path for package in PACKAGES for path in (ROOT / package).rglob("*.py"))


def dotted(path: Path) -> str:
    """Return the module name of a source file."""
    parts = path.relative_to(ROOT).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


def imports(path: Path) -> Iterator[tuple[int, str]]:
    """Yield the line and full name of each thing imported by a source file, at any depth."""
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            for alias in node.names:
                yield node.lineno, alias.name
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path}:{node.lineno}: write the import in full"
            for alias in node.names:
                yield node.lineno, f"{node.module}.{alias.name}"
        elif (
            isinstance(node, ast.Call)
            and isinstance(node.func, ast.Name | ast.Attribute)
            and getattr(node.func, "id", getattr(node.func, "attr", "")) == "import_module"
            and node.args
            and isinstance(node.args[0], ast.Constant)
        ):
            yield node.lineno, str(node.args[0].value)


def below(name: str, *packages: str) -> bool:
    """Return whether ``name`` is one of ``packages`` or lies inside one."""
    return any(name == package or name.startswith(package + ".") for package in packages)


def offences(paths: list[Path], *forbidden: str) -> list[str]:
    """Return where ``paths`` import something from ``forbidden``."""
    return [
        f"{path.relative_to(ROOT)}:{line}: {name}"
        for path in paths
        for line, name in imports(path)
        if below(name, *forbidden)
    ]


def inside(package: str) -> list[Path]:
    """Return the source files of a package or module, by its dotted name."""
    return [path for path in modules() if below(dotted(path), package)]


def outside(*packages: str) -> list[Path]:
    """Return the source files that belong to none of ``packages``."""
    return [path for path in modules() if not below(dotted(path), *packages)]


def test_the_walk_sees_imports_of_every_form(tmp_path: Path) -> None:
    """Plain, from-, nested and by-name imports are all found."""
    source = tmp_path / "sample.py"
    source.write_text(
        "import a.b\nfrom c import d\ndef f():\n    import e\n"
        "    import_module('g.h')\n    importlib.import_module('i')\n",
        encoding="utf-8",
    )
    assert [name for _, name in imports(source)] == ["a.b", "c.d", "e", "g.h", "i"]


def test_there_is_something_to_walk() -> None:
    """Both packages are there, so the rules below are not empty."""
    assert len(inside("inventory")) > 5
    assert len(inside("nester")) > 20


def test_inventory_imports_nothing_of_nester() -> None:
    """The lower layer does not know the upper one."""
    assert offences(inside("inventory"), "nester") == []


def test_only_the_command_line_opens_a_rack_or_parses_arguments() -> None:
    """Outside the command line and the rack itself, no database and no argument parser."""
    paths = outside("nester.cli", "nester.__main__", "inventory.rack")
    assert offences(paths, "click", "sqlite3", "inventory.rack") == []
    assert offences(inside("inventory"), "click") == []


def test_only_the_command_line_imports_the_command_line() -> None:
    """Nothing below depends on how it is called."""
    assert offences(outside("nester.cli", "nester.__main__"), "nester.cli") == []


def test_the_solver_sees_no_file_database_or_terminal() -> None:
    """The solver gets integers and gives integers."""
    forbidden = (
        "click",
        "inventory.readers",
        "io",
        "json",
        "nester.readers",
        "nester.writers",
        "os",
        "pathlib",
        "rich",
        "sqlite3",
        "tomllib",
    )
    assert inside("nester.solve")
    assert offences(inside("nester.solve"), *forbidden) == []


def test_the_checker_shares_no_code_with_the_solver() -> None:
    """The checker imports the standard library, lengths, and its own modules; nothing else."""
    paths = inside("nester.verify")
    assert paths
    found = [
        f"{path.relative_to(ROOT)}:{line}: {name}"
        for path in paths
        for line, name in imports(path)
        if name.split(".")[0] not in sys.stdlib_module_names
        and not below(name, "inventory.length", "nester.verify")
    ]
    assert found == []


@pytest.mark.parametrize("argument", ["--help", "--version"])
def test_help_starts_without_the_heavy_libraries(argument: str) -> None:
    """Asking for help or the version loads none of the libraries that take long to load."""
    code = (
        "import sys, nester.cli.main as m\n"
        "try:\n"
        f"    m.cli.main([{argument!r}], prog_name='nester')\n"
        "except SystemExit as end:\n"
        "    assert not end.code, end.code\n"
        f"print('loaded:', *[name for name in {HEAVY!r} if name in sys.modules])\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=True
    )
    assert done.stdout.splitlines()[-1].split() == ["loaded:"]
