"""The form that asks for name and note of an option."""

from collections.abc import Callable

from PySide6.QtWidgets import (
    QDialog,
    QDialogButtonBox,
    QFormLayout,
    QLabel,
    QLineEdit,
    QPlainTextEdit,
    QVBoxLayout,
    QWidget,
)

Fault = Callable[[str, str], str]  # name, note -> why they cannot be taken, '' where they can


class OptionForm(QDialog):
    """Asks for a name and a note; what cannot be taken is said under them, and cannot be accepted."""

    def __init__(self, title: str, name: str, note: str, fault: Fault, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._fault = fault
        self.setWindowTitle(title)
        self.name, self.note, self.refusal = QLineEdit(name), QPlainTextEdit(note), QLabel()
        self.name.setMaxLength(200)
        self.name.selectAll()
        self.note.setTabChangesFocus(True)
        self.note.setPlaceholderText("what is different about it, in plain words for the owner")
        self.note.setFixedHeight(90)
        self.refusal.setWordWrap(True)
        form = QFormLayout()
        form.addRow("&Name", self.name)
        form.addRow("N&ote", self.note)
        self.buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Ok | QDialogButtonBox.StandardButton.Cancel)
        self.buttons.accepted.connect(self.accept)
        self.buttons.rejected.connect(self.reject)
        box = QVBoxLayout(self)
        box.setSpacing(10)
        box.addLayout(form)
        box.addWidget(self.refusal)
        box.addWidget(self.buttons)
        self.setMinimumWidth(420)
        self.name.textChanged.connect(self._check)
        self.note.textChanged.connect(self._check)
        self._check()

    def answer(self) -> tuple[str, str]:
        """Return name and note as typed."""
        return self.name.text(), self.note.toPlainText()

    def _check(self) -> None:
        said = self._fault(*self.answer())
        self.refusal.setText(said)
        self.buttons.button(QDialogButtonBox.StandardButton.Ok).setEnabled(not said)
