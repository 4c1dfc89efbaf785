"""Writing the sheets from the window: ask how, write them, offer to look at them."""

from pathlib import Path

from drainsketch.desk.dialogs import Dialogs
from drainsketch.desk.session import Session
from drainsketch.errors import DrainsketchError


def export_sheet(session: Session, dialogs: Dialogs, suggested: Path) -> Path | None:
    """Ask how and where, write the sheets, offer to open them; return the file, or None when nothing was written."""
    choice = dialogs.ask_sheet(session.job.header.units)
    if choice is None:
        return None
    path = dialogs.ask_save(suggested.with_suffix(".pdf"), "Write the sheets as", ".pdf", "PDF (*.pdf)")
    if path is None:
        return None
    from drainsketch.sheets.book import write_sheets  # reportlab loads when the first sheet is written

    try:
        write_sheets(
            session.job,
            session.review,
            path,
            paper=choice.paper,
            scale_ft_per_in=choice.scale_ft_per_in,
            audience=choice.audience,
        )
    except (DrainsketchError, OSError) as fault:
        dialogs.tell(f"{path.name} could not be written.", str(fault))
        return None
    if dialogs.confirm(f"{path.name} is written.", "Open it now?", "Open"):
        dialogs.show_file(path)
    return path
