"""Everything that can be drawn has a name, in every language."""

from typing import get_args

import pytest

from drainsketch.job import model as m
from drainsketch.look import LETTERING, STYLES, SYMBOLS
from drainsketch.sheets.strip import style_entry, symbol_entry
from drainsketch.wording import Words, languages


@pytest.mark.parametrize("lang", languages())
def test_every_style_symbol_and_lettering_of_the_look_has_a_name(lang: str) -> None:
    words = Words(lang)
    assert all(style_entry(name, words).name for name in STYLES)
    assert all(symbol_entry(name, words).name for name in SYMBOLS)
    assert all(words.word(f"sheets.lettering.{name}") for name in LETTERING)


@pytest.mark.parametrize("lang", languages())
def test_every_kind_in_a_job_has_a_name(lang: str) -> None:
    words = Words(lang)
    for table, kinds in (
        ("obstacle", m.ObstacleKind),
        ("service", m.ServiceKind),
        ("known_by", m.KnownBy),
        ("use", m.RunUse),
    ):
        assert all(words.word(f"sheets.{table}.{kind}") for kind in get_args(kinds))
    for kind in get_args(m.OutfallKind):
        assert words.word(f"sheets.owner.outfall_{kind.replace(' ', '_').replace('-', '_')}", id="O1")
