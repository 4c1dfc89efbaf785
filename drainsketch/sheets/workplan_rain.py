"""Rain and safety for the crew: what to close first, where water gathers in what is open, and who looks at the walls."""

from reportlab.platypus import CondPageBreak, Flowable

from drainsketch.sheets.contents import Contents
from drainsketch.sheets.para import SMALL, SMALL_STRONG, STRONG, Section, para, schedule_flowables
from drainsketch.sheets.schedules import Column, Schedule
from drainsketch.sheets.workplan_pages import stopped
from drainsketch.takeoff.workplan.saying import RAIN, Sayings
from drainsketch.wording import Words

LOUD = ("walls", "depth", "law")
Names = dict[int, list[str]]


def rain_pages(contents: Contents, words: Words, width: float, names: Names) -> list[Flowable]:
    """Return what to do when rain comes, and the low end of every stretch; [] where no trench is planned."""
    plan = contents.work
    if plan is None or plan.wettest is None:
        return []
    say = Sayings(words)
    first, *others = say.rain(plan)
    schedule = low_ends(contents, words)
    return [
        CondPageBreak(200),
        Section(say.word("sheet.rain"), names),
        *(para(" ".join(say.note(note)), STRONG) for note in stopped(plan)),
        para(first, STRONG),
        *(para(said, SMALL_STRONG if RAIN[i] in LOUD else SMALL) for i, said in enumerate(others)),
        *schedule_flowables(schedule, width, names),
    ]


def low_ends(contents: Contents, words: Words) -> Schedule:
    """Return the table of what lies open each day and where water gathers in it."""
    plan, say = contents.work, Sayings(words)
    assert plan is not None
    flows = {f.id: f for f in contents.review.network.runs}
    rows = []
    for stretch in plan.stretches:
        day = str(stretch.opened) if stretch.opened == stretch.closed else f"{stretch.opened}–{stretch.closed}"
        below = flows[stretch.run_id].downstream
        is_out = below in contents.review.network.outfalls
        low = f"{words.length(stretch.from_ft)}, {words.level(stretch.low_bottom_ft)}"
        span = say.word("span", run=stretch.run_id, from_ft=stretch.from_ft, to_ft=stretch.to_ft)
        goes = say.word("rain.to_outfall" if is_out else "rain.to_next", name=words.name(below))
        rows.append((day, span, words.length(stretch.length_ft), words.length(stretch.deepest_ft), low, goes))
    columns = tuple(
        Column(say.word(f"rain.{key}"), share, right)
        for key, share, right in (
            ("day", 0.6, True),
            ("where", 2.4, False),
            ("feet", 1.1, True),
            ("deepest", 1.1, True),
            ("low", 1.8, True),
            ("leaves", 1.8, False),
        )
    )
    return Schedule(say.word("rain.title"), columns, tuple(rows), "", has_ids=False)
