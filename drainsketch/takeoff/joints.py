"""Joints: what happens where pipes meet at a fitting, whatever their number."""

from msgspec import Struct

from drainsketch.resources import table
from drainsketch.takeoff.bends import turn_deg
from drainsketch.takeoff.works import PipeEnd


class Arm(Struct, frozen=True):
    """A pipe that arrives at a joint: how far its flow turns into the outgoing pipe, and what bends must make up of that."""

    end: PipeEnd
    turn: float  # degrees, from its flow to the outgoing flow
    to_bend: float  # degrees left to bends: the whole turn, or at a branch what the wye does not take


class Joint(Struct, frozen=True):
    """Pipes that meet: the one that goes out, the one that runs through, and those that come in by a wye each."""

    out: PipeEnd
    through: Arm
    branches: tuple[Arm, ...]

    @property
    def arms(self) -> tuple[Arm, ...]:
        """Return every arriving pipe, the through one first."""
        return (self.through, *self.branches)


def joint_of(ends: tuple[PipeEnd, ...]) -> Joint:
    """Return the joint of two or more pipe ends.

    The widest pipe that leaves goes out (the last one drawn where none leaves); of the others the one that turns least runs
    through, and every other one joins by a 45 degree wye, with bends for what its turn differs from 45 degrees.

    Raises
    ------
    ValueError : fewer than two pipe ends
    """
    if len(ends) < 2:
        raise ValueError("a joint needs two pipe ends")
    leaving = [e for e in ends if e.leaving]
    out = max(leaving, key=lambda e: e.work.run.diameter_in) if leaving else ends[-1]
    arriving = [(e, turn_deg((-e.away[0], -e.away[1]), out.away)) for e in ends if e is not out]
    arriving.sort(key=lambda pair: pair[1])
    wye_deg = table("catalogue/stock.toml")["wye"]["angle_deg"]
    (through, turn), *others = arriving
    return Joint(out, Arm(through, turn, turn), tuple(Arm(e, t, abs(t - wye_deg)) for e, t in others))
