"""The price book as a table in the window: cells checked, examples marked, pasted whole or not at all, kept whole or not at all."""

import csv
from decimal import Decimal

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLineEdit

from drainsketch.desk.panes.price_book import PriceBookForm
from drainsketch.desk.panes.price_book_rows import SHOWN
from drainsketch.desk.price_desk import PriceDesk
from drainsketch.desk.session import Session
from drainsketch.desk.theme import tones_of
from drainsketch.files.pricebook import own_book, parse_price_book, shipped_book
from drainsketch.job.model import Job
from tests.desk.at_desk import Answers
from tests.desk.book_hands import CTRL, K

COLUMN = {name: number for number, name in enumerate(SHOWN)}
HEAD = "item,of,size_in,second,unit,price,per_hour,taxed,group,source,name\n"


class Hand:
    """Works the form as a user would."""

    def __init__(self, qtbot) -> None:
        self.answers = Answers()
        self.desk = PriceDesk(Session(Job()))
        self.form = PriceBookForm(self.desk, self.answers)
        qtbot.addWidget(self.form)
        self.form.show()
        self.form.activateWindow()
        self.table = self.form.table
        self.sheet = self.form.sheet

    def at(self, item: str, **cells: str) -> int:
        return next(
            n
            for n, r in enumerate(self.sheet.rows)
            if r.cells["item"] == item and all(r.cells[k] == v for k, v in cells.items())
        )

    def go(self, row: int, column: str) -> None:
        index = self.table.model().index(row, COLUMN[column])
        self.table.scrollTo(index)
        QTest.mouseClick(self.table.viewport(), Qt.MouseButton.LeftButton, pos=self.table.visualRect(index).center())

    def type(self, row: int, column: str, text: str, end: Qt.Key = K.Key_Return) -> None:
        self.go(row, column)
        QTest.keyClick(self.table, K.Key_F2)
        box = self.box()
        box.selectAll()
        QTest.keyClicks(box, text) if text else QTest.keyClick(box, K.Key_Delete)
        QTest.keyClick(box, end)
        QApplication.processEvents()

    def box(self) -> QLineEdit:
        return next(box for box in self.table.viewport().findChildren(QLineEdit) if box.isVisible())

    def paste(self, row: int, column: str, text: str) -> None:
        self.go(row, column)
        QGuiApplication.clipboard().setText(text)
        QTest.keyClick(self.table, K.Key_V, CTRL)

    def keep(self) -> bool:
        QTest.mouseClick(self.form.keep, Qt.MouseButton.LeftButton)
        return not self.form.isVisible()


@pytest.fixture
def hand(qtbot):
    return Hand(qtbot)


def test_the_whole_book_stands_there_with_its_examples_marked(hand):
    assert len(hand.sheet.rows) == len(parse_price_book(shipped_book().read_bytes()).book.rows)
    index = hand.table.model().index(0, COLUMN["price"])
    assert index.data(Qt.ItemDataRole.ForegroundRole).name() == tones_of(hand.form).settle
    assert index.siblingAtColumn(COLUMN["source"]).data() == "example"
    assert f"{len(hand.sheet.rows)} of them invented examples" in hand.form.told.text()


def test_the_name_goes_first_and_tab_goes_from_find_to_the_table(hand):
    model = hand.table.model()
    heads = [model.headerData(n, Qt.Orientation.Horizontal) for n in range(5)]
    assert heads == ["Name", "Item", "Kind of pipe or soil", "Size, in", "Second size"]
    assert model.index(0, 0).data().startswith("Perforated pipe, 3 in")
    hand.form.wanted.setFocus()
    QTest.keyClick(hand.form.wanted, K.Key_Tab)
    assert hand.table.hasFocus()


def test_a_price_typed_over_is_the_users_own_and_only_that_is_kept(hand):
    at = hand.at("tip_ton")
    hand.type(at, "price", "21.5")
    assert hand.sheet.rows[at].cells["source"] == "yours"
    assert hand.keep()
    (row,) = own_book().book.rows
    assert (row.item, row.price, row.whose) == ("tip_ton", Decimal("21.50"), "yours")
    assert hand.desk.prices.book_files


def test_nothing_is_written_before_keep_and_closing_is_asked_about(hand):
    hand.type(hand.at("tip_ton"), "price", "21.5")
    hand.answers.yes = False
    QTest.keyClick(hand.form, K.Key_Escape)
    assert hand.form.isVisible()
    hand.answers.yes = True
    QTest.keyClick(hand.form, K.Key_Escape)
    assert not hand.form.isVisible()
    assert own_book() is None


