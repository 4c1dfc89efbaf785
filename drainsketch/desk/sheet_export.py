"""Writing the sheets from the window: ask how, write them, offer to look at them."""

from pathlib import Path

from drainsketch.desk.dialogs import Dialogs
from drainsketch.desk.documents import Documents
from drainsketch.desk.exporting import written
from drainsketch.desk.session import Session
from drainsketch.desk.studying import study_of
from drainsketch.files.firm import letterhead_in_use
from drainsketch.files.prices import prices_in_use
from drainsketch.job.model import Job
from drainsketch.options import compared
from drainsketch.pricing import offered
from drainsketch.review import Review
from drainsketch.study import play


def export_sheet(session: Session, documents: Documents, dialogs: Dialogs) -> Path | None:
    """Ask how and where, write the sheets, offer to open them; return the file, or None when nothing was written."""
    choice = dialogs.ask_sheet(session.job.header.units)
    if choice is None:
        return None
    path = dialogs.ask_save(documents.beside(".pdf"), "Write the sheets as", ".pdf", "PDF (*.pdf)")
    if path is None:
        return None

    def write(job: Job, review: Review, to: Path) -> None:
        from drainsketch.planning import work_plan_of
        from drainsketch.sheets.book import shows_storm, write_sheets  # reportlab loads when the first sheet is written
        from drainsketch.sheets.contents import Contents

        prices = prices_in_use()
        closer, for_owner = study_of(session), shows_storm(choice.audience)
        contents = Contents(
            job,
            review,
            ground=closer.ground if closer is not None else None,
            contours=choice.contours,
            storm=closer.water if closer is not None else None,
            played=play(closer) if closer is not None and for_owner else None,
            options=compared(job, prices if choice.price else None, played=True) if for_owner and job.aside else (),
            price=offered(review, prices) if choice.price and for_owner else None,
            letterhead=letterhead_in_use(),
            work=work_plan_of(review, prices) if choice.audience != "record" else None,
        )
        write_sheets(
            contents,
            to,
            paper=choice.paper,
            scale_ft_per_in=choice.scale_ft_per_in,
            audience=choice.audience,
            leave_out=choice.leave_out,
        )

    return written(path, write, session, documents, dialogs, offer=True)
