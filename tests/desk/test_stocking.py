"""The basin stock from the menu: written, edited, read in, undone, and begun with in a new job."""

from pathlib import Path

from pytestqt.qtbot import QtBot

from tests.desk.at_desk import PLANE_YARD, open_window


def test_the_stock_is_written_edited_and_read_in_for_this_job_and_new_ones(qtbot: QtBot, tmp_path: Path) -> None:
    window, answers = open_window(qtbot, tmp_path, PLANE_YARD)
    by_name = window.actions_.by_name
    file = tmp_path / "basin-stock.toml"
    answers.save_path = answers.read_path = file
    by_name["write_stock"].trigger()
    text = file.read_text(encoding="utf-8")
    assert "[[basin]]" in text

    # rim 100.00, invert 98.00, 4 in sump: 28 in; a 15 in body leaves 13 in, two risers of 6 in and a grate 1 in low
    file.write_text(text.replace("height_in = 12.0", "height_in = 15.0"), encoding="utf-8")
    assert window.session.review.stacks["B1"].risers_in == (6.0, 6.0, 6.0)
    by_name["take_stock"].trigger()
    assert window.session.review.stacks["B1"].risers_in == (6.0, 6.0)
    by_name["undo"].trigger()
    assert window.session.job.stock == ()
    by_name["new"].trigger()
    assert next(b.height_in for b in window.session.job.stock if b.size_in == 12) == 15.0

    file.write_text("[[basin]]\nsize_in = 11\n", encoding="utf-8")
    by_name["take_stock"].trigger()
    assert "basin 1, size_in: 11 is not one of 9, 12, 18, 24" in answers.told[-1]
