"""A logo is decoded in full, checked and written anew; what could do harm is refused with a sentence."""

import zlib
from io import BytesIO
from pathlib import Path

import pytest
from PIL import Image
from PIL.PngImagePlugin import PngInfo

from drainsketch.errors import JobFileError
from drainsketch.files.logo import KEPT_PX, MOST_BYTES, decoded_logo, read_logo
from tests.files.pictures import SIGNATURE, chunk, chunks, claiming, picture


def test_a_picture_comes_out_as_it_went_in_and_nothing_beside_it():
    told = PngInfo()
    told.add_text("Comment", "<script>alert(1)</script>")
    logo = decoded_logo(picture(pnginfo=told))
    assert (logo.width_px, logo.height_px) == (300, 100)
    assert set(chunks(logo.png)) == {b"IHDR", b"IDAT", b"IEND"}
    again = Image.open(BytesIO(logo.png))
    assert (again.getpixel((10, 50)), again.getpixel((290, 50))) == ((20, 73, 107), (255, 255, 255))


def test_what_is_clear_lies_on_white():
    again = Image.open(BytesIO(decoded_logo(picture(mode="RGBA")).png))
    assert (again.mode, again.getpixel((290, 50))) == ("RGB", (255, 255, 255))


def test_a_jpeg_is_turned_as_its_camera_says():
    exif = Image.Exif()
    exif[0x0112] = 6  # Exif 2.32, Orientation 6: the first row is the right side, so it is to be turned a quarter
    logo = decoded_logo(picture(kind="JPEG", exif=exif))
    assert (logo.width_px, logo.height_px) == (100, 300)


def test_a_large_picture_is_kept_no_larger_than_print_has_use_for():
    logo = decoded_logo(picture((4000, 1000)))
    assert (logo.width_px, logo.height_px) == (KEPT_PX, KEPT_PX // 4)
    assert decoded_logo(logo.png).width_px == KEPT_PX


HARMFUL = {
    "text": b"hello, I am no picture",
    "nothing": b"",
    "a page with a script": b"<svg xmlns='http://www.w3.org/2000/svg'><image href='file:///etc/passwd'/></svg>",
    "PostScript": b"%!PS-Adobe-3.0 EPSF-3.0\n%%BoundingBox: 0 0 100 100\n(/etc/passwd) run\n",
    "a GIF": picture(kind="GIF"),
    "cut off": picture((2000, 900))[:300],
    "cut off JPEG": picture((2000, 900), "JPEG")[:700],
    "claims what it has not": claiming(2000, 900, zlib.compress(b"\0" * 10)),
    "no data at all": claiming(200, 100),
    "text that decodes to gigabytes": SIGNATURE
    + picture()[8:33]
    + chunk(b"zTXt", b"a\0\0" + zlib.compress(b"x" * 80_000_000, 9))
    + picture()[33:],
}
WRONG_SIZE = {
    "two gigapixels": (claiming(50_000, 40_000, zlib.compress(b"\0" * 1000)), "too many pixels"),
    "many pixels": (claiming(7_000, 7_000), "save it no larger than 8000"),
    "a dot": (picture((3, 3)), "too few to print"),
    "a hair": (picture((2_000, 30)), "too long for a logo"),
    "many bytes": (picture() + b"\0" * MOST_BYTES, "more than 5 MB"),
}


@pytest.mark.parametrize("data", HARMFUL.values(), ids=HARMFUL)
def test_what_is_no_picture_or_damaged_is_refused(data):
    with pytest.raises(JobFileError, match="no PNG or JPEG picture, or it is damaged"):
        decoded_logo(data)


@pytest.mark.parametrize(("data", "said"), WRONG_SIZE.values(), ids=WRONG_SIZE)
def test_a_picture_of_the_wrong_size_is_refused_before_it_is_decoded(data, said):
    with pytest.raises(JobFileError, match=said):
        decoded_logo(data)


def test_bytes_turned_over_one_by_one_are_a_logo_or_a_sentence():
    good = bytearray(picture((60, 40)))
    for at in range(len(good)):
        bad = bytes(good[:at]) + bytes([good[at] ^ 0xFF]) + bytes(good[at + 1 :])
        try:
            decoded_logo(bad)
        except JobFileError:
            continue


@pytest.mark.parametrize("name", ["missing.png", "folder", "a\0b.png"])
def test_a_file_that_cannot_be_read_is_named(name, tmp_path: Path):
    (tmp_path / "folder").mkdir()
    with pytest.raises(JobFileError, match="cannot be read"):
        read_logo(tmp_path / name)
