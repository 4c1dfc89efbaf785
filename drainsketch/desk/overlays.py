"""What of the ground study and of the storm is shown over the plan, and how things stand with it."""

from msgspec import Struct
from PySide6.QtCore import QObject, QTimer, Signal

from drainsketch.desk.session import Session
from drainsketch.ground.results import GroundStudy
from drainsketch.study import Study
from drainsketch.water.rain import lacking

PATIENCE_MS = 500  # a study that takes longer is said to be in work
WORKING = "The ground is being worked out"
FAILED = "The ground could not be worked out; what is shown is older"
NO_INLETS = "No basin takes water yet: draw the pipe of a basin to an outfall to see whose ground reaches it"
NO_RAIN = "No rain yet: put it in in the Water pane"
NO_FLOW = "Nothing comes to an inlet yet: draw the pipe of an inlet to an outfall, or give the inlet its area"
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
    Overlay(
        "flow",
        "Flow at the Peak",
        "Shift+F6",
        "What arrives at each inlet, how full each run is, and where water comes out",
    ),
)


class Overlays(QObject):
    """Which overlays are on, over the latest study there is."""

    switched = Signal()  # one was switched on or off
    aged = Signal()  # the study shown has become old, or new again

    def __init__(self, session: Session, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._on = {o.name for o in OVERLAYS if o.at_first}
        self._aside: frozenset[str] = frozenset()  # not shown for now, though on
        self._late = False
        self._patience = QTimer(self, singleShot=True, interval=PATIENCE_MS)
        self._patience.timeout.connect(self._lost_patience)
        session.changed.connect(self._look)
        session.studied.connect(self._look)

    def is_on(self, name: str) -> bool:
        """Return whether an overlay is shown."""
        return name in self._on and name not in self._aside

    def is_chosen(self, name: str) -> bool:
        """Return whether an overlay is switched on, be it set aside or not."""
        return name in self._on

    def is_away(self, name: str) -> bool:
        """Return whether an overlay is left out for now, be it switched on or not."""
        return name in self._aside

    @property
    def ground_on(self) -> bool:
        """Whether anything of the ground study is to be shown."""
        return bool(self._on - {"flow"} - self._aside)

    def set_aside(self, *names: str) -> None:
        """Leave overlays out, on or off, while something else shows the same; none to show them again."""
        aside = frozenset(names)
        if aside != self._aside:
            self._aside = aside
            self.switched.emit()

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
    def storm(self) -> Study | None:
        """The latest study, where its storm is to be shown; None while there is none."""
        study = self._session.study
        shown = self.is_on("flow") and self._session.study_is_of_option
        return study if shown and study is not None and study.water.arrivals else None

    @property
    def old(self) -> bool:
        """Whether what is shown belongs to an earlier job, and has for a while."""
        return self._late or self._session.study_failed

    @property
    def note(self) -> str:
        """A sentence on how things stand; '' when there is nothing to say."""
        surface, job = self._session.review.surface, self._session.job
        if not self._on or (surface is None and not job.structures):
            return ""
        if self.ground_on and (surface is None or surface.is_guess_only):
            return NO_SHOTS
        if self.old:
            return FAILED if self._session.study_failed else WORKING
        ground = self.ground
        if self.is_on("areas") and ground is not None and not ground.inlets:
            return NO_INLETS
        return self._storm_note if self.is_on("flow") else ""

    @property
    def _storm_note(self) -> str:
        if lacking(self._session.job.rain):
            return NO_RAIN
        study = self._session.study
        return NO_FLOW if study is not None and not study.water.arrivals and not study.water.lacking else ""

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
