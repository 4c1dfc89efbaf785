"""The profile under the plan: its pointer reads it, the wheel comes closer, and the handle of an invert is dragged."""

from PySide6.QtCore import QEvent, QPointF, Qt, Signal
from PySide6.QtGui import QKeyEvent, QMouseEvent, QWheelEvent
from PySide6.QtWidgets import QWidget

from drainsketch.desk.panes.profile_chart import ProfileChart
from drainsketch.desk.panes.profile_frame import ProfileView
from drainsketch.desk.session import Session

STEP_FT, FAR_STEP_FT = 1.0, 10.0  # of the arrow keys
ZOOM_STEP = 1.25
CLICK_PX = 4.0  # a press that moves less is a click


class ProfileStrip(ProfileChart):
    """The profile with mouse and keys."""

    place_chosen = Signal(tuple, tuple)  # ids, plan point
    level_asked = Signal(str)  # a level is to be typed; what was typed so far

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(session, parent)
        self._pressed: tuple[QPointF, ProfileView] | None = None
        self._grip_ft = 0.0  # from the pointer to the invert in hand
        self.setMouseTracking(True)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Take an invert in hand, or the profile itself."""
        frame = self.frame
        if frame is None or event.button() is not Qt.MouseButton.LeftButton:
            return
        handle = self.hand.near(event.position(), frame)
        if handle is None:
            self.hand.choose(None)
            self._pressed = (event.position(), self.view)
            return
        self.held = frame
        self._grip_ft = handle.level_ft - frame.up.ft(event.position().y())
        self.hand.grab(handle)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Read the profile under the pointer; drag what is in hand."""
        frame, path = self.frame, self.path
        if frame is None or path is None:
            return
        at = event.position()
        if self.hand.dragging:
            self.hand.drag_to(frame.up.ft(at.y()) + self._grip_ft)
            return
        if self._pressed is not None:
            start, view = self._pressed
            moved = at - start
            if abs(moved.x()) + abs(moved.y()) > CLICK_PX:
                self._pan(view, moved)
            return
        over = self.hand.near(at, frame) is not None
        self.setCursor(Qt.CursorShape.SizeVerCursor if over else Qt.CursorShape.ArrowCursor)
        station_ft = frame.along.ft(at.x())
        self.point_at(station_ft if 0 <= station_ft <= path.length_ft else None)

    def _pan(self, view: ProfileView, moved: QPointF) -> None:
        """Move the profile with the pointer, from the view it had when it was pressed."""
        before, self.view = self.view, view
        frame, path = self.frame, self.path
        self.view = before
        if frame is not None and path is not None:
            self.setCursor(Qt.CursorShape.ClosedHandCursor)
            self.look_at(frame.panned(view, path, moved.x(), moved.y()))

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Let go of the invert; a press that did not move chooses the place on the plan."""
        if self.hand.dragging:
            self._let_go(give_up=False)
        elif self._pressed is not None:
            start, _ = self._pressed
            self._pressed = None
            self.setCursor(Qt.CursorShape.ArrowCursor)
            moved = event.position() - start
            if abs(moved.x()) + abs(moved.y()) <= CLICK_PX:
                self._choose()

    def _let_go(self, *, give_up: bool) -> None:
        self.held = None
        self.hand.drop(give_up=give_up)
        self.repaint_all()

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        """Release the pinned invert under the pointer; elsewhere show the whole path."""
        frame = self.frame
        if frame is None:
            return
        handle = self.hand.near(event.position(), frame)
        if handle is None:
            self.fit()
        else:
            self.hand.choose(handle)
            self.hand.release()

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Come closer along the station axis, or go along it with Shift or a sideways wheel."""
        frame, path = self.frame, self.path
        if frame is None or path is None or self.hand.dragging:
            return
        turn = event.angleDelta()
        sideways = turn.x() or (turn.y() if event.modifiers() & Qt.KeyboardModifier.ShiftModifier else 0)
        if sideways:
            self.look_at(frame.panned(self.view, path, sideways / 2, 0.0))
        else:
            self.look_at(frame.zoomed(self.view, path, ZOOM_STEP ** (turn.y() / 120), event.position().x()))
        event.accept()

    def leaveEvent(self, event: QEvent) -> None:
        """Forget the pointer."""
        if not self.hand.dragging:
            self.point_at(None)

    def event(self, event: QEvent) -> bool:
        """Keep the keys that are for the invert in hand from the window's commands."""
        if event.type() is QEvent.Type.ShortcutOverride and isinstance(event, QKeyEvent):
            busy = self.hand.chosen is not None
            if busy and event.key() in (Qt.Key.Key_Delete, Qt.Key.Key_Escape, Qt.Key.Key_Return, Qt.Key.Key_Enter):
                event.accept()
                return True
        return super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Walk along with Left and Right, from invert to invert with Ctrl; Up and Down move the chosen one."""
        if self.path is None or self.frame is None or not (self._key_for_invert(event) or self._key_for_look(event)):
            super().keyPressEvent(event)

    def _key_for_invert(self, event: QKeyEvent) -> bool:
        """Take a key that acts on the chosen invert; return whether it was one."""
        key, hand = event.key(), self.hand
        far = bool(event.modifiers() & Qt.KeyboardModifier.ShiftModifier)
        if event.modifiers() & Qt.KeyboardModifier.ControlModifier and key in (Qt.Key.Key_Left, Qt.Key.Key_Right):
            handle = hand.step(1 if key == Qt.Key.Key_Right else -1)
            if handle is not None:
                self.point_at(handle.at_ft)
                self.setAccessibleDescription(
                    f"Invert of {handle.run} at {handle.structure} {self.words.level(handle.level_ft)}"
                    + (", pinned" if handle.pinned else "")
                )
            return True
        if hand.chosen is None:
            return False
        if key in (Qt.Key.Key_Up, Qt.Key.Key_Down):
            hand.nudge((1 if key == Qt.Key.Key_Up else -1) * (10 if far else 1))
        elif key in (Qt.Key.Key_Delete, Qt.Key.Key_Backspace):
            hand.release()
        elif key == Qt.Key.Key_Escape:
            self._let_go(give_up=True) if hand.dragging else hand.choose(None)
        elif key in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.level_asked.emit("")
        elif event.text().isdigit():
            self.level_asked.emit(event.text())
        else:
            return False
        return True

    def _key_for_look(self, event: QKeyEvent) -> bool:
        """Take a key that moves the reading or the view; return whether it was one."""
        assert self.path is not None  # the caller looked
        step_ft = FAR_STEP_FT if event.modifiers() & Qt.KeyboardModifier.ShiftModifier else STEP_FT
        key, here = event.key(), self.hover_ft or 0.0
        stations = {
            Qt.Key.Key_Left: here - step_ft,
            Qt.Key.Key_Right: here + step_ft,
            Qt.Key.Key_Home: 0.0,
            Qt.Key.Key_End: self.path.length_ft,
        }
        if key in stations:
            station_ft = min(self.path.length_ft, max(0.0, stations[Qt.Key(key)]))
            self.point_at(station_ft)
            self.setAccessibleDescription(self.reading(station_ft))
        elif key in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self._choose()
        elif event.text() in ("+", "=", "-"):
            self._zoom(1 / ZOOM_STEP if event.text() == "-" else ZOOM_STEP)
        else:
            return False
        return True

    def _zoom(self, factor: float) -> None:
        frame, path = self.frame, self.path
        if frame is not None and path is not None:
            about = frame.room.center().x() if self.hover_ft is None else frame.along.px(self.hover_ft)
            self.look_at(frame.zoomed(self.view, path, factor, about))

    def _choose(self) -> None:
        place = self.path.place_at(self.hover_ft) if self.path is not None and self.hover_ft is not None else None
        if place is not None:
            self.place_chosen.emit((), place)
