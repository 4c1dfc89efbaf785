"""The form of the contractor's own particulars: typed here, kept for all jobs, with a look at the logo."""

from functools import partial

from msgspec.structs import replace
from PySide6.QtCore import Qt
from PySide6.QtGui import QPixmap
from PySide6.QtWidgets import (
    QDialog,
    QDialogButtonBox,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from drainsketch.desk.dialogs import Dialogs
from drainsketch.desk.documents import Documents
from drainsketch.desk.panes.fields import Field
from drainsketch.desk.panes.form import Form, column
from drainsketch.desk.panes.values import Value
from drainsketch.desk.theme import tones_of
from drainsketch.errors import DrainsketchError, EditError
from drainsketch.files.firm import letterhead_in_use, save_letterhead
from drainsketch.files.logo import read_logo
from drainsketch.job.firm import NO_ONE, Letterhead, Logo, firm_fault

FIELDS = (
    Field("name", "Business", "text", blank="as it signs"),
    Field("license", "License number", "text", blank="where your state asks for one"),
    Field("address", "Address, a line each", "notes", blank="street, town"),
    Field("phone", "Phone", "text", blank="not given"),
    Field("email", "Email", "text", blank="not given"),
    Field("web", "Web", "text", blank="not given"),
    Field("insured", "Insured and bonded", "text", blank="with whom, policy number"),
    Field("terms", "Terms of business", "notes", blank="payment, changes, warranty, how to withdraw"),
)
HINT = (
    "A contractor named in the header of a job goes before the business's name. What an offer has to say, and which terms and "
    "deposit are allowed, is for the law of your state; some give the owner days to withdraw."
)
LOGO_PX = (260, 84)
NO_LOGO = "No logo.\nA PNG or JPEG, 600 pixels wide or more."


class BusinessForm(QDialog):
    """Asks for the contractor's particulars. Nothing is kept before Keep is pressed."""

    def __init__(
        self, begin: Letterhead, documents: Documents, dialogs: Dialogs, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self.setWindowTitle("Your business")
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.resize(520, 640)
        self.letterhead = self._begin = begin
        self._refused = False  # something just now, and nobody was told before Keep
        self._documents, self._dialogs = documents, dialogs
        self.form = Form(FIELDS, self._write)
        self.picture = QLabel(NO_LOGO)
        self.picture.setAlignment(Qt.AlignmentFlag.AlignCenter)
        self.picture.setMinimumSize(LOGO_PX[0] + 12, LOGO_PX[1] + 12)
        self.picture.setAccessibleName("Logo")
        self.choose, self.drop = QPushButton("Choose &Logo…"), QPushButton("Take Logo &Away")
        self.choose.clicked.connect(self._choose)
        self.drop.clicked.connect(partial(self._show_logo, None))
        self.fault = QLabel()
        self.fault.setWordWrap(True)
        self.fault.setTextFormat(Qt.TextFormat.PlainText)
        self.fault.setStyleSheet(f"color: {tones_of(self).stop};")
        hint = QLabel(HINT)
        hint.setWordWrap(True)
        hint.setProperty("quiet", True)
        self.buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Cancel)
        self.keep = self.buttons.addButton("&Keep", QDialogButtonBox.ButtonRole.AcceptRole)
        self.buttons.accepted.connect(self._keep)
        self.buttons.rejected.connect(self.reject)
        scroll = QScrollArea()
        scroll.setWidgetResizable(True)
        scroll.setFrameShape(QScrollArea.Shape.NoFrame)
        scroll.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        scroll.setWidget(column(self._logo_row(), self.form, hint))
        box = QVBoxLayout(self)
        for part in (scroll, self.fault, self.buttons):
            box.addWidget(part)
        self._show_logo(begin.logo)
        self._show_values()
        self.form.rows[0].editor.setFocus()

    def reject(self) -> None:
        """Close without keeping; what was typed is asked about."""
        for row in self.form.rows:
            row.take()
        if (self.letterhead != self._begin or self._refused) and not self._dialogs.confirm(
            "Close without keeping what was changed?", "Your business stays as it was.", "Close"
        ):
            return
        super().reject()

    def _logo_row(self) -> QWidget:
        row = QWidget()
        line, buttons = QHBoxLayout(row), QVBoxLayout()
        line.setContentsMargins(0, 0, 0, 0)
        buttons.addWidget(self.choose)
        buttons.addWidget(self.drop)
        line.addWidget(self.picture, 1)
        line.addLayout(buttons)
        return row

    def _show_values(self) -> None:
        def value(name: str) -> Value:
            said = getattr(self.letterhead.firm, name)
            return "\n".join(said) if name == "address" else said

        self.form.show_values(value, "ft-in")

    def _write(self, field: Field, value: Value) -> None:
        said: str | tuple[str, ...] = str(value or "")
        if field.name == "address":
            said = tuple(line.strip() for line in str(said).splitlines() if line.strip())
        if wrong := firm_fault(field.name, said):
            self._refused = True
            raise EditError(f"{field.label.partition(',')[0]}: {wrong}.")
        self.letterhead = replace(self.letterhead, firm=replace(self.letterhead.firm, **{field.name: said}))
        self._show_values()

    def _choose(self) -> None:
        path = self._dialogs.ask_read(
            self._documents.beside("").parent, "Choose a logo", "Pictures (*.png *.jpg *.jpeg)"
        )
        if path is None:
            return
        try:
            self._show_logo(read_logo(path))
        except DrainsketchError as fault:
            self.fault.setText(str(fault))

    def _show_logo(self, logo: Logo | None, _checked: bool = False) -> None:
        self.letterhead = replace(self.letterhead, logo=logo)
        self.fault.clear()
        self.drop.setEnabled(logo is not None)
        if logo is None:
            self.picture.setStyleSheet("")
            self.picture.setText(NO_LOGO)
            return
        ratio = self.devicePixelRatioF()
        shown = QPixmap()
        shown.loadFromData(logo.png, "PNG")
        width, height = (round(px * ratio) for px in LOGO_PX)
        how = Qt.AspectRatioMode.KeepAspectRatio, Qt.TransformationMode.SmoothTransformation
        shown = shown.scaled(width, height, *how)
        shown.setDevicePixelRatio(ratio)
        self.picture.setStyleSheet("background: white;")  # as on paper
        self.picture.setPixmap(shown)

    def _keep(self) -> None:
        for row in self.form.rows:
            row.take()  # a button takes no focus everywhere
        if self._refused:
            self._refused = False
            self.fault.setText(
                "What is marked could not be taken and stands as before. Put it right, or press Keep again."
            )
            return
        try:
            folder = save_letterhead(self.letterhead)
        except DrainsketchError as fault:
            self.fault.setText(str(fault))
            return
        self._documents.session.tell(f"Your business is kept for all jobs, in {folder}.")
        self.accept()


def ask_business(window: QWidget, documents: Documents, dialogs: Dialogs) -> BusinessForm:
    """Open the form of the contractor's particulars, begun with those that are kept."""
    try:
        begin = letterhead_in_use()
    except DrainsketchError as fault:
        dialogs.tell("Your business as it is kept cannot be read; keeping it anew replaces it.", str(fault))
        begin = NO_ONE
    form = BusinessForm(begin, documents, dialogs, window)
    form.open()
    return form
