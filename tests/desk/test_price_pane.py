"""The Price pane in the real window: what it shows adds up, what is typed over is this job's, what has no price is said."""

import json
from decimal import Decimal

import pytest
from msgspec.structs import replace
from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QLineEdit

from drainsketch.cli import main
from drainsketch.desk.panes.price_table import PRICE, SHOWN
from drainsketch.desk.theme import DARK, LIGHT, dress, tones_of
from drainsketch.files.saving import save_job
from drainsketch.job.edits.change import change
from drainsketch.job.model import Job
from drainsketch.job.pricing import Extra, PriceChange, Pricing
from tests.desk.at_desk import open_window
from tests.desk.book_hands import CTRL, K, press
from tests.desk.price_hands import (
    at_the_price,
    click,
    click_on,
    double_click,
    editor,
    item_of,
    row,
    total,
    type_over,
)
from tests.test_review import sample

NO_TIP = "item,of,size_in,second,unit,price,per_hour,taxed,group,source,name\ntip_ton,,,,ton,,,no,,,\n"


@pytest.fixture
def desk(qtbot, tmp_path):
    window, _ = at_the_price(qtbot, tmp_path)
    return window


def money(text: str) -> Decimal:
    return Decimal(text.splitlines()[0].replace("$", "").replace(",", ""))


def test_what_is_shown_adds_up_to_the_total(desk):
    rows = [i.data(0, SHOWN) for i in desk.price.table._tops()]
    lines = sum(money(r.cells[3]) for r in rows if r.kind == "line")
    steps = {r.key[1]: money(r.cells[3]) for r in rows if r.kind == "step" and r.cells[3]}
    assert lines == steps["direct"]
    added = sum(steps.get(k, 0) for k in ("overhead", "profit", "minimum", "tax", "rounding"))
    assert lines + added == steps["total"] == total(desk)
    assert desk.price.total.text() == f"Total ${total(desk):,.2f}"
    assert f"Deposit ${steps['deposit']:,.2f}, valid for 30 days." == desk.price.terms.text()


def test_both_ways_to_say_the_profit_stand_in_the_table(desk):
    assert "20% margin on the price = 25% mark-up on cost" in row(desk, "profit").cells[0]


def test_invented_prices_are_told_at_the_top_and_in_every_line(desk):
    lines = [r for i in desk.price.table._tops() if (r := i.data(0, SHOWN)).kind == "line"]
    assert all(r.cells[2].endswith("\nexample") for r in lines)
    assert desk.price.banner.text().startswith(
        f"{len(lines)} prices are invented examples and 16 terms are examples that nobody set"
    )
    invented, machine = desk.price.banner.text().split("\n")
    assert invented.endswith("never bid with them.")
    # its trenches are opened and closed on two days, and the digging hours fill a part of one
    assert "2 days" in machine and "holds 1," in machine
    assert desk.price.banner.isVisible()


def test_the_chosen_line_opens_and_shows_how_it_was_made(desk):
    click(desk, "tip_ton")
    item = item_of(desk, "tip_ton")
    assert item.isExpanded()
    said = item.child(0).text(0)
    assert f"x $14.00 = {row(desk, 'tip_ton').cells[3]}" in said
    assert "Price from: example" in said
    click(desk, "haul_load")
    assert item_of(desk, "tip_ton").childCount() == 0
    assert "governs, rounded up" in item_of(desk, "haul_load").child(0).text(0)


@pytest.mark.parametrize("begin", ["double click", "F2", "Enter", "digit"])
def test_a_price_typed_over_is_of_this_job_alone(desk, begin):
    before, tons = total(desk), row(desk, "tip_ton").line.quantity
    if begin == "double click":
        double_click(desk, "tip_ton")
    else:
        click(desk, "tip_ton")
        press({"F2": K.Key_F2, "Enter": K.Key_Return, "digit": K.Key_1}[begin])
    type_over(desk, "200")
    assert desk.session.job.pricing.changes == (PriceChange(item="tip_ton", price=200.0),)
    shown = row(desk, "tip_ton")
    assert shown.cells[2] == "$200.00\nthis job"
    assert money(shown.cells[3]) == (tons * 200).quantize(Decimal("0.01"), "ROUND_HALF_UP")
    assert total(desk) > before
    assert desk.session.history.undo_label == "Change the price of Dump fee"
    desk.session.undo()
    assert (desk.session.job.pricing, total(desk)) == (Pricing(), before)
    assert row(desk, "tip_ton").cells[2] == "$14.00\nexample"


def test_escape_gives_typing_up(desk):
    double_click(desk, "tip_ton")
    type_over(desk, "99", K.Key_Escape)
    assert desk.session.job.pricing == Pricing()


def test_the_same_price_typed_again_changes_nothing(desk):
    double_click(desk, "tip_ton")
    type_over(desk, "14.00")
    assert desk.session.job.pricing == Pricing()


