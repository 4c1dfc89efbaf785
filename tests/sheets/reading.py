"""Reads sheets back with pdfplumber, independently of the program that wrote them."""

import subprocess
import sys
from math import atan2, cos, hypot, sin
from pathlib import Path
from typing import Any

import pdfplumber
from shapely import Polygon, STRtree

from drainsketch.job.model import Job
from drainsketch.review import analyse
from drainsketch.sheets.book import write_sheets
from drainsketch.sheets.contents import Contents


def written(job: Job, path: Path, **asked: Any) -> Any:
    """Write the sheets of a job and open them; what is asked is passed on to the contents or to the writing."""
    told = {key: asked.pop(key) for key in Contents.__struct_fields__ if key in asked}
    write_sheets(Contents(job, analyse(job), **told), path, **asked)
    return pdfplumber.open(path)


def type_size(char: dict[str, Any]) -> float:
    """Return the size of a character as seen, pt; a turned one is measured across its own line."""
    a, b = char["matrix"][:2]
    if abs(b) < 1e-6:
        return float(char["size"])
    # bounding box of a turned rectangle: height = adv sin + size cos; the scale of the matrix is 1
    turn = atan2(b, a)
    if abs(cos(turn)) < 1e-3:
        return float(char["width"])
    return float((char["height"] - char["adv"] * abs(sin(turn))) / abs(cos(turn)))


def core(char: dict[str, Any]) -> Polygon:
    """Return the middle of a character (80% of its width, half its height from the baseline), turned as it is."""
    a, b, _, _, x, y = char["matrix"]
    scale = hypot(a, b)
    ux, uy = a / scale, b / scale
    low, high = 0.05 * type_size(char), 0.55 * type_size(char)
    left, right = 0.1 * char["adv"], 0.9 * char["adv"]
    corners = ((left, low), (right, low), (right, high), (left, high))
    return Polygon([(x + u * ux - v * uy, y + u * uy + v * ux) for u, v in corners])


def overlapping_text(page: Any) -> list[tuple[str, str]]:
    """Return the pairs of characters printed over each other."""
    chars = [c for c in page.chars if c["text"].strip()]
    cores = [core(c) for c in chars]
    tree = STRtree(cores)
    pairs = tree.query(cores, predicate="intersects").T
    return [
        (_near(chars, i), _near(chars, j)) for i, j in pairs if i < j and cores[i].intersection(cores[j]).area > 0.2
    ]


def _near(chars: list[dict[str, Any]], i: int) -> str:
    return "".join(c["text"] for c in chars[max(0, i - 6) : i + 6])


def words_in_order(path: Path) -> str:
    """Return all words of a PDF in the order they were written, so that the cells of a table follow each other."""
    with pdfplumber.open(path) as pdf:
        return " ".join(w["text"] for page in pdf.pages for w in page.extract_words(use_text_flow=True))


def run_watched(code: str, out: Path) -> None:
    """Run code that watches which files and connections are opened while it writes sheets; it fails where it saw any."""
    root = Path(__file__).parents[2]
    done = subprocess.run(
        [sys.executable, "-c", code, str(root), str(out)],
        capture_output=True,
        text=True,
        timeout=110,
        check=False,
        cwd=root,
    )
    assert done.returncode == 0, done.stdout + done.stderr
