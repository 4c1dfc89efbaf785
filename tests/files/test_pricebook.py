"""The price book as CSV: read strictly, told with line and column, written so that it reads back and stays inert."""

import csv
import io
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drainsketch.errors import JobFileError
from drainsketch.files.pricebook import (
    COLUMNS,
    BookRead,
    keep_price_book,
    own_book,
    parse_price_book,
    price_book_text,
    read_price_book,
    shipped_book,
)
from drainsketch.files.prices import prices_in_use
from drainsketch.job.price_book import PriceBook, PriceRow
from drainsketch.job.prices import UnknownItem

HEADING = ",".join(COLUMNS)
GRATE = "grate,,12,,each,27.50,,yes,materials,supply house,Grate"


def read(*rows: str, heading: str = HEADING):
    return parse_price_book("\n".join([heading, *rows]).encode())


def complaints(*rows: str, heading: str = HEADING) -> tuple[str, ...]:
    with pytest.raises(JobFileError) as fault:
        read(*rows, heading=heading)
    return fault.value.complaints


def grate(**cells: str) -> str:
    """Return a row of a grate with some cells changed."""
    known = dict(zip(COLUMNS, next(csv.reader([GRATE])), strict=True)) | cells
    text = io.StringIO()
    csv.writer(text).writerow(known.values())
    return text.getvalue().strip()


def test_a_row_is_read_as_it_stands():
    (row,) = read(GRATE).book.rows
    assert row == PriceRow(
        item="grate",
        size_in="12",
        unit="each",
        price=Decimal("27.50"),
        taxed=True,
        group="materials",
        source="supply house",
        name="Grate",
    )
    assert row.whose == "yours"


@pytest.mark.parametrize("mark", [",", ";", "\t"])
@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
@pytest.mark.parametrize("head", ["", "\ufeff"])
def test_marks_line_ends_and_a_byte_order_mark(mark, end, head):
    text = end.join(['# mine, all of it; "quoted"', HEADING.replace(",", mark), GRATE.replace(",", mark), ""])
    found = parse_price_book((head + text).encode()).book
    assert found.rows == read(GRATE).book.rows
    assert len(found.notes) == 1


@pytest.mark.parametrize(
    ("written", "price"),
    [
        ("27.5", "27.50"),
        ("27", "27.00"),
        ("$27.50", "27.50"),
        ("$ 27.50", "27.50"),
        ("1,234.50", "1234.50"),
        ("0.00", "0.00"),
    ],
)
def test_prices_as_a_spreadsheet_writes_them(written, price):
    assert str(read(grate(price=written)).book.rows[0].price) == price


def test_an_empty_price_is_not_known_and_not_zero():
    assert read(grate(price="")).book.rows[0].price is None


@pytest.mark.parametrize(
    "written",
    [
        "NaN",
        "nan",
        "inf",
        "-5",
        "-0.01",
        "1e3",
        "27.505",
        "12,5",
        "27.50.1",
        "free",
        "１２",
        "27 50",
        "1,23,456",
        "€5",
        "--",
        ".",
    ],
)
def test_what_is_no_price_is_told_with_line_column_and_remedy(written):
    (said,) = complaints(GRATE.replace("grate,,12", "grate,,9"), grate(price=written))
    assert said.startswith(f"line 3, price: '{written}' is no price; write dollars and cents like 12.50")


@pytest.mark.parametrize("written", ["=1+1", "=cmd|'/c calc'!A1", "+27.50", "@SUM(A1)", "'=1+1"])
def test_a_formula_is_no_price(written):
    (said,) = complaints(grate(price=written))
    assert said.startswith("line 2, price: ")
    assert "is a formula; write the number that comes out of it" in said


@pytest.mark.parametrize("written", ["1000000.01", "999999999999", "9" * 5000])
def test_a_price_beyond_all_measure_is_told(written):
    (said,) = complaints(grate(price=written))
    assert said.startswith("line 2, price: ")
    assert len(said) < 200


def test_a_comma_for_the_point_is_told_where_semicolons_part_the_cells():
    for written in ("27,50", "1,250"):
        (said,) = complaints(GRATE.replace(",", ";").replace("27.50", written), heading=HEADING.replace(",", ";"))
        assert f"line 2, price: '{written}' is no price" in said


