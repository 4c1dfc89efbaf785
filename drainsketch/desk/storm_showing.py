"""Passes the moment of the storm on to the plan, while the Storm pane shows it."""

from PySide6.QtCore import QObject

from drainsketch.desk.panes.storm import StormPane
from drainsketch.desk.panes.storm_words import clock_title
from drainsketch.desk.plan_view import PlanView
from drainsketch.desk.playback import Playback
from drainsketch.desk.storm_paint import Moment
from drainsketch.desk.storm_scene import Scene, scene_of
from drainsketch.wording import Words


class StormShowing(QObject):
    """Keeps plan and pane together; a storm is made ready for painting once."""

    def __init__(self, pane: StormPane, playback: Playback, plan: PlanView, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._pane, self._playback, self._plan = pane, playback, plan
        self._scene: Scene | None = None
        playback.moved.connect(self._show)
        playback.ticked.connect(self._show)
        playback.playing.changed.connect(self._show)

    def _show(self) -> None:
        shown = self._playback.shown if self._pane.isVisible() else None
        if shown is None:
            self._scene = None
            self._plan.show_moment(None, is_due=self._playback.playing.is_due)
            return
        if self._scene is None or self._scene.shown is not shown:
            self._scene = scene_of(shown)
        playback, words = self._playback, Words.of(shown.study.review.job)
        drained = playback.drained or shown.before is None
        played = self._scene.course(drained).played
        self._plan.show_moment(
            Moment(
                scene=self._scene,
                row=playback.row,
                drained=drained,
                words=words,
                title=clock_title(played, playback.row, words, drained=drained),
                gone_s=playback.gone_s,
            )
        )
