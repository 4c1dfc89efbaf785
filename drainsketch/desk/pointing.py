"""Ground shots from a file of points, taken in from the window."""

from pathlib import Path

from drainsketch.desk.dialogs import Dialogs
from drainsketch.desk.documents import Documents
from drainsketch.errors import DrainsketchError, EditError
from drainsketch.files.cells import MOST_CHARACTERS
from drainsketch.files.points import shots_from
from drainsketch.job.edits.add import add_shots

KINDS = "Points (*.csv *.txt *.pnt *.asc)"


def import_points(documents: Documents, dialogs: Dialogs) -> bool:
    """Ask for a file of points and how to read it, and put its points on the plan as shots, in one step; return whether."""
    session = documents.session
    path = dialogs.ask_read(documents.beside("").parent, "Import points", KINDS)
    if path is None:
        return False
    try:
        read = dialogs.ask_points(text_of(path), path.name, session.job.header.units)
        if read is None:
            return False
        before = {s.id for s in session.job.shots}
        session.apply(add_shots(session.job, shots_from(read)), "Import points")
    except DrainsketchError as fault:
        dialogs.tell(f"{path.name} could not be taken in.", str(fault))
        return False
    session.select(s.id for s in session.job.shots if s.id not in before)
    session.tell(f"{len(read.points)} shots came in from {path.name}.")
    return True


def text_of(path: Path) -> str:
    """Return the text of a file, in UTF-8 or as older programs of the field write it. Raises EditError."""
    try:
        with path.open("rb") as file:
            data = file.read(MOST_CHARACTERS + 1)
    except OSError as fault:
        raise EditError(f"{path.name}: this file cannot be read: {fault.strerror or fault}") from fault
    if len(data) > MOST_CHARACTERS:
        raise EditError(f"{path.name}: the file is longer than {MOST_CHARACTERS:,} bytes; take it in parts")
    if data[:2] in (b"\xff\xfe", b"\xfe\xff"):
        return data.decode("utf-16", errors="replace")
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError:
        return data.decode("cp1252", errors="replace")
