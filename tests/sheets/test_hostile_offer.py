"""Whatever stands in the contractor's particulars, the offer and the lines of the price is printed as text and does nothing."""

from pathlib import Path

import pdfplumber
import pytest
from msgspec.structs import replace

from drainsketch.files.firm import firm_text, parse_firm
from drainsketch.job.firm import MOST_LINE, Firm, Letterhead
from drainsketch.sheets.contents import Contents
from tests.sheets import yards
from tests.sheets.offers import LETTERHEAD, contents_of, opened, own_prices
from tests.sheets.reading import overlapping_text, run_watched
from tests.sheets.test_hostile_text import HOSTILE


def hostile(text: str, prices: object) -> Contents:
    """Return an owner's set with a text in every field that a contractor can write in, and a price that may be signed."""
    line = text[:MOST_LINE]
    firm = Firm(
        name=line, license=line, address=(line,) * 5, phone=line, email=line, web=line, insured=text[:400], terms=text
    )
    made = contents_of(yards.named(text), prices, Letterhead(firm, LETTERHEAD.logo))
    settled = replace(made.review, findings=tuple(f for f in made.review.findings if f.level != "stop"))
    return replace(made, review=settled)


@pytest.mark.parametrize("text", HOSTILE.values(), ids=HOSTILE)
def test_it_prints_within_the_page(text, tmp_path):
    with opened(hostile(text, own_prices(tmp_path)), tmp_path / "o.pdf") as pdf:
        for page in pdf.pages:
            assert len(page.images) <= 1  # the logo
            assert not page.hyperlinks
            assert not page.annots
            assert overlapping_text(page) == []
            assert all(
                c["x0"] > 0 and c["x1"] < page.width and c["y0"] > 0 and c["y1"] < page.height for c in page.chars
            )


def test_markup_is_printed_literally(tmp_path):
    text = HOSTILE["link"]
    with opened(hostile(text, own_prices(tmp_path)), tmp_path / "o.pdf") as pdf:
        plan = pdf.pages[0].extract_text()
        told = "".join("".join(c["text"] for c in page.chars) for page in pdf.pages[1:])
    assert text in plan
    assert told.count(text.replace(" ", "")) + told.count(text) >= 12  # particulars, exclusions, note, terms, lines


@pytest.mark.parametrize("text", HOSTILE.values(), ids=HOSTILE)
def test_it_is_kept_and_read_back_as_text_or_refused(text):
    firm = Firm(name=text[:MOST_LINE], terms=text[:6_000])
    kept = parse_firm(firm_text(firm).encode("utf-8", "replace"))
    assert kept.name == firm.name.encode("utf-8", "replace").decode()


WATCHED = """
import sys
from pathlib import Path

sys.path.insert(0, sys.argv[1])
from drainsketch.sheets.book import write_sheets
from tests.sheets.offers import own_prices
from tests.sheets.test_hostile_offer import hostile
from tests.sheets.test_hostile_text import HOSTILE

out = Path(sys.argv[2])
prices = own_prices(out.parent)
sets = [hostile(text, prices) for text in ("é שלום 🚰", *HOSTILE.values())]
write_sheets(sets[0], out, audience="all")  # loads what is loaded late
seen = []


def watch(event, args):
    if event == "open":
        seen.append(str(args[0]))
    elif event.startswith(("socket.", "urllib.", "subprocess.", "os.system", "os.exec", "ftplib.", "http.", "ctypes.dlopen")):
        seen.append(f"{event} {args}")


sys.addaudithook(watch)
for one in sets[1:]:
    write_sheets(one, out, audience="owner")
strange = [s for s in seen if not (out.parent == Path(s).parent or s == str(out.parent) or s.isdigit())]
print(len(seen), strange)
sys.exit(bool(strange) or not seen)
"""


def test_no_file_is_opened_and_no_connection_made_for_any_of_it(tmp_path: Path) -> None:
    run_watched(WATCHED, tmp_path / "p.pdf")


def test_a_logo_carries_nothing_but_its_picture_into_the_file(tmp_path):
    job = yards.rich()
    job = replace(job, header=replace(job.header, contractor=""))
    with opened(contents_of(job, None), tmp_path / "o.pdf") as pdf:
        assert all(page.images for page in pdf.pages[:1])
    raw = (tmp_path / "o.pdf").read_bytes()
    for word in (b"/JavaScript", b"/Launch", b"/URI", b"/EmbeddedFile", b"/OpenAction"):
        assert word not in raw
    with pdfplumber.open(tmp_path / "o.pdf") as pdf:
        assert pdf.metadata["Author"] == "Willow Drainage (invented)"
