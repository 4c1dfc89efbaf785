"""The form of a line that no takeoff counts: a permit, a stump, a day of waiting."""

from decimal import Decimal
from math import isfinite

from PySide6.QtWidgets import QCheckBox, QDialog, QDialogButtonBox, QFormLayout, QLineEdit, QVBoxLayout, QWidget

from drainsketch.desk.panes.price_rows import Figure, read_figure
from drainsketch.desk.panes.table_keys import fault_line
from drainsketch.desk.panes.values import without_commas
from drainsketch.errors import DrainsketchError, EditError
from drainsketch.job.edits.add import checked
from drainsketch.job.pricing import Extra

NEW = Figure(("", "", "", ""), "price", None, "this job", extra=0)


class ExtraForm(QDialog):
    """Asks for name, quantity, unit and price; what cannot be read is said, and the form stays open."""

    def __init__(self, before: Extra | None, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle("Add a line to the price" if before is None else "Line of the price")
        old = before or Extra("line")
        self.name, self.quantity, self.unit, self.price = (QLineEdit(self) for _ in range(4))
        self.name.setText(before.name if before is not None else "")
        self.name.setPlaceholderText("permit, stump, waiting")
        self.quantity.setText(f"{Decimal(str(old.quantity)).normalize():f}")
        self.unit.setText(old.unit)
        self.unit.setPlaceholderText("none")
        self.price.setText("" if old.price is None else f"{old.price:.2f}")
        self.price.setPlaceholderText("not known yet")
        self.taxed = QCheckBox("is taxed", self)
        self.taxed.setChecked(old.taxed)
        form = QFormLayout()
        for label, editor in (
            ("&What", self.name),
            ("&Quantity", self.quantity),
            ("&Unit", self.unit),
            ("&Price of one, $", self.price),
        ):
            form.addRow(label, editor)
            editor.setAccessibleName(label.replace("&", ""))
        form.addRow("", self.taxed)
        self.fault = fault_line(self)
        buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Ok | QDialogButtonBox.StandardButton.Cancel)
        buttons.accepted.connect(self._take)
        buttons.rejected.connect(self.reject)
        box = QVBoxLayout(self)
        box.addLayout(form)
        box.addWidget(self.fault)
        box.addWidget(buttons)
        self.setMinimumWidth(380)
        self.read: Extra | None = None

    def _take(self) -> None:
        try:
            self.read = self._said()
        except DrainsketchError as fault:
            self.fault.setText(str(fault))
            self.fault.show()
            return
        self.accept()

    def _said(self) -> Extra:
        name = self.name.text().strip()
        if not name:
            raise EditError("Say what it is.")
        written = self.price.text().strip()
        try:
            price = float(read_figure(NEW, written)) if written else None
        except EditError as fault:
            raise EditError(f"Price: {fault}") from fault
        extra = Extra(name, _number(self.quantity.text()), self.unit.text().strip(), price, self.taxed.isChecked())
        return checked("line", extra)


def _number(text: str) -> float:
    """Return a quantity that was typed. Raises EditError."""
    try:
        value = float(without_commas(text.strip()))
    except ValueError:
        value = 0.0
    if not isfinite(value) or not 0 < value <= 1_000_000:
        raise EditError(f'Quantity: "{text.strip()[:20]}" is not a number above 0; write it like 2 or 1.5.')
    return value
