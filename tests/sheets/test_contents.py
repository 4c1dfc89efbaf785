"""What each reader's sheets are made from: the record goes by what was shot, and by no price."""

from pathlib import Path

import pytest

from drainsketch.cli import main
from drainsketch.files.saving import save_job
from drainsketch.job.edits.laying import change_laying, read_laid
from drainsketch.review import analyse
from tests.test_review import sample


def test_a_price_file_that_cannot_be_read_keeps_nobody_from_the_record(
    tmp_path: Path, own_home: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    job = change_laying(sample("corner-lot"), height_ft=104.0, interval_ft=4.0)
    job = read_laid(job, analyse(job).network.runs[0].id, 0.0, 6.0)
    yard, out = tmp_path / "yard.drainjob", tmp_path / "p.pdf"
    save_job(job, yard)
    own_home.mkdir(parents=True)
    (own_home / "prices.csv").write_text("item,price\nno such thing\n")
    assert main(["sheets", str(yard), "-o", str(out), "--for", "record"]) == 0
    assert out.stat().st_size > 1000
    assert main(["sheets", str(yard), "-o", str(out), "--for", "crew"]) == 2  # its days go by the rates of the book
    assert "prices.csv" in capsys.readouterr().err
