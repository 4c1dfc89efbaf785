"""The job files opened or saved last."""

from pathlib import Path

from PySide6.QtCore import QObject, QSettings, Signal

MOST = 8
KEY = "recent"


class RecentFiles(QObject):
    """Kept in the settings, newest first; files that are gone are left out."""

    changed = Signal()

    def __init__(self, settings: QSettings, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._settings = settings

    def paths(self) -> tuple[Path, ...]:
        """Return the files that are still there."""
        stored = self._settings.value(KEY, [])
        names = [stored] if isinstance(stored, str) else list(stored) if isinstance(stored, list) else []
        return tuple(p for name in names if (p := Path(str(name))).is_file())

    def remember(self, path: Path) -> None:
        """Put a file first."""
        kept = [str(path), *(str(p) for p in self.paths() if p != path)]
        self._settings.setValue(KEY, kept[:MOST])
        self.changed.emit()

    def forget(self, path: Path) -> None:
        """Take a file out."""
        self._settings.setValue(KEY, [str(p) for p in self.paths() if p != path])
        self.changed.emit()
