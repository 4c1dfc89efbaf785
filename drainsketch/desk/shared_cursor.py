"""The cursor that plan and profile share: a place on a path shown on the one as on the other."""

from PySide6.QtCore import QEvent, QObject

from drainsketch.desk.canvas import REACH_PX, Canvas
from drainsketch.desk.panes.profile import ProfileStrip

FAR_PX = 2 * REACH_PX  # the pointer on the plan is on the path within this


class SharedCursor(QObject):
    """Passes the pointer on between plan and profile."""

    def __init__(self, canvas: Canvas, profile: ProfileStrip, parent: QObject) -> None:
        super().__init__(parent)
        self._canvas, self._profile = canvas, profile
        canvas.cursor_moved.connect(self._plan_moved)
        profile.place_shown.connect(canvas.plan.show_place)
        canvas.installEventFilter(self)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Forget the place when the pointer leaves the plan."""
        if event.type() is QEvent.Type.Leave:
            self._profile.follow(None, 0.0)
        return super().eventFilter(watched, event)

    def _plan_moved(self, x_ft: float, y_ft: float) -> None:
        self._profile.follow((x_ft, y_ft), FAR_PX / self._canvas.view.px_per_ft)
