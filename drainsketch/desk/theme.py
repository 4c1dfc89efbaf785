"""The tones of the window, light and dark. The plan and the profile are paper and stay white in both."""

from msgspec import Struct
from PySide6.QtGui import QColor, QGuiApplication, QPalette
from PySide6.QtWidgets import QApplication, QWidget

from drainsketch import look
from drainsketch.resources import resource


class Tones(Struct, frozen=True):
    """Colors of the window's furniture; ``stop``, ``settle``, ``note`` are the finding levels, legible on ``base``."""

    window: str
    base: str
    raised: str
    text: str
    quiet: str
    edge: str
    accent: str
    on_accent: str
    stop: str
    settle: str
    note: str

    def level(self, level: str) -> str:
        """Return the color of a finding level."""
        return str(getattr(self, level))


LIGHT = Tones(
    window="#f3f1ec",
    base="#ffffff",
    raised="#faf9f6",
    text=look.INK,
    quiet="#5b6672",
    edge="#cdc8bd",
    accent=look.SNAP,
    on_accent="#ffffff",
    stop=look.LEVEL_COLORS["stop"],
    settle=look.LEVEL_COLORS["settle"],
    note=look.LEVEL_COLORS["note"],
)
DARK = Tones(
    window="#23282c",
    base="#1a1e21",
    raised="#2c3237",
    text="#e8eaec",
    quiet="#a3adb6",
    edge="#454d54",
    accent="#46b8a5",
    on_accent="#08211d",
    stop="#ff8f84",
    settle="#f5b45a",
    note="#a9b9cc",
)


def tones_of(widget: QWidget) -> Tones:
    """Return the tones a widget is shown in."""
    return DARK if widget.palette().color(QPalette.ColorRole.Window).lightness() < 128 else LIGHT


def system_is_dark() -> bool:
    """Return whether the system asks for dark windows."""
    return QGuiApplication.styleHints().colorScheme().name == "Dark"


def palette(tones: Tones) -> QPalette:
    """Return the palette of the widgets."""
    role = QPalette.ColorRole
    made = QPalette()
    pairs = (
        (role.Window, tones.window),
        (role.WindowText, tones.text),
        (role.Base, tones.base),
        (role.AlternateBase, tones.raised),
        (role.ToolTipBase, tones.raised),
        (role.ToolTipText, tones.text),
        (role.PlaceholderText, tones.quiet),
        (role.Text, tones.text),
        (role.Button, tones.raised),
        (role.ButtonText, tones.text),
        (role.BrightText, tones.stop),
        (role.Link, tones.accent),
        (role.Highlight, tones.accent),
        (role.HighlightedText, tones.on_accent),
        (role.Mid, tones.edge),
        (role.Dark, tones.edge),
        (role.Light, tones.raised),
    )
    for which, color in pairs:
        made.setColor(which, QColor(color))
    for which in (role.WindowText, role.Text, role.ButtonText):
        faint = QColor(tones.quiet)
        faint.setAlpha(150)
        made.setColor(QPalette.ColorGroup.Disabled, which, faint)
    return made