@pytest.mark.parametrize("text", ["free", "-5", "=1+1", "1e3", "12.345", "2000000", "nan", "12,5"])
def test_what_is_no_price_stays_open_and_is_told(desk, text):
    double_click(desk, "tip_ton")
    type_over(desk, text)
    assert editor(desk).isVisible()
    assert desk.price.fault.isVisible()
    assert desk.price.fault.text()
    QTest.keyClick(editor(desk), K.Key_Escape)
    assert desk.session.job.pricing == Pricing()
    assert not desk.price.fault.isVisible()


def test_what_stops_the_job_is_said_over_its_price_whosever_the_prices_are(desk):
    assert not desk.price.stops.isVisible()
    low = change(desk.session.job, "O1", invert_ft=99.5)
    desk.session.apply(low, "Lift the outfall")
    stops = sum(f.level == "stop" for f in desk.session.review.findings)
    assert stops
    assert desk.price.stops.isVisible()
    assert desk.price.stops.text().startswith(f"{stops} thing")
    assert desk.price.stops.text().endswith("the depths behind this price do not stand yet.")
    desk.session.undo()
    assert not desk.price.stops.isVisible()


def test_the_key_of_the_price_lands_on_the_first_line(desk):
    press(K.Key_F12)
    assert desk.price.table.shown.kind == "line"
    assert desk.price.table.currentIndex().row() == 1


def test_a_rate_is_typed_under_its_line_of_labor(desk):
    click(desk, "lay_pipe")
    press(K.Key_Down)  # to the first figure under it: the hour of a worker
    press(K.Key_F2)
    assert editor(desk).text() == "38.00"
    type_over(desk, "40")
    assert desk.session.job.pricing.changes == (PriceChange(item="worker_hour", price=40.0),)
    assert row(desk, "lay_pipe").cells[2].startswith("$40.00")
    rate = next(
        i
        for n in range(item_of(desk, "lay_pipe").childCount())
        if (i := item_of(desk, "lay_pipe").child(n)).text(PRICE).startswith(("2", "3", "1"))
    )
    click_on(desk, rate)
    press(K.Key_F2)
    hours = row(desk, "lay_pipe").line.quantity
    type_over(desk, "5")
    assert desk.session.job.pricing.changes[-1] == PriceChange(item="lay_pipe", per_hour=5.0)
    assert row(desk, "lay_pipe").line.quantity > hours


def test_what_has_no_price_is_told_in_color_with_why_and_counted_on_the_tab(qtbot, tmp_path, own_home):
    own_home.mkdir(parents=True)
    (own_home / "prices.csv").write_text(NO_TIP)
    desk, _ = at_the_price(qtbot, tmp_path)
    shown = row(desk, "tip_ton")
    assert (shown.cells[2], shown.cells[3], shown.level) == ("?", "no price", "settle")
    item = item_of(desk, "tip_ton")
    assert item.foreground(0).color().name() == tones_of(desk).settle
    click(desk, "tip_ton")
    assert "No price, since its row in the price book has no price." in item.child(0).text(0)
    assert "so far, not complete" in desk.price.total.text()
    assert desk.list_tabs.tabText(2) == "Price (1)"
    assert not any(f.kind == "no_price" for f in desk.session.review.findings)
    double_click(desk, "tip_ton")
    type_over(desk, "14")
    assert desk.list_tabs.tabText(2) == "Price"
    assert desk.price.total.text().startswith("Total $")


def test_the_tab_counts_what_has_no_price_while_the_pane_is_hidden(qtbot, tmp_path, own_home):
    own_home.mkdir(parents=True)
    (own_home / "prices.csv").write_text(NO_TIP)
    window, _ = open_window(qtbot, tmp_path, sample("corner-lot"))
    qtbot.waitUntil(lambda: window.list_tabs.tabText(2) == "Price (1)")
    assert window.price.table.topLevelItemCount() == 0  # nothing is filled unseen


def test_lines_of_the_users_own_are_added_changed_and_taken_out(qtbot, tmp_path):
    desk, answers = at_the_price(qtbot, tmp_path)
    answers.extra = Extra("Permit", price=125.0)
    before = total(desk)
    QTest.mouseClick(desk.price.add, Qt.MouseButton.LeftButton)
    assert desk.session.job.pricing.extras == (answers.extra,)
    assert desk.price.table.shown.cells == ("Permit", "1 ", "$125.00", "$125.00")
    assert total(desk) > before
    press(K.Key_F2)
    type_over(desk, "150")
    assert desk.session.job.pricing.extras[0].price == 150
    answers.extra = Extra("Permit of the town", quantity=2.0, price=80.0)
    press(K.Key_Return, CTRL)
    assert desk.session.job.pricing.extras == (answers.extra,)
    assert desk.price.edit.isVisible()
    press(K.Key_F2)
    type_over(desk, "")  # not known yet
    assert desk.session.job.pricing.extras[0].price is None
    assert desk.list_tabs.tabText(2) == "Price (1)"
    press(K.Key_Delete)
    assert (desk.session.job.pricing, total(desk)) == (Pricing(), before)


