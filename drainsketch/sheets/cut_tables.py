"""The cut sheets as data: for each run a heading, what is read from what, and rows of words."""

from msgspec import Struct

from drainsketch.ground.chain import rests_on
from drainsketch.ground.readings import setup_label
from drainsketch.job.model import Job, Run
from drainsketch.job.units import format_length, format_off, format_reading
from drainsketch.network.cutsheet import CutMark, CutRow, CutSheet, can_be_read
from drainsketch.network.laid import LaidRun, worst_off
from drainsketch.network.results import Grade
from drainsketch.review import Review, cut_sheet_of
from drainsketch.sheets.pit_schedule import care_words
from drainsketch.sheets.schedules import NONE, pipe_words
from drainsketch.sheets.text import LABEL_LENGTH, plain
from drainsketch.wording import Words

MOST_MARKS = 8  # benchmarks named on a sheet
COLUMNS = ("station", "what", "ground", "invert", "cut", "cut_in", "pipe", "bottom", "laid")
BUILT = ("station", "what", "plan", "measured", "off", "verdict")


class CutTable(Struct, frozen=True):
    """One run. ``rows`` hold a cell for each of ``heads``; ``height`` says what is read from what, ``notes`` stand under it."""

    title: str
    about: str
    height: str
    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    notes: tuple[str, ...]


def cut_tables(job: Job, review: Review, words: Words) -> tuple[CutTable, ...]:
    """Return the cut sheet of every run that has a grade, upstream to downstream."""
    runs = {r.id: r for r in job.runs}
    found = []
    for flow in review.network.runs:
        sheet = cut_sheet_of(review, flow.id)
        if sheet is not None:
            found.append(_cut_table(runs[flow.id], flow.upstream, flow.downstream, sheet, review, words))
    return tuple(found)


def without_sheet(review: Review) -> tuple[str, ...]:
    """Return the runs whose pipe has levels, but none it can be dug to: they get no cut sheet."""
    workable = review.workable
    return tuple(flow.id for flow in review.network.runs if flow.id in review.grades and flow.id not in workable)


def _cut_table(run: Run, upstream: str, downstream: str, sheet: CutSheet, review: Review, words: Words) -> CutTable:
    laying = review.laying
    metric = words.units == "m"
    line = "string" if laying.instrument == "string line" else "level"
    kept = [c for c in COLUMNS if not (metric and c == "cut_in")]
    heads = {c: words.word(f"sheets.cut.{c}") for c in kept if c != "cut"}
    heads["cut"] = words.word("sheets.cut.cut_m" if metric else "sheets.cut.cut_ft")
    heads["pipe"] = words.word(f"sheets.cut.pipe_{line}")
    heads["bottom"] = words.word(f"sheets.cut.bottom_{line}")
    shot = _shot(sheet, review)
    rows = tuple(
        tuple(_cells(row, shot.get(round(row.station_ft, 2)), metric, words)[c] for c in kept) for row in sheet.rows
    )
    return CutTable(
        title=words.word("sheets.cut.run", run=words.name(run.id)),
        about=" ".join(
            (
                words.word(
                    "sheets.cut.about",
                    upstream=upstream,
                    downstream=downstream,
                    pipe=pipe_words(run, words),
                    length=words.length(sheet.grade.length_ft),
                    slope=slope_words(sheet, words),
                ),
                words.word("sheets.cut.below", below=thousandths(sheet.grade.bottom_below_invert_ft, words)),
            )
        ),
        height=height_words(sheet.grade, review, words),
        heads=tuple(heads[c] for c in kept),
        rows=rows,
        notes=(*_pit_notes(downstream, review, words), *_notes(sheet, words)),
    )


def thousandths(feet: float, words: Words) -> str:
    """Return a small height to the thousandth, so that whoever reckons with it stays within a hundredth: ``0.018 ft``."""
    return words.measure(f"{feet * 0.3048:.3f} m" if words.units == "m" else f"{feet:.3f} ft")


def _shot(sheet: CutSheet, review: Review) -> dict[float, float]:
    """Return what was read on the laid pipe by station, as it would read from the height that stands on the sheet."""
    laid = review.laid.get(sheet.run_id)
    if laid is None or sheet.height_ft is None:
        return {}
    top = sheet.grade.top_above_invert_ft if sheet.rod_on == "top of pipe" else 0.0
    return {round(p.station_ft, 2): sheet.height_ft - p.invert_ft - top for p in laid.points}


def slope_words(sheet: CutSheet, words: Words) -> str:
    """Return the slope of a run, leg by leg from the downstream end where it changes."""
    return ", ".join(words.slope(slope) for _, slope in sheet.grade.legs)


