from hypothesis import given
from hypothesis import strategies as st

from drainsketch.sheets.text import paragraphs, plain


@given(st.text(st.characters(), max_size=300))
def test_plain_text_is_one_bounded_line_that_can_be_encoded(text: str) -> None:
    said = plain(text, 50)
    assert len(said) <= 50
    assert said.isprintable()
    said.encode("utf-8")


def test_lone_surrogates_controls_and_direction_marks_go() -> None:
    assert plain("a\ud800b\x00c\u202ed\u200be") == "abcde"


def test_accents_primes_and_eighths_stay() -> None:
    assert plain("Peña 6′ 2″ ⅛ ½") == "Peña 6′ 2″ ⅛ ½"


def test_paragraphs_keep_lines_and_drop_empty_ones() -> None:
    assert paragraphs("one\n\n two \r\nthree") == ("one", "two", "three")
