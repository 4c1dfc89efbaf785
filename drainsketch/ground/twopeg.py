"""The two-peg check: how far the line of sight is off level."""

from msgspec import Struct

from drainsketch.job.levelling import TwoPeg

MIDWAY = (0.5, 0.5)  # distances to pegs A and B as shares of the distance between them
NEAR_A = (0.0, 1.0)
PEGS_FT = 0.005 / 0.3048  # 5 mm over pegs some 40 m (130 ft) apart: site survey course notes on the two-peg check


class PegError(Struct, frozen=True):
    """``per_length_ft``: how much too high the level reads over the unit of the distances; the second readings corrected."""

    per_length_ft: float
    second_a_ft: float
    second_b_ft: float

    @property
    def reads_true(self) -> bool:
        """Whether the error from peg to peg can be put up with; for distances taken as shares of that between the pegs."""
        return abs(self.per_length_ft) <= PEGS_FT


def two_peg_error(
    first: tuple[float, float],
    second: tuple[float, float],
    first_at: tuple[float, float] = MIDWAY,
    second_at: tuple[float, float] = NEAR_A,
) -> PegError:
    """Return the collimation error and the second pair of readings freed of it.

    Parameters
    ----------
    first, second : readings on peg A and peg B from two standings, ft
    first_at, second_at : distances from each standing to A and B, both in one unit of length

    Raises
    ------
    ValueError : both standings are as much nearer to one peg than to the other, so the error does not show

    Notes
    -----
    With an error ``e`` for each unit of distance, ``(B - A) - e (b - a)`` is the true difference from either standing.

    Source: Ghilani and Wolf, Elementary Surveying, section 4.15.5. Check: tests/outside/test_levelling.py.
    """
    unlike = (second_at[1] - second_at[0]) - (first_at[1] - first_at[0])
    if abs(unlike) < 1e-9:
        raise ValueError("both standings see the pegs alike; stand nearer to one of them the second time")
    error = ((second[1] - second[0]) - (first[1] - first[0])) / unlike
    return PegError(error, second[0] - error * second_at[0], second[1] - error * second_at[1])


def peg_error(check: TwoPeg) -> PegError:
    """Return the error over the distance between the pegs: midway first, then close to A, where A's reading is taken as true.

    Check: tests/outside/test_levelling.py.
    """
    return two_peg_error((check.middle_a_ft, check.middle_b_ft), (check.near_a_ft, check.near_b_ft))
