"""The hydrograph in the Storm pane: of what is selected, or of the whole yard; the mouse moves the moment."""

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QFocusEvent, QMouseEvent, QPainter, QPaintEvent, QPixmap, QResizeEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from drainsketch.desk.fonts import plan_font, plan_metrics
from drainsketch.desk.panes.hydrograph_lines import Graph, graph_of
from drainsketch.desk.panes.hydrograph_paint import (
    KEY_PT,
    GraphFrame,
    frame_of,
    key_widths,
    laid_keys,
    paint_graph,
    paint_keys,
    paint_moment,
)
from drainsketch.desk.panes.profile_overlay import paint_focus
from drainsketch.desk.panes.storm_words import told_time
from drainsketch.desk.playback import Playback
from drainsketch.desk.playing import Shown
from drainsketch.desk.session import Session
from drainsketch.look import PAPER, QUIET, SNAP
from drainsketch.wording import Words

EDGE_PX, TOP_PX = 10.0, 3.0


class Hydrograph(QWidget):
    """Shows flow, level and rain over the time of the storm, and what they are at the moment shown."""

    def __init__(self, session: Session, playback: Playback, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session, self._playback = session, playback
        self.graph: Graph | None = None
        self._shown: Shown | None = None
        self._what: tuple[tuple[str, ...], str] = ((), "")  # the selection and the units it was made for
        self._widths: tuple[float, ...] = ()
        self._picture: QPixmap | None = None
        self.setMinimumSize(240, 96)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setCursor(Qt.CursorShape.SizeHorCursor)
        self.setAccessibleName("Hydrograph")
        self.setToolTip("Click or drag to choose the moment")

    def sizeHint(self) -> QSize:
        """Return the size it likes."""
        return QSize(560, 170)

    def refresh(self) -> None:
        """Show what is selected at the moment shown."""
        shown, words = self._playback.shown, Words.of(self._session.job)
        what = (self._session.selection, words.units)
        if shown is not self._shown or what != self._what:
            self._shown, self._what = shown, what
            self.graph = graph_of(shown, self._session.selection, words) if shown is not None else None
            self._widths = key_widths(self.graph) if self.graph is not None else ()
            self._picture = None
        self.setAccessibleDescription(self.reading)
        self.update()

    @property
    def reading(self) -> str:
        """What the hydrograph says at the moment shown, in words."""
        graph, shown = self.graph, self._playback.shown
        if graph is None or shown is None:
            return ""
        row = self._playback.row
        said = [c.told(row) for c in graph.curves]
        return f"{graph.title}, {told_time(shown.after.played, row)}: {'; '.join(said)}."

    @property
    def frame(self) -> GraphFrame | None:
        """Where on the pane what is painted; None without a storm."""
        if self.graph is None:
            return None
        _, head = laid_keys(self.graph, self._widths, 0, EDGE_PX, TOP_PX, self.width() - 2 * EDGE_PX)
        foot = plan_metrics(KEY_PT).height() if self.graph.note else 0.0
        return frame_of(self.graph, QRectF(self.rect()).adjusted(0, 0, 0, -foot), head + TOP_PX)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the hydrograph from its picture, on top what moves."""
        graph, frame = self.graph, self.frame
        with QPainter(self) as p:
            p.setRenderHints(QPainter.RenderHint.Antialiasing | QPainter.RenderHint.TextAntialiasing)
            if graph is None or frame is None:
                p.fillRect(self.rect(), QColor(PAPER))
                return
            if self._picture is None:
                self._picture = self._painted(graph, frame)
            p.drawPixmap(0, 0, self._picture)
            row = self._playback.row
            keys, _ = laid_keys(graph, self._widths, row, EDGE_PX, TOP_PX, self.width() - 2 * EDGE_PX)
            paint_keys(p, graph, keys, EDGE_PX, TOP_PX)
            paint_moment(p, frame, graph, row)
            if self.hasFocus():
                paint_focus(p, self.rect(), SNAP)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Paint anew at another size."""
        self._picture = None

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Show the moment under the pointer."""
        if event.button() is Qt.MouseButton.LeftButton:
            self._playback.pause()
            self._go(event.position())

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Drag the moment along."""
        if event.buttons() & Qt.MouseButton.LeftButton:
            self._go(event.position())

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Show the frame of the focus."""
        super().focusInEvent(event)
        self.update()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Take it off."""
        super().focusOutEvent(event)
        self.update()

    def _go(self, at: QPointF) -> None:
        frame, graph = self.frame, self.graph
        if frame is not None and graph is not None:
            step = graph.minutes[1] - graph.minutes[0] if len(graph.minutes) > 1 else 0.0
            self._playback.go_to_minute(frame.along.ft(at.x()) + step / 2)

    def _painted(self, graph: Graph, frame: GraphFrame) -> QPixmap:
        ratio = self.devicePixelRatioF()
        picture = QPixmap(self.size() * ratio)
        picture.setDevicePixelRatio(ratio)
        picture.fill(QColor(PAPER))
        shown = self._playback.shown
        words = Words.of(self._session.job)
        hardest = words.rain(float(shown.after.played.rain_in_h.max())) if shown is not None else ""
        with QPainter(picture) as p:
            p.setRenderHints(QPainter.RenderHint.Antialiasing | QPainter.RenderHint.TextAntialiasing)
            paint_graph(p, graph, frame, hardest)
            if graph.note:
                measure = plan_metrics(KEY_PT)
                p.setFont(plan_font(KEY_PT))
                p.setPen(QColor(QUIET))
                p.drawText(QPointF(EDGE_PX, self.height() - measure.descent() - 2), graph.note)
        return picture
