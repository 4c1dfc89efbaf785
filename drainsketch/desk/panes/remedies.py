"""What is offered under a finding that does not drain: why, and a button for each cure."""

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLabel, QPushButton, QScrollArea, QSizePolicy, QVBoxLayout, QWidget

from drainsketch.desk.session import Session
from drainsketch.findings import Finding
from drainsketch.network.remedies import Cure
from drainsketch.network.troubles import thing_of
from drainsketch.study import Study
from drainsketch.wording import Words

MOST_PX = 180  # beyond, it scrolls, so that the list keeps its room
LEAST_PX = 110  # a reason and a button
MORE_PX = 26  # of the button that names the next cure below


class Remedies(QScrollArea):
    """The reason of a finding and its cures; hidden under findings that have none. ``speaks``: it has something to say."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self.speaks = False
        self._most_px = MOST_PX
        self.buttons: list[QPushButton] = []
        self._shown: tuple[object, ...] = ()
        self._troubled: tuple[str, ...] = ()
        self._study: Study | None = None
        self.reason = _label(False)
        self.more = QPushButton(self)
        self.more.setFlat(True)
        self.more.setStyleSheet("text-align: left; padding: 0 10px; min-height: 20px; font-weight: bold;")
        self.more.clicked.connect(self._show_more)
        self.more.hide()
        self.verticalScrollBar().valueChanged.connect(self._tell_more)
        self.setWidgetResizable(True)
        self.setFrameShape(QScrollArea.Shape.NoFrame)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setAccessibleName("Why it does not drain, and cures")
        self.hide()

    def show_finding(self, finding: Finding | None) -> None:
        """Show what the closer look has about a finding; quietly that it is still at work."""
        thing = thing_of(finding) if finding is not None else None
        current = self._session.study_is_current
        study = self._session.study if current else None
        shown = (thing, current, self._session.study_failed)
        if shown == self._shown and study is self._study:  # a study holds arrays, which do not compare
            return
        self._shown, self._study = shown, study
        self.speaks = False
        self.buttons = []
        if thing is None or (study is None and self._session.study_failed) or (study and thing not in study.cures):
            self.hide()
            return
        words = Words.of(self._session.job)
        body = QWidget()
        box = QVBoxLayout(body)
        box.setContentsMargins(10, 2, 10, 4)
        box.setSpacing(3)
        self.reason = _label(study is None)
        box.addWidget(self.reason)
        if study is None:
            self.reason.setText(words.word("remedies.working"))
        else:
            self.speaks = True
            self._troubled = tuple(study.cures)
            reason, cures = study.reasons.get(thing), study.cures.get(thing, ())
            said = words.reason(reason.links, reason.short_ft, of_run=reason.of_run) if reason is not None else ""
            self.reason.setText(said if cures else f"{said} {words.word('remedies.none')}".strip())
            for cure in cures:
                self._offer(cure, words, box)
        self.setWidget(body)
        self.show()
        self._fit()

    def resizeEvent(self, event: object) -> None:
        """Keep as high as what is said, at this width."""
        super().resizeEvent(event)  # type: ignore[arg-type]
        self._fit()

    def take_room(self, most_px: int) -> None:
        """Grow no higher than this."""
        self._most_px = min(MOST_PX, max(LEAST_PX, most_px))
        self._fit()

    def _fit(self) -> None:
        body = self.widget()
        if body is not None:
            width = self.viewport().width()
            wanted = body.heightForWidth(width) if body.hasHeightForWidth() else body.sizeHint().height()
            self.setFixedHeight(min(self._most_px, max(20, wanted)))
            self.setViewportMargins(0, 0, 0, MORE_PX if wanted > self._most_px and self.buttons else 0)
            self._tell_more()

    def _below(self) -> list[QPushButton]:
        """Return the buttons that stand below what is in view, also in part."""
        seen_to = self.verticalScrollBar().value() + self.viewport().height()
        return [b for b in self.buttons if b.geometry().bottom() > seen_to]

    def _tell_more(self) -> None:
        """Say which cure comes next where one is out of view."""
        below = self._below()
        self.more.setVisible(bool(below))
        if below:
            said = Words().word("remedies.more", count=len(below), cure=below[0].text())
            self.more.setGeometry(0, self.height() - MORE_PX, self.viewport().width(), MORE_PX)
            room = self.more.width() - 20
            self.more.setText(self.more.fontMetrics().elidedText(said, Qt.TextElideMode.ElideRight, room))
            self.more.setAccessibleName(said)

    def _show_more(self) -> None:
        """Bring the next cure into view, and what is said about it."""
        below = self._below()
        if below:
            top = below[0].geometry().top()
            self.verticalScrollBar().setValue(top - 3)

    def _offer(self, cure: Cure, words: Words, box: QVBoxLayout) -> None:
        text, note = words.cure(cure.kind, cure.params)
        if set(self._troubled) != set(cure.structures):
            note = f"{note} {words.word('remedies.drains', structures=cure.structures)}"
        if cure.keeps == "fall":
            note = f"{note} {words.word('remedies.less')}"
        button = QPushButton(text)
        button.setToolTip(note)
        button.setAccessibleDescription(note)
        button.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
        button.clicked.connect(lambda: self._apply(cure, text))
        self.buttons.append(button)
        about = _label(True)
        about.setText(note)
        box.addWidget(button)
        box.addWidget(about)

    def _apply(self, cure: Cure, text: str) -> None:
        if not self._session.study_is_current:  # the job went on since the cure was worked out
            return
        self._session.apply(cure.job, text)
        self._session.tell(Words.of(self._session.job).word("remedies.applied", cure=text))


def _label(quiet: bool) -> QLabel:
    label = QLabel()
    label.setWordWrap(True)
    label.setTextFormat(Qt.TextFormat.PlainText)
    label.setProperty("quiet", quiet)
    label.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
    return label
