"""Pipe sizes: what the catalogue says of a pipe kind and nominal diameter."""

from typing import Literal

from msgspec import Struct

from drainsketch.job.kinds import PipeDiameter, PipeKind
from drainsketch.resources import table


class PipeSize(Struct, frozen=True):
    """The real size of a pipe, in, and the length it is bought in, ft.

    ``flexible``: a coil that can be swept round a gentle turn. ``joint``: 'bell' when each length has its own socket,
    'coupling' when plain ends meet in a coupling.
    """

    inside_in: float
    outside_in: float
    flexible: bool
    joint: Literal["bell", "coupling"]
    stock_ft: float
    source: str

    @property
    def wall_in(self) -> float:
        """Return the wall, corrugation included, in: half of outside less inside."""
        return (self.outside_in - self.inside_in) / 2


def pipe_size(kind: PipeKind, diameter_in: PipeDiameter) -> PipeSize:
    """Return the size of a pipe by kind and nominal diameter (in).

    Raises
    ------
    KeyError : the catalogue has no such pipe; every kind and diameter of the job model is in it

    Notes
    -----
    Source: ``resources/catalogue/pipes.toml``, row by row.
    Check: tests/outside/test_pipe_dimensions.py

    Examples
    --------
    4 in SDR 35 has an outside diameter of 4.215 in and a least wall of 0.120 in (ASTM D3034):

    >>> round(pipe_size("sdr35", 4).wall_in, 3)
    0.12
    """
    row = table("catalogue/pipes.toml")[kind][str(diameter_in)]
    return PipeSize(
        inside_in=row["inside_in"],
        outside_in=row["outside_in"],
        flexible=row["flexible"],
        joint=row["joint"],
        stock_ft=row["stock_ft"],
        source=row["source"],
    )
