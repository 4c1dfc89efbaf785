"""Whatever stands in a user's text is printed as text: nothing is opened, fetched, linked or run."""

from pathlib import Path

import pdfplumber
import pytest
import shapely
from pdfminer.layout import LTImage

from drainsketch.review import analyse
from drainsketch.sheets.book import write_sheets
from drainsketch.sheets.contents import Contents
from tests.sheets import yards
from tests.sheets.reading import glyphs, overlapping_text, run_watched, things

HOSTILE = {
    "picture": '<img src="/etc/passwd"/>',
    "bold": "<b>hi",
    "link": '<a href="file:///etc/passwd">x</a>',
    "script": '<a href="javascript:alert(1)">x</a><ondraw name="x"/>',
    "color": '<font color="[[[1]]]">x</font>',
    "entity": "&lt; &amp; &#0; &bogus;",
    "braces": "{0} {page} {x.__class__} %s %(a)s",
    "nul": "a\x00b\x07c\x1bd",
    "surrogate": "a\ud800b\udfffc",
    "long word": "W" * 4000,
    "long text": "word " * 800,
    "right to left": "\u202eabc שלום مرحبا\u202c",
    "emoji": "pipe 🚰 👩\u200d🔧 \U0010ffff",
    "lines": "a\nb\r\nc\u2028d\x85e",
    "spaces": "   ",
}


@pytest.mark.parametrize("text", HOSTILE.values(), ids=HOSTILE)
def test_hostile_text_prints_within_the_page(text: str, tmp_path: Path) -> None:
    job = yards.named(text)
    path = tmp_path / "p.pdf"
    write_sheets(Contents(job, analyse(job)), path, audience="all")
    with pdfplumber.open(path) as pdf:
        for page in pdf.pages:
            assert not any(isinstance(thing, LTImage) for thing in things(page.layout))
            assert not page.hyperlinks
            assert not page.annots
            assert overlapping_text(page) == []
            left, low, right, high = shapely.total_bounds(glyphs(page).cores)
            assert left > 0 and right < page.width and low > 0 and high < page.height


def test_markup_is_printed_literally(tmp_path: Path) -> None:
    path = tmp_path / "p.pdf"
    job = yards.named(HOSTILE["picture"])
    write_sheets(Contents(job, analyse(job)), path)
    with pdfplumber.open(path) as pdf:
        assert HOSTILE["picture"] in pdf.pages[0].extract_text()
        assert any(HOSTILE["picture"] in page.extract_text() for page in pdf.pages[1:])


WATCHED = """
import sys
from pathlib import Path

sys.path.insert(0, sys.argv[1])
from drainsketch.review import analyse
from drainsketch.sheets.book import write_sheets
from drainsketch.sheets.contents import Contents
from tests.sheets import yards
from tests.sheets.test_hostile_text import HOSTILE

out = Path(sys.argv[2])
warm = yards.named("é שלום 🚰")
write_sheets(Contents(warm, analyse(warm)), out, audience="all")  # loads what is loaded late
seen = []


def watch(event, args):
    if event == "open":
        seen.append(str(args[0]))
    elif event.startswith(("socket.", "urllib.", "subprocess.", "os.system", "os.exec", "ftplib.", "http.")):
        seen.append(f"{event} {args}")


sys.addaudithook(watch)
for text in HOSTILE.values():
    job = yards.named(text)
    write_sheets(Contents(job, analyse(job)), out, audience="all")
strange = [s for s in seen if not (out.parent == Path(s).parent or s == str(out.parent) or s.isdigit())]
print(strange)
sys.exit(bool(strange))
"""


def test_no_file_is_opened_and_no_connection_made_for_any_of_it(tmp_path: Path) -> None:
    run_watched(WATCHED, tmp_path / "p.pdf")
