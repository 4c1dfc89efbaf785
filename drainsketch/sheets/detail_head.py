"""What stands over drawn details of one kind: heading, scale with its bar, note."""

from typing import Any

from reportlab.platypus import Flowable

from drainsketch.sheets.drafting import scale_head
from drainsketch.sheets.para import QUIET_TEXT, Section, para
from drainsketch.sheets.scale import ScaleBar
from drainsketch.wording import Words


def detail_head(
    part: str, said: str, bar: ScaleBar, words: Words, names: dict[int, list[str]], width: float, **note: Any
) -> list[Flowable]:
    """Return what stands over drawn details: their heading, the scale in words with its bar, and the note."""
    unit = words.word(f"sheets.measure.{bar.unit}")
    return [
        Section(words.word(f"details.{part}.title"), names),
        scale_head(said, bar, unit, width),
        para(words.word(f"details.{part}.note", **note), QUIET_TEXT),
    ]
