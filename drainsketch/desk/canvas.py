"""The plan on screen: it takes what the user does, shows what the tools and the session say, and decides nothing."""

from PySide6.QtCore import QEvent, QPointF, Qt, QVariantAnimation, Signal
from PySide6.QtGui import (
    QCursor,
    QFocusEvent,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QResizeEvent,
    QWheelEvent,
)
from PySide6.QtWidgets import QWidget

from drainsketch.desk.driver import Aim, Driver, Kind
from drainsketch.desk.plan_view import PlanView
from drainsketch.desk.session import Session
from drainsketch.desk.steering import Steering, pinched, wheeled
from drainsketch.desk.tools.catalogue import TOOLS
from drainsketch.desk.tools.gesture import Doubled, Key, Keyed, Moved, Pressed, Released
from drainsketch.desk.view import View, centered, fitted
from drainsketch.job.ask import points_of, structures_by_id, thing, whole_extent
from drainsketch.job.kinds import Point

REACH_PX = 9.0
FLY_PX_PER_FT = 14.0
FLASH_MS = 1100
SLIDE_PX = 80.0
SLIDES: dict[int, Point] = {
    Qt.Key.Key_Left: (SLIDE_PX, 0.0),
    Qt.Key.Key_Right: (-SLIDE_PX, 0.0),
    Qt.Key.Key_Up: (0.0, SLIDE_PX),
    Qt.Key.Key_Down: (0.0, -SLIDE_PX),
}
DESCRIPTION = "The plan of the yard; every tool has a key, and points can be typed."
KEYS: dict[int, Key] = {
    Qt.Key.Key_Return: "enter",
    Qt.Key.Key_Enter: "enter",
    Qt.Key.Key_Backspace: "backspace",
    Qt.Key.Key_Delete: "delete",
    Qt.Key.Key_Left: "left",
    Qt.Key.Key_Right: "right",
    Qt.Key.Key_Up: "up",
    Qt.Key.Key_Down: "down",
}


