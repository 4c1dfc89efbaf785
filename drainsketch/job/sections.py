"""What goes into a trench besides the pipe, what is put back over it, and how much more of it is bought than is used."""

from typing import Literal

from drainsketch.job.frozen import Frozen
from drainsketch.job.kinds import Inches, Percent

Lawn = Literal["seed and straw", "sod", "left to the owner"]
Fabric = Literal["none", "over the stone", "round the stone"]
PavedFill = Literal["stone", "native"]
Goods = Literal[
    "pipe",
    "stone",
    "topsoil",
    "sod",
    "seed",
    "straw",
    "fabric",
    "marking tape",
    "base course",
    "asphalt",
    "concrete",
    "pavers",
    "bedding sand",
    "gravel",
    "mulch",
    "splash stone",
]


class Sections(Frozen, frozen=True):
    """The trench in section, by kind. Defaults and their sources: ``resources/catalogue/sections.toml``.

    A drain has stone all round, under a topsoil cap (``Criteria``). Solid pipe lies on ``solid_bed_in`` of stone, with stone up to
    ``solid_over_in`` over its top; None is native earth round it. Under paving the fill reaches up to the base course, and over that the
    paving is put back as thick as here, ``patch_beyond_in`` wider than the trench on each side.
    """

    solid_bed_in: Inches = 0.0
    solid_over_in: Inches | None = None
    paved_fill: PavedFill = "stone"
    base_in: Inches = 6.0
    asphalt_in: Inches = 3.0
    concrete_in: Inches = 4.0
    paver_in: Inches = 2.375
    paver_sand_in: Inches = 1.0
    gravel_in: Inches = 4.0
    patch_beyond_in: Inches = 6.0
    fabric: Fabric = "none"
    fabric_lap_in: Inches = 12.0
    lawn: Lawn = "seed and straw"
    lawn_beyond_in: Inches = 18.0
    marking_tape: bool = True


class WasteRule(Frozen, frozen=True):
    """How much more of some goods is bought than is used, in this job, in place of what is usual (``resources/catalogue/buying.toml``)."""

    goods: Goods
    pct: Percent