def height_words(grade: Grade, review: Review, words: Words) -> str:
    """Return what every reading is taken from and what the rod or tape stands on; without a height how to reckon both readings."""
    laying = review.laying
    line = "string" if laying.instrument == "string line" else "level"
    stands = words.word(f"sheets.cut.rod_on.{'invert' if laying.rod_on == 'invert' else 'top'}")
    if laying.height_ft is None:
        above, below = grade.top_above_invert_ft, thousandths(grade.bottom_below_invert_ft, words)
        on_top = laying.rod_on == "top of pipe"
        top = words.word("sheets.cut.less_top", by=thousandths(above, words)) if on_top else ""
        return words.word(f"sheets.cut.no_height_{line}", stands=stands, top=top, below=below)
    return words.word(f"sheets.cut.height_{line}", height=words.level(laying.height_ft), stands=stands)


def benchmark_words(review: Review, words: Words) -> str:
    """Return the benchmarks of the level book with their levels in the units of the sheet; without any what the job says of its own."""
    unit = words.word(f"sheets.measure.{'m' if words.units == 'm' else 'ft'}")
    marks = [f"{plain(b.name, LABEL_LENGTH)} {words.level(b.elevation_ft)}" for b in review.job.book.benchmarks]
    if marks:
        rest = len(marks) - MOST_MARKS
        said = marks[:MOST_MARKS] + ([words.word("sheets.cut.more", count=rest)] if rest > 0 else [])
        return words.word("sheets.cut.benchmarks", unit=unit, marks="; ".join(said))
    typed = plain(review.job.header.benchmark, LABEL_LENGTH)
    return words.word("sheets.cut.benchmark_typed", benchmark=typed, unit=unit) if typed else ""


def mark_words(marks: tuple[CutMark, ...], words: Words) -> str:
    """Return what stands at a station, '' at a plain one."""
    said = {"bend": "bend", "grade break": "grade_break", "ground break": "ground_break", "crossing": "crossing"}
    return ", ".join(
        m.name if m.kind == "structure" else words.word(f"sheets.cut.mark.{said[m.kind]}", name=m.name).strip()
        for m in marks
        if m.kind != "station"
    )


def _cells(row: CutRow, laid_ft: float | None, metric: bool, words: Words) -> dict[str, str]:
    pipe, bottom = (_to_read(z, words) for z in (row.reading_ft, row.bottom_reading_ft))
    if _is_starred(row):
        pipe += " *"
    return {
        "station": words.length(row.station_ft),
        "what": mark_words(row.marks, words),
        "ground": ("≈" if row.guess else "") + words.level(row.ground_ft),
        "invert": words.level(row.invert_ft),
        "cut": words.length(row.cut_ft) if metric else f"{row.cut_ft:.2f}",
        "cut_in": format_length(row.cut_ft, "ft-in"),
        "pipe": pipe,
        "bottom": bottom,
        "laid": "" if laid_ft is None else _reading(laid_ft, words),
    }


def _is_starred(row: CutRow) -> bool:
    return row.is_close and row.reading_ft is not None and can_be_read(row.reading_ft)


def _to_read(feet: float | None, words: Words) -> str:
    if feet is None:
        return ""
    return _reading(feet, words) if can_be_read(feet) else words.word("sheets.cut.set_up")


def _reading(feet: float, words: Words) -> str:
    return words.measure(format_reading(feet, words.units))


def _pit_notes(downstream: str, review: Review, words: Words) -> tuple[str, ...]:
    """Return how deep the pit is that a run ends in, which is deeper than its trench."""
    pit = review.pits.get(downstream)
    if pit is None or pit.floor_ft is None or pit.dug_ft is None:
        return ()
    said = words.word(
        "sheets.cut.pit",
        well=words.name(downstream),
        length=pit.length_ft,
        width=pit.width_ft,
        floor=pit.floor_ft,
        depth=pit.dug_ft,
        care=care_words(pit, words),
    )
    return (said,)


def _notes(sheet: CutSheet, words: Words) -> tuple[str, ...]:
    said = []
    if any(map(_is_starred, sheet.rows)):
        said.append(words.word("sheets.cut.close", slope=slope_words(sheet, words)))
    if any(row.trouble for row in sheet.rows):
        said.append(words.word("sheets.cut.trouble"))
    return tuple(said)


