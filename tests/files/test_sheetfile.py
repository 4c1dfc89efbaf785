"""A job is read back out of a PDF of sheets, and a hostile PDF is refused in a sentence, within bounds."""

import json
import subprocess
import sys
import zlib
from pathlib import Path
from typing import Any

import pytest
from pypdf import PdfWriter
from pypdf.generic import ArrayObject, NameObject, StreamObject

from drainsketch.cli import main
from drainsketch.errors import JobFileError
from drainsketch.files.jobfile import MOST_BYTES, is_sheets, job_text, read_job
from drainsketch.job.model import Job
from drainsketch.resources import sample_jobs


def carrying(path: Path, data: bytes, name: str = "job.drainjob", filters: tuple[str, ...] = ()) -> Path:
    """Write a PDF of one empty page that carries a file, packed as given."""
    writer = PdfWriter()
    writer.add_blank_page(100, 100)
    writer.add_attachment(name, b"")
    stream: Any = StreamObject()
    stream._data = data
    if filters:
        stream[NameObject("/Filter")] = ArrayObject([NameObject(f) for f in filters])
    file = writer.root_object["/Names"]["/EmbeddedFiles"]["/Names"][1].get_object()  # type: ignore[index]
    file["/EF"].get_object()[NameObject("/F")] = writer._add_object(stream)
    writer.write(str(path))
    return path


def test_a_job_comes_out_of_a_pdf_as_it_went_in(tmp_path: Path) -> None:
    job = read_job(Path(str(sample_jobs().joinpath("corner-lot.drainjob"))))
    for i, (data, filters) in enumerate(
        [(job_text(job).encode(), ()), (zlib.compress(job_text(job).encode()), ("/FlateDecode",))]
    ):
        assert read_job(carrying(tmp_path / f"{i}.pdf", data, filters=filters)) == job
    assert is_sheets(tmp_path / "0.pdf")
    assert not is_sheets(Path(str(sample_jobs().joinpath("corner-lot.drainjob"))))
    assert not is_sheets(tmp_path / "nothing.pdf")


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (b"%PDF-1.7\n", "damaged|carries no job"),
        (b"%PDF-1.7\n" + b"\x00" * 2000, "damaged|carries no job"),
        (b"%PDF-1.4\ntrailer\n<< /Root 1 0 R >>\nstartxref\n9\n%%EOF", "damaged|carries no job"),
        (
            b"%PDF-1.4\n1 0 obj\n<< /Type /Catalog /AF [1 0 R 1 0 R] >>\nendobj\ntrailer\n<< /Root 1 0 R >>\n",
            "damaged|carries no job",
        ),
    ],
)
def test_a_damaged_pdf_is_refused_in_a_sentence(data: bytes, said: str, tmp_path: Path) -> None:
    path = tmp_path / "p.pdf"
    path.write_bytes(data)
    with pytest.raises(JobFileError, match=said):
        read_job(path)


def test_a_pdf_without_a_job_or_with_another_file_is_refused(tmp_path: Path) -> None:
    for path in (carrying(tmp_path / "a.pdf", b"{}", name="notes.txt"),):
        with pytest.raises(JobFileError, match="carries no job"):
            read_job(path)
    with pytest.raises(JobFileError, match="format: missing"):
        read_job(carrying(tmp_path / "b.pdf", b"{}"))
    with pytest.raises(JobFileError, match="packed in a way"):
        read_job(carrying(tmp_path / "c.pdf", b"{}", filters=("/LZWDecode", "/FlateDecode")))


def test_a_pdf_cut_off_anywhere_is_refused_or_read_whole(tmp_path: Path) -> None:
    whole = carrying(tmp_path / "whole.pdf", zlib.compress(job_text(Job()).encode()), filters=("/FlateDecode",))
    data = whole.read_bytes()
    for end in range(6, len(data), max(1, len(data) // 40)):
        path = tmp_path / "cut.pdf"
        path.write_bytes(data[:end])
        try:
            assert read_job(path) == Job()
        except JobFileError as refused:
            assert str(refused).count("\n") == 0


def test_a_small_pdf_that_unpacks_to_gigabytes_is_refused_within_bounds(tmp_path: Path) -> None:
    packer = zlib.compressobj(9)
    bomb = b"".join(packer.compress(b"\0" * 1_000_000) for _ in range(2_000)) + packer.flush()
    path = carrying(tmp_path / "bomb.pdf", bomb, filters=("/FlateDecode",))
    code = (
        "import sys; from pathlib import Path\n"
        "from drainsketch.files.jobfile import read_job\n"
        "try: read_job(Path(sys.argv[1]))\n"
        "except Exception as fault: print(type(fault).__name__, fault)\n"
        "most = [line for line in open('/proc/self/status') if line.startswith('VmHWM')]\n"  # of this program alone
        "print(int(most[0].split()[1]) // 1000)\n"
    )
    run = subprocess.run(
        [sys.executable, "-c", code, str(path)], capture_output=True, text=True, timeout=60, check=True
    )
    said, most_mb = run.stdout.splitlines()
    assert said == f"JobFileError the job in this PDF has more than {MOST_BYTES // 10**6} MB; that is no job file"
    assert int(most_mb) < 300


def test_the_commands_take_a_pdf_in_place_of_a_job(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    source = Path(str(sample_jobs().joinpath("corner-lot.drainjob")))
    pdf = tmp_path / "sheets.pdf"
    assert main(["sheets", str(source), "-o", str(pdf)]) == 0
    capsys.readouterr()
    for command in (["check", "--json"], ["takeoff", "--json"], ["price", "--json"]):
        main([command[0], str(source), *command[1:]])
        of_job = json.loads(capsys.readouterr().out)
        main([command[0], str(pdf), *command[1:]])
        assert json.loads(capsys.readouterr().out) == of_job
    assert main(["sheets", str(pdf), "-o", str(pdf)]) == 2
    assert "the job file itself" in capsys.readouterr().err
