"""When something unforeseen goes wrong: keep the work, say so in a sentence, go on."""

import sys
import traceback
from types import TracebackType

from PySide6.QtCore import QObject, Qt, Signal

from drainsketch.desk.recovery import Recovery

WORDS = "Something went wrong that should not have. Your work is still open."


class Rescue(QObject):
    """Takes the place of ``sys.excepthook`` while the window is open. A fault is told once; the same again only on stderr."""

    told = Signal(str, str)  # sentence, where the work is; crosses threads
    _keep = Signal(str)  # the fault in words; the copy is written where the window lives

    def __init__(self, recovery: Recovery, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._recovery = recovery
        self._seen: set[str] = set()
        self._keep.connect(self._keep_and_tell, Qt.ConnectionType.AutoConnection)

    def caught(self, kind: type[BaseException], fault: BaseException, trace: TracebackType | None) -> None:
        """Deal with an exception that nobody caught."""
        if issubclass(kind, KeyboardInterrupt):
            sys.__excepthook__(kind, fault, trace)
            return
        where = traceback.extract_tb(trace)[-1:] if trace else []
        sign = f"{kind.__name__} {where}"
        if sign in self._seen:
            return
        self._seen.add(sign)
        print(
            f"drainsketch: {kind.__name__}: {fault}", *(f"at {w.filename}:{w.lineno}" for w in where), file=sys.stderr
        )
        self._keep.emit(f"{kind.__name__}: {fault}")

    def _keep_and_tell(self, fault: str) -> None:
        copy = self._recovery.keep()
        kept = (
            f"A copy of the job is in {copy}, and is offered again should the window end before you save."
            if copy
            else "No copy of the job could be written; save it under another name now."
        )
        self.told.emit(WORDS, f"{kept} ({fault})")
