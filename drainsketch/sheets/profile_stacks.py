"""Structures seen from the side: body, risers, grate, sump and bed of a basin, the riser of the others."""

from msgspec import Struct

from drainsketch.resources import table
from drainsketch.sheets.pathway import Post
from drainsketch.takeoff.stacks import Stack, risers_of

RISER_IN = 4.5  # outside of the pipe a cleanout or downspout comes up in: common practice, no source


class Layer(Struct, frozen=True):
    """A part of a structure between two levels, ft, and how much wider it is than the structure, ft in all."""

    bottom_ft: float
    top_ft: float
    style: str
    wider_ft: float = 0.0


class Column(Struct, frozen=True):
    """A structure at its station: its width, its parts from the bottom up, and the level of its grate or lid, ft.

    Without parts it is a joint in the pipe, at ``top_ft``.
    """

    at_ft: float
    width_ft: float
    layers: tuple[Layer, ...]
    top_ft: float
    owner: str
    grate: bool = False


def column_of(post: Post) -> Column | None:
    """Return how a structure looks from the side; None where no pipe at it has a level."""
    lowest = post.lowest_ft
    if post.levels is None or lowest is None:
        return None
    if post.stack is not None:
        return _basin(post, post.stack)
    rim_ft = post.levels.rim_ft
    if post.kind in ("basin", "cleanout", "downspout inlet") or post.structure.outfall == "pop-up":
        riser = Layer(lowest, max(rim_ft, lowest + 0.1), "basin wall")
        return Column(post.at_ft, RISER_IN / 12, (riser,), rim_ft, post.id)
    return Column(post.at_ft, RISER_IN / 12, (), lowest, post.id)


def _basin(post: Post, stack: Stack) -> Column:
    work_ft: float = table("catalogue/stock.toml")["basin"]["work_room_in"] / 12
    body_top_ft = min(stack.top_ft, stack.body_top_ft)
    layers = [
        Layer(stack.dig_to_ft, stack.bottom_ft, "stone band", work_ft),
        Layer(stack.bottom_ft, body_top_ft, "basin wall"),
        Layer(stack.bottom_ft, min(stack.lowest_invert_ft, body_top_ft), "basin sump"),
        *(Layer(low, high, "basin wall") for low, high in risers_of(stack)),
    ]
    return Column(post.at_ft, stack.body.size_in / 12, tuple(layers), stack.top_ft, post.id, grate=True)
