"""The prices in use at the desk: read once, read again when their files change, and the price of the job on the desk by them."""

from datetime import date
from decimal import Decimal
from typing import Any, Protocol

from msgspec.structs import replace
from PySide6.QtCore import QObject, Signal

from drainsketch.desk.filehold import stamp
from drainsketch.desk.session import Session
from drainsketch.errors import DrainsketchError
from drainsketch.files.folders import PRICES, TERMS, own_folder
from drainsketch.files.keeping_prices import keep_own_book, keep_rows, keep_some_terms, take_out_rows
from drainsketch.files.price_terms import own_terms
from drainsketch.files.prices import prices_in_use
from drainsketch.job.edits.pricing import change_price, take_back_price
from drainsketch.job.model import Job
from drainsketch.job.price_book import WORKER, PriceRow, Which
from drainsketch.job.prices import Prices
from drainsketch.job.pricing import Extra
from drainsketch.pricing import price_of, priced_here
from drainsketch.review import Review
from drainsketch.takeoff.price.results import Price


class Asks(Protocol):
    """The questions that the Price pane asks."""

    def ask_extra(self, before: Extra | None) -> Extra | None:
        """Ask for a line of the price that no takeoff counts."""

    def edit_terms(self, desk: "PriceDesk", first: str = "") -> None:
        """Let the terms be edited; ``first`` is the one that has the keyboard."""

    def edit_price_book(self, desk: "PriceDesk") -> None:
        """Let the whole price book be edited."""


class PriceDesk(QObject):
    """Prices, and what the job on the desk costs by them; whoever shows that asks for it, so that nobody pays for it unseen."""

    changed = Signal()  # the prices in use; a change of the job is the session's to tell

    def __init__(self, session: Session, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.session = session
        self.fault = ""  # why the user's own prices cannot be read
        self._prices: Prices | None = None
        self._stamps: tuple[object, ...] = ()
        self._made: tuple[Review, Prices, Price] | None = None

    @property
    def prices(self) -> Prices | None:
        """The prices in use for all jobs; None where the user's own cannot be read, and ``fault`` says why."""
        if self._prices is None and not self.fault:
            self._read()
        return self._prices

    @property
    def price(self) -> Price | None:
        """The price of the job as it stands."""
        prices, review = self.prices, self.session.plain_review
        if prices is None:
            return None
        if self._made is None or self._made[0] is not review or self._made[1] is not prices:
            self._made = review, prices, price_of(review, prices)
        return self._made[2]

    @property
    def here(self) -> Prices | None:
        """The prices in use with what the job has of its own over them."""
        prices = self.prices
        return priced_here(prices, self.session.job.pricing) if prices is not None else None

    def look_again(self) -> None:
        """Read the user's own prices again where their files changed since."""
        if self._stamps and self._stamps != _stamps():
            self._read()
            self.changed.emit()

    def set_figure(self, which: Which, name: str, figure: Decimal, what: str) -> None:
        """Give this job a price or a rate of its own. Raises EditError outside the bounds."""
        verb = "rate" if name == "per_hour" else "price"
        job = change_price(self.session.job, which, **{name: float(figure)})
        self.session.apply(job, f"Change the {verb} of {what}")

    def take_back(self, which: Which, what: str) -> None:
        """Let the price book stand again for a row."""
        self.session.apply(take_back_price(self.session.job, which), f"Take back the price of {what}")

    def keep(self, which: Which, what: str) -> None:
        """Write this job's own figure for a row into the user's book for all jobs, and let that stand here. Raises JobFileError."""
        job = self.session.job
        here = self.here
        row = next((r for r in here.book.rows if r.which == which), None) if here is not None else None
        if row is None or row.whose != "this job":
            return
        if which == WORKER and "worker_hour" in own_terms():  # the terms go before the book
            keep_some_terms({"worker_hour": row.price})
        else:
            keep_rows(replace(row, source=f"kept {date.today().isoformat()}"))
        self._read()
        self.changed.emit()
        self.session.apply(take_back_price(job, which), f"Drop this job's own price of {what}")

    def is_kept(self, which: Which, name: str) -> bool:
        """Return whether a figure is the user's own for all jobs, so that it can be taken out again."""
        prices = self.prices
        if prices is None:
            return False
        if which == WORKER and "worker_hour" not in prices.example_terms and prices.terms.worker_hour is not None:
            return True
        return any(r.which == which and r.whose == "yours" and getattr(r, name) is not None for r in prices.book.rows)

    def unkeep(self, which: Which) -> None:
        """Take a figure out of the user's own files for all jobs; undo does not bring it back. Raises JobFileError."""
        if which == WORKER and "worker_hour" in own_terms():  # the terms go before the book
            keep_some_terms({"worker_hour": None})
        else:
            take_out_rows(which)
        self._read()
        self.changed.emit()

    def keep_book(self, rows: tuple[PriceRow, ...]) -> None:
        """Write the user's own rows for all jobs. Raises JobFileError."""
        keep_own_book(rows)
        self._read()
        self.changed.emit()

    def keep_terms(self, changes: dict[str, Any]) -> None:
        """Set some of the user's own terms for all jobs, None taking one out. Raises JobFileError."""
        keep_some_terms(changes)
        self._read()
        self.changed.emit()

    def apply(self, job: Job, label: str) -> None:
        """Take an edited job as the next step."""
        self.session.apply(job, label)

    def _read(self) -> None:
        self._stamps = _stamps()
        try:
            self._prices, self.fault = prices_in_use(), ""
        except DrainsketchError as fault:
            self._prices, self.fault = None, str(fault)


def _stamps() -> tuple[object, ...]:
    return ("read", *(stamp(own_folder() / name) for name in (PRICES, TERMS)))