def test_prices_that_no_line_goes_by_can_be_dropped(qtbot, tmp_path):
    job = replace(sample("corner-lot"), pricing=Pricing(changes=(PriceChange(item="grate", size_in="24", price=1.0),)))
    desk, _ = at_the_price(qtbot, tmp_path, job)
    assert desk.price.unused.text() == "Drop 1 price that no line goes by"
    QTest.mouseClick(desk.price.unused, Qt.MouseButton.LeftButton)
    assert desk.session.job.pricing == Pricing()
    assert not desk.price.unused.isVisible()


def test_an_empty_job_says_how_to_begin(qtbot, tmp_path):
    desk, _ = at_the_price(qtbot, tmp_path, Job())
    assert "Nothing to price yet." in desk.price.terms.text()
    assert not desk.price.banner.isVisible()


def test_the_chosen_line_stays_chosen_while_the_job_changes(desk):
    click(desk, "tip_ton")
    desk.session.undo()
    double_click(desk, "tip_ton")
    type_over(desk, "20")
    assert desk.price.table.shown.line.item == "tip_ton"
    assert item_of(desk, "tip_ton").isExpanded()
    assert desk.price.table.hasFocus()


def test_keys_of_the_table_are_no_tools_and_escape_leads_to_the_plan(desk):
    click(desk, "tip_ton")
    press(K.Key_L)
    assert desk.canvas.driver.spec.name == "select"
    press(K.Key_A, CTRL)
    assert desk.session.selection == ()
    press(K.Key_Escape)
    assert desk.canvas.hasFocus()
    press(K.Key_F12)
    assert desk.price.table.hasFocus()


def test_enter_on_a_step_opens_the_terms_at_what_it_goes_by(qtbot, tmp_path):
    desk, answers = at_the_price(qtbot, tmp_path)
    click(desk, "tax", 0)
    press(K.Key_Return)
    assert answers.asked[-1] == "terms tax_pct"


def test_copying_gives_every_row_with_its_headings(desk):
    click(desk, "tip_ton")
    press(K.Key_C, CTRL)
    first, *others = QGuiApplication.clipboard().text().splitlines()
    assert first == "Item\tQuantity\tPrice\tAmount"
    assert any(line.startswith("Dump fee\t") and line.endswith(row(desk, "tip_ton").cells[3]) for line in others)


def test_a_line_leads_to_what_it_was_counted_from(desk):
    click(desk, "set_basin")
    press(K.Key_Return, CTRL)
    assert set(desk.session.selection) == {"B1", "B2", "B3"}


@pytest.fixture(params=[LIGHT, DARK])
def tones(qapp, request):
    style, colors, sheet = qapp.style().name(), qapp.palette(), qapp.styleSheet()
    dress(qapp, request.param is DARK)
    yield request.param
    qapp.setStyle(style)
    qapp.setPalette(colors)
    qapp.setStyleSheet(sheet)


def test_all_of_it_fits_at_1366_by_768_in_light_and_dark(desk, tones):
    for item in ("tip_ton", "lay_pipe"):
        click(desk, item)
        table = desk.price.table
        assert table.horizontalScrollBar().maximum() == 0
        assert table.header().length() <= table.viewport().width()
        shown = item_of(desk, item)
        for column in (1, 2):
            wanted = max(table.fontMetrics().horizontalAdvance(part) for part in shown.text(column).splitlines())
            assert wanted <= table.columnWidth(column)
    assert desk.rooms.side.width() <= 340
    for part in (desk.price.add, desk.price.terms_button, desk.price.book_button):
        assert part.isVisible()
        assert part.geometry().right() <= desk.price.width()
        assert part.sizeHint().width() <= part.width()
    assert item_of(desk, "tip_ton").foreground(PRICE).color().name() == tones.settle


def test_every_part_has_a_name_for_who_cannot_see(desk):
    for part in (desk.price.table, desk.price.banner, desk.price.total):
        assert part.accessibleName()
    double_click(desk, "tip_ton")
    assert editor(desk).accessibleName() == "Price"
    assert isinstance(editor(desk), QLineEdit)


def test_the_window_and_the_command_say_the_same_total(desk, tmp_path, capsys):
    double_click(desk, "tip_ton")
    type_over(desk, "20.07")
    path = tmp_path / "typed.drainjob"
    save_job(desk.session.job, path)
    assert main(["price", str(path), "--json"]) == 0
    assert Decimal(json.loads(capsys.readouterr().out)["total"]) == total(desk)
