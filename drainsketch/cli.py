"""The command line.

Exit codes: 0 done (for check: nothing at stop level), 1 check found something at stop level, 2 a file or an argument cannot be
read or written, 3 a fault in the program. Errors go to standard error as one line that names the file and the place.
"""

import argparse
import contextlib
import io
import os
import sys
import traceback
from collections.abc import Callable, Sequence
from pathlib import Path

from drainsketch.arguments import parsed
from drainsketch.commands import listing, telling, writing
from drainsketch.errors import DrainsketchError, UsageError
from drainsketch.files.atomic import in_words


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command and return its exit code."""
    arguments = list(sys.argv[1:] if argv is None else argv)
    if sys.stdout is None:  # closed by whoever started us
        sys.stdout = Path(os.devnull).open("w", encoding="utf-8")  # noqa: SIM115
    if isinstance(sys.stdout, io.TextIOWrapper):
        sys.stdout.reconfigure(errors="replace")  # a terminal that knows no degree sign gets a question mark
    try:
        options = parsed(arguments)
        code = COMMANDS[options.command](options)
        sys.stdout.flush()
        return code
    except DrainsketchError as fault:
        _complain(str(fault))
        return 2
    except BrokenPipeError:  # the reader of our output went away, as with `| head`
        _drop_output()
        return 0
    except OSError as fault:
        _complain(f"{fault.filename or 'the output'}: {in_words(fault)}")
        _drop_output()
        return 2
    except Exception as fault:
        if os.environ.get("DRAINSKETCH_TRACE"):
            traceback.print_exc()
        _complain(f"a fault in the program, please report it: {type(fault).__name__}: {fault}")
        return 3


def _drop_output() -> None:
    """Send what is still to be written nowhere, so that the interpreter does not complain at its end."""
    with contextlib.suppress(OSError, ValueError, AttributeError):
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def open_window() -> int:
    """Open the window; the entry point without a console."""
    return main(["window", *sys.argv[1:]])


def _complain(sentence: str) -> None:
    print("drainsketch: " + " ".join(sentence.split()), file=sys.stderr)


def _window(options: argparse.Namespace) -> int:
    unix = sys.platform not in ("win32", "darwin")
    if unix and not any(os.environ.get(name) for name in ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM")):
        raise UsageError("there is no display to open a window on; check, sheets, takeoff and export work without one")
    from drainsketch.desk.app import run

    return run(options.job)


COMMANDS: dict[str, Callable[[argparse.Namespace], int]] = {
    "window": _window,
    "check": telling.check,
    "sheets": writing.sheets,
    "takeoff": telling.takeoff,
    "price": telling.price,
    "options": telling.options,
    "workplan": telling.workplan,
    "export": writing.export,
    "import": writing.import_,
    "picture": writing.picture,
    "schema": listing.schema,
    "stock": listing.stock,
    "prices": listing.prices,
    "contractor": listing.contractor,
    "samples": listing.samples,
}


if __name__ == "__main__":
    sys.exit(main())
