"""What the command line takes: commands, their arguments, and what is said of a wrong one."""

import argparse
from collections.abc import Sequence
from difflib import get_close_matches
from importlib.metadata import version
from pathlib import Path
from typing import NoReturn, TypeAlias

from drainsketch.errors import UsageError
from drainsketch.wording import Words, languages

READERS = ("crew", "owner", "record")
PAPERS = ("letter", "tabloid", "arch-c", "arch-d", "a4", "a3")
COMMANDS = (
    *("window", "check", "sheets", "takeoff", "price", "options", "workplan", "export", "import", "picture"),
    *("schema", "stock", "prices", "contractor", "samples"),
)
Commands: TypeAlias = "argparse._SubParsersAction[_Parser]"


def parsed(arguments: Sequence[str]) -> argparse.Namespace:
    """Return the arguments read; ``command`` is the one to run, 'window' for a bare job file or none at all.

    Raises
    ------
    UsageError : they cannot be read; says which, in one line
    """
    return _parser().parse_args(_with_command(list(arguments)))


def _with_command(arguments: list[str]) -> list[str]:
    """Return the arguments with 'window' put before a bare job file, or when there are none."""
    if arguments and (arguments[0] in COMMANDS or arguments[0].startswith("-")):
        return arguments
    if arguments and not Path(arguments[0]).suffix and not Path(arguments[0]).exists():
        near = get_close_matches(arguments[0], COMMANDS, 1)
        guess = f"did you mean {near[0]}?" if near else "see drainsketch --help"
        raise UsageError(f"{arguments[0]}: neither a command nor a job file; {guess}")
    return ["window", *arguments]


class _Parser(argparse.ArgumentParser):
    """Says what is wrong with the arguments in one line, as every other error."""

    def error(self, message: str) -> NoReturn:
        """Raise UsageError."""
        raise UsageError(f"{message}; see {self.prog} --help")


