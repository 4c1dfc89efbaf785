"""Saving: whole or not at all, whatever goes wrong, with the version before kept."""

import os
import signal
import stat
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
from msgspec.structs import replace

from drainsketch.errors import JobFileError
from drainsketch.files.jobfile import job_text, read_job
from drainsketch.files.saving import save_job
from drainsketch.job.model import Header, Job, Shot
from tests.files.test_jobfile import YARD

SECOND = replace(YARD, header=Header(title="second"))
posix = pytest.mark.skipif(os.name != "posix", reason="needs POSIX files")


def names(folder: Path) -> list[str]:
    return sorted(p.name for p in folder.iterdir())


def test_a_saved_job_reads_back_and_leaves_nothing_else(tmp_path: Path) -> None:
    path = tmp_path / "yard.drainjob"
    save_job(YARD, path)
    assert read_job(path) == YARD
    assert names(tmp_path) == ["yard.drainjob"]


def test_the_version_before_is_kept_once(tmp_path: Path) -> None:
    path = tmp_path / "yard.drainjob"
    for title in ("one", "two", "three"):
        save_job(replace(YARD, header=Header(title=title)), path)
    assert read_job(path).header.title == "three"
    assert read_job(tmp_path / "yard.drainjob.bak").header.title == "two"
    assert names(tmp_path) == ["yard.drainjob", "yard.drainjob.bak"]


def test_a_damaged_file_never_replaces_a_good_backup(tmp_path: Path) -> None:
    path = tmp_path / "yard.drainjob"
    save_job(YARD, path)
    save_job(SECOND, path)
    path.write_bytes(b"damaged")
    save_job(SECOND, path)
    assert read_job(tmp_path / "yard.drainjob.bak") == YARD


def test_a_job_that_would_not_read_back_is_not_written(tmp_path: Path) -> None:
    path = tmp_path / "yard.drainjob"
    save_job(YARD, path)
    before = path.read_bytes()
    for broken, place in (
        (
            replace(YARD, shots=(Shot(id="S1", point=(0.0, 0.0), elevation_ft=float("nan")),)),
            r"shots\[0\].elevation_ft: NaN",
        ),
        (replace(YARD, structures=()), r"runs\[0\].start: there is no structure"),
        (replace(YARD, header=Header(title="\udcff")), "header.title"),
    ):
        with pytest.raises(JobFileError, match=f"^not saved: {place}"):
            save_job(broken, path)
        assert path.read_bytes() == before
    assert names(tmp_path) == ["yard.drainjob"]


@posix
def test_permissions_are_kept_and_links_followed(tmp_path: Path) -> None:
    (tmp_path / "real").mkdir()
    path, link = tmp_path / "real" / "yard.drainjob", tmp_path / "link.drainjob"
    save_job(YARD, path)
    path.chmod(0o640)
    link.symlink_to(path)
    save_job(SECOND, link)
    assert link.is_symlink()
    assert read_job(path) == SECOND
    assert stat.S_IMODE(path.stat().st_mode) == 0o640
    assert names(tmp_path) == ["link.drainjob", "real"]


@posix
def test_a_new_file_gets_the_usual_permissions(tmp_path: Path) -> None:
    old = os.umask(0o027)
    try:
        save_job(YARD, tmp_path / "yard.drainjob")
    finally:
        os.umask(old)
    assert stat.S_IMODE((tmp_path / "yard.drainjob").stat().st_mode) == 0o640


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("none/yard.drainjob", "folder is not there"),
        (".", "a folder of that name"),
        ("x" * 300, "name"),
        ("a\0b", "file name"),
    ],
)
def test_a_place_that_cannot_be_written_is_named_in_words(tmp_path: Path, name: str, words: str) -> None:
    with pytest.raises(JobFileError, match=words):
        save_job(YARD, tmp_path / name)
    assert names(tmp_path) == []


STEPS = ["os.fsync", "pathlib.Path.chmod", "pathlib.Path.replace", "tempfile.mkstemp"]


@pytest.mark.parametrize("nth", [1, 2, 3])
@pytest.mark.parametrize("step", STEPS)
def test_a_fault_at_any_step_leaves_the_old_file(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, step: str, nth: int
) -> None:
    path = tmp_path / "yard.drainjob"
    save_job(YARD, path)
    owner, name = (
        (Path, step.rsplit(".", 1)[1])
        if "Path" in step
        else (sys.modules[step.split(".", maxsplit=1)[0]], step.split(".")[1])
    )
    real, calls = getattr(owner, name), 0

    def failing(*args: Any, **kwargs: Any) -> Any:
        nonlocal calls
        calls += 1
        if calls == nth:
            raise OSError(28, "No space left on device")
        return real(*args, **kwargs)

    monkeypatch.setattr(owner, name, failing)
    try:
        save_job(SECOND, path)
        saved = True
    except JobFileError as fault:
        assert "no room left" in str(fault)
        saved = False
    monkeypatch.undo()
    assert read_job(path) == (SECOND if saved else YARD)
    assert not [n for n in names(tmp_path) if n.endswith(".tmp")]


