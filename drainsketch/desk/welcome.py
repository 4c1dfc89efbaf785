"""Where to begin on an empty plan, under the hint that the plan itself shows."""

from PySide6.QtCore import QEvent, QObject, Qt
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QFrame, QHBoxLayout, QMenu, QPushButton, QWidget

from drainsketch.desk.session import Session
from drainsketch.job.ask import whole_extent


class Welcome(QFrame):
    """A card of three buttons; gone as soon as a tool is taken or something is drawn."""

    def __init__(self, session: Session, start: QAction, open_job: QAction, samples: QMenu, plan: QWidget) -> None:
        super().__init__(plan)
        self._session = session
        self._waved_off = False
        self._waved_job = session.job
        self.setObjectName("card")
        begin = QPushButton("Draw the Lot Line")
        begin.clicked.connect(start.trigger)
        show = QPushButton("Look at a Sample Yard")
        show.setMenu(samples)
        other = QPushButton("Open…")
        other.clicked.connect(open_job.trigger)
        line = QHBoxLayout(self)
        line.setContentsMargins(12, 10, 12, 10)
        for button in (begin, show, other):
            button.setFocusPolicy(Qt.FocusPolicy.TabFocus)
            line.addWidget(button)
        plan.installEventFilter(self)
        session.changed.connect(self.refresh)
        self.refresh()

    def refresh(self) -> None:
        """Show the card on an empty plan only."""
        empty = whole_extent(self._session.job) is None
        fresh = len(self._session.history.jobs) == 1 and not (self._session.modified or self._session.job.book.setups)
        self._waved_off = self._waved_off and empty and not (fresh and self._session.history.job is not self._waved_job)
        self.setVisible(empty and fresh and not self._waved_off)
        self._place()

    def wave_off(self) -> None:
        """Hide the card until another empty job comes."""
        self._waved_off = True
        self._waved_job = self._session.history.job
        self.hide()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Stay under the hint of the plan."""
        if event.type() == QEvent.Type.Resize:
            self._place()
        return super().eventFilter(watched, event)

    def _place(self) -> None:
        plan = self.parentWidget()
        if plan is not None:
            self.adjustSize()
            self.move((plan.width() - self.width()) // 2, round(0.6 * plan.height()))
