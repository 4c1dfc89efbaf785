"""A rain table taken in: from what was pasted, from a file, or one of the invented examples."""

from drainsketch.desk.dialogs import Dialogs
from drainsketch.desk.documents import Documents
from drainsketch.desk.pointing import text_of
from drainsketch.desk.session import Session
from drainsketch.errors import DrainsketchError
from drainsketch.files.rainfall import TURNED_TO_INCHES, read_rain
from drainsketch.job.edits.change import change_rain
from drainsketch.job.rain import RainTable
from drainsketch.resources import resource

KINDS = "Rain tables (*.csv *.txt)"
EXAMPLES = (
    ("Depths, invented: no real place", "invented-depth.csv"),
    ("Intensities, invented: no real place", "invented-intensity.csv"),
)


def take_rain(session: Session, text: str) -> tuple[str, ...]:
    """Take the rain table of a text as one step, and return what the user has to be told of its reading.

    The storm stays the one that was chosen where the table has it; else it has to be chosen. A typed intensity makes way.

    Raises
    ------
    EditError : the text is no table that can be read; the job stays as it was
    """
    read = read_rain(text)
    table, chosen = read.table, session.job.rain.return_period_yr
    kept = chosen if chosen in table.return_periods_yr else None
    job = change_rain(session.job, table=table, return_period_yr=kept, intensity_in_h=None, source="")
    session.apply(job, "Take a rain table")
    session.tell(f"Took a rain table with {_size(table)}.{'' if kept else ' Choose the storm.'}")
    return tuple(t for t in read.told if t != TURNED_TO_INCHES or session.job.header.units != "m")


def rain_from_file(documents: Documents, dialogs: Dialogs) -> tuple[str, ...]:
    """Ask for a file with a rain table and take it in; what is returned and raised is as in ``take_rain``."""
    path = dialogs.ask_read(documents.beside("").parent, "Read a rain table", KINDS)
    if path is None:
        return ()
    try:
        return take_rain(documents.session, text_of(path))
    except DrainsketchError as fault:
        dialogs.tell(f"{path.name} could not be taken in.", str(fault))
        return ()


def example_text(name: str) -> str:
    """Return the text of an invented rain table."""
    return resource(f"rainfall/{name}").read_text(encoding="utf-8")


def _size(table: RainTable) -> str:
    return f"{len(table.return_periods_yr)} return periods and {len(table.rows)} durations"