BIG = "replace(YARD, shots=tuple(Shot(id=f'S{i}', point=(0.0, 0.0), elevation_ft=1.0) for i in range(3000)))"
PRELUDE = f"""
import sys
from msgspec.structs import replace
from drainsketch.errors import JobFileError
from drainsketch.files.saving import save_job
from drainsketch.job.model import Header, Job, Shot
YARD = Job(header=Header(title="big"))
BIG = {BIG}
"""


def saver(code: str, path: Path) -> subprocess.Popen[str]:
    """Start a process that has the prelude and runs the code; ``sys.argv[1]`` is the path."""
    return subprocess.Popen([sys.executable, "-c", PRELUDE + code, str(path)], stdout=subprocess.PIPE, text=True)


@posix
def test_a_file_size_limit_of_the_system_leaves_the_old_file(tmp_path: Path) -> None:
    path = tmp_path / "yard.drainjob"
    save_job(YARD, path)
    limited = """
import resource
resource.setrlimit(resource.RLIMIT_FSIZE, (20_000, 20_000))
try:
    save_job(BIG, sys.argv[1])
except JobFileError as fault:
    print(fault)
"""
    words, _ = saver(limited, path).communicate(timeout=60)
    assert words.startswith("not saved: the file would be larger than this system allows")
    assert read_job(path) == YARD
    assert names(tmp_path) == ["yard.drainjob"]


@pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() != 0, reason="only root can mount a tiny disk")
def test_a_full_disk_leaves_the_old_file(tmp_path: Path) -> None:
    disk = tmp_path / "disk"
    disk.mkdir()
    if subprocess.run(["mount", "-t", "tmpfs", "-o", "size=64k", "tmpfs", disk], check=False).returncode:
        pytest.skip("this system lets nobody mount")
    try:
        path = disk / "yard.drainjob"
        save_job(YARD, path)
        big = replace(YARD, shots=tuple(Shot(id=f"S{i}", point=(0.0, 0.0), elevation_ft=1.0) for i in range(3000)))
        with pytest.raises(JobFileError, match="no room left on the disk"):
            save_job(big, path)
        assert read_job(path) == YARD
        assert names(disk) == ["yard.drainjob"]
    finally:
        subprocess.run(["umount", disk], check=True)


@posix
def test_a_folder_that_may_not_be_written_is_said_so(tmp_path: Path) -> None:
    tmp_path.chmod(0o500)
    path = tmp_path / "yard.drainjob"
    code = """
import os
if os.geteuid() == 0:
    os.setuid(65534)
try:
    save_job(YARD, sys.argv[1])
except JobFileError as fault:
    print(fault)
"""
    for folder in tmp_path.parents:
        if folder.stat().st_uid == os.geteuid() and folder.name.startswith("pytest-"):
            folder.chmod(0o755)
    try:
        words, _ = saver(code, path).communicate(timeout=60)
    finally:
        tmp_path.chmod(0o700)
    assert "you may not write in this folder" in words


@posix
def test_a_saver_killed_again_and_again_never_leaves_half_a_file(tmp_path: Path) -> None:
    path = tmp_path / "yard.drainjob"
    save_job(YARD, path)
    loop = """
print("ready", flush=True)
for i in range(10_000):
    save_job(replace(BIG, header=Header(title=str(i))), sys.argv[1])
    print(i, flush=True)
"""
    for round_no in range(6):
        process = saver(loop, path)
        assert process.stdout is not None
        for _ in range(2 + round_no % 3):
            process.stdout.readline()
        process.send_signal(signal.SIGKILL)
        process.wait()
        process.stdout.close()
        job = read_job(path)
        assert job == YARD or len(job.shots) == 3000
        backup = path.with_name("yard.drainjob.bak")
        if backup.exists():
            read_job(backup)


def test_what_is_saved_is_the_text_of_the_job(tmp_path: Path) -> None:
    save_job(Job(), tmp_path / "empty.drainjob")
    assert (tmp_path / "empty.drainjob").read_bytes() == job_text(Job()).encode()