@pytest.mark.parametrize(
    ("column", "text", "said"),
    [
        ("price", "free", "is no price"),
        ("price", "=1+1", "is a formula"),
        ("price", "-1", "is no price"),
        ("price", "1e3", "is no price"),
        ("per_hour", "3", "does not belong here"),
        ("taxed", "maybe", "neither yes nor no"),
        ("item", "sofa", "the example's"),
        ("of", "sdr35", "the example's"),
    ],
)
def test_a_cell_that_cannot_be_stays_open_and_is_told(hand, column, text, said):
    at = hand.at("tip_ton")
    before = hand.sheet.rows[at]
    hand.type(at, column, text)
    assert said in hand.form.fault.text()
    assert hand.box().isVisible()
    QTest.keyClick(hand.box(), K.Key_Escape)
    assert hand.sheet.rows[at] == before


def test_a_row_of_ones_own_is_added_step_by_step(hand):
    hand.form.item.setCurrentIndex(hand.form.item.findData("bend"))
    QTest.mouseClick(hand.form.add, Qt.MouseButton.LeftButton)
    at = len(hand.sheet.rows) - 1
    for column, text in (("of", "sdr35"), ("size_in", "4"), ("second", "22.5"), ("price", "7.25"), ("taxed", "yes")):
        hand.type(at, column, text)
    assert hand.keep()
    (row,) = own_book().book.rows
    assert row.which == ("bend", "sdr35", "4", "22.5")
    assert (row.price, row.unit, row.taxed, row.whose) == (Decimal("7.25"), "each", True, "yours")


def test_a_row_that_stands_already_keeps_the_book_from_being_kept(hand):
    hand.form.item.setCurrentIndex(hand.form.item.findData("tip_ton"))
    QTest.mouseClick(hand.form.add, Qt.MouseButton.LeftButton)
    hand.type(len(hand.sheet.rows) - 1, "price", "5")
    assert not hand.keep()
    assert "stands already in row" in hand.form.fault.text()
    assert own_book() is None
    QTest.mouseClick(hand.form.out, Qt.MouseButton.LeftButton)
    assert hand.keep()


def test_an_own_row_taken_out_shows_the_example_again_and_an_example_stays(hand):
    at = hand.at("tip_ton")
    hand.type(at, "price", "21.5")
    hand.go(at, "price")
    QTest.keyClick(hand.table, K.Key_Delete, CTRL)
    assert (hand.sheet.rows[at].cells["price"], hand.sheet.rows[at].is_example) == ("14.00", True)
    QTest.keyClick(hand.table, K.Key_Delete, CTRL)
    assert "This row is the example's and stays." in hand.form.fault.text()


def test_a_price_emptied_is_not_known_and_counts_as_missing(hand):
    hand.go(hand.at("tip_ton"), "price")
    QTest.keyClick(hand.table, K.Key_Delete)
    assert hand.keep()
    assert own_book().book.rows[0].price is None


def test_a_column_of_prices_is_pasted_from_a_spreadsheet_with_its_gaps(hand):
    hand.paste(0, "price", "10.00\r\n\r\n$12.50\r\n")
    assert [r.cells["price"] for r in hand.sheet.rows[:4]] == ["10.00", "", "$12.50", "38.50"]
    assert [r.cells["source"] for r in hand.sheet.rows[:4]] == ["yours", "yours", "yours", "example"]
    assert hand.keep()
    assert [r.price for r in own_book().book.rows] == [Decimal("10.00"), None, Decimal("12.50")]


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("10.00\n=cmd|'/c calc'!A1\n", "row 2 of what was pasted, price: '=cmd"),
        ("10.00\n-1\n", "is no price"),
        ("10.00\t5\n", "does not belong here"),
        ("10.00\n<b>5</b>\n", "is no price"),
        ("10.00\n" + "9" * 5000, "is no price"),
        ("10.00\t\teach\tyes\tmine\tname\tmore\n", "do not go in from column Price"),
        ("1\n" * 400, "add rows first"),
        ('"10.00\n' + "z" * 200_000, "quote mark too many"),
        ("10.00\n\u202e5.00\n", "is no price"),
    ],
)
def test_a_hostile_paste_is_told_and_nothing_of_it_goes_in(hand, text, said):
    before = list(hand.sheet.rows)
    hand.paste(0, "price", text)
    assert said in hand.form.fault.text()
    assert len(hand.form.fault.text()) < 1000
    assert hand.sheet.rows == before


