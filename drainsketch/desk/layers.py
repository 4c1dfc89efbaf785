"""Pictures of the plan kept ready. Pan and zoom show them moved and stretched; after a rest they are painted anew, in
slices of time so that the window never waits, and only those whose content changed.
"""

from collections.abc import Callable, Iterable, Iterator
from math import ceil
from time import perf_counter

from PySide6.QtCore import QObject, QPointF, QSize, Qt, QTimer, Signal
from PySide6.QtGui import QColor, QPainter, QPixmap

from drainsketch import look
from drainsketch.desk.view import View

Step = Callable[[QPainter], None]
Steps = Callable[[View, float, float], Iterator[Step]]  # view of the picture, its width and height in pixels

SLICE_S = 0.005
FIRST_SLICE_S = 0.010
REST_MS = 90
MARGIN = 0.25  # of the widget, kept round it on each side
MOST_PIXELS = 24_000_000  # of one picture; the margin gives way first


class Layer:
    """A picture, the view it was painted in, and how to paint it."""

    def __init__(self, steps: Steps, paper: bool = False) -> None:
        self.steps = steps
        self.paper = paper
        self.picture: QPixmap | None = None
        self.view = View()
        self.stale = True
        self.shown = True  # a layer that is not shown is neither painted nor drawn

    def draw(self, p: QPainter, now: View) -> None:
        """Draw the picture where it belongs in the view of the moment."""
        if self.picture is None or not self.shown:
            return
        scale, dx, dy = self.view.seen_from(now)
        ratio = self.picture.devicePixelRatio()
        if abs(scale - 1.0) < 1e-9:
            p.drawPixmap(QPointF(round(dx * ratio) / ratio, round(dy * ratio) / ratio), self.picture)
            return
        p.save()
        p.translate(dx, dy)
        p.scale(scale, scale)
        p.drawPixmap(QPointF(0, 0), self.picture)
        p.restore()


class Pictures(QObject):
    """Every layer, and the painting in hand: at most one picture at a time, a slice whenever the window has nothing to do."""

    painted = Signal()  # a picture is ready

    def __init__(self, layers: Iterable[Layer], parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.layers = tuple(layers)
        self._size = QSize(0, 0)
        self._ratio = 1.0
        self._view = View()
        self._work: Iterator[Step] | None = None
        self._back: tuple[Layer, QPixmap, View] | None = None
        self.slice_timer = QTimer(self)
        self.slice_timer.setInterval(0)
        self.slice_timer.timeout.connect(self._slice)
        self.rest_timer = QTimer(self)
        self.rest_timer.setSingleShot(True)
        self.rest_timer.setInterval(REST_MS)
        self.rest_timer.timeout.connect(self._rested)

    @property
    def settled(self) -> bool:
        """Whether every picture shows what it should, at its scale."""
        return self._work is None and not self.rest_timer.isActive() and not any(self._lacking(x) for x in self.layers)

    def resize(self, size: QSize, ratio: float) -> None:
        """Take the size of the widget and its device pixel ratio."""
        if (size, ratio) != (self._size, self._ratio):
            self._size, self._ratio = size, ratio
            self._drop()
            for layer in self.layers:
                layer.stale = True

    def look_at(self, view: View) -> None:
        """Take the view of the moment; pictures are painted anew when it has rested, or at once where the plan would end."""
        zoomed = view.px_per_ft != self._view.px_per_ft
        self._view = view
        if zoomed:
            self._drop()
            self.rest_timer.start()
        elif self._work is None and any(self._lacking(layer) for layer in self.layers):
            self.refresh() if not self.rest_timer.isActive() else self.rest_timer.start()

    def spoil(self, *layers: Layer) -> None:
        """Note that the content of layers changed."""
        for layer in layers:
            layer.stale = True
            if self._back is not None and self._back[0] is layer:
                self._drop()

    def refresh(self, first_slice_s: float = FIRST_SLICE_S) -> None:
        """Paint what is lacking: as much as a first slice holds at once, the rest in later slices."""
        if self._size.isEmpty():
            return
        self.rest_timer.stop()
        self._paint_until(perf_counter() + first_slice_s)

    def _lacking(self, layer: Layer) -> bool:
        """Return whether a layer has no picture that will do for the view of the moment."""
        if not layer.shown:
            return False
        if layer.stale or layer.picture is None or layer.view.px_per_ft != self._view.px_per_ft:
            return True
        _, dx, dy = layer.view.seen_from(self._view)
        wide = layer.picture.width() / self._ratio + dx
        high = layer.picture.height() / self._ratio + dy
        spare = 0.25 * self.margin_px()  # begin before the picture ends
        return dx > -spare or dy > -spare or wide < self._size.width() + spare or high < self._size.height() + spare

    def margin_px(self) -> int:
        """Return how much of a picture lies beyond the widget on each side, pixels."""
        w, h = self._size.width(), self._size.height()
        margin = ceil(MARGIN * max(w, h))
        while margin > 8 and (w + 2 * margin) * (h + 2 * margin) * self._ratio**2 > MOST_PIXELS:
            margin //= 2
        return margin

    def _begin(self, layer: Layer) -> None:
        margin = self.margin_px()
        view = self._view.panned(margin, margin)
        w, h = self._size.width() + 2 * margin, self._size.height() + 2 * margin
        picture = QPixmap(ceil(w * self._ratio), ceil(h * self._ratio))
        picture.setDevicePixelRatio(self._ratio)
        picture.fill(QColor(look.PAPER) if layer.paper else Qt.GlobalColor.transparent)
        layer.stale = False
        self._back = (layer, picture, view)
        self._work = layer.steps(view, w, h)

    def _drop(self) -> None:
        if self._back is not None:
            self._back[0].stale = True
        self._work = self._back = None
        self.slice_timer.stop()

    def _rested(self) -> None:
        self.refresh()

    def _slice(self) -> None:
        self._paint_until(perf_counter() + SLICE_S)

    def _paint_until(self, deadline: float) -> None:
        while True:
            if self._work is None or self._back is None:
                lacking = next((layer for layer in self.layers if self._lacking(layer)), None)
                if lacking is None:
                    self.slice_timer.stop()
                    return
                self._begin(lacking)
            if not self._paint_steps(deadline):
                self.slice_timer.start()
                return

    def _paint_steps(self, deadline: float) -> bool:
        """Paint steps of the picture in hand until the deadline; return whether it is done and hung up."""
        assert self._work is not None and self._back is not None  # the caller has begun
        layer, picture, view = self._back
        with QPainter(picture) as p:
            p.setRenderHints(QPainter.RenderHint.Antialiasing | QPainter.RenderHint.TextAntialiasing)
            for step in self._work:
                step(p)
                if perf_counter() > deadline:
                    return False
        layer.picture, layer.view = picture, view
        self._work = self._back = None
        self.painted.emit()
        return True
