"""Writing the sheets from the window: show them and ask how, write what was seen, offer to open it."""

from io import BytesIO
from pathlib import Path

from drainsketch.desk.dialogs import Dialogs
from drainsketch.desk.documents import Documents
from drainsketch.desk.exporting import written
from drainsketch.desk.session import Session
from drainsketch.desk.sheet_maker import SheetMaker
from drainsketch.job.model import Job
from drainsketch.review import Review


def export_sheet(session: Session, documents: Documents, dialogs: Dialogs) -> Path | None:
    """Show the sheets, ask how and where, write them, offer to open them; return the file, or None when nothing was written."""
    maker = SheetMaker(session.job)
    choice = dialogs.ask_sheet(session.job.header.units, maker)
    if choice is None:
        return None
    path = dialogs.ask_save(documents.beside(".pdf"), "Write the sheets as", ".pdf", "PDF (*.pdf)")
    if path is None:
        return None

    def write(_job: Job, _review: Review, to: Path) -> None:
        from drainsketch.sheets.book import replace_file

        replace_file(to, BytesIO(maker.made(choice).data))

    return written(path, write, session, documents, dialogs, offer=True)
