"""The table of the Price pane: the chosen line opens and shows how it was made; a price or a rate is typed over in its cell."""

from collections.abc import Iterator

from PySide6.QtCore import QAbstractItemModel, QEvent, QModelIndex, QPersistentModelIndex, QSize, Qt, Signal
from PySide6.QtGui import (
    QBrush,
    QColor,
    QFocusEvent,
    QFont,
    QFontMetrics,
    QGuiApplication,
    QKeyEvent,
    QKeySequence,
    QResizeEvent,
)
from PySide6.QtWidgets import (
    QAbstractItemView,
    QFrame,
    QHeaderView,
    QLineEdit,
    QStyleOptionViewItem,
    QTreeWidget,
    QTreeWidgetItem,
    QWidget,
)

from drainsketch.desk.panes.price_rows import HEADS, Figure, Shown, read_figure
from drainsketch.desk.panes.table_keys import ENTERS, ERASERS, KeepingCells, TableKeys, is_typing
from drainsketch.desk.panes.takeoff import wrapped_px
from drainsketch.desk.theme import tones_of
from drainsketch.errors import EditError

COLUMNS = ("Item", "Price", "Amount")  # the quantity stands under its item: the pane is narrow
ITEM, PRICE, AMOUNT = range(3)
READ = ("group", "told")  # no row to choose
SHOWN = Qt.ItemDataRole.UserRole
ROW_PX = 26
INDENT_PX = 12
EDGES_PX = 14  # of a cell, both sides
RIGHT = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignTop
Index = QModelIndex | QPersistentModelIndex


class _Cells(KeepingCells):
    """Rows as high as their wrapped words need; only a figure can be typed over."""

    def __init__(self, table: "PriceTable") -> None:
        super().__init__(table, self._why_not, table.said.emit)
        self._table = table

    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:
        """Return the room a cell needs."""
        size = super().sizeHint(option, index)
        if index.column() != ITEM:
            return QSize(size.width() + 4, max(ROW_PX, size.height() + 6))
        shown = index.data(SHOWN)
        wide = (
            self._table.viewport().width() - INDENT_PX
            if shown is not None and shown.kind in ("told", "group")
            else None
        )
        inner = INDENT_PX if index.parent().isValid() else 0
        return QSize(
            0, max(ROW_PX, wrapped_px(option, str(index.data()), wide or self._table.columnWidth(ITEM) - inner))
        )

    def setEditorData(self, editor: QWidget, index: Index) -> None:
        """Begin with the bare figure."""
        figure = self._figure(index)
        if isinstance(editor, QLineEdit) and figure is not None:
            editor.setAccessibleName("Price" if figure.name == "price" else "Done in an hour")
            editor.setAlignment(Qt.AlignmentFlag.AlignRight)
            editor.setText(figure.typed)

    def setModelData(self, editor: QWidget, model: QAbstractItemModel, index: Index) -> None:
        """Tell what was typed."""
        figure = self._figure(index)
        if isinstance(editor, QLineEdit) and figure is not None and editor.text().strip() != figure.typed:
            self._table.typed.emit(index.sibling(index.row(), ITEM).data(SHOWN), editor.text().strip())

    def _figure(self, index: Index) -> Figure | None:
        shown = index.sibling(index.row(), ITEM).data(SHOWN)
        return shown.figure if isinstance(shown, Shown) else None

    def _why_not(self, index: Index, text: str) -> str:
        figure = self._figure(index)
        if figure is None or not text.strip():
            return ""
        try:
            read_figure(figure, text)
        except EditError as fault:
            return str(fault)[:1].upper() + str(fault)[1:]
        return ""


