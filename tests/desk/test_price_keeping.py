"""Prices that are kept for all jobs, in the real window: own book and terms, taken back, read again, told when they cannot be read."""

from decimal import Decimal

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from drainsketch.desk.panes.price_table import PRICE
from drainsketch.files.pricebook import own_book
from drainsketch.job.pricing import Pricing
from tests.desk.book_hands import K, press
from tests.desk.price_hands import (
    at_the_price,
    click,
    click_on,
    double_click,
    item_of,
    row,
    total,
    type_over,
)

NO_TIP = "item,of,size_in,second,unit,price,per_hour,taxed,group,source,name\ntip_ton,,,,ton,,,no,,,\n"


@pytest.fixture
def desk(qtbot, tmp_path):
    window, _ = at_the_price(qtbot, tmp_path)
    return window


def test_taking_back_by_button_and_by_delete(desk):
    double_click(desk, "tip_ton")
    type_over(desk, "20")
    assert desk.price.back.isVisible()
    QTest.mouseClick(desk.price.back, Qt.MouseButton.LeftButton)
    assert desk.session.job.pricing == Pricing()
    assert not desk.price.back.isVisible()
    double_click(desk, "tip_ton")
    type_over(desk, "20")
    press(K.Key_Delete)
    assert desk.session.job.pricing == Pricing()
    double_click(desk, "tip_ton")
    type_over(desk, "20")
    double_click(desk, "tip_ton")
    type_over(desk, "")
    assert desk.session.job.pricing == Pricing()


def test_a_price_kept_for_all_jobs_goes_into_the_own_book_and_leaves_the_job(desk):
    double_click(desk, "tip_ton")
    type_over(desk, "20")
    by_job = total(desk)
    QTest.mouseClick(desk.price.keep, Qt.MouseButton.LeftButton)
    (kept,) = own_book().book.rows
    assert (kept.item, kept.price, kept.source[:5]) == ("tip_ton", Decimal("20.00"), "kept ")
    assert desk.session.job.pricing == Pricing()
    assert total(desk) == by_job
    assert row(desk, "tip_ton").cells[2] == "$20.00"
    assert "Price from: kept " in item_of(desk, "tip_ton").child(0).text(0)


def test_keeping_is_told_to_stay_whatever_is_undone_and_is_taken_back_by_its_own_button(desk):
    double_click(desk, "tip_ton")
    type_over(desk, "20")
    QTest.mouseClick(desk.price.keep, Qt.MouseButton.LeftButton)
    assert "Undo does not take it back" in desk.status.currentMessage()
    assert desk.session.history.undo_label == "Drop this job's own price of Dump fee"
    desk.session.undo()
    assert own_book() is not None
    desk.session.redo()
    click(desk, "tip_ton")
    assert desk.price.unkeep.isVisible()
    QTest.mouseClick(desk.price.unkeep, Qt.MouseButton.LeftButton)
    assert own_book() is None
    assert row(desk, "tip_ton").cells[2] == "$14.00\nexample"
    assert not desk.price.unkeep.isVisible()


def test_prices_of_the_own_book_are_read_again_when_their_file_changes(desk, own_home):
    own_home.mkdir(parents=True)
    (own_home / "prices.csv").write_text(NO_TIP.replace("ton,,,no", "ton,33.00,,no"))
    desk.list_tabs.setCurrentWidget(desk.findings)
    desk.list_tabs.setCurrentWidget(desk.price)
    assert row(desk, "tip_ton").cells[2] == "$33.00"


def test_the_work_plan_goes_by_a_rate_that_was_kept(desk, qtbot):
    desk.actions_.by_name["to_work_plan"].trigger()
    qtbot.waitUntil(lambda: desk.work_plan.plan is not None)
    before = desk.work_plan.plan
    click(desk, "lay_pipe")
    rate = next(c for n in range(9) if (c := item_of(desk, "lay_pipe").child(n)) is not None and "/h" in c.text(PRICE))
    click_on(desk, rate)
    press(K.Key_F2)
    type_over(desk, "1")
    QTest.mouseClick(desk.price.keep, Qt.MouseButton.LeftButton)
    assert own_book().book.rows[0].per_hour == 1
    assert desk.work_plan.plan != before
    assert len(desk.work_plan.plan.days) > len(before.days)


def test_an_own_book_that_cannot_be_read_is_told_and_nothing_is_priced(qtbot, tmp_path, own_home):
    own_home.mkdir(parents=True)
    (own_home / "prices.csv").write_text("rubbish")
    desk, _ = at_the_price(qtbot, tmp_path)
    assert "Your own prices cannot be read" in desk.price.banner.text()
    assert "prices.csv: line 1" in desk.price.banner.text()
    assert desk.price.table.topLevelItemCount() == 0
    assert not desk.price.terms_button.isEnabled()
    (own_home / "prices.csv").unlink()
    desk.list_tabs.setCurrentWidget(desk.findings)
    desk.list_tabs.setCurrentWidget(desk.price)
    assert total(desk) > 0
