"""The Price pane: what to charge for the job, line by line, and what is different about its price."""

from collections.abc import Callable

from PySide6.QtCore import QEvent, Qt, QTimer, Signal
from PySide6.QtGui import QFont, QShowEvent
from PySide6.QtWidgets import QHBoxLayout, QLabel, QPushButton, QVBoxLayout, QWidget

from drainsketch.desk.panes.price_rows import Shown, read_figure, shown_rows
from drainsketch.desk.panes.price_table import PriceTable
from drainsketch.desk.panes.table_keys import fault_line
from drainsketch.desk.price_desk import Asks, PriceDesk
from drainsketch.desk.session import Session
from drainsketch.desk.theme import tones_of
from drainsketch.errors import DrainsketchError
from drainsketch.job.edits.pricing import add_extra, change_extra, remove_extra, take_back_price, which_of
from drainsketch.planning import said_machine
from drainsketch.takeoff.price.money import dollars
from drainsketch.takeoff.price.results import Price
from drainsketch.wording import Words

EMPTY = "Nothing to price yet. Draw runs between basins and an outfall, or add a line."
UNREADABLE = "Your own prices cannot be read, so nothing is priced. Mend the file, or move it away:\n"
QUIET_MS = 400  # after the last edit, before a hidden pane counts what has no price


