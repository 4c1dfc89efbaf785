"""Reads sheets back with pdfplumber, independently of the program that wrote them."""

import subprocess
import sys
from collections.abc import Iterator
from math import inf
from pathlib import Path
from typing import Any

import numpy as np
import pdfplumber
import shapely
from msgspec import Struct
from pdfminer.layout import LTChar, LTContainer

from drainsketch.job.model import Job
from drainsketch.review import analyse
from drainsketch.sheets.book import write_sheets
from drainsketch.sheets.contents import Contents


def written(job: Job, path: Path, **asked: Any) -> Any:
    """Write the sheets of a job and open them; what is asked is passed on to the contents or to the writing."""
    told = {key: asked.pop(key) for key in Contents.__struct_fields__ if key in asked}
    write_sheets(Contents(job, analyse(job), **told), path, **asked)
    return pdfplumber.open(path)


class Glyphs(Struct, frozen=True):
    """The characters of a page as the PDF places them, blanks left out: texts, type sizes as seen (pt), middles as polygons."""

    texts: tuple[str, ...]
    size_pt: Any
    cores: Any


def things(layout: Any) -> Iterator[Any]:
    """Yield all that is on a page as parsed, what stands in a form of the PDF too."""
    for thing in layout:
        if isinstance(thing, LTContainer):
            yield from things(thing)
        else:
            yield thing


def glyphs(page: Any) -> Glyphs:
    """Return the characters of a page: the core of each is 80% of its width and half its height from the baseline, turned as it is."""
    # straight from the page as parsed: the dictionaries of pdfplumber cost as much again
    chars = [c for c in things(page.layout) if isinstance(c, LTChar) and c.get_text().strip()]
    rows = np.array([(*c.matrix, c.adv, c.size, c.width, c.height) for c in chars], dtype=float).reshape(-1, 10)
    a, b, _, _, x, y, adv, size, width, height = rows.T
    scale = np.hypot(a, b)
    ux, uy = a / scale, b / scale
    # the bounding box of a turned rectangle: height = adv |uy| + size |ux|; straight up the size is its width
    with np.errstate(divide="ignore", invalid="ignore"):
        turned = np.where(np.abs(ux) < 1e-3, width, (height - adv * np.abs(uy)) / np.abs(ux))
    size = np.where(np.abs(b) < 1e-6, size, turned)
    low, high, left, right = 0.05 * size, 0.55 * size, 0.1 * adv, 0.9 * adv
    corners = [
        (x + u * ux - v * uy, y + u * uy + v * ux) for u, v in ((left, low), (right, low), (right, high), (left, high))
    ]
    cores = shapely.polygons(np.array(corners).transpose(2, 0, 1)) if chars else np.array([])
    return Glyphs(tuple(c.get_text() for c in chars), size, cores)


def least_type_pt(page: Any) -> float:
    """Return the size of the smallest character on a page, pt; infinite where there is none."""
    return float(min(glyphs(page).size_pt, default=inf))


def overlapping_text(page: Any) -> list[tuple[str, str]]:
    """Return the pairs of characters printed over each other."""
    found = glyphs(page)
    i, j = shapely.STRtree(found.cores).query(found.cores, predicate="intersects")
    i, j = i[i < j], j[i < j]
    over = shapely.area(shapely.intersection(found.cores[i], found.cores[j])) > 0.2
    return [(_near(found.texts, a), _near(found.texts, b)) for a, b in zip(i[over], j[over], strict=True)]


def _near(texts: tuple[str, ...], i: int) -> str:
    return "".join(texts[max(0, i - 6) : i + 6])


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
