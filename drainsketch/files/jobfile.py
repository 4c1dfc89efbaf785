"""The job file: UTF-8 JSON, extension .drainjob, first keys ``format`` and ``version``.

Reading is strict: what is not understood is refused with its place and nothing is dropped in silence. The words for each
complaint are in ``job/bounds.py`` and ``job/rules.py``, the text that is written in ``layout.py``.
"""

import gc
import json
import stat
from codecs import BOM_UTF8
from collections import Counter, deque
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import msgspec

from drainsketch.errors import JobFileError
from drainsketch.files.layout import FORMAT, laid_out
from drainsketch.files.migrations.steps import VERSION, migrate
from drainsketch.files.sheetfile import HEAD, MOST_PDF_BYTES, job_bytes_in
from drainsketch.job.bounds import MOST_COMPLAINTS, complaints, half_character_faults, shown, shown_key
from drainsketch.job.model import Job
from drainsketch.job.rules import job_faults

EXTENSION = ".drainjob"
MOST_BYTES = 20_000_000
# far beyond any yard; they keep a hostile file of the greatest size under two seconds
MOST_MARKS = {"{": 200_000, "[": 2_000_000, ":": 1_000_000}

Raw = dict[str, Any]


def read_job(path: str | Path) -> Job:
    """Return the job in a file, or in a PDF of sheets made from it. The file is not touched.

    Raises
    ------
    JobFileError : the file is missing, too big, not a file, not readable, or not a whole job; names the place
    """
    path = Path(path)
    try:
        found = path.stat()
        if not stat.S_ISREG(found.st_mode):
            what = "a folder" if stat.S_ISDIR(found.st_mode) else "a device or pipe"
            raise JobFileError(f"this is {what}, not a job file")
        with path.open("rb") as file:
            head = file.read(len(HEAD))
            most = MOST_PDF_BYTES if head == HEAD else MOST_BYTES
            if found.st_size > most:
                raise _too_big(found.st_size)
            data = head + file.read(most + 1 - len(head))
    except FileNotFoundError as fault:
        raise JobFileError("there is no such file; check the name") from fault
    except PermissionError as fault:
        raise JobFileError("this file may not be read; ask its owner for permission") from fault
    except (OSError, ValueError) as fault:
        raise JobFileError(f"this file cannot be read: {getattr(fault, 'strerror', None) or fault}") from fault
    if head == HEAD:
        data = job_bytes_in(data, MOST_BYTES)
    return parse_job(data, path.name)


def is_sheets(path: Path) -> bool:
    """Return whether a file is a PDF, which a job may be read from but never saved to."""
    try:
        with path.open("rb") as file:
            return file.read(len(HEAD)) == HEAD
    except (OSError, ValueError):
        return False


def _too_big(size: int) -> JobFileError:
    return JobFileError(f"the file has {size / 1e6:.0f} MB; a job file stays under {MOST_BYTES / 1e6:.0f} MB")


def job_text(job: Job) -> str:
    """Return the text of the job file: keys in model order, one thing a line where short, floats exact."""
    return laid_out(job, VERSION)


def parse_job(data: bytes, name: str = "") -> Job:
    """Return the job in the bytes of a job file; ``name`` is not needed to read it.

    Raises
    ------
    JobFileError : holds every complaint, in file order, each with its place
    """
    with _no_garbage_collection():
        raw = migrate(_versioned(_json(_text(data))))
        content = {key: value for key, value in raw.items() if key not in ("format", "version")}
        return _job(content)


@contextmanager
def _no_garbage_collection() -> Iterator[None]:
    """Hold the collector back: it would walk millions of fresh lists again and again (20 MB: 0.4 s instead of 2 s)."""
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()


def _text(data: bytes) -> str:
    if len(data) > MOST_BYTES:
        raise _too_big(len(data))
    if not data.strip():
        raise JobFileError("the file is empty")
    if data[:2] in (b"\xff\xfe", b"\xfe\xff"):
        raise JobFileError("byte 0: the file is UTF-16 text; save it as UTF-8")
    try:
        return data.removeprefix(BOM_UTF8).decode("utf-8")
    except UnicodeDecodeError as fault:
        start = fault.start + len(data) - len(fault.object)
        raise JobFileError(f"byte {start}: this is not UTF-8 text, so not a job file or damaged") from fault


