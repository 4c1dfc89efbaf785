"""The first hint on an empty plan: where to begin."""

from PySide6.QtCore import QEvent, QObject, Qt
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QMenu, QPushButton, QVBoxLayout, QWidget

from drainsketch.desk.session import Session
from drainsketch.job.ask import extent

STEPS = (
    "<b>An empty yard.</b><br>"
    "1. Draw the lot line and the house. Type a length while you draw, for example <b>23' 6</b>, and press Enter.<br>"
    "2. Put in the marked services, trees, and the levels you shot.<br>"
    "3. Set basins where water stands and an outfall where it may leave, and join them with runs."
)


class Welcome(QFrame):
    """A card in the middle of the plan; gone as soon as a tool is taken or something is drawn."""

    def __init__(self, session: Session, start: QAction, open_job: QAction, samples: QMenu, plan: QWidget) -> None:
        super().__init__(plan)
        self._session = session
        self._waved_off = False
        self._waved_job = session.job
        self.setObjectName("card")
        words = QLabel(STEPS)
        words.setWordWrap(True)
        begin = QPushButton("Draw the Lot Line")
        begin.clicked.connect(start.trigger)
        show = QPushButton("Look at a Sample Yard")
        show.setMenu(samples)
        other = QPushButton("Open…")
        other.clicked.connect(open_job.trigger)
        line = QHBoxLayout()
        for button in (begin, show, other):
            button.setFocusPolicy(Qt.FocusPolicy.TabFocus)
            line.addWidget(button)
        line.addStretch(1)
        box = QVBoxLayout(self)
        box.setContentsMargins(18, 14, 18, 14)
        box.setSpacing(10)
        box.addWidget(words)
        box.addLayout(line)
        plan.installEventFilter(self)
        session.changed.connect(self.refresh)
        self.refresh()

    def refresh(self) -> None:
        """Show the card on an empty plan only."""
        empty = extent(self._session.job) is None
        fresh = len(self._session.history.jobs) == 1
        self._waved_off = self._waved_off and empty and not (fresh and self._session.history.job is not self._waved_job)
        self.setVisible(empty and fresh and not self._waved_off)
        self._place()

    def wave_off(self) -> None:
        """Hide the card until another empty job comes."""
        self._waved_off = True
        self._waved_job = self._session.history.job
        self.hide()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Stay in the middle of the plan."""
        if event.type() == QEvent.Type.Resize:
            self._place()
        return super().eventFilter(watched, event)

    def _place(self) -> None:
        plan = self.parentWidget()
        if plan is not None:
            self.setFixedWidth(min(520, max(240, plan.width() - 40)))
            self.adjustSize()
            self.move((plan.width() - self.width()) // 2, max(10, (plan.height() - self.height()) // 3))