class PricePane(QWidget):
    """Banner, table, total and buttons. What is invented is said at the top, what has no price in its line."""

    owners_shown = Signal(tuple)  # ids a line was counted from, on Ctrl+Enter
    counted = Signal(int)  # lines without a price

    def __init__(self, session: Session, desk: PriceDesk, asks: Asks, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session, self.desk, self.asks = session, desk, asks
        self.stops, self.banner, self.total, self.terms = QLabel(self), QLabel(self), QLabel(self), QLabel(self)
        self.table = PriceTable(self)
        self.fault = fault_line(self)
        self.add = self._button("Add line…", self._add_extra, "A line that no takeoff counts: a permit, a stump")
        self.terms_button = self._button("Terms…", self._edit_terms, "Overhead, profit, tax, crew, tool and soil")
        self.book_button = self._button("Price book…", self._edit_book, "Your prices and rates for all jobs")
        self.back = self._button("Take back", self._take_back, "The price book stands again for this (Delete)")
        self.keep = self._button("Keep for all jobs", self._keep, "Write it into your own price book; undo does not")
        self.unkeep = self._button(
            "Take back for all jobs", self._unkeep, "Take it out of your own price book; what stood before stands again"
        )
        self.edit = self._button("Edit line…", self._edit_extra, "What, quantity, unit, price (Ctrl+Enter)")
        self.remove = self._button("Remove", self._remove_extra, "Take this line out (Delete)")
        self.unused = self._button("", self._drop_unused, "Prices of this job that no line of it goes by")
        self._quiet = QTimer(self)
        self._quiet.setSingleShot(True)
        self._quiet.setInterval(QUIET_MS)
        self._quiet.timeout.connect(self._count)
        self._lay_out()
        self.table.typed.connect(self._typed)
        self.table.said.connect(self.say)
        self.table.chosen.connect(self._show_doings)
        self.table.erased.connect(self._erase)
        self.table.opened.connect(self._open)
        self.table.form_asked.connect(self._form)
        session.changed.connect(self.refresh)
        session.studied.connect(self._say_stops)
        desk.changed.connect(self.refresh)
        self.refresh()

    def _button(self, text: str, do: Callable[[], object], tip: str) -> QPushButton:
        button = QPushButton(text, self)
        button.setToolTip(tip)
        button.setAutoDefault(False)
        button.setStyleSheet("padding: 3px 7px;")
        button.clicked.connect(lambda _: do())
        return button

    def _lay_out(self) -> None:
        for label in (self.stops, self.banner, self.total, self.terms):
            label.setWordWrap(True)
            label.setTextFormat(Qt.TextFormat.PlainText)
            label.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        for label in (self.stops, self.banner):
            label.setContentsMargins(10, 3, 10, 3)
        self.stops.setAccessibleName("What stops this job")
        self.stops.hide()
        self.banner.setAccessibleName("What is invented in this price")
        bold = QFont(self.font())
        bold.setBold(True)
        bold.setPointSizeF(bold.pointSizeF() + 1)
        self.total.setFont(bold)
        self.total.setAccessibleName("Total")
        self.terms.setProperty("quiet", True)
        foot = QVBoxLayout()
        foot.setContentsMargins(10, 3, 10, 6)
        foot.setSpacing(2)
        sums = QHBoxLayout()
        sums.addWidget(self.total)
        sums.addWidget(self.terms, 1)
        foot.addWidget(self.fault)
        foot.addLayout(sums)
        foot.addWidget(self.unused)
        for buttons in (
            (self.back, self.keep, self.unkeep, self.edit, self.remove),
            (self.add, self.terms_button, self.book_button),
        ):
            row = QHBoxLayout()
            row.setSpacing(4)
            for button in buttons:
                row.addWidget(button)
            row.addStretch(1)
            foot.addLayout(row)
        box = QVBoxLayout(self)
        box.setContentsMargins(0, 0, 0, 0)
        box.setSpacing(0)
        box.addWidget(self.stops)
        box.addWidget(self.banner)
        box.addWidget(self.table, 1)
        box.addLayout(foot)

    def refresh(self) -> None:
        """Show the price of the job as it stands, once it is to be seen; hidden, only count what has no price, when all is quiet."""
        if not self.isVisible():
            self._show_doings()
            self._quiet.start()
            return
        self._say_stops()
        made, here, prices = self.desk.price, self.desk.here, self.desk.prices
        if made is None or here is None:
            self.table.show_rows(())
            self._say_banner(UNREADABLE + self.desk.fault, stop=True)
            self.total.setText("")
            self.terms.setText("")
        else:
            self.table.show_rows(shown_rows(self._session.job, made, here))
            machine = said_machine(self._session.review, prices, made, Words.of(self._session.job)) if prices else ()
            said = (_invented(made), *machine)
            self._say_banner("\n".join(filter(None, said)), stop=False)
            self._show_total(made)
        for button in (self.add, self.terms_button, self.book_button):
            button.setEnabled(made is not None)
        self._show_doings()
        self._count()

    def say(self, sentence: str) -> None:
        """Say what is wrong with the typing; '' takes it off."""
        self.fault.setText(sentence)
        self.fault.setVisible(bool(sentence))

    def _count(self) -> None:
        self._quiet.stop()
        made = self.desk.price
        self.counted.emit(len(made.findings) if made is not None else 0)

    def _say_stops(self) -> None:
        """Say how many findings stop the job: whosever the prices are, they stand on depths that may change."""
        stops = sum(f.level == "stop" for f in self._session.review.findings)
        tones = tones_of(self)
        self.stops.setStyleSheet(f"color: {tones.stop}; background: {tones.raised}; font-weight: bold;")
        self.stops.setText(
            f"{stops} {'thing stops' if stops == 1 else 'things stop'} this job: the depths behind this price do not stand yet."
        )
        self.stops.setVisible(bool(stops))

    def _say_banner(self, text: str, *, stop: bool) -> None:
        tones = tones_of(self)
        self.banner.setStyleSheet(f"color: {tones.stop if stop else tones.settle}; background: {tones.raised};")
        self.banner.setText(text)
        self.banner.setVisible(bool(text))

    def _show_total(self, made: Price) -> None:
        tones = tones_of(self)
        self.total.setStyleSheet("" if made.complete else f"color: {tones.settle};")
        if not made.lines:
            self.total.setText("")
            self.terms.setText(EMPTY)
        elif made.complete and made.deposit is not None:
            self.total.setText(f"Total {dollars(made.total)}")
            days = "day" if made.valid_days == 1 else "days"
            self.terms.setText(f"Deposit {dollars(made.deposit)}, valid for {made.valid_days} {days}.")
        else:
            self.total.setText(f"{dollars(made.total)} so far, not complete")
            none = len(made.findings)
            self.terms.setText(
                f"{none} {'line has' if none == 1 else 'lines have'} no price and {'is' if none == 1 else 'are'} not in it."
            )

    def _show_doings(self) -> None:
        """Show the buttons that mean something for the chosen row."""
        shown = self.table.shown
        figure = shown.figure if shown is not None else None
        extra = figure is not None and figure.extra is not None
        for button in (self.back, self.keep):
            button.setVisible(figure is not None and figure.of_job)
        self.unkeep.setVisible(figure is not None and self.desk.is_kept(figure.which, figure.name))
        for button in (self.edit, self.remove):
            button.setVisible(extra)
        made = self.desk.price if self.isVisible() else None
        unused = len(made.unused) if made is not None else 0
        self.unused.setText(f"Drop {unused} {'price' if unused == 1 else 'prices'} that no line goes by")
        self.unused.setVisible(bool(unused))

    def _typed(self, shown: Shown, text: str) -> None:
        figure = shown.figure
        if figure is None:
            return
        self.say("")
        what = shown.cells[0].splitlines()[0]
        try:
            value = read_figure(figure, text) if text else None
            if figure.extra is not None:
                price = None if value is None else float(value)
                self.desk.apply(
                    change_extra(self._session.job, figure.extra, price=price), f"Change the price of {what}"
                )
            elif value is not None:
                self.desk.set_figure(figure.which, figure.name, value, what)
            elif figure.of_job:
                self.desk.take_back(figure.which, what)
        except DrainsketchError as fault:
            self.say(str(fault))

    def _take_back(self) -> None:
        shown = self.table.shown
        if shown is not None and shown.figure is not None and shown.figure.of_job:
            self.desk.take_back(shown.figure.which, shown.cells[0])
            self.table.setFocus()

    def _keep(self) -> None:
        shown = self.table.shown
        if shown is None or shown.figure is None or not shown.figure.of_job:
            return
        try:
            self.desk.keep(shown.figure.which, shown.cells[0])
        except DrainsketchError as fault:
            self.say(str(fault))
            return
        self._session.tell(
            f"{shown.cells[0]}: kept for all jobs. Undo does not take it back: use Take back for all jobs."
        )
        self.table.setFocus()

    def _unkeep(self) -> None:
        shown = self.table.shown
        if shown is None or shown.figure is None:
            return
        try:
            self.desk.unkeep(shown.figure.which)
        except DrainsketchError as fault:
            self.say(str(fault))
            return
        self._session.tell(f"{shown.cells[0]}: taken out of your own prices for all jobs. Undo does not bring it back.")
        self.table.setFocus()

    def _erase(self) -> None:
        shown = self.table.shown
        if shown is not None and shown.figure is not None and shown.figure.extra is not None:
            self._remove_extra()
        else:
            self._take_back()

    def _open(self) -> None:
        """Open the terms at what a step goes by."""
        shown = self.table.shown
        if shown is not None and shown.term:
            self._edit_terms(shown.term)

    def _form(self) -> None:
        top = self.table.top
        if top is not None and top.figure is not None and top.figure.extra is not None:
            self._edit_extra()
        elif top is not None and top.line is not None and top.line.owners:
            self.owners_shown.emit(top.line.owners)

    def _add_extra(self) -> None:
        extra = self.asks.ask_extra(None)
        if extra is not None:
            self.desk.apply(add_extra(self._session.job, extra), f"Add {extra.name} to the price")
            at = len(self._session.job.pricing.extras) - 1
            self.table.go_to(("line", "extra", (("said", extra.name), ("at", at))))
        self.table.setFocus()

    def _edit_extra(self) -> None:
        at = self._extra_at()
        if at is None:
            return
        extra = self.asks.ask_extra(self._session.job.pricing.extras[at])
        if extra is not None:
            fields = {name: getattr(extra, name) for name in extra.__struct_fields__}
            self.desk.apply(change_extra(self._session.job, at, **fields), f"Change {extra.name} of the price")
            self.table.go_to(("line", "extra", (("said", extra.name), ("at", at))))
        self.table.setFocus()

    def _remove_extra(self) -> None:
        at = self._extra_at()
        if at is not None:
            name = self._session.job.pricing.extras[at].name
            self.desk.apply(remove_extra(self._session.job, at), f"Take {name} out of the price")
            self.table.setFocus()

    def _extra_at(self) -> int | None:
        top = self.table.top
        return top.figure.extra if top is not None and top.figure is not None else None

    def _drop_unused(self) -> None:
        made = self.desk.price
        if made is not None:
            gone = [which_of(change) for change in made.unused]
            self.desk.apply(take_back_price(self._session.job, *gone), "Drop prices that no line goes by")

    def _edit_terms(self, first: str = "") -> None:
        self._ask(lambda: self.asks.edit_terms(self.desk, first))

    def _edit_book(self) -> None:
        self._ask(lambda: self.asks.edit_price_book(self.desk))

    def _ask(self, ask: Callable[[], None]) -> None:
        """Open a form on the user's own files; one that cannot be read is told."""
        try:
            ask()
        except DrainsketchError as fault:
            self.say(str(fault))
        self.table.setFocus()

    def showEvent(self, event: QShowEvent) -> None:
        """Catch up with the job, and with what was written into the user's own files elsewhere."""
        super().showEvent(event)
        self.desk.look_again()
        self.refresh()

    def changeEvent(self, event: QEvent) -> None:
        """Show all in the tones of the window."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.PaletteChange and hasattr(self, "_quiet"):
            self.fault.setStyleSheet(f"color: {tones_of(self).stop};")
            self.refresh()


def _invented(made: Price) -> str:
    """Return what has to be said while invented figures are in a price; '' for none."""
    lines = sum(line.amount is not None and line.source == "example" for line in made.lines)
    lines += sum(row.is_example for row in made.rows)
    said = []
    if lines:
        said.append(f"{lines} {'price is an invented example' if lines == 1 else 'prices are invented examples'}")
    if made.example_terms and made.lines:
        many = len(made.example_terms)
        said.append(f"{many} {'term is an example that' if many == 1 else 'terms are examples that'} nobody set")
    return f"{' and '.join(said)}: never bid with them." if said else ""
