"""The basin stock from the window: written out to be edited, and read in for this job and every new one."""

from drainsketch.desk.dialogs import Dialogs
from drainsketch.desk.documents import Documents
from drainsketch.desk.newjobs import STOCK_KEY
from drainsketch.errors import DrainsketchError
from drainsketch.files.atomic import in_words, write_whole
from drainsketch.files.stock import read_stock, shipped_stock_text
from drainsketch.job.edits.change import change_stock

SUFFIX = ".toml"
KINDS = f"Basin stock (*{SUFFIX})"


def write_stock(documents: Documents, dialogs: Dialogs) -> None:
    """Write the basin stock of new jobs, to be edited with any text editor."""
    path = dialogs.ask_save(
        documents.beside("").parent / f"basin-stock{SUFFIX}", "Write the basin stock", SUFFIX, KINDS
    )
    if path is None:
        return
    text = str(documents.settings.value(STOCK_KEY, "")) or shipped_stock_text()
    try:
        write_whole(path, text.encode())
    except (OSError, ValueError) as fault:
        why = in_words(fault) if isinstance(fault, OSError) else str(fault)
        dialogs.tell(f"{path.name} could not be written.", why)
        return
    documents.session.tell(f"Wrote {path.name}: put in the heights of the basins you buy, then read it in.")


def take_stock(documents: Documents, dialogs: Dialogs) -> None:
    """Read an edited basin stock: it holds for this job, as one step that can be undone, and for new ones."""
    path = dialogs.ask_read(documents.beside("").parent, "Read a basin stock", KINDS)
    if path is None:
        return
    try:
        stock = read_stock(path)
        documents.settings.setValue(STOCK_KEY, path.read_text(encoding="utf-8"))
        documents.session.apply(change_stock(documents.session.job, stock), "Take a basin stock")
    except (DrainsketchError, OSError) as fault:
        dialogs.tell(f"{path.name} could not be read.", str(fault))
        return
    sizes = ", ".join(f"{body.size_in} in" for body in stock)
    documents.session.tell(f"Basins of {sizes} are taken from {path.name}, here and in new jobs.")