def stylesheet(tones: Tones) -> str:
    """Return the few rules that a palette cannot say: bars, hit targets, field and tab edges."""
    kind = "dark" if tones is DARK else "light"
    arrow, tick = (str(resource(f"icons/{name}-{kind}.svg")).replace("\\", "/") for name in ("more", "tick"))
    return f"""
    QToolBar {{ background: {tones.window}; border: 0; border-bottom: 1px solid {tones.edge}; spacing: 1px; padding: 1px 4px; }}
    QMenuBar {{ border: 0; background: {tones.window}; }}
    QMenuBar::item {{ padding: 6px 10px; border-radius: 4px; }}
    QMenuBar::item:selected {{ background: {tones.raised}; color: {tones.text}; }}
    QToolButton {{ border: 1px solid transparent; border-radius: 5px; padding: 3px; min-width: 26px; min-height: 26px; color: {tones.text}; }}
    QToolButton:hover, QToolButton:focus {{ border-color: {tones.edge}; background: {tones.raised}; }}
    QToolButton:checked {{ background: {tones.base}; border: 2px solid {tones.accent}; }}
    QToolButton[chip="true"] {{ border: 1px solid transparent; border-radius: 14px; padding: 1px 8px; color: {tones.quiet}; }}
    QToolButton[chip="true"]:checked {{ border: 1px solid {tones.edge}; background: {tones.base}; color: {tones.text}; }}
    QToolButton[chip="true"]:focus {{ border: 1px solid {tones.accent}; }}
    QMenu::item {{ padding: 6px 28px 6px 10px; }}
    QMenu::item:selected {{ background: {tones.accent}; color: {tones.on_accent}; }}
    QStatusBar {{ border-top: 1px solid {tones.edge}; }}
    QStatusBar::item {{ border: 0; }}
    QTabWidget::pane {{ border: 0; border-top: 1px solid {tones.edge}; }}
    QTabBar::tab {{ padding: 8px 12px; border: 0; border-bottom: 3px solid transparent; color: {tones.quiet}; }}
    QTabBar::tab:selected {{ color: {tones.text}; border-bottom-color: {tones.accent}; font-weight: bold; }}
    QTabBar::tab:hover {{ color: {tones.text}; }}
    QLineEdit, QComboBox, QPlainTextEdit {{ background: {tones.base}; border: 1px solid {tones.edge}; border-radius: 4px; padding: 2px 6px;
        selection-background-color: {tones.accent}; selection-color: {tones.on_accent}; }}
    QLineEdit, QComboBox {{ min-height: 26px; }}
    QComboBox::drop-down {{ border: 0; width: 22px; }}
    QComboBox::down-arrow {{ image: url({arrow}); width: 12px; height: 12px; }}
    QLineEdit:focus, QComboBox:focus, QPlainTextEdit:focus, QAbstractItemView:focus {{ border: 2px solid {tones.accent}; }}
    QAbstractItemView {{ border: 1px solid {tones.edge}; }}
    QTableView {{ gridline-color: {tones.edge}; }}
    QPushButton {{ min-height: 24px; padding: 4px 12px; border: 1px solid {tones.edge}; border-radius: 5px; background: {tones.raised}; }}
    QPushButton:hover, QPushButton:focus {{ border-color: {tones.accent}; }}
    QPushButton:pressed, QPushButton:checked {{ background: {tones.base}; border: 2px solid {tones.accent}; }}
    QPushButton:disabled {{ color: {tones.quiet}; }}
    QLabel[caption="true"] {{ color: {tones.quiet}; font-size: 11px; padding-left: 3px; }}
    QFrame#card {{ background: {tones.raised}; border: 1px solid {tones.edge}; border-radius: 8px; }}
    QLabel[quiet="true"] {{ color: {tones.quiet}; }}
    QCheckBox::indicator {{ width: 18px; height: 18px; border: 1px solid {tones.edge}; border-radius: 4px; background: {tones.base}; }}
    QCheckBox::indicator:checked {{ background: {tones.accent}; border-color: {tones.accent}; image: url({tick}); }}
    QCheckBox::indicator:focus {{ border: 2px solid {tones.accent}; }}
    QScrollBar:vertical {{ background: {tones.window}; width: 12px; border: 0; }}
    QScrollBar:horizontal {{ background: {tones.window}; height: 12px; border: 0; }}
    QScrollBar::handle {{ background: {tones.edge}; border-radius: 4px; margin: 2px; min-height: 32px; min-width: 32px; }}
    QScrollBar::handle:hover {{ background: {tones.quiet}; }}
    QScrollBar::add-line, QScrollBar::sub-line {{ width: 0; height: 0; }}
    QScrollArea {{ border: 0; }}
    QSplitter::handle {{ background: {tones.edge}; }}
    QHeaderView::section {{ background: {tones.window}; border: 0; border-bottom: 1px solid {tones.edge}; padding: 5px 6px; color: {tones.quiet}; }}
    """


def dress(app: QApplication, dark: bool) -> None:
    """Give the whole program its light or dark tones."""
    tones = DARK if dark else LIGHT
    app.setStyle("Fusion")
    app.setPalette(palette(tones))
    app.setStyleSheet(stylesheet(tones))
