"""What of the ground study is shown over the plan, and how things stand with it."""

from msgspec import Struct
from PySide6.QtCore import QObject, QTimer, Signal

from drainsketch.desk.session import Session
from drainsketch.ground.results import GroundStudy

PATIENCE_MS = 500  # a study that takes longer is said to be in work
WORKING = "The ground is being worked out"
FAILED = "The ground could not be worked out; what is shown is older"
NO_INLETS = "No basin takes water yet: draw the pipe of a basin to an outfall to see whose ground reaches it"
NO_SHOTS = "Take three shots or more to see where the ground falls"


class Overlay(Struct, frozen=True):
    """One overlay: its stable name, which is that of its command and icon, its label, key and tip; whether it is on at first."""

    name: str
    label: str
    key: str
    tip: str
    at_first: bool = False


OVERLAYS: tuple[Overlay, ...] = (
    Overlay("contours", "Contours", "Shift+F2", "Contours of the ground with their levels"),
    Overlay("falls", "Fall of the Ground", "Shift+F3", "Arrows the way the ground falls"),
    Overlay(
        "water",
        "Standing Water",
        "Shift+F4",
        "Where water stands after rain, how deep, and where it spills",
        at_first=True,
    ),
    Overlay("areas", "Inlet Areas", "Shift+F5", "The ground whose water reaches each inlet"),
)


class Overlays(QObject):
    """Which overlays are on, over the latest ground study there is."""

    switched = Signal()  # one was switched on or off
    aged = Signal()  # the study shown has become old, or new again

    def __init__(self, session: Session, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._on = {o.name for o in OVERLAYS if o.at_first}
        self._late = False
        self._patience = QTimer(self, singleShot=True, interval=PATIENCE_MS)
        self._patience.timeout.connect(self._lost_patience)
        session.changed.connect(self._look)
        session.studied.connect(self._look)

    def is_on(self, name: str) -> bool:
        """Return whether an overlay is shown."""
        return name in self._on

    @property
    def any_on(self) -> bool:
        """Whether anything is to be shown."""
        return bool(self._on)

    def show(self, name: str, on: bool) -> None:
        """Switch an overlay on or off."""
        if on != (name in self._on):
            self._on ^= {name}
            self.switched.emit()

    @property
    def ground(self) -> GroundStudy | None:
        """The latest ground study; None while there is none, or the job has no shots to make one of."""
        study = self._session.study
        return None if study is None or self._session.review.surface is None else study.ground

    @property
    def old(self) -> bool:
        """Whether what is shown belongs to an earlier job, and has for a while."""
        return self._late or self._session.study_failed

    @property
    def note(self) -> str:
        """A sentence on how things stand; '' when there is nothing to say."""
        surface = self._session.review.surface
        if not self._on or (surface is None and not self._session.job.structures):
            return ""
        if surface is None or surface.is_guess_only:
            return NO_SHOTS
        if self.old:
            return FAILED if self._session.study_failed else WORKING
        ground = self.ground
        return NO_INLETS if self.is_on("areas") and ground is not None and not ground.inlets else ""

    def _look(self) -> None:
        """See whether the study is that of the present job; one that is not is given a little time."""
        if not self._session.study_is_current and not self._session.study_failed:
            if not self._late and not self._patience.isActive():
                self._patience.start()
            return
        self._patience.stop()
        self._late = False
        self.aged.emit()

    def _lost_patience(self) -> None:
        self._late = not self._session.study_is_current
        self.aged.emit()