class PriceTable(QTreeWidget):
    """Rows of a price. It knows keys; what they do to the job is done by the pane."""

    typed = Signal(object, str)  # the row, and what was typed over its figure; '' takes it back
    said = Signal(str)
    chosen = Signal()
    erased = Signal()
    opened = Signal()  # Enter on what has no figure to type
    form_asked = Signal()  # Ctrl+Enter

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._rows: tuple[Shown, ...] = ()
        self._filling = False
        self.setHeaderLabels(list(COLUMNS))
        self.setAccessibleName("Price; the chosen line opens and shows how it was made")
        self.setRootIsDecorated(False)
        self.setIndentation(INDENT_PX)
        self.setItemsExpandable(False)
        self.setExpandsOnDoubleClick(False)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setWordWrap(True)
        self.setUniformRowHeights(False)
        self.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.setItemDelegate(_Cells(self))
        self.setStyleSheet("QTreeView::item { padding: 2px 3px }")
        header = self.header()
        header.setStretchLastSection(False)
        header.setMinimumSectionSize(30)
        header.setStyleSheet("QHeaderView::section { padding: 4px 3px; }")
        header.setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
        header.setSectionResizeMode(ITEM, QHeaderView.ResizeMode.Stretch)
        header.sectionResized.connect(self.scheduleDelayedItemsLayout)
        for column in (PRICE, AMOUNT):
            self.headerItem().setTextAlignment(column, Qt.AlignmentFlag.AlignRight)
        TableKeys(self)
        self.currentItemChanged.connect(self._went)
        self.itemDoubleClicked.connect(lambda item, _: self._begin(item))

    def show_rows(self, rows: tuple[Shown, ...]) -> None:
        """Show these rows; the chosen one stays chosen. Where the same rows stay, only what differs is written anew."""
        if rows == self._rows:
            return
        here, before, self._rows = self.shown, self._rows, rows
        outer = self.top
        same = [row.key for row in rows] == [row.key for row in before]
        scrolled = self.verticalScrollBar().value()
        self._filling = True
        self._share(rows)
        if not same:
            self.clear()
            self.addTopLevelItems([self._dressed(QTreeWidgetItem(), row) for row in rows])
        for at, row in enumerate(rows if same else ()):
            item = self.topLevelItem(at)
            if item is not None and row != before[at]:
                self._dressed(item, row)
        if here is not None and outer is not None:
            self._choose(outer.key, here.key)
        self._filling = False
        if same:
            self.verticalScrollBar().setValue(scrolled)
        else:
            self._keep_in_sight()

    def _share(self, rows: tuple[Shown, ...]) -> None:
        """Give the figures the room they need; the item has the rest."""
        metrics = QFontMetrics(self._bold())
        for column, cell in ((PRICE, 2), (AMOUNT, 3)):
            texts = {part for row in rows for r in (row, *row.inner) for part in r.cells[cell].splitlines()}
            wide = max(metrics.horizontalAdvance(text) for text in (COLUMNS[column], *texts))
            self.header().resizeSection(column, wide + EDGES_PX)

    def _bold(self) -> QFont:
        font = QFont(self.font())
        font.setBold(True)
        return font

    def _choose(self, outer: tuple[object, ...], inner: tuple[object, ...]) -> None:
        """Open a row anew and go to what was chosen in it, or to itself where that is gone."""
        top = next((i for i in self._tops() if i.data(ITEM, SHOWN).key == outer), None)
        if top is None:
            return
        self._open(top)
        found = next((child for child in _children(top) if child.data(ITEM, SHOWN).key == inner), top)
        self.setCurrentItem(found, PRICE)

    def changeEvent(self, event: QEvent) -> None:
        """Fill the table again in the tones of the window."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.PaletteChange and hasattr(self, "_rows"):
            rows, self._rows = self._rows, ()
            self.show_rows(rows)

    def moveCursor(self, action: QAbstractItemView.CursorAction, modifiers: Qt.KeyboardModifier) -> QModelIndex:
        """Go up and down over what is only read."""
        found = super().moveCursor(action, modifiers)
        up, down = QAbstractItemView.CursorAction.MoveUp, QAbstractItemView.CursorAction.MoveDown
        while action in (up, down) and found.isValid() and found.siblingAtColumn(ITEM).data(SHOWN).kind in READ:
            following = self.indexAbove(found) if action is up else self.indexBelow(found)
            if not following.isValid():
                return self.currentIndex()
            found = following
        return found.siblingAtColumn(PRICE) if found.isValid() else found

    @property
    def shown(self) -> Shown | None:
        """The row that is chosen."""
        item = self.currentItem()
        return item.data(ITEM, SHOWN) if item is not None else None

    @property
    def top(self) -> Shown | None:
        """The line or step that is chosen, or that the chosen figure stands under."""
        item = self.currentItem()
        return self._top(item).data(ITEM, SHOWN) if item is not None else None

    def go_to(self, key: tuple[object, ...]) -> None:
        """Choose a row."""
        found = next((item for item in self._tops() if item.data(ITEM, SHOWN).key == key), None)
        if found is not None:
            self.setCurrentItem(found, PRICE)
            self.scrollToItem(found)

    def begin_typing(self) -> None:
        """Open the figure of the chosen row, or the first of those under it."""
        item = self.currentItem()
        if item is not None:
            self._begin(item)

    def _tops(self) -> Iterator[QTreeWidgetItem]:
        found = (self.topLevelItem(at) for at in range(self.topLevelItemCount()))
        return (item for item in found if item is not None)

    @staticmethod
    def _top(item: QTreeWidgetItem) -> QTreeWidgetItem:
        return item.parent() or item

    def _dressed(self, item: QTreeWidgetItem, row: Shown) -> QTreeWidgetItem:
        """Give an item the words, flags and colors of a row."""
        tones = tones_of(self)
        said, quantity, price, amount = row.cells
        for column, text in enumerate((f"{said}\n{quantity}" if quantity else said, price, amount)):
            item.setText(column, text)
        item.setData(ITEM, SHOWN, row)
        item.setData(ITEM, Qt.ItemDataRole.AccessibleTextRole, ", ".join(c.replace("\n", " ") for c in row.cells if c))
        item.setTextAlignment(ITEM, Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignTop)
        for column in (PRICE, AMOUNT):
            item.setTextAlignment(column, RIGHT)
        flags = Qt.ItemFlag.ItemIsEnabled
        if row.kind not in READ:
            flags |= Qt.ItemFlag.ItemIsSelectable
        if row.figure is not None:
            flags |= Qt.ItemFlag.ItemIsEditable
        item.setFlags(flags)
        font = self._bold() if row.kind == "group" or row.strong else self.font()
        invented = (row.figure is not None and row.figure.source == "example") or price.endswith("example")
        for column in range(len(COLUMNS)):
            item.setFont(column, font)
            level = "settle" if column == PRICE and invented else row.level
            ink = tones.text if not level else tones.quiet if level == "quiet" else tones.settle
            item.setForeground(column, QBrush(QColor(ink)))
        return item

    def _open(self, item: QTreeWidgetItem) -> None:
        """Show what is behind a row, under it."""
        item.takeChildren()
        for inner in item.data(ITEM, SHOWN).inner:
            child = self._dressed(QTreeWidgetItem(), inner)
            item.addChild(child)
            if inner.kind == "told":
                child.setFirstColumnSpanned(True)
        item.setExpanded(True)

    def _went(self, now: QTreeWidgetItem | None, before: QTreeWidgetItem | None) -> None:
        if self._filling:
            return
        opened = self._top(now) if now is not None else None
        if before is not None and self._top(before) is not opened:
            self._top(before).takeChildren()
        if opened is not None:
            if not opened.childCount():
                self._open(opened)
            self._keep_in_sight()
        self.chosen.emit()

    def _keep_in_sight(self) -> None:
        """Bring the chosen row into view, and as much of what is behind it as there is room for."""
        now = self.currentItem()
        if now is not None:
            for item in (*_children(self._top(now))[-1:], now):
                self.scrollToItem(item)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Keep the chosen row in sight, also when buttons come and go below."""
        super().resizeEvent(event)
        self._keep_in_sight()

    def _begin(self, item: QTreeWidgetItem) -> None:
        for one in (item, *_children(item)):
            if one.data(ITEM, SHOWN).figure is not None:
                self.setCurrentItem(one, PRICE)
                self.editItem(one, PRICE)
                return
        self.opened.emit()

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Begin at the first line: a heading has nothing to choose."""
        here = self.shown
        if here is None or here.kind in READ:
            first = next((item for item in self._tops() if item.data(ITEM, SHOWN).kind not in READ), None)
            if first is not None:
                self.setCurrentItem(first, PRICE)
        super().focusInEvent(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Take Enter, F2, Delete, copying and typing over a figure."""
        held = bool(event.modifiers() & Qt.KeyboardModifier.ControlModifier)
        if self.state() is QAbstractItemView.State.EditingState:
            super().keyPressEvent(event)
        elif event.matches(QKeySequence.StandardKey.Copy):
            lines = (HEADS, *(row.cells for row in self._rows))
            QGuiApplication.clipboard().setText(
                "\n".join("\t".join(c.replace("\n", " ") for c in cells) for cells in lines)
            )
        elif event.key() in ERASERS:
            self.erased.emit()
        elif event.key() in ENTERS and held:
            self.form_asked.emit()
        elif event.key() in (*ENTERS, Qt.Key.Key_F2):
            self.begin_typing()
        elif is_typing(event) and event.text() in "0123456789.$":
            self.begin_typing()
            box = self.viewport().findChild(QLineEdit)
            if box is not None and self.state() is QAbstractItemView.State.EditingState:
                box.setText(event.text())
        else:
            super().keyPressEvent(event)


def _children(item: QTreeWidgetItem) -> list[QTreeWidgetItem]:
    found = (item.child(n) for n in range(item.childCount()))
    return [child for child in found if child is not None]
