"""Units of drawings against the factors of a general library, and against exact definitions.

Sources: the international foot is 0.3048 m, the US survey foot 1200/3937 m exactly (NIST Special Publication 811).
"""

import pytest
from ezdxf.enums import InsertUnits
from ezdxf.units import conversion_factor

from drainsketch.files.drawing import METERS
from drainsketch.files.drawing_dxf import UNITS


@pytest.mark.parametrize("code", [c for c in UNITS if c != 21])
def test_every_code_is_the_unit_that_the_library_takes_it_for(code: int) -> None:
    factor = conversion_factor(InsertUnits(code), InsertUnits.Feet)
    assert METERS[UNITS[code]] / METERS["ft"] == pytest.approx(factor, rel=1e-8)


def test_the_survey_foot_is_two_millionths_longer() -> None:
    assert UNITS[21] == "survey ft"
    assert METERS["survey ft"] / METERS["ft"] == pytest.approx(1.000002, abs=1e-9)
