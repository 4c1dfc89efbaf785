"""The choice of the storm: one of the rain table, or what was typed in its place; the same list in every pane that has it."""

from PySide6.QtWidgets import QSizePolicy, QWidget

from drainsketch.desk.panes.form import Choice
from drainsketch.desk.session import Session
from drainsketch.job.edits.change import change_rain
from drainsketch.water.rain import choices

CHOOSE = "choose the storm"
NO_TABLE = "no rain table yet"


class StormChoice(Choice):
    """Lists the storms of the rain table; its first entry says what is missing, or what was typed.

    Parameters
    ----------
    typed : what stands for a typed intensity
    """

    def __init__(self, session: Session, typed: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session, self._typed = session, typed
        self._offered: tuple[tuple[str, float | None], ...] = ()
        self.setAccessibleName("Storm")
        self.setSizePolicy(QSizePolicy.Policy.Ignored, self.sizePolicy().verticalPolicy())
        self.activated.connect(self._pick)

    def show_storm(self) -> None:
        """Offer the storms of the table, and show the one of the job."""
        rain = self._session.job.rain
        first = NO_TABLE if rain.table is None else CHOOSE
        if rain.intensity_in_h is not None:
            first = self._typed
        entries: tuple[tuple[str, float | None], ...] = ((first, None),)
        if rain.table is not None:
            entries += tuple((c.name, c.return_period_yr) for c in choices(rain.table))
        if entries != self._offered:
            self._offered = entries
            self.clear()
            for words, years in entries:
                self.addItem(words, years)
        at = next((n for n, (_, years) in enumerate(entries) if years == rain.return_period_yr), 0)
        self.setCurrentIndex(at if rain.intensity_in_h is None else 0)
        self.setEnabled(rain.table is not None)

    def _pick(self, index: int) -> None:
        years, rain = self.itemData(index), self._session.job.rain
        if years is None:
            self.show_storm()  # the first entry says what is missing; it is no choice
        elif (years, None) != (rain.return_period_yr, rain.intensity_in_h):
            # a storm of the table and a typed intensity stand in place of one another
            job = change_rain(self._session.job, return_period_yr=years, intensity_in_h=None)
            self._session.apply(job, f"Choose the {self.itemText(index)} storm")