def test_a_whole_book_is_pasted_with_its_heading(hand):
    rows = "grate\t\t12\t\teach\t33.00\t\tyes\t\tshop\tGrate\nbend\tsdr35\t4\t45\teach\t5.00\t\tyes\t\tshop\t\n"
    hand.paste(5, "price", HEAD.replace(",", "\t") + rows)
    assert hand.sheet.rows[hand.at("grate", size_in="12")].cells["price"] == "33.00"
    assert hand.sheet.rows[hand.at("bend", second="45")].cells["price"] == "5.00"
    assert "2 rows taken in" in hand.form.told.text()


def test_text_that_a_spreadsheet_takes_for_a_formula_stays_text_and_is_written_inert(hand, own_home):
    hand.type(hand.at("tip_ton"), "name", "=1+1")
    hand.type(hand.at("tip_ton"), "price", "5")
    assert hand.keep()
    assert own_book().book.rows[0].name == "=1+1"
    text = (own_home / "prices.csv").read_text(encoding="utf-8-sig")
    cells = next(c for c in csv.reader(text.splitlines()) if c[0] == "tip_ton")
    assert not any(cell.startswith(("=", "+", "-", "@")) for cell in cells)


def test_import_and_export_go_round(hand, tmp_path, qtbot):
    hand.type(hand.at("tip_ton"), "price", "21.5")
    hand.answers.save_path = tmp_path / "out.csv"
    QTest.mouseClick(hand.form.write_out, Qt.MouseButton.LeftButton)
    assert "Wrote out.csv" in hand.form.told.text()
    other = Hand(qtbot)
    other.answers.read_path = tmp_path / "out.csv"
    QTest.mouseClick(other.form.take_in, Qt.MouseButton.LeftButton)
    assert [r.row for r in other.sheet.rows] == [r.row for r in hand.sheet.rows]
    assert other.keep()
    assert [r.item for r in own_book().book.rows] == ["tip_ton"]


def test_a_file_that_is_no_book_is_told_with_line_and_column_and_nothing_comes_in(hand, tmp_path):
    before = list(hand.sheet.rows)
    bad = tmp_path / "bad.csv"
    bad.write_text(HEAD + "tip_ton,,,,ton,free,,no,,me,\n" + "grate,,x,,each,1,,yes,,,\n" * 8)
    hand.answers.read_path = bad
    QTest.mouseClick(hand.form.take_in, Qt.MouseButton.LeftButton)
    said = hand.form.fault.text()
    assert said.startswith("bad.csv was not taken in. line 2, price: 'free' is no price")
    assert "and 5 more" in said
    assert hand.sheet.rows == before
    hand.answers.read_path = tmp_path / "gone.csv"
    QTest.mouseClick(hand.form.take_in, Qt.MouseButton.LeftButton)
    assert "gone.csv could not be read" in hand.form.fault.text()


def test_finding_and_only_my_own(hand):
    QTest.keyClicks(hand.form.wanted, "dump")
    shown = [n for n in range(len(hand.sheet.rows)) if not hand.table.isRowHidden(n)]
    assert [hand.sheet.rows[n].cells["item"] for n in shown] == ["tip_ton"]
    QTest.keyClick(hand.form.wanted, K.Key_Return)
    assert hand.form.isVisible()  # Enter keeps nothing by itself
    hand.form.wanted.clear()
    hand.type(hand.at("tip_ton"), "price", "21.5")
    hand.form.mine.click()
    assert sum(not hand.table.isRowHidden(n) for n in range(len(hand.sheet.rows))) == 1


def test_a_book_that_cannot_be_written_is_told_and_the_form_stays(hand, own_home):
    hand.type(hand.at("tip_ton"), "price", "21.5")
    own_home.parent.mkdir(parents=True)
    own_home.write_text("in the way")
    assert not hand.keep()
    assert "prices.csv" in hand.form.fault.text()


def test_it_can_be_worked_by_keys_alone(hand):
    hand.table.setFocus()
    hand.table.go_to(hand.at("tip_ton"), COLUMN["price"])
    QTest.keyClick(hand.table, K.Key_2)
    QTest.keyClicks(hand.box(), "2")
    QTest.keyClick(hand.box(), K.Key_Return)
    QApplication.processEvents()
    assert hand.sheet.rows[hand.at("tip_ton")].cells["price"] == "22"
    assert hand.table.accessibleName()
    assert hand.form.wanted.accessibleName()