def built_tables(job: Job, review: Review, words: Words) -> tuple[CutTable, ...]:
    """Return every run that was shot as laid: measured inverts against the plan, verdict, and where water would stand."""
    runs = {r.id: r for r in job.runs}
    flows = {f.id: f for f in review.network.runs}
    found = []
    for laid in review.laid.values():
        sheet = cut_sheet_of(review, laid.run_id, laid=True)
        if not laid.points or sheet is None:
            continue
        flow = flows[laid.run_id]
        found.append(
            CutTable(
                title=words.word("sheets.built.run", run=words.name(laid.run_id)),
                about=" ".join(
                    (
                        words.word(
                            "sheets.cut.about",
                            upstream=flow.upstream,
                            downstream=flow.downstream,
                            pipe=pipe_words(runs[laid.run_id], words),
                            length=words.length(flow.length_ft),
                            slope=slope_words(sheet, words),
                        ),
                        *read_from(review, laid, words),
                    )
                ),
                height=verdict_sentence(laid, words),
                heads=tuple(words.word(f"sheets.built.{c}") for c in BUILT),
                rows=_built_rows(laid, sheet, words),
                notes=tuple(_belly_notes(laid, words)),
            )
        )
    return tuple(found)


def verdict_sentence(laid: LaidRun, words: Words) -> str:
    """Return the verdict on a run in a sentence."""
    key = laid.verdict.replace(" ", "_")
    if laid.verdict == "lay again":
        sides = {p.off_ft > 0 for p in worst_off(laid)}
        key = {frozenset(): key, frozenset({False}): "low", frozenset({True}): "high"}.get(frozenset(sides), "low_high")
    return words.word(f"sheets.built.verdict_{key}", count=len(laid.lacking))


def read_from(review: Review, laid: LaidRun, words: Words) -> tuple[str, ...]:
    """Return a sentence for each height that a run was read from: HI or string, its setup, and the benchmark it comes from."""
    shot = {p.reading for p in laid.points}
    used = dict.fromkeys((r.setup, r.height_ft) for r in review.laying.readings if r.id in shot)
    return tuple(_height_source(review, setup, height, words) for setup, height in used if height is not None)


def _height_source(review: Review, setup_id: str | None, height_ft: float, words: Words) -> str:
    book, height = review.job.book, words.level(height_ft)
    number = next((i for i, s in enumerate(book.setups) if s.id == setup_id), None)
    rests = rests_on(book, number) if number is not None else None
    if number is None or rests is None:
        line = "string" if review.laying.instrument == "string line" else "level"
        mark = plain(review.job.header.benchmark, LABEL_LENGTH)
        said = [words.word(f"sheets.built.from_{line}", height=height)]
        return " ".join([*said, words.word("sheets.built.benchmark", benchmark=mark)] if mark else said)
    line = "string" if book.setups[number].instrument == "string line" else "level"
    at, benchmark = rests
    return words.word(
        f"sheets.built.from_{line}_setup",
        height=height,
        setup=setup_label(book, number),
        at=plain(at, LABEL_LENGTH),
        benchmark=plain(benchmark.name, LABEL_LENGTH),
        level=words.level(benchmark.elevation_ft),
    )


def _built_rows(laid: LaidRun, sheet: CutSheet, words: Words) -> tuple[tuple[str, ...], ...]:
    rows = []
    for p in laid.points:
        row = min(sheet.rows, key=lambda r: abs(r.station_ft - p.station_ft))
        same = abs(row.station_ft - p.station_ft) < 0.05
        size = words.measure(format_off(p.off_ft, words.units))
        nothing = size.split(" ")[0] in ("0", "0.00")
        off = words.word("sheets.built.on_plan") if nothing else ""
        off = off or words.word(f"sheets.built.{'high' if p.off_ft > 0 else 'low'}", size=size)
        rows.append(
            (
                words.length(p.station_ft),
                mark_words(row.marks, words) if same else "",
                words.level(p.plan_ft),
                words.level(p.invert_ft),
                off,
                words.word(f"sheets.built.{'ok' if p.ok else 'do_high' if p.off_ft > 0 else 'do_low'}"),
            )
        )
    return tuple(rows)


def _belly_notes(laid: LaidRun, words: Words) -> list[str]:
    said = [
        words.word(
            "sheets.built.belly",
            depth=words.inches(b.depth_ft * 12),
            low=words.length(b.low_ft),
            begin=words.length(b.from_ft),
            end=words.length(b.to_ft),
            lip=words.name(b.lip) or NONE,
            lip_station=words.length(b.lip_station_ft),
        )
        for b in laid.bellies
    ]
    said += [
        words.word(
            "sheets.built.back_fall",
            up=words.length(b.up_ft),
            down=words.length(b.down_ft),
            rise=words.inches(b.rise_ft * 12),
        )
        for b in laid.back_falls
    ]
    return said
