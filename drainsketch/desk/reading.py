"""Windows to read in: legend, cautions, keys, about. None of them stops the work."""

from html import escape

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QDialog, QDialogButtonBox, QLabel, QScrollArea, QVBoxLayout, QWidget

from drainsketch.desk.actions import COMMANDS, keys_text
from drainsketch.desk.tools.catalogue import TOOLS

CAUTIONS = """
<h3>Before you dig</h3>
<p><b>Call 811</b> (the one-call center) before every dig, and wait until every utility owner has answered. Marks fade and
tickets run out: renew them before you dig later than planned.</p>
<p>Services drawn here are what somebody said, read or measured. A private line (irrigation, yard lighting, a drain, a line to
a shed) is not marked by the utility owners. Find it before you dig.</p>
<p>Inside the hand-dig width on either side of a marked service use hand tools only, and expose the service before the
trench crosses it. Your state may ask for a wider strip than the limits of this job: the wider one binds.</p>
<p><b>If a line is hit or gas is smelled:</b> stop, leave everything as it is, and everyone goes upwind, well away. No flame,
engine, telephone or switch near it. From a safe distance call 911, then the utility. Electric: keep far away, and touch
neither the machine nor the ground near it; whoever sits on it stays there unless it burns. Report every damage to the owner
of the line and, as the law asks, to the one-call center.</p>
<p><b>Trenches kill.</b> Follow the trench safety rules of your state and employer; nobody enters an unprotected trench that
the rules say must be protected. Keep spoil and machines back from the edge.</p>
<p>Where water may lawfully leave a lot, how far pipe must keep from a septic system or a well, and whether a permit or a
licensed person is needed is decided by local codes, the authorities and licensed practice, not by this program.</p>
<p>What the program finds is a help for planning. It never says that a dig is safe. Check levels and measurements on the
ground before you order or cut.</p>
"""
ABOUT = """
<h3>drainsketch</h3>
<p>Sketch a yard drain, see whether every inlet falls to its outfall, count it, and print it to scale.</p>
<p>Colors of buried services follow the uniform color code. Icons and signs are drawn for this program.
Set in DejaVu. The window is built on Qt (LGPL 3).</p>
"""


def keys_html() -> str:
    """Return the list of all keys, from the tables of commands and tools."""
    tools = [(tool.label, keys_text(tool.key)) for tool in TOOLS if tool.key]
    commands = [(c.words, keys_text(c.keys)) for c in COMMANDS if c.keys]
    hand = [
        ("Give up what is being drawn, then the tool", "Esc"),
        ("Finish a line or outline", "Enter, or double click"),
        ("A point by its place, the first one too", "type east, north, for example 12, 30' 6, then Enter"),
        ("Length of the next leg while drawing", "type it, for example 23' 6, then Enter"),
        ("Direction of the next leg", "Tab or @ after the length, for example N45E, then Enter"),
        ("From length to direction and back while typing", "Tab"),
        ("Take the last point back", "Backspace"),
        ("Place a point freely, drawn to nothing", "hold Alt"),
        ("Gather one more, or let one go", "Shift and click"),
        ("What lies below at the same place", "click once more"),
        ("Put a corner or bend into what is selected", "double click on its line"),
        ("Nudge what is selected", "arrows 0.1 ft, with Shift 1 ft"),
        ("Closer or farther", "wheel, or pinch"),
        ("Slide the plan", "Ctrl and arrows; Space or middle button, and drag"),
        ("Read the profile", "arrows 1 ft, with Shift 10 ft; Enter shows the place"),
        ("Closer along the profile", "wheel, or + and -; Shift and wheel, or drag, to slide; double click for all"),
        ("From invert to invert in the profile", "Ctrl and arrows; then Up and Down 0.01 ft, with Shift 0.1 ft"),
        ("Play the storm, or pause it, in the Storm pane", "Space"),
        ("Moments of the storm", "arrows one, Page Up and Down ten; Home and End; click or drag in the hydrograph"),
        ("Pin an invert in the profile", "drag it, or type its level; Delete or double click releases it"),
    ]
    tables = [
        ("From cell to cell, and to the next row", "Tab; Enter"),
        ("Clear a cell, or the chosen cells", "Delete"),
        ("Delete a row of the level book", "Ctrl+Delete"),
        ("Choose all cells; copy them; paste rows", "Ctrl+A; Ctrl+C; Ctrl+V"),
        ("Put a sight of the level book on the plan", "Ctrl+Enter"),
        ("Paste a rain table, from the table of the Water pane", "Ctrl+V"),
        ("Give up the typing; back to the plan", "Esc; Esc again"),
    ]
    return "".join(
        f"<h3>{escape(head)}</h3>{_rows(rows)}"
        for head, rows in (("Tools", tools), ("While drawing", hand), ("In tables", tables), ("Commands", commands))
    )


def _rows(rows: list[tuple[str, str]]) -> str:
    cells = "".join(
        f"<tr><td style='padding-right:24px'>{escape(a)}</td><td><b>{escape(b)}</b></td></tr>" for a, b in rows
    )
    return f"<table cellspacing='4'>{cells}</table>"


class Reading(QDialog):
    """A page to read beside the work."""

    def __init__(self, title: str, page: QWidget, parent: QWidget | None) -> None:
        super().__init__(parent)
        self.setWindowTitle(title)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        scroll = QScrollArea()
        scroll.setWidgetResizable(True)
        scroll.setWidget(page)
        close = QDialogButtonBox(QDialogButtonBox.StandardButton.Close)
        close.rejected.connect(self.close)
        box = QVBoxLayout(self)
        box.addWidget(scroll)
        box.addWidget(close)
        self.resize(520, 560)


def page_of(html: str) -> QLabel:
    """Return a page of words."""
    page = QLabel(html)
    page.setTextFormat(Qt.TextFormat.RichText)
    page.setWordWrap(True)
    page.setAlignment(Qt.AlignmentFlag.AlignTop)
    page.setContentsMargins(14, 6, 14, 14)
    page.setTextInteractionFlags(Qt.TextInteractionFlag.TextBrowserInteraction)
    return page