@pytest.mark.parametrize(
    ("row", "said"),
    [
        (grate(item=""), "line 2, item: is empty"),
        (grate(of="sdr35"), "line 2, of: 'sdr35' does not belong here"),
        (grate(size_in="twelve"), "line 2, size_in: 'twelve' is no size; write a number like 4"),
        (grate(size_in="-12"), "line 2, size_in: '-12' is no size"),
        (grate(size_in="99999"), "line 2, size_in: '99999' is no size"),
        (grate(second="6"), "line 2, second: '6' does not belong here"),
        (grate(unit="ft"), "line 2, unit: 'ft': grate goes by each; write each"),
        (grate(per_hour="3"), "line 2, per_hour: '3' does not belong here"),
        (grate(taxed=""), "line 2, taxed: '' is neither yes nor no"),
        (grate(taxed="maybe"), "line 2, taxed: 'maybe' is neither yes nor no"),
        (grate(group="labor"), "line 2, group: 'labor': grate belongs to materials"),
        (GRATE + ",more", "line 2: 'more' stands past the last column"),
        ("bend,pvc,4,45,each,1.00,,yes,,,", "line 2, of: 'pvc' is not one of corrugated, smooth-lined, sdr35, sch40"),
        ("adapter,sdr35,4,pvc,each,1.00,,yes,,,", "line 2, second: 'pvc' is not one of corrugated"),
        ("dig_hand,mud,,2,yd3,,0.5,,,,", "line 2, of: 'mud' is not one of sand, loam, clay"),
        ("dig_hand,loam,,2,yd3,,0,,,,", "line 2, per_hour: '0' is no amount done in an hour"),
        ("dig_hand,loam,,2,yd3,,-1,,,,", "line 2, per_hour: '-1' is no amount done in an hour"),
        ("dig_hand,loam,,2,yd3,,NaN,,,,", "line 2, per_hour: 'NaN' is no amount done in an hour"),
        ("dig_hand,loam,,2,yd3,9.00,0.5,,,,", "line 2, price: '9.00' does not belong here"),
    ],
)
def test_a_cell_that_cannot_be_is_told_with_its_place(row, said):
    assert complaints(row)[0].startswith(said)


def test_every_fault_is_told_at_once():
    said = complaints(grate(price="x"), grate(unit="ft", taxed="?"), GRATE)
    assert [s.split(":")[0] for s in said] == ["line 2, price", "line 3, unit", "line 3, taxed"]


def test_the_same_thing_twice_is_refused_with_both_places():
    (said,) = complaints(GRATE, "grate,,9,,each,1.00,,yes,,,", grate(size_in="12.0", price="9.00"))
    assert said == "line 4, item: grate 12 stands already in line 2; keep one"


@pytest.mark.parametrize(
    ("heading", "said"),
    [
        (HEADING.replace("price", "cost"), "line 1, column 6: 'cost' is no column of a price book"),
        (
            HEADING.replace("taxed", "taxd"),
            "line 1, column 8: 'taxd' is no column of a price book; did you mean taxed?",
        ),
        (HEADING.replace("per_hour", "price"), "line 1, column 7: price stands twice"),
        (HEADING.replace(",taxed", ""), "line 1: the column taxed is missing"),
        (GRATE, "line 1, column 1: 'grate' is no column"),
    ],
)
def test_a_heading_that_cannot_be_is_told(heading, said):
    assert complaints(GRATE, heading=heading)[0].startswith(said)


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (b"", "there is no heading"),
        (b"# nothing but a remark\n", "there is no heading"),
        (HEADING.encode(), "there is no row below the heading"),
        (HEADING.encode() + b"\n\xff\xfe", "this is not UTF-8 text; save it as 'CSV UTF-8'"),
        (HEADING.encode("utf-16"), "this is not UTF-8 text"),
        (b"x" * 3_000_000, "the file has 3.0 MB"),
        (b"PK\x03\x04" + b"\x00" * 50, "is no column"),
        (f'{HEADING}\ngrate,,12,,each,"27.50,,yes\n'.encode() + b"z" * 200_000, "a quote mark too many"),
    ],
)
def test_a_file_that_is_no_price_book_is_told_in_a_sentence(data, said):
    with pytest.raises(JobFileError) as fault:
        parse_price_book(data)
    assert said in str(fault.value)


