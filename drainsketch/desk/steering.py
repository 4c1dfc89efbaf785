"""Pan and zoom: wheel, middle button, space and drag, two fingers, pinch. Events become views; nothing else is done here."""

from PySide6.QtCore import QEvent, QPointF, Qt
from PySide6.QtGui import QMouseEvent, QNativeGestureEvent, QWheelEvent
from PySide6.QtWidgets import QGestureEvent, QPinchGesture

from drainsketch.desk.view import View

WHEEL_STEP = 1.2  # per notch
NOTCH = 120.0


class Steering:
    """What the hands do to the view; holds where a pan was taken up."""

    def __init__(self) -> None:
        self.space = False  # the space bar is down
        self._held: QPointF | None = None

    @property
    def panning(self) -> bool:
        """Whether the plan is being dragged."""
        return self._held is not None

    def takes_press(self, event: QMouseEvent) -> bool:
        """Return whether a press begins a pan."""
        left_with_space = self.space and event.button() is Qt.MouseButton.LeftButton
        if event.button() is Qt.MouseButton.MiddleButton or left_with_space:
            self._held = event.position()
            return True
        return False

    def moved(self, view: View, at: QPointF) -> View:
        """Return the view after the hand that holds the plan moved."""
        assert self._held is not None  # the caller asked whether it pans
        gone = at - self._held
        self._held = at
        return view.panned(gone.x(), gone.y())

    def let_go(self) -> None:
        """End a pan."""
        self._held = None


def wheeled(view: View, event: QWheelEvent) -> View:
    """Return the view after a wheel or a two-finger scroll: fingers pan, a wheel (or Ctrl) zooms about the pointer."""
    at = event.position()
    fingers, notches = event.pixelDelta(), event.angleDelta()
    by_hand = event.phase() is not Qt.ScrollPhase.NoScrollPhase
    if not fingers.isNull() and by_hand and not event.modifiers() & Qt.KeyboardModifier.ControlModifier:
        return view.panned(fingers.x(), fingers.y())
    turned = notches.y() or notches.x()
    return view.zoomed(WHEEL_STEP ** (turned / NOTCH), at.x(), at.y()) if turned else view


def pinched(view: View, event: QEvent, in_widget: object) -> View | None:
    """Return the view after a pinch on a touch pad or screen; None for any other event."""
    if isinstance(event, QNativeGestureEvent):
        at = event.position()
        if event.gestureType() is Qt.NativeGestureType.ZoomNativeGesture:
            return view.zoomed(max(0.2, 1.0 + event.value()), at.x(), at.y())
        if event.gestureType() is Qt.NativeGestureType.PanNativeGesture:
            return view.panned(event.delta().x(), event.delta().y())
        return None
    if isinstance(event, QGestureEvent):
        pinch = event.gesture(Qt.GestureType.PinchGesture)
        if isinstance(pinch, QPinchGesture):
            return after_pinch(view, pinch, in_widget)
    return None


def after_pinch(view: View, pinch: QPinchGesture, in_widget: object) -> View:
    """Return the view after two fingers moved: they keep hold of the plan points under their middle."""
    now, before = pinch.centerPoint(), pinch.lastCenterPoint()
    if hasattr(in_widget, "mapFromGlobal"):
        now, before = in_widget.mapFromGlobal(now), in_widget.mapFromGlobal(before)
    moved = view.panned(now.x() - before.x(), now.y() - before.y())
    return moved.zoomed(pinch.scaleFactor(), now.x(), now.y())
