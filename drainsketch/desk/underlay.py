"""A drawing from elsewhere, taken in from the window: under the plan, or as its lot line."""

from drainsketch.desk.dialogs import Dialogs
from drainsketch.desk.documents import Documents
from drainsketch.desk.session import Session
from drainsketch.errors import DrainsketchError
from drainsketch.files.drawing_place import backdrop_of, largest_outline
from drainsketch.files.drawing_read import read_drawing
from drainsketch.job.edits.add import add
from drainsketch.job.edits.backdrop import lay_under, show_backdrop, take_away
from drainsketch.job.model import Boundary

KINDS = "Drawings (*.dxf *.geojson *.json)"


def import_drawing(documents: Documents, dialogs: Dialogs) -> bool:
    """Ask for a drawing and what becomes of it, and take it in, in one step; return whether it was."""
    session = documents.session
    path = dialogs.ask_read(documents.beside("").parent, "Import a drawing", KINDS)
    if path is None:
        return False
    try:
        with dialogs.busy():
            drawing = read_drawing(path)
        chosen = dialogs.ask_drawing(drawing, session.job)
        if chosen is None:
            return False
        if chosen.taken_as == "under":
            session.apply(lay_under(session.job, backdrop_of(chosen.lines, path.name)), "Lay a drawing under the plan")
            many = len(chosen.lines)
            said = f"{many:,} {'line' if many == 1 else 'lines'} of {drawing.source} {'lies' if many == 1 else 'lie'} under the plan."
            session.tell(f"{said} Check one length of it with the tape.")
        else:
            ring = largest_outline(chosen.lines, drawing.source)
            session.apply(add(session.job, Boundary(id="boundary", points=ring)), "Take the lot line from a drawing")
            session.select(("boundary",))
            session.tell(f"The lot line came from {drawing.source}. Check its lengths: no survey was seen here.")
    except DrainsketchError as fault:
        dialogs.tell(f"{path.name} could not be taken in.", str(fault))
        return False
    return True


def drop_drawing(session: Session) -> None:
    """Take the drawing under the plan away."""
    session.apply(take_away(session.job), "Take the drawing away")


def show_drawing(session: Session, shown: bool) -> None:
    """Show or hide the drawing under the plan."""
    session.apply(show_backdrop(session.job, shown), f"{'Show' if shown else 'Hide'} the drawing under the plan")
