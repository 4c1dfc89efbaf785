"""The live list of findings: sign, sentence, number against limit; a click flies to the place."""

from PySide6.QtCore import (
    QAbstractListModel,
    QModelIndex,
    QObject,
    QPersistentModelIndex,
    QPointF,
    QRect,
    QRectF,
    QSize,
    Qt,
    Signal,
)
from PySide6.QtGui import QColor, QFont, QFontMetrics, QPainter, QResizeEvent
from PySide6.QtWidgets import (
    QAbstractItemView,
    QFrame,
    QHBoxLayout,
    QLabel,
    QListView,
    QStyle,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from drainsketch.desk.panes.remedies import Remedies
from drainsketch.desk.panes.signs import level_ink, paint_sign, sign_icon
from drainsketch.desk.session import Session
from drainsketch.desk.theme import Tones, tones_of
from drainsketch.findings import LEVELS, Finding
from drainsketch.look import LEVEL_SIGNS, PAPER, SYMBOLS
from drainsketch.review import Review
from drainsketch.sheets.flags import crossing_levels, flagged
from drainsketch.sheets.signs import crossing_symbol
from drainsketch.wording import Words

Flag = tuple[str, str]  # its text; the symbol of a crossing, or ''
NO_FLAG: Flag = ("", "")
Index = QModelIndex | QPersistentModelIndex
FINDING = Qt.ItemDataRole.UserRole
NUMBERS = Qt.ItemDataRole.UserRole + 1
LETTER = Qt.ItemDataRole.UserRole + 2
DIAMOND = Qt.ItemDataRole.UserRole + 3  # symbol of the crossing that a finding goes by, '' for none
SIGN_PX = 20
LETTER_PX = 10
EDGE_PX = 8
DIAMOND_PX = 17  # and as much more as the number in it is wide
LEAST_PX, LEAST_CROSSING_PX = 36, 56  # heights of rows
MOST_KEPT = 20_000  # sentences and heights
REMEDIES_PART = 0.4  # of the pane's height at the most
HINT = "{level}: {sentence}"
IN_WATER = ("no_rain",)  # findings settled in the Water pane, with no place on the plan


def _flags_of(review: Review) -> dict[int, Flag]:
    """Return the flag of each warning, by the identity of the finding."""
    levels = crossing_levels(review)
    return {
        id(f): (flag, "" if has_sign else crossing_symbol(levels.get(int(flag), f.level)))
        for f, flag, has_sign in flagged(review)
    }


class FindingList(QAbstractListModel):
    """The findings that pass the filter, worst first."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.words = Words()
        self.shown: tuple[Finding, ...] = ()
        self._said: dict[Finding, tuple[str, str]] = {}  # sentence and numbers, kept while units and names stay
        self._flags: tuple[Flag, ...] = ()

    def show_findings(self, shown: tuple[Finding, ...], flags: tuple[Flag, ...], words: Words) -> None:
        """Show these findings with the flags they have on the plan; nothing happens when they are shown already."""
        if shown != self.shown or flags != self._flags or not words.says_as(self.words):
            self.beginResetModel()
            if not words.says_as(self.words) or len(self._said) > MOST_KEPT:
                self._said.clear()
            self.shown, self._flags, self.words = shown, flags, words
            self.endResetModel()

    def rowCount(self, parent: Index | None = None) -> int:
        """Return how many are shown."""
        return 0 if parent is not None and parent.isValid() else len(self.shown)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """Return the sentence, the numbers or the finding itself."""
        finding = self.shown[index.row()]
        if role == Qt.ItemDataRole.DisplayRole:
            return self._words_of(finding)[0]
        if role == Qt.ItemDataRole.AccessibleTextRole:
            return HINT.format(level=finding.level, sentence=self._words_of(finding)[0])
        if role == LETTER:
            return self._flags[index.row()][0]
        if role == DIAMOND:
            return self._flags[index.row()][1]
        if role == NUMBERS:
            return self._words_of(finding)[1]
        return finding if role == FINDING else None

    def _words_of(self, finding: Finding) -> tuple[str, str]:
        said = self._said.get(finding)
        if said is None:
            said = self._said[finding] = (self.words.sentence(finding), self.words.number_against_limit(finding))
        return said


class FindingPainter(QStyledItemDelegate):
    """Paints a finding: sign by level, the flag it has on the plan, wrapped sentence, quiet numbers.

    A letter stands in the sign, as on the plan; a crossing's number stands under it, in the diamond of the plan.
    """

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._heights: dict[tuple[object, ...], int] = {}

    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:
        """Return the room the wrapped words need; a comfortable target at least."""
        view = option.widget
        width = view.viewport().width() if isinstance(view, QAbstractItemView) else 300
        key = (width, index.data(), index.data(NUMBERS), _is_crossing(index), option.font.key())
        if key not in self._heights:
            if len(self._heights) > MOST_KEPT:
                self._heights.clear()
            text, numbers = self._boxes(QRect(0, 0, width, 0), option.font, index)
            least = LEAST_CROSSING_PX if _is_crossing(index) else LEAST_PX
            self._heights[key] = max(least, text.height() + numbers.height() + 2 * EDGE_PX)
        return QSize(width, self._heights[key])

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        """Paint one row."""
        tones = tones_of(option.widget)
        chosen = bool(option.state & QStyle.StateFlag.State_Selected)
        painter.save()
        painter.fillRect(option.rect, QColor(tones.raised if chosen else tones.base))
        if chosen:
            painter.fillRect(
                QRect(option.rect.left(), option.rect.top(), 3, option.rect.height()), QColor(tones.accent)
            )
        text, numbers = self._boxes(option.rect, option.font, index)
        at = QPointF(
            option.rect.left() + EDGE_PX + 3 + SIGN_PX / 2, text.top() + QFontMetrics(option.font).height() / 2 + 1
        )
        self._signs(painter, at, option.font, index, tones)
        painter.setPen(QColor(tones.text))
        painter.setFont(option.font)
        painter.drawText(text, int(Qt.TextFlag.TextWordWrap), str(index.data()))
        painter.setPen(QColor(tones.quiet))
        painter.drawText(numbers, int(Qt.TextFlag.TextWordWrap), str(index.data(NUMBERS)))
        painter.fillRect(QRect(option.rect.left(), option.rect.bottom(), option.rect.width(), 1), QColor(tones.edge))
        painter.restore()

    @staticmethod
    def _signs(painter: QPainter, at: QPointF, font: QFont, index: Index, tones: Tones) -> None:
        """Paint the sign of the level with its letter, or over the diamond with the crossing's number."""
        level = index.data(FINDING).level
        fill, paper = level_ink(level, tones)
        paint_sign(painter, LEVEL_SIGNS[level], at, SIGN_PX, fill, paper)
        letter = QFont(font)
        letter.setPixelSize(LETTER_PX)
        letter.setBold(True)
        painter.setFont(letter)
        flag = str(index.data(LETTER))
        side, ink = float(SIGN_PX), paper
        drop = 2.0 if level == "settle" else 0.0  # a triangle is roomy at its foot
        if _is_crossing(index):
            symbol = str(index.data(DIAMOND))
            side, ink = QFontMetrics(letter).horizontalAdvance(flag) + DIAMOND_PX, SYMBOLS[symbol].ink
            drop = (SIGN_PX + DIAMOND_PX) / 2 + 5
            paint_sign(painter, symbol, at + QPointF(0, drop), side, ink, PAPER)
        painter.setPen(QColor(ink))
        box = QRectF(at.x() - side / 2, at.y() - side / 2 + drop, side, side)
        painter.drawText(box, int(Qt.AlignmentFlag.AlignCenter), flag)

    @staticmethod
    def _boxes(room: QRect, font: QFont, index: Index) -> tuple[QRect, QRect]:
        measure = QFontMetrics(font)
        left = room.left() + 2 * EDGE_PX + SIGN_PX + 3
        width = max(80, room.right() - left - EDGE_PX)
        boxes = []
        top = room.top() + EDGE_PX
        for words in (str(index.data()), str(index.data(NUMBERS))):
            box = (
                measure.boundingRect(QRect(left, top, width, 10_000), int(Qt.TextFlag.TextWordWrap), words)
                if words
                else QRect(left, top, 0, 0)
            )
            boxes.append(QRect(left, top, width, box.height()))
            top += box.height()
        return boxes[0], boxes[1]


def _is_crossing(index: Index) -> bool:
    """Return whether a finding goes by the number of a crossing rather than by a letter."""
    return bool(index.data(DIAMOND))


class FindingsPane(QWidget):
    """Filter, list, and what can be done about the chosen finding."""

    fly = Signal(tuple, object)  # ids, plan point or None
    water_asked = Signal()  # by a finding that has no place but the Water pane
    titled = Signal(str)  # what the tab is called now

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self.model = FindingList(self)
        self._stops: frozenset[tuple[str, tuple[str, ...]]] = frozenset()  # shown before
        self.list = QListView(self)
        self.list.setModel(self.model)
        self.list.setItemDelegate(FindingPainter(self.list))
        self.list.setFrameShape(QFrame.Shape.NoFrame)
        self.list.setResizeMode(QListView.ResizeMode.Adjust)
        self.list.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.list.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        # always there, so that rows are wrapped once, at the width they keep
        self.list.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOn)
        self.list.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.list.setAccessibleName("Findings, worst first; Enter shows the place on the plan")
        self.list.clicked.connect(self._go)
        self.list.activated.connect(self._go)
        self.list.selectionModel().currentChanged.connect(self._explain)
        self.model.modelReset.connect(self._explain)
        self.filters = {level: self._filter(level) for level in LEVELS}
        self._none = _quiet_label()
        self.remedy = _quiet_label()
        self.source = _quiet_label()
        self.remedies = Remedies(session, self)
        self.why = QToolButton(self)
        self.why.setText("Where does this come from?")
        self.why.setCheckable(True)
        self.why.setProperty("chip", True)
        self.why.toggled.connect(self._explain)
        self._lay_out()
        session.changed.connect(self.refresh)
        session.studied.connect(self.refresh)
        self.refresh()

    def refresh(self) -> None:
        """Show the findings of the present review; the chosen one stays chosen."""
        before = self.chosen()
        found = self._session.review.findings
        tones = tones_of(self)
        for level, button in self.filters.items():
            button.setText(f"{sum(f.level == level for f in found)} {level}")
            button.setIcon(sign_icon(LEVEL_SIGNS[level], *level_ink(level, tones)))
        shown = tuple(f for f in found if self.filters[f.level].isChecked())
        flags = _flags_of(self._session.review)
        scrolled = self.list.verticalScrollBar().value()
        self.model.show_findings(shown, tuple(flags.get(id(f), NO_FLAG) for f in shown), Words.of(self._session.job))
        if before is not None and self.chosen() is None:
            alike = [i for i, f in enumerate(shown) if (f.kind, f.place.ids) == (before.kind, before.place.ids)]
            if alike:
                self.list.setCurrentIndex(self.model.index(alike[0]))
        self.list.doItemsLayout()
        self.list.verticalScrollBar().setValue(scrolled)  # the list stays where it was
        self._show_new_stop()
        self._none.setText("Nothing to say yet." if not found else "The filter hides every finding.")
        self._none.setVisible(not shown)
        self.list.setVisible(bool(shown))
        self._explain()
        self.titled.emit(f"Findings ({len(found)})" if found else "Findings")

    def _show_new_stop(self) -> None:
        """Scroll to the top, where the stops are, when there is one that was not there before; not while keys walk the list."""
        stops = frozenset((f.kind, f.place.ids) for f in self.model.shown if f.level == "stop")
        is_new = bool(stops - self._stops)
        self._stops = stops
        if is_new and not self.list.hasFocus():
            self.list.scrollToTop()

    def chosen(self) -> Finding | None:
        """Return the finding that is chosen in the list."""
        index = self.list.currentIndex()
        return self.model.shown[index.row()] if index.isValid() and index.row() < len(self.model.shown) else None

    def step(self, by: int) -> None:
        """Choose the next (1) or the one before (-1) and fly to it."""
        count = len(self.model.shown)
        if count:
            row = self.list.currentIndex().row() + by if self.list.currentIndex().isValid() else 0
            self.list.setCurrentIndex(self.model.index(row % count))
            self._go(self.list.currentIndex())

    def recolor(self, tones: Tones) -> None:
        """Repaint after the tones changed."""
        for level, button in self.filters.items():
            button.setIcon(sign_icon(LEVEL_SIGNS[level], *level_ink(level, tones)))
        self.list.viewport().update()

    def _filter(self, level: str) -> QToolButton:
        button = QToolButton(self)
        button.setCheckable(True)
        button.setChecked(True)
        button.setProperty("chip", True)
        button.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonTextBesideIcon)
        button.setToolTip(f"Show or hide findings at {level} level")
        button.setAccessibleName(f"Show findings at {level} level")
        button.toggled.connect(self.refresh)
        return button

    def _lay_out(self) -> None:
        bar = QHBoxLayout()
        bar.setContentsMargins(6, 4, 6, 4)
        for button in self.filters.values():
            bar.addWidget(button)
        bar.addStretch(1)
        box = QVBoxLayout(self)
        box.setContentsMargins(0, 0, 0, 0)
        box.setSpacing(0)
        box.addLayout(bar)
        box.addWidget(self._none)
        box.addWidget(self.list, 1)
        foot = QHBoxLayout()
        foot.setContentsMargins(6, 8, 6, 4)  # off the buttons of the cures
        foot.addWidget(self.why)
        foot.addStretch(1)
        for part in (self.remedy, self.remedies):
            box.addWidget(part)
        box.addLayout(foot)
        box.addWidget(self.source)
        box.addStretch(0)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Leave the list more room than what can be done about one finding."""
        super().resizeEvent(event)
        self.remedies.take_room(round(REMEDIES_PART * self.height()))

    def _go(self, index: QModelIndex) -> None:
        finding: Finding = index.data(FINDING)
        if finding.kind in IN_WATER:
            self.water_asked.emit()
        else:
            self.fly.emit(finding.place.ids, finding.place.point)

    def _explain(self, *_: object) -> None:
        finding = self.chosen()
        self.remedy.setText(self.model.words.remedy(finding) if finding else "")
        self.remedies.show_finding(finding)
        self.remedy.setVisible(bool(self.remedy.text()) and not self.remedies.speaks)
        has_source = finding is not None and bool(finding.source)
        self.why.setVisible(has_source)
        self.source.setText(finding.source if finding is not None else "")
        self.source.setVisible(has_source and self.why.isChecked())


def _quiet_label() -> QLabel:
    label = QLabel()
    label.setWordWrap(True)
    label.setContentsMargins(10, 6, 10, 6)
    label.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
    label.setVisible(False)
    return label