def _parser() -> argparse.ArgumentParser:
    parser = _Parser(
        prog="drainsketch",
        description="Sketch a yard drain, prove it falls, count it and print it to scale.",
        epilog=Words().word("findings.safety"),
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.add_argument("--version", action="version", version=f"drainsketch {version('drainsketch')}")
    commands = parser.add_subparsers(required=True, metavar="COMMAND", dest="command")
    _add_reviews(commands)
    _add_files(commands)
    _add_lists(commands)
    return parser


def _add_reviews(commands: Commands) -> None:
    """Add the commands that show a job."""
    window = commands.add_parser("window", help="open the window (so does a job file alone)")
    window.add_argument("job", nargs="?", type=Path)

    check = commands.add_parser("check", help="print the findings; exit 1 when one is at stop level")
    check.add_argument("job", type=Path)
    check.add_argument("--json", action="store_true", help="print everything the review knows, as JSON")
    check.add_argument("--lang", choices=languages(), default="en")

    takeoff = commands.add_parser("takeoff", help="print the quantities")
    takeoff.add_argument("job", type=Path)
    printed = takeoff.add_mutually_exclusive_group()
    printed.add_argument("--json", action="store_true", help="print it as JSON, the loading list in it")
    printed.add_argument("--loading", action="store_true", help="print the loading list: what goes on the truck")
    takeoff.add_argument("--csv", type=Path, metavar="FILE", help="write a CSV file")
    takeoff.add_argument("--xlsx", type=Path, metavar="FILE", help="write a spreadsheet")
    takeoff.add_argument("--lang", choices=languages(), default="en")

    price = commands.add_parser("price", help="price the job by your price book, or by the invented example")
    price.add_argument("job", type=Path)
    price.add_argument("--book", type=Path, metavar="FILE", help="a price book, .csv; without it the one you keep")
    price.add_argument("--terms", type=Path, metavar="FILE", help="price terms, .toml; without it those you keep")
    price.add_argument("--json", action="store_true")
    price.add_argument("--xlsx", type=Path, metavar="FILE", help="write a workbook with live formulas")
    price.add_argument("--lang", choices=languages(), default="en")

    options = commands.add_parser("options", help="hold the options of a job against each other, with prices")
    options.add_argument("job", type=Path)
    options.add_argument("--book", type=Path, metavar="FILE", help="a price book, .csv; without it the one you keep")
    options.add_argument("--terms", type=Path, metavar="FILE", help="price terms, .toml; without it those you keep")
    options.add_argument("--json", action="store_true")
    options.add_argument("--lang", choices=languages(), default="en")

    workplan = commands.add_parser(
        "workplan", help="print the order of work, day by day, and how the locate ticket stands"
    )
    workplan.add_argument("job", type=Path)
    workplan.add_argument("--book", type=Path, metavar="FILE", help="a price book, .csv; its rates make the hours")
    workplan.add_argument("--terms", type=Path, metavar="FILE", help="price terms, .toml: crew, hours a day, truck")
    workplan.add_argument("--json", action="store_true")
    workplan.add_argument("--lang", choices=languages(), default="en")

    for one in (check, takeoff, price, workplan):
        _add_option(one)


def _add_option(command: argparse.ArgumentParser) -> None:
    """Let a command take the option of the job to go by."""
    command.add_argument("--option", metavar="NAME", help="which option of the job; without it the one that is drawn")


def _add_files(commands: Commands) -> None:
    """Add the commands that write a file of a job."""
    sheets = commands.add_parser("sheets", help="write the plan and its schedules as PDF")
    sheets.add_argument("job", type=Path)
    sheets.add_argument("-o", "--output", type=Path, required=True)
    sheets.add_argument("--paper", choices=PAPERS, default="letter")
    sheets.add_argument("--for", dest="audience", choices=(*READERS, "all"), default="crew")
    sheets.add_argument(
        "--lang", type=_langs, default="en", help="en or es; or one for each reader, as crew=es,owner=en,record=en"
    )
    sheets.add_argument(
        "--scale", type=_scale, help="10 for 1 in = 10 ft, or 1:100; over several pages where one is too small"
    )
    sheets.add_argument("--contours", action="store_true", help="draw contours on the crew's plan")
    sheets.add_argument("--book", type=Path, metavar="FILE", help="the price book of offer and work plan, as for price")
    sheets.add_argument("--terms", type=Path, metavar="FILE", help="its price terms, as for price")
    sheets.add_argument("--without-price", action="store_true", help="leave the price out of the owner's set")
    sheets.add_argument(
        "--leave-out",
        type=_keys,
        default=(),
        metavar="PAGE,...",
        help="pages that are not wanted, by name, as takeoff,storm-plan; an unknown name lists the pages there are",
    )

    sheets.add_argument(
        "--job-inside",
        action=argparse.BooleanOptionalAction,
        help="carry the job file in the PDF, prices and all; unless told otherwise, only in the crew's set and in all",
    )

    export = commands.add_parser("export", help="write the plan as .dxf, .geojson or .csv (points to stake out)")
    export.add_argument("job", type=Path)
    export.add_argument("-o", "--output", type=Path, required=True)
    export.add_argument(
        "--csv",
        choices=("points", "cut-sheet"),
        default="points",
        help="what a .csv holds; points when nothing is said",
    )

    drawing = commands.add_parser(
        "import", help="lay a .dxf or .geojson drawing under a plan, or take the lot line from it"
    )
    drawing.add_argument("job", type=Path)
    drawing.add_argument("drawing", type=Path)
    drawing.add_argument("-o", "--output", type=Path, required=True, help="the new job file")
    drawing.add_argument("--as", dest="taken_as", choices=("under", "lot-line"), default="under")
    drawing.add_argument(
        "--unit", choices=("ft", "in", "m", "mm"), help="its units, where it does not say them or says wrong"
    )
    drawing.add_argument(
        "--place",
        choices=("keep", "origin", "yard"),
        default="keep",
        help="keep its coordinates, put its lower left corner at 0, 0, or its middle at the middle of the yard",
    )

    picture = commands.add_parser("picture", help="write a PNG picture of the window with the job in it")
    picture.add_argument("job", type=Path)
    picture.add_argument("-o", "--output", type=Path, required=True)
    picture.add_argument("--size", type=_size, default=(1366, 768), metavar="WxH")
    for one in (sheets, export, picture):
        _add_option(one)


def _add_lists(commands: Commands) -> None:
    """Add the commands that need no job."""
    schema = commands.add_parser("schema", help="print a JSON Schema: of the job file, or of what --json prints")
    schema.add_argument(
        "of", nargs="?", choices=("job", "check", "takeoff", "price", "workplan", "options"), default="job"
    )

    commands.add_parser("stock", help="print the basin stock that ships with the program, a file to edit")

    prices = commands.add_parser(
        "prices", help="print the example price book or terms, files to edit; or keep your own"
    )
    prices.add_argument("what", nargs="?", choices=("book", "terms"), default="book")
    prices.add_argument("--keep", type=Path, metavar="FILE", help="read this file and keep it as your own for all jobs")

    contractor = commands.add_parser(
        "contractor",
        help="print an example of a contractor's particulars, a file to edit; or keep your own, and your logo",
    )
    contractor.add_argument("--keep", type=Path, metavar="FILE", help="read this file and keep it as your own")
    contractor.add_argument("--logo", type=Path, metavar="PICTURE", help="keep a copy of this PNG or JPEG as your logo")

    commands.add_parser("samples", help="list the sample yards that ship with the program")


def _langs(text: str) -> str | dict[str, str]:
    """Return a language, or one for each reader from 'crew=es,owner=en'."""
    found = {}
    parts = _keys(text)
    for part in parts:
        reader, _, lang = part.rpartition("=")
        found[reader.strip()] = lang.strip()
    mixed = len(found) < len(parts) or ("" in found and len(parts) > 1)
    for reader, lang in found.items():
        if mixed or reader not in ("", *READERS) or lang not in languages():
            raise argparse.ArgumentTypeError(
                f"{text}: write one of {', '.join(languages())}, or one for each of {', '.join(READERS)}, as crew=es,owner=en"
            )
    return found.get("", found)


def _keys(text: str) -> tuple[str, ...]:
    """Return names that stand between commas."""
    return tuple(key for part in text.split(",") if (key := part.strip()))


def _scale(text: str) -> float:
    """Return feet per inch of paper from '10' (1 in = 10 ft) or '1:100'."""
    try:
        value = float(text.removeprefix("1:")) / (12 if text.startswith("1:") else 1)
    except ValueError:
        value = 0.0
    if not 0 < value < 10_000:
        raise argparse.ArgumentTypeError(f"{text} is not a scale; write 10 for 1 in = 10 ft, or 1:100")
    return value


def _size(text: str) -> tuple[int, int]:
    width, _, height = text.lower().partition("x")
    if width.isdecimal() and height.isdecimal() and 200 <= int(width) <= 8000 and 200 <= int(height) <= 8000:
        return int(width), int(height)
    raise argparse.ArgumentTypeError(f"{text} is not a size; write for example 1366x768")
