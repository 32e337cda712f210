"""The edge of the program: whatever happens inside, the user reads one line and no traceback."""

import errno
import os
import sys
from collections.abc import Callable, Sequence

import click

from nester.cli.common import Exit, tell


def guarded(work: Callable[[], object], arguments: Sequence[str]) -> int:
    """Do ``work`` and return the exit status; ``arguments`` go into a fault report."""
    try:
        result = work()
        sys.stdout.flush()
    except click.exceptions.Exit as end:
        return int(end.exit_code)
    except click.UsageError as error:
        error.show()
        return Exit.USAGE
    except click.ClickException as error:
        tell(error.format_message())
        return int(error.exit_code)
    except (click.Abort, KeyboardInterrupt):
        tell("interrupted; nothing half-done was left behind")
        return Exit.INTERRUPTED
    except BrokenPipeError:
        # Whoever read our output has gone; the interpreter would complain once more at its exit.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return Exit.FAULTS
    except MemoryError:
        tell("there is not enough memory for this")
        return Exit.FAULTS
    except OSError as error:
        tell(_refused_by_the_system(error))
        return Exit.FAULTS
    except Exception as error:
        return _own_fault(error, arguments)
    return int(result) if isinstance(result, int) else Exit.DONE


def fill_closed_streams() -> None:
    """Give each standard stream that was closed before the start a place to write into nothing.

    Else the next file opened would take its number, and what is printed would end up in it.
    """
    while (number := os.open(os.devnull, os.O_RDWR)) <= 2:
        os.set_inheritable(number, True)
    os.close(number)
    for name, own, mode in (("stdin", 0, "r"), ("stdout", 1, "w"), ("stderr", 2, "w")):
        if getattr(sys, name) is None:
            setattr(sys, name, open(own, mode, encoding="utf-8"))  # noqa: SIM115


def speak_any_script() -> None:
    """Let a terminal of a narrow character set show what it can, in place of failing."""
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="backslashreplace")


def _refused_by_the_system(error: OSError) -> str:
    why = error.strerror or str(error)
    if error.filename is not None:
        return f'"{error.filename}": {why}'
    if error.errno in (errno.ENOSPC, errno.EIO, errno.EBADF):  # files are written with their names
        return f"cannot write to standard output: {why.lower()}"
    return why


def _own_fault(error: Exception, arguments: Sequence[str]) -> int:
    from nester.cli.crash import save_report

    path = save_report(error, arguments)
    kept = f'a report is saved as "{path}"' if path else "the report of it could not be saved"
    tell(f"this is a fault of the program, not of your files ({type(error).__name__}); {kept}")
    return Exit.FAULTS