def _json(text: str) -> Any:
    """Return what the JSON text holds. A key that stands twice, and broken syntax, are refused."""
    for mark, most in MOST_MARKS.items():
        if text.count(mark) > most:
            raise JobFileError(f"the file has more than {most:,} of the sign {mark}; this is not a job file")
    doubled: list[tuple[Raw, str]] = []

    def as_object(pairs: list[tuple[str, Any]]) -> Raw:
        keyed = dict(pairs)
        if len(keyed) != len(pairs):
            counts = Counter(key for key, _ in pairs)
            doubled.append((keyed, next(key for key, count in counts.items() if count > 1)))
        return keyed

    try:
        raw = json.loads(text, object_pairs_hook=as_object)
    except RecursionError as fault:
        raise JobFileError("lists stand within lists too deep to be a job file") from fault
    except json.JSONDecodeError as fault:
        raise JobFileError(_syntax_complaint(text, fault)) from fault
    except ValueError as fault:  # an integer of thousands of digits
        raise JobFileError("a number in the file has thousands of digits; this is not a job file") from fault
    if doubled:
        keyed, key = doubled[0]
        place = _path_to(raw, keyed)
        raise JobFileError(
            f"{place}{'.' if place else ''}{shown_key(key)}: the key stands twice in one object; keep one"
        )
    return raw


def _syntax_complaint(text: str, fault: json.JSONDecodeError) -> str:
    place = f"line {fault.lineno}, column {fault.colno}"
    if fault.pos >= len(text.rstrip()) or fault.msg.startswith("Unterminated string"):
        return f"{place}: the text ends in the middle: the file is cut off"
    return f"{place}: this is not JSON ({fault.msg[0].lower()}{fault.msg[1:]})"


def _path_to(raw: Any, wanted: Raw) -> str:
    """Return the path of an object in the raw tree, '' for the root or where it takes too long to find."""
    waiting: deque[tuple[str, Any]] = deque([("", raw)])
    for _ in range(200_000):
        if not waiting:
            break
        path, value = waiting.popleft()
        if value is wanted:
            return path
        if isinstance(value, dict):
            waiting += [
                (f"{path}.{shown_key(key)}".lstrip("."), v) for key, v in value.items() if isinstance(v, dict | list)
            ]
        else:
            waiting += [(f"{path}[{i}]", v) for i, v in enumerate(value) if isinstance(v, dict | list)]
    return ""


def _versioned(raw: Any) -> Raw:
    """Return the raw file after checking what it says it is."""
    if not isinstance(raw, dict) or "format" not in raw:
        raise JobFileError(f'format: missing; a job file starts with "format": "{FORMAT}"')
    if raw["format"] != FORMAT:
        raise JobFileError(f"format: {shown(raw['format'])} is not {FORMAT}; this is another kind of file")
    version = raw.get("version")
    if type(version) is not int or version < 1:
        what = shown(version) + " is not a version number" if "version" in raw else "missing"
        raise JobFileError(f"version: {what}; this program writes {VERSION}")
    if version > VERSION:
        raise JobFileError(
            f"version: written by a newer drainsketch (version {version}; this one reads up to {VERSION}); "
            "update the program; the file is untouched"
        )
    return raw


def _job(content: Raw) -> Job:
    """Return the job, or raise with every complaint about the content."""
    try:
        job = msgspec.convert(content, Job)
    except (msgspec.ValidationError, RecursionError) as fault:
        found = complaints(content, Job) or (f"the file is not a job: {fault}",)
        raise JobFileError(*found) from fault
    faults = [*half_character_faults(content)]
    for path, wrong in job_faults(job):
        faults.append(f"{path}: {wrong}")
        if len(faults) >= MOST_COMPLAINTS:
            break
    if faults:
        raise JobFileError(*faults)
    return job