def test_an_item_that_nobody_counts_is_told_and_kept():
    found = read(GRATE, "grates,,12,,each,5.00,,yes,,mine,", "sofa,red,,,each,900.00,,no,,mine,")
    assert found.unknown == (UnknownItem(3, "grates", "grate"), UnknownItem(4, "sofa", ""))
    assert [r.item for r in found.book.rows] == ["grate", "grates", "sofa"]


BAD_TEXT = ("=cmd|' /C calc'!A0", "+1", "-1", "@x", '="a"', '5" riser, "best"', "a,b;c", "Ñandú ✓", "<b>&amp;")


@pytest.mark.parametrize("text", BAD_TEXT)
def test_text_of_the_user_stays_text_and_is_written_inert(text):
    found = read(grate(name=text, source=text)).book
    assert (found.rows[0].name, found.rows[0].source) == (text, text)
    written = price_book_text(found)
    cells = list(csv.reader(io.StringIO(written)))[1]
    assert not any(cell.startswith(("=", "+", "-", "@")) for cell in cells)
    assert parse_price_book(written.encode()).book == found


def test_the_shipped_book_reads_without_a_word_and_back_as_it_is():
    found = read_price_book(shipped_book())
    assert found.unknown == ()
    assert parse_price_book(price_book_text(found.book).encode("utf-8-sig")).book == found.book


@given(
    st.lists(
        st.tuples(st.text(max_size=30), st.text(max_size=30), st.decimals(0, 10**6, places=2)), min_size=1, max_size=6
    )
)
def test_any_book_that_was_read_is_written_and_read_back_the_same(rows):
    lines = [
        grate(size_in=str(n), name=name, source=source, price=str(p)) for n, (name, source, p) in enumerate(rows, 1)
    ]
    try:
        found = parse_price_book("\r\n".join([HEADING, *lines]).encode("utf-8", "replace"))
    except JobFileError:
        return
    assert parse_price_book(price_book_text(found.book).encode()).book == found.book


@given(st.binary(max_size=300))
def test_noise_is_a_sentence_or_a_book(data):
    for head in (b"", HEADING.encode() + b"\n"):
        try:
            found = parse_price_book(head + data)
        except JobFileError as fault:
            assert str(fault)
        else:
            assert found.book.rows


def test_your_own_book_is_kept_for_all_jobs_and_read_back(own_home):
    assert own_book() is None
    mine = PriceBook(read(GRATE).book.rows, ("# mine",))
    kept = keep_price_book(BookRead(mine))
    assert kept == own_home / "prices.csv"
    assert kept.read_bytes().startswith(b"\xef\xbb\xbf")
    assert own_book() == BookRead(mine, (), str(kept))


def test_a_bad_book_of_your_own_is_told_with_its_file_and_not_passed_over(own_home):
    own_home.mkdir(parents=True)
    (own_home / "prices.csv").write_text(f"{HEADING}\n{grate(price='x')}\n")
    with pytest.raises(JobFileError, match=r"prices\.csv: line 2, price: 'x' is no price"):
        own_book()


def test_a_folder_that_cannot_be_made_is_told(own_home):
    own_home.parent.mkdir(parents=True)
    own_home.write_text("in the way")
    with pytest.raises(JobFileError, match=r"prices\.csv"):
        keep_price_book(read(GRATE))


def test_rows_lie_over_each_other_from_the_example_to_the_file_named(own_home, tmp_path):
    shipped = read_price_book(shipped_book()).book
    assert prices_in_use().book == shipped
    keep_price_book(read(GRATE, grate(size_in="9", price="11.00")))
    named = tmp_path / "named.csv"
    named.write_text(f"{HEADING}\n{grate(price='99.00')}\n{grate(size_in='9', price='1.00', source='example')}\n")
    used = prices_in_use(named)
    found = {row.which: row for row in used.book.rows}
    assert len(found) == len(shipped.rows)  # each names a row of the example
    assert (found["grate", "", "12", ""].price, found["grate", "", "9", ""].price) == (Decimal(99), Decimal(11))
    assert {row.which for row in used.book.rows if not row.is_example} == {
        ("grate", "", "12", ""),
        ("grate", "", "9", ""),
    }
    assert used.book_files == (str(own_home / "prices.csv"), str(named))
    assert used.unknown == ()


def test_the_example_prices_no_pipe_by_the_foot():
    """So that an invented price by the foot never goes before a stick or coil of the user's own."""
    assert not [r for r in read_price_book(shipped_book()).book.rows if r.item in ("pipe_drain", "pipe_solid")]
