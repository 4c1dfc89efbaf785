"""The basin stock file: the shipped one reads back, faults are told with their place."""

import pytest
from msgspec.structs import replace

from drainsketch.errors import EditError, JobFileError
from drainsketch.files.jobfile import job_text, parse_job
from drainsketch.files.stock import parse_stock, read_stock, shipped_stock_text
from drainsketch.job.basins import shipped_stock
from drainsketch.job.edits.change import change_stock
from drainsketch.job.limits import BasinBody
from drainsketch.job.model import Job

ROW = b"[[basin]]\nsize_in = 12\nheight_in = 13.5\n"


def test_the_shipped_stock_reads_back_with_a_source_in_every_row(tmp_path):
    file = tmp_path / "stock.toml"
    file.write_text(shipped_stock_text(), encoding="utf-8")
    assert read_stock(file) == shipped_stock()
    assert [b.size_in for b in shipped_stock()] == [9, 12, 18, 24]
    assert all(b.source for b in shipped_stock())


def test_a_row_needs_only_size_and_height():
    (body,) = parse_stock(ROW + b"risers_in = [6, 12]\n")
    assert (body.height_in, body.risers_in) == (13.5, (6.0, 12.0))


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (b"[[basin]\n", "this is not TOML"),
        (b"\xff\xfe", "not UTF-8"),
        (b"", "no [[basin]] row"),
        (b"[[pipe]]\nsize_in = 4\n", "pipe: unknown"),
        (b"[[basin]]\nsize_in = 13\nheight_in = 12\n", "basin 1, size_in: 13 is not one of 9, 12, 18, 24"),
        (b"[[basin]]\nsize_in = 12\nheight_in = -3\n", "basin 1, height_in"),
        (ROW + b"tall_in = 3\n", "basin 1, tall_in"),
        (ROW + ROW, "basin 2, size_in: 12 in stands twice"),
        (ROW + b"opening_in = 14\n", "basin 1, opening_in: 14 in is above the body's top"),
        (ROW + b"risers_in = []\n", "basin 1, risers_in"),
        (ROW + b"risers_in = [6, 1e-9]\n", "basin 1, risers_in, figure 2: 1e-09 in is too thin for a riser"),
        (ROW + b"risers_in = [0.249]\n", "give its height in inches, 0.25 or more"),
        (b"basin = 3\n", "basin"),
        (ROW.replace(b"13.5", b"14 1/2"), "basin 1, height_in: write 14.5"),
        (ROW + ROW.replace(b"12", b"18").replace(b"13.5", b"18 3/4  # measured"), "basin 2, height_in: write 18.75"),
        (ROW + b"risers_in = [5 1/2, 6]\n", "basin 1, risers_in: write [5.5, 6]"),
        (ROW.replace(b"13.5", b"tall"), "this is not TOML"),
    ],
)
def test_a_fault_is_one_sentence_with_its_place(data, said):
    with pytest.raises(JobFileError) as fault:
        parse_stock(data)
    assert said in str(fault.value)
    assert "\n" not in str(fault.value)


def test_a_file_that_is_not_there_or_far_too_long_is_told(tmp_path):
    with pytest.raises(JobFileError, match="cannot be read"):
        read_stock(tmp_path / "none.toml")
    (tmp_path / "long.toml").write_bytes(b"#" * 300_000)
    with pytest.raises(JobFileError, match="a page of text"):
        read_stock(tmp_path / "long.toml")


def test_the_stock_travels_with_the_job():
    mine = BasinBody(size_in=12, height_in=15.0, risers_in=(4.0,))
    job = change_stock(Job(), (mine,))
    assert parse_job(job_text(job).encode()).stock == (mine,)
    assert change_stock(job, (mine,)) is job
    with pytest.raises(EditError, match=r"stock\[1\].size_in: 12 in stands twice"):
        change_stock(Job(), (mine, mine))
    with pytest.raises(JobFileError, match=r"stock\[1\].size_in"):
        parse_job(job_text(replace(job, stock=(mine, mine))).encode())


def test_a_quarter_inch_is_a_riser():
    (body,) = parse_stock(ROW + b"risers_in = [0.25]\n")
    assert body.risers_in == (0.25,)