class Canvas(QWidget):
    """The plan, its tools and the pointer on it."""

    tool_changed = Signal(str)
    cursor_moved = Signal(float, float)  # plan feet
    hint_changed = Signal(str)
    entry_changed = Signal(str)
    view_changed = Signal(float)  # the scale of the view now, pixels per foot

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.session = session
        self.driver = Driver(session, self)
        self.plan = PlanView(session, self.driver, self)
        self._steering = Steering()
        self.setMouseTracking(True)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAttribute(Qt.WidgetAttribute.WA_OpaquePaintEvent)
        self.setAccessibleName("Plan")
        self.describe_selection()
        session.selected.connect(self.describe_selection)
        self.setMinimumSize(240, 180)
        self.grabGesture(Qt.GestureType.PinchGesture)
        self.flash = QVariantAnimation(self)
        self.flash.setStartValue(0.0)
        self.flash.setEndValue(1.0)
        self.flash.setDuration(FLASH_MS)
        self.flash.valueChanged.connect(self.plan.flash_on)
        self.flash.finished.connect(self.plan.flash_off)
        self.plan.view_changed.connect(self.view_changed)
        self.driver.hint_changed.connect(self.hint_changed)
        self.driver.entry_changed.connect(self.entry_changed)
        self.driver.tool_changed.connect(self.tool_changed)
        self.driver.tool_changed.connect(self._show_cursor)
        self.driver.point_typed.connect(self._widen)

    # -- what the window asks for

    def set_tool(self, name: str) -> None:
        """Take a tool in hand. Raises KeyError for a name that is not in the catalogue."""
        self.driver.set_tool(name)

    def set_choice(self, name: str, choice: str) -> None:
        """Set what a tool draws."""
        self.driver.set_choice(name, choice)

    def cancel(self) -> None:
        """Go one step back towards rest."""
        self.driver.cancel()

    @property
    def view(self) -> View:
        """Which part of the plan is shown."""
        return self.plan.view

    def zoom_to_fit(self, *, with_drawing: bool = False) -> None:
        """Show all of the job, of an empty one the drawing under it; else the first view."""
        whole = whole_extent(self.session.job, with_drawing=with_drawing)
        self.plan.look_at(View() if whole is None else fitted(whole, self.width(), self.height()))

    def zoom_by(self, factor: float) -> None:
        """Zoom about the middle of the plan."""
        self.plan.look_at(self.view.zoomed(factor, self.width() / 2, self.height() / 2))

    def fly_to(self, ids: tuple[str, ...], point: Point | None) -> None:
        """Bring things, or a place, to the middle at a scale to see them by, and flash the place."""
        job = self.session.job
        structures = structures_by_id(job)
        spots = [q for i in ids if (t := thing(job, i)) is not None for q in points_of(t, structures)]
        if point is not None:
            spots = [point]
        if not spots:
            return
        xs, ys = zip(*spots, strict=True)
        near = fitted(
            (min(xs), min(ys), max(xs), max(ys)),
            self.width(),
            self.height(),
            margin_px=90.0,
            most_px_per_ft=FLY_PX_PER_FT,
        )
        middle = ((min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2)
        scale = near.px_per_ft
        if point is not None or len(spots) == 1:
            scale = min(40.0, max(FLY_PX_PER_FT, self.view.px_per_ft))
        self.plan.look_at(centered(middle, scale, self.width(), self.height()))
        self._flash(middle)

    def point_out(self, ids: tuple[str, ...], point: Point) -> None:
        """Flash a place; the plan stays as it is unless the place is out of view."""
        x, y = self.view.to_px(point)
        if 0 <= x <= self.width() and 0 <= y <= self.height():
            self._flash(point)
        else:
            self.fly_to(ids, point)

    def _flash(self, at: Point) -> None:
        self.plan.flash_at(at)
        self.flash.stop()
        self.flash.start()

    def bring_into_view(self, ids: tuple[str, ...]) -> None:
        """Fly to things that are not wholly on the screen."""
        structures = structures_by_id(self.session.job)
        spots = [
            self.view.to_px(q)
            for i in ids
            if (t := thing(self.session.job, i)) is not None
            for q in points_of(t, structures)
        ]
        if not all(0 <= x <= self.width() and 0 <= y <= self.height() for x, y in spots):
            self.fly_to(ids, None)

    def _widen(self, x_ft: float, y_ft: float) -> None:
        """Show more of the plan when a typed point lies outside of what is shown."""
        width, height = self.width(), self.height()
        x, y = self.view.to_px((x_ft, y_ft))
        if not (0 <= x <= width and 0 <= y <= height):
            west, south, east, north = self.view.extent(width, height)
            wider = (min(west, x_ft), min(south, y_ft), max(east, x_ft), max(north, y_ft))
            self.plan.look_at(fitted(wider, width, height))

    def describe_selection(self) -> None:
        """Say what is selected to those who read the screen by ear."""
        chosen = self.session.selection
        self.setAccessibleDescription(f"Selected: {', '.join(chosen[:6])}." if chosen else DESCRIPTION)

    # -- what Qt tells

    def paintEvent(self, event: QPaintEvent) -> None:
        with QPainter(self) as p:
            p.setRenderHints(QPainter.RenderHint.Antialiasing | QPainter.RenderHint.TextAntialiasing)
            self.plan.paint(p, (float(self.width()), float(self.height())))

    def resizeEvent(self, event: QResizeEvent) -> None:
        self.plan.resize(event.size(), event.oldSize(), self.devicePixelRatioF())

    def mousePressEvent(self, event: QMouseEvent) -> None:
        if self._steering.takes_press(event):
            self._show_cursor()
        elif event.button() is Qt.MouseButton.LeftButton:
            self._send(Pressed, event)

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        if self._steering.takes_press(event):
            self._show_cursor()
        elif event.button() is Qt.MouseButton.LeftButton:
            self._send(Doubled, event)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        if self._steering.panning:
            self.plan.look_at(self._steering.moved(self.view, event.position()))
            return
        self._send(Moved, event)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        if self._steering.panning:
            self._steering.let_go()
            self._show_cursor()
        elif event.button() is Qt.MouseButton.LeftButton:
            self._send(Released, event)

    def wheelEvent(self, event: QWheelEvent) -> None:
        self.plan.look_at(wheeled(self.view, event))
        event.accept()

    def leaveEvent(self, event: QEvent) -> None:
        self.driver.left()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        self._steering.space = False
        self._show_cursor()
        super().focusOutEvent(event)

    def event(self, event: QEvent) -> bool:
        kind = event.type()
        if kind is QEvent.Type.ShortcutOverride and isinstance(event, QKeyEvent) and self._wants(event):
            event.accept()
            return True
        if kind is QEvent.Type.KeyPress and isinstance(event, QKeyEvent) and event.key() == Qt.Key.Key_Tab:
            return self.driver.turn_entry() or super().event(event)
        if kind in (QEvent.Type.NativeGesture, QEvent.Type.Gesture):
            view = pinched(self.view, event, self)
            if view is not None:
                if self.driver.dragging:  # the first finger had taken hold of something
                    self.driver.restart()
                self.plan.look_at(view)
                event.accept()
                return True
        if kind is QEvent.Type.DevicePixelRatioChange:
            self.plan.resize(self.size(), self.size(), self.devicePixelRatioF())
        return super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if not self._take_key(event):
            super().keyPressEvent(event)

    def keyReleaseEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Space and not event.isAutoRepeat():
            self._steering.space = False
            self._show_cursor()
        else:
            super().keyReleaseEvent(event)

    # -- inside

    def _send(self, kind: Kind, event: QMouseEvent) -> None:
        at = event.position()
        raw = self.view.to_ft(at.x(), at.y())
        held = event.modifiers()
        aim = Aim(
            raw=raw,
            reach_ft=REACH_PX / self.view.px_per_ft,
            free=bool(held & Qt.KeyboardModifier.AltModifier),
            add=bool(held & Qt.KeyboardModifier.ShiftModifier),
        )
        self.driver.point(kind, aim)
        shown = self.driver.at or raw
        self.cursor_moved.emit(*shown)

    def _wants(self, event: QKeyEvent) -> bool:
        """Return whether a key is for the plan rather than for a shortcut of the window."""
        plain = not event.modifiers() & (Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.MetaModifier)
        if plain and self.driver.entry is not None:
            return bool(event.text()) or event.key() in KEYS
        idle = not self.driver.begun and self.driver.spec.name != "select"
        if event.key() == Qt.Key.Key_Delete and idle:  # the tool has nothing to take back: the selection is meant
            return False
        return plain and (event.key() in KEYS or event.key() in (Qt.Key.Key_Space, Qt.Key.Key_Escape))

    def _take_key(self, event: QKeyEvent) -> bool:
        key, held = event.key(), event.modifiers()
        control = bool(held & Qt.KeyboardModifier.ControlModifier)
        if control and key == Qt.Key.Key_A:
            self.driver.key(Keyed("all"))
        elif control and key in SLIDES:
            self.plan.look_at(self.view.panned(*SLIDES[key]))
        elif control:
            return False
        elif key == Qt.Key.Key_Escape:
            self.driver.cancel()
        elif key in KEYS:
            self.driver.key(Keyed(KEYS[key], far=bool(held & Qt.KeyboardModifier.ShiftModifier)))
        elif self.driver.entry is None and key == Qt.Key.Key_Space:
            self._steering.space = True
            self._show_cursor()
        elif not (event.text().isprintable() and self.driver.type_text(event.text())):
            wanted = next((t.name for t in TOOLS if t.key == event.text().upper()), None)
            if wanted is None:
                return False
            self.set_tool(wanted)
        return True

    def _show_cursor(self) -> None:
        shape = Qt.CursorShape.CrossCursor
        if self._steering.panning:
            shape = Qt.CursorShape.ClosedHandCursor
        elif self._steering.space:
            shape = Qt.CursorShape.OpenHandCursor
        elif self.driver.spec.name == "select":
            shape = Qt.CursorShape.ArrowCursor
        self.setCursor(QCursor(shape))

    def mapped(self, point: Point) -> QPointF:
        """Return where a plan point is on the widget; for tests and the window's pop-ups."""
        return QPointF(*self.view.to_px(point))
