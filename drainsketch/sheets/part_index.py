"""The index of a plan in parts: which sheet shows which runs and structures."""

from drainsketch.sheets.marks import Stroke
from drainsketch.sheets.parts import touches
from drainsketch.sheets.plan_page import Scene
from drainsketch.sheets.schedules import NONE, Schedule, schedule_columns
from drainsketch.wording import Words


def part_index(scenes: tuple[Scene, ...], words: Words, reader: str) -> Schedule:
    """Return the table of the parts of a plan, which are the first sheets of their set."""
    letter = words.word(f"sheets.letter.{reader}")
    rows = []
    for i, scene in enumerate(scenes, start=1):
        part = scene.sheet.part
        assert part is not None
        pipe = (m for m in scene.marks.drains if isinstance(m, Stroke) and m.style.startswith("run."))
        runs = dict.fromkeys(m.owner for m in pipe if touches(m, part.extent))
        structures = dict.fromkeys(
            label.owner for label in scene.marks.labels if label.lettering.startswith("structure")
        )
        rows.append((f"{letter}-{i}", part.name, ", ".join(runs) or NONE, ", ".join(structures) or NONE))
    columns = (("sheet", 0.5, False), ("part", 0.5, False), ("runs", 2.5, False), ("structures", 2.5, False))
    return Schedule(
        words.word("sheets.parts.title"),
        schedule_columns(words, "parts", *columns),
        tuple(rows),
        words.word("sheets.parts.note"),
    )
