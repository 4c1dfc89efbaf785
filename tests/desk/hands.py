"""Hands for the tests: a canvas on screen, a mouse that thinks in plan feet, keys; and a rich invented yard."""

from PySide6.QtCore import QEvent, QPoint, QPointF, Qt
from PySide6.QtGui import QMouseEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from drainsketch.desk.canvas import Canvas
from drainsketch.desk.session import Session
from drainsketch.desk.view import View
from drainsketch.job.kinds import Point
from drainsketch.job.model import Boundary, Downspout, Header, Job, Obstacle, Run, Service, Shot, Structure


class Hands:
    """Works a canvas as a user would; plan points in feet, to the nearest pixel."""

    def __init__(self, canvas: Canvas) -> None:
        self.canvas = canvas

    @property
    def session(self) -> Session:
        return self.canvas.session

    @property
    def job(self) -> Job:
        return self.session.job

    def px(self, at: Point) -> QPoint:
        x, y = self.canvas.view.to_px(at)
        return QPoint(round(x), round(y))

    def move(self, at: Point, held: Qt.KeyboardModifier = Qt.KeyboardModifier.NoModifier, down: bool = False) -> None:
        self._mouse(QEvent.Type.MouseMove, at, held, Qt.MouseButton.LeftButton if down else Qt.MouseButton.NoButton)

    def press(self, at: Point, held: Qt.KeyboardModifier = Qt.KeyboardModifier.NoModifier) -> None:
        self._mouse(QEvent.Type.MouseButtonPress, at, held, Qt.MouseButton.LeftButton)

    def release(self, at: Point, held: Qt.KeyboardModifier = Qt.KeyboardModifier.NoModifier) -> None:
        self._mouse(QEvent.Type.MouseButtonRelease, at, held, Qt.MouseButton.NoButton)

    def click(self, at: Point, held: Qt.KeyboardModifier = Qt.KeyboardModifier.NoModifier) -> None:
        self.move(at, held)
        self.press(at, held)
        self.release(at, held)

    def double_click(self, at: Point) -> None:
        """Do what a real double click does: press, release, double click, release."""
        self.click(at)
        self._mouse(QEvent.Type.MouseButtonDblClick, at, Qt.KeyboardModifier.NoModifier, Qt.MouseButton.LeftButton)
        self.release(at)

    def drag(self, a: Point, b: Point, held: Qt.KeyboardModifier = Qt.KeyboardModifier.NoModifier) -> None:
        self.move(a, held)
        self.press(a, held)
        self.move(((a[0] + b[0]) / 2, (a[1] + b[1]) / 2), held, down=True)
        self.move(b, held, down=True)
        self.release(b, held)

    def key(self, key: Qt.Key, held: Qt.KeyboardModifier = Qt.KeyboardModifier.NoModifier) -> None:
        QTest.keyClick(self.canvas, key, held)

    def type(self, text: str) -> None:
        QTest.keyClicks(self.canvas, text)

    def enter(self, text: str) -> None:
        self.type(text)
        self.key(Qt.Key.Key_Return)

    def settle(self) -> None:
        """Paint what is left to paint, without waiting for timers."""
        pictures = self.canvas.plan.layers.pictures
        while not pictures.settled:
            pictures.refresh()

    def _mouse(self, kind: QEvent.Type, at: Point, held: Qt.KeyboardModifier, buttons: Qt.MouseButton) -> None:
        spot = QPointF(self.px(at))
        button = Qt.MouseButton.NoButton if kind is QEvent.Type.MouseMove else Qt.MouseButton.LeftButton
        place = QPointF(self.canvas.mapToGlobal(spot))
        QApplication.sendEvent(self.canvas, QMouseEvent(kind, spot, place, button, buttons, held))


def canvas_of(job: Job | None = None, view: View | None = None, size: tuple[int, int] = (1000, 700)) -> Canvas:
    """Return a shown canvas; 10 pixels are a foot unless a view is given, so that pixels fall on tenths."""
    canvas = Canvas(Session(job))
    canvas.resize(*size)
    canvas.show()
    canvas.plan.look_at(view or View(west_ft=-10.0, north_ft=60.0, px_per_ft=10.0))
    return canvas


