"""The drawing under the plan, painted into a picture of its own, so that neither panning nor an edit pays for it."""

from collections.abc import Iterator
from functools import partial

import numpy as np
from PySide6.QtCore import QPointF
from PySide6.QtGui import QPainter, QPolygonF

from drainsketch.desk.layers import Step
from drainsketch.desk.painter import pen, transform_of
from drainsketch.desk.view import View
from drainsketch.job.model import Backdrop, BackdropLine

BATCH = 100  # lines painted in one step
LEAST_PX = 0.7  # a line smaller than this is a dot


class Underlay:
    """The lines of a drawing made ready to paint."""

    def __init__(self, lines: tuple[BackdropLine, ...]) -> None:
        self.lines = lines
        self._polygons = [_polygon(x) for x in lines]
        boxes = [polygon.boundingRect() for polygon in self._polygons]
        self._bounds = np.array([(b.left(), b.top(), b.right(), b.bottom()) for b in boxes])

    def steps(self, view: View, width: float, height: float) -> Iterator[Step]:
        """Yield the painting of what lies within a picture, some lines at a time."""
        west, south, east, north = view.extent(width, height)
        x0, y0, x1, y1 = self._bounds.T
        seen = (x0 <= east) & (x1 >= west) & (y0 <= north) & (y1 >= south)
        seen &= np.maximum(x1 - x0, y1 - y0) * view.px_per_ft >= LEAST_PX
        found = np.flatnonzero(seen).tolist()
        for i in range(0, len(found), BATCH):
            yield partial(self._paint, which=found[i : i + BATCH], view=view)

    def _paint(self, p: QPainter, which: list[int], view: View) -> None:
        to_px = transform_of(view)
        p.setPen(pen("backdrop"))
        for i in which:
            p.drawPolyline(to_px.map(self._polygons[i]))


def underlay_of(backdrop: Backdrop | None, before: Underlay | None) -> Underlay | None:
    """Return a drawing that is shown made ready, that of before where it is of the very same lines; None of any other."""
    if backdrop is None or not backdrop.shown or not backdrop.lines:
        return None
    return before if before is not None and before.lines is backdrop.lines else Underlay(backdrop.lines)


def _polygon(line: BackdropLine) -> QPolygonF:
    points = (*line.points, line.points[0]) if line.closed else line.points
    return QPolygonF([QPointF(x, y) for x, y in points])
