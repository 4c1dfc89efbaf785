"""The field of the contractor in the Job pane says whose particulars stand on the sheets."""

from PySide6.QtCore import QEvent, QPoint
from PySide6.QtGui import QHelpEvent
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from drainsketch.desk.panes.fields import HEADER
from drainsketch.desk.panes.form import Entry, Form


def test_pointing_at_the_field_says_whose_particulars_stand_on_the_sheets(qtbot: QtBot) -> None:
    form = Form(HEADER, lambda field, value: None)
    qtbot.addWidget(form)
    form.show()
    row = form.row("contractor")
    assert isinstance(row.editor, Entry)
    assert row.editor.placeholderText() == "your business"
    QApplication.sendEvent(
        row.editor, QHelpEvent(QEvent.Type.ToolTip, QPoint(4, 4), row.editor.mapToGlobal(QPoint(4, 4)))
    )
    for said in (row.editor.toolTip(), row.label.toolTip()):
        assert "Left empty, your business stands on the sheets" in said
        assert "without your license, address, logo" in said
    title = form.row("title").editor
    QApplication.sendEvent(title, QHelpEvent(QEvent.Type.ToolTip, QPoint(4, 4), title.mapToGlobal(QPoint(4, 4))))
    assert title.toolTip() == ""
