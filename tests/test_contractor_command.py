"""drainsketch contractor, as a user meets it."""

from pathlib import Path

import pytest

from drainsketch.cli import main
from drainsketch.files.firm import letterhead_in_use, shipped_firm_text
from drainsketch.job.firm import NO_ONE
from tests.files.pictures import claiming, picture


def run(capsys, *arguments):
    code = main([str(a) for a in arguments])
    out, err = capsys.readouterr()
    return code, out, err


def test_the_example_is_printed_edited_and_kept(capsys, tmp_path: Path, own_home: Path):
    assert run(capsys, "contractor") == (0, shipped_firm_text(), "")
    mine, logo = tmp_path / "mine.toml", tmp_path / "logo.jpg"
    mine.write_text(shipped_firm_text(), encoding="utf-8")
    code, _, err = run(capsys, "contractor", "--keep", mine)
    assert code == 2
    assert err.startswith(f"drainsketch: {mine}: name: this is still the invented example; put in your own")
    assert letterhead_in_use() == NO_ONE
    mine.write_text("# ours\nname = 'Willow Drainage'\n", encoding="utf-8")
    logo.write_bytes(picture((240, 80), "JPEG"))
    code, out, err = run(capsys, "contractor", "--keep", mine, "--logo", logo)
    assert (code, err) == (0, "")
    assert f"{own_home / 'contractor.toml'}: kept for all jobs" in out
    assert "kept a copy for all jobs, 240 by 80 pixels" in out
    assert (own_home / "contractor.toml").read_text(encoding="utf-8").startswith("# ours")  # remarks stay


@pytest.mark.parametrize("data", [b"no picture", claiming(50_000, 40_000), b""])
def test_a_wrong_logo_is_one_line_and_exit_2(capsys, tmp_path: Path, own_home: Path, data: bytes):
    logo = tmp_path / "logo.png"
    logo.write_bytes(data)
    code, out, err = run(capsys, "contractor", "--logo", logo)
    assert (code, out, err.count("\n")) == (2, "", 1)
    assert err.startswith(f"drainsketch: {logo}: ")
    assert not own_home.exists()


def test_a_kept_file_that_was_damaged_stops_the_sheets_with_its_name(capsys, tmp_path: Path, own_home: Path):
    from drainsketch.resources import sample_jobs

    own_home.mkdir(parents=True)
    (own_home / "contractor.toml").write_bytes(b"\xff")
    yard = sample_jobs().joinpath("low-lawn.drainjob")
    code, _, err = run(capsys, "sheets", yard, "-o", tmp_path / "o.pdf")
    assert (code, err) == (
        2,
        f"drainsketch: {own_home / 'contractor.toml'}: byte 0: this is not UTF-8 text; save it as UTF-8\n",
    )