def corner_lot() -> Job:
    """Return a rich invented yard."""
    return Job(
        header=Header(title="Back yard", units="ft-in"),
        boundary=Boundary(id="boundary", points=((0, 0), (110, 0), (110, 78), (64, 84), (0, 84))),
        obstacles=(
            Obstacle(
                id="building-1",
                kind="building",
                points=((30, 44), (72, 44), (72, 52), (78, 52), (78, 72), (30, 72)),
                name="House",
            ),
            Obstacle(id="building-2", kind="building", points=((92, 8), (104, 8), (104, 18), (92, 18)), name="Shed"),
            Obstacle(id="hardscape-1", kind="hardscape", points=((40, 32), (62, 32), (62, 44), (40, 44)), name="Patio"),
            Obstacle(
                id="hardscape-2", kind="hardscape", points=((78, 54), (110, 54), (110, 66), (78, 66)), name="Driveway"
            ),
            Obstacle(id="bed-1", kind="bed", points=((4, 60), (20, 66), (22, 78), (6, 80))),
            Obstacle(id="tree-1", kind="tree", points=((16, 26),), trunk_diameter_in=16, name="Oak"),
            Obstacle(id="tree-2", kind="tree", points=((86, 30),), trunk_diameter_in=8, name="Maple"),
            Obstacle(id="fence-1", kind="fence", points=((0, 2), (108, 2), (108, 50))),
        ),
        downspouts=(
            Downspout(id="downspout-1", point=(30, 44.5), roof_area_ft2=480),
            Downspout(id="downspout-2", point=(72, 44.5), roof_area_ft2=520),
        ),
        services=(
            Service(
                id="gas-1", kind="gas", points=((110, 36), (84, 40), (78, 56)), depth_top_ft=2.0, known_by="marked"
            ),
            Service(id="water-1", kind="water", points=((50, 84), (50, 72)), depth_top_ft=4.5, known_by="records"),
            Service(id="electric-1", kind="electric", points=((0, 50), (30, 58))),
            Service(id="sewer-1", kind="sewer", points=((70, 84), (66, 72)), depth_top_ft=5.0),
            Service(
                id="communication-1",
                kind="communication",
                points=((110, 14), (60, 22), (30, 40), (30, 50)),
                depth_top_ft=0.8,
            ),
        ),
        shots=tuple(
            Shot(id=f"S{i + 1}", point=p, elevation_ft=z)
            for i, (p, z) in enumerate(
                (
                    ((0, 0), 97.6),
                    ((110, 0), 96.2),
                    ((110, 78), 99.9),
                    ((0, 84), 100.4),
                    ((30, 44), 99.9),
                    ((72, 44), 99.7),
                    ((50, 30), 99.1),
                    ((20, 12), 98.2),
                    ((90, 24), 97.7),
                    ((60, 10), 97.4),
                )
            )
        ),
        structures=(
            Structure(id="D1", kind="downspout inlet", point=(29, 42), downspout="downspout-1"),
            Structure(id="D2", kind="downspout inlet", point=(73.5, 42), downspout="downspout-2"),
            Structure(id="B1", kind="basin", point=(50, 26), size_in=12),
            Structure(id="B2", kind="basin", point=(24, 34), size_in=12),
            Structure(id="F1", kind="fitting", point=(72, 18)),
            Structure(id="C1", kind="cleanout", point=(62, 22)),
            Structure(id="O1", kind="outfall", point=(104, 3), outfall="pop-up"),
        ),
        runs=(
            Run(id="R1", start="D1", end="B2", via=((26, 38),)),
            Run(id="R2", start="B2", end="B1", use="drain", pipe="corrugated", sock=True),
            Run(id="R3", start="B1", end="C1"),
            Run(id="R4", start="C1", end="F1"),
            Run(id="R5", start="D2", end="F1", via=((76, 34),)),
            Run(id="R6", start="F1", end="O1", via=((92, 5),)),
        ),
    )
