"""How rough a pipe is: Manning's n by kind, use and size."""

from functools import cache

from msgspec import Struct

from drainsketch.job.kinds import PipeDiameter, PipeKind, RunUse
from drainsketch.resources import table


class Roughness(Struct, frozen=True):
    """Manning's n of a pipe, the range met in print, and where it comes from."""

    n: float
    low: float
    high: float
    source: str


@cache
def roughness(kind: PipeKind, diameter_in: PipeDiameter, use: RunUse) -> Roughness:
    """Return the roughness of a pipe by kind, nominal diameter (in) and use; 'drain' is perforated.

    Raises
    ------
    KeyError : the catalogue has no such pipe; every kind, diameter and use of the job model is in it

    Notes
    -----
    Source: ``resources/catalogue/roughness.toml``, row by row. Check: tests/outside/test_pipe_flow.py

    Examples
    --------
    >>> roughness("sdr35", 4, "solid").n
    0.01
    """
    for row in table("catalogue/roughness.toml")["pipe"]:
        if row["kind"] == kind and use in row["uses"] and diameter_in in row["diameters_in"]:
            return Roughness(n=row["n"], low=row["low"], high=row["high"], source=row["source"])
    raise KeyError(kind, diameter_in, use)
