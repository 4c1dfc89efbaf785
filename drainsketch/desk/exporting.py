"""Files for others, written from the window: what can be written, and the one way it is asked for and told."""

from collections.abc import Callable
from pathlib import Path

from msgspec import Struct

from drainsketch.desk.dialogs import Dialogs
from drainsketch.desk.documents import Documents
from drainsketch.desk.session import Session
from drainsketch.errors import DrainsketchError
from drainsketch.job.model import Job
from drainsketch.review import Review
from drainsketch.study import study

Write = Callable[[Job, Review, Path], object]


class Export(Struct, frozen=True):
    """One kind of file. ``ending`` is put after the job's name; ``kinds`` is the filter of the file dialog."""

    name: str  # of the command
    label: str
    tip: str
    title: str  # of the file dialog
    ending: str
    kinds: str
    write: Write
    offer: bool = False  # to open what was written


# the libraries behind these load when the first file of their kind is written


def _takeoff_csv(job: Job, review: Review, path: Path) -> None:
    from drainsketch.exports.csv import write_takeoff_csv

    write_takeoff_csv(job, review, path)


def _takeoff_xlsx(job: Job, review: Review, path: Path) -> None:
    from drainsketch.exports.xlsx import write_takeoff_xlsx

    write_takeoff_xlsx(job, review, path)


def _price_xlsx(job: Job, review: Review, path: Path) -> None:
    from drainsketch.exports.price_xlsx import write_price_xlsx
    from drainsketch.files.prices import prices_in_use
    from drainsketch.pricing import price_of, priced_here

    prices = prices_in_use()
    write_price_xlsx(review, price_of(review, prices), priced_here(prices, job.pricing).terms, path)


def _drawing(job: Job, review: Review, path: Path) -> None:
    from drainsketch.exports.dxf import write_dxf

    write_dxf(job, review, path, ground=study(review).ground)


def _geojson(job: Job, review: Review, path: Path) -> None:
    from drainsketch.exports.geojson import write_geojson

    write_geojson(job, review, path)


def _points(job: Job, review: Review, path: Path) -> None:
    from drainsketch.exports.csv import write_points_csv

    write_points_csv(job, review, path)


def _cut_sheet(job: Job, review: Review, path: Path) -> None:
    from drainsketch.exports.cut_csv import write_cut_sheet_csv

    write_cut_sheet_csv(job, review, path)


def _legend(job: Job, review: Review, path: Path) -> None:
    from drainsketch.sheets.legend import write_legend

    write_legend(path)


CSV = "Comma-separated values (*.csv)"
EXPORTS: tuple[Export, ...] = (
    Export(
        "export_takeoff_csv",
        "Takeoff as CSV…",
        "Quantities with their rules, for any spreadsheet program",
        "Write the takeoff as",
        "-takeoff.csv",
        CSV,
        _takeoff_csv,
    ),
    Export(
        "export_takeoff_xlsx",
        "Takeoff as Workbook…",
        "Quantities with their rules and the particulars of the job",
        "Write the takeoff as",
        "-takeoff.xlsx",
        "Workbook (*.xlsx)",
        _takeoff_xlsx,
    ),
    Export(
        "export_price_xlsx",
        "Price as Workbook…",
        "The price with its formulas: change a quantity, a price or a percentage and the total follows",
        "Write the price as",
        "-price.xlsx",
        "Workbook (*.xlsx)",
        _price_xlsx,
    ),
    Export(
        "export_dxf",
        "Drawing as DXF…",
        "Plan and profiles in true feet, a layer for each kind of thing",
        "Write the drawing as",
        ".dxf",
        "DXF drawing (*.dxf)",
        _drawing,
    ),
    Export(
        "export_geojson",
        "Plan as GeoJSON…",
        "The plan in the job's own feet, for other programs",
        "Write the plan as",
        ".geojson",
        "GeoJSON (*.geojson)",
        _geojson,
    ),
    Export(
        "export_points",
        "Points to Stake Out as CSV…",
        "Number, north, east, level and description of every point",
        "Write the points as",
        "-points.csv",
        CSV,
        _points,
    ),
    Export(
        "export_cut_sheet",
        "Cut Sheet as CSV…",
        "Station, ground, invert, cut and what to read for every run, with what was read as laid",
        "Write the cut sheet as",
        "-cut-sheet.csv",
        CSV,
        _cut_sheet,
    ),
    Export(
        "export_legend",
        "Legend Sheet as PDF…",
        "What every line and sign means, on one page",
        "Write the legend sheet as",
        "-legend.pdf",
        "PDF (*.pdf)",
        _legend,
        offer=True,
    ),
)


def export(what: Export, session: Session, documents: Documents, dialogs: Dialogs) -> Path | None:
    """Ask where, write it, say so; return the file, or None when nothing was written."""
    suffix = Path(what.ending).suffix or what.ending
    path = dialogs.ask_save(documents.beside(what.ending), what.title, suffix, what.kinds)
    if path is None:
        return None
    return written(path, what.write, session, documents, dialogs, offer=what.offer)


def written(
    path: Path, write: Write, session: Session, documents: Documents, dialogs: Dialogs, *, offer: bool
) -> Path | None:
    """Write a file and say so, with an offer to open it if wanted; return None, and say why, when it could not be written."""
    if documents.path is not None and _same_file(path, documents.path):
        dialogs.tell(f"{path.name} is the job file itself.", "Choose another name to write to.")
        return None
    try:
        with dialogs.busy():
            write(session.job, session.review, path)
    except (DrainsketchError, OSError) as fault:
        dialogs.tell(f"{path.name} could not be written.", str(fault))
        return None
    if not offer:
        session.tell(f"{path.name} is written in {path.parent}.")
    elif dialogs.confirm(f"{path.name} is written.", "Open it now?", "Open"):
        dialogs.show_file(path)
    return path


def _same_file(one: Path, other: Path) -> bool:
    try:
        return one.samefile(other)
    except OSError:  # one of them is not there
        return False
