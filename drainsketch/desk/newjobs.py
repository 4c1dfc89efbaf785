"""What a new job begins with on this machine."""

from PySide6.QtCore import QSettings

from drainsketch.errors import JobFileError
from drainsketch.files.stock import parse_stock
from drainsketch.job.model import Job

STOCK_KEY = "stock/text"  # the basin stock read in last, as TOML


def new_job(settings: QSettings) -> Job:
    """Return an empty job with the basin stock that was read in last, or else the shipped one."""
    text = str(settings.value(STOCK_KEY, ""))
    try:
        return Job(stock=parse_stock(text.encode())) if text else Job()
    except JobFileError:  # written by a later program, or by hand
        return Job()
