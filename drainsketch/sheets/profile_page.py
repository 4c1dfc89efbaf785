"""The profiles of the crew's set: every line of pipe from the side, to a scale of its own along and up."""

from math import cos, pi, sin
from typing import Any

from reportlab.lib.colors import HexColor
from reportlab.platypus import Flowable, KeepTogether, Spacer

from drainsketch.job.model import Job
from drainsketch.look import QUIET, STYLES
from drainsketch.review import Review
from drainsketch.sheets.axes import FEET_PER_METER, Axis, ticks
from drainsketch.sheets.fonts import NARROW, measure_label, width_of
from drainsketch.sheets.paint import paint_label, paint_line, paint_placed_sign
from drainsketch.sheets.para import QUIET_TEXT, SMALL_STRONG, STRONG, Section, para
from drainsketch.sheets.pathway import Pathway, way_along
from drainsketch.sheets.plan_page import sign_width
from drainsketch.sheets.profile_key import ProfileKey, lettered, paint_letters, paint_strips, strips
from drainsketch.sheets.profile_marks import ProfileMarks, profile_marks
from drainsketch.sheets.profile_picture import Drawn, Oval, Picture, letter, shapes, spots_seen
from drainsketch.sheets.scale import Scale, largest_fit, scales
from drainsketch.sheets.storm_line import with_storm
from drainsketch.water.results import Water
from drainsketch.wording import Words

LEVELS_PT, SIDE_PT, FOOT_PT, TOP_PT = 38.0, 16.0, 18.0, 34.0
MOST_HIGH_PT = 170.0  # of the levels of one profile
STEEPEST = 10.0  # slopes are not shown steeper than this many times
AXIS_PT = 9.0
DOT = 0.75  # pt: a pixel at 96 to the inch
OVAL_CORNERS = 24
WALLS_PT_PER_FT = 30.0  # from here on up the inside of the pipe is drawn too
PIPE = ("pipe wall", "pipe inside", "trench line")
Names = dict[int, list[str]]


def profile_pages(
    job: Job, review: Review, words: Words, width: float, names: Names, storm: Water | None = None
) -> list[Flowable]:
    """Return a profile of each line of pipe that has a length, longest first; [] while there are no grades.

    A line that joins one shown before ends where it joins it: no run is drawn twice.

    Parameters
    ----------
    storm : the water review of this job; its grade line is drawn
    """
    found = [
        way for runs in lines_of_pipe(review) if (way := way_along(review, runs)) is not None and way.length_ft > 0
    ]
    found = found if review.grades else []
    if not found:
        return []
    if storm is not None and storm.lines:
        found = [with_storm(way, storm) for way in found]
    head: list[Flowable] = [
        Section(words.word("sheets.profile.title"), names),
        para(words.word("sheets.profile.note"), QUIET_TEXT),
        *([para(words.word("sheets.profile.storm"), QUIET_TEXT)] if storm is not None and storm.lines else ()),
        para(words.word("sheets.profile.caution"), SMALL_STRONG),
    ]
    marks = [profile_marks(way, review, words) for way in found]
    head += [ProfileKey(marks, words), Spacer(0, 4)]
    story: list[Flowable] = []
    for way, drawn in zip(found, marks, strict=True):
        drawing = ProfileDrawing(way, drawn, width, words)
        about = words.word(
            "sheets.profile.about",
            inlet=way.posts[-1].id,
            outfall=way.posts[0].id,
            length=words.length(way.length_ft),
            along=_said(drawing.along, words),
            up=_said(drawing.up, words),
        )
        story.append(KeepTogether([*head, para(about, STRONG), drawing, Spacer(0, 10)]))
        head = []
    return story


def _said(scale: Scale, words: Words) -> str:
    """Return a scale as it is written in the language of the sheet."""
    return scale.text() if scale.metric else words.word("sheets.scale.feet", feet=scale.ft_per_in)


def lines_of_pipe(review: Review) -> list[tuple[str, ...]]:
    """Return the runs of the lines that together show every run once: the longest path first, then of each what is not yet shown."""
    seen: set[str] = set()
    found = []
    for path in sorted(review.paths, key=lambda p: (-p.length_ft, p.inlet)):
        new = tuple(run_id for run_id in path.run_ids if run_id not in seen)
        if new:
            seen.update(new)
            found.append(new)
    return found


class ProfileDrawing(Flowable):  # type: ignore[misc]
    """One profile, as wide as the column."""

    def __init__(self, path: Pathway, marks: ProfileMarks, width: float, words: Words) -> None:
        super().__init__()
        self._path, self._marks, self._words = path, marks, words
        room = width - LEVELS_PT - 2 * SIDE_PT
        _, low, high = path.extremes
        self._low, self._high = float(low.min()), float(high.max())
        self.along = largest_fit(path.length_ft, 0.0, (room, 1.0), words.units)
        self.up = _up_scale(self._high - self._low, self.along, words)
        self.width = width
        self.height = (self._high - self._low) * self.up.pt_per_ft + FOOT_PT + TOP_PT

    def wrap(self, _width: float, _height: float) -> tuple[float, float]:
        """Return the room it takes, pt."""
        return self.width, self.height

    def draw(self) -> None:
        """Paint it."""
        canvas, picture = self.canv, self._picture()
        x0, y0, x1, y1 = picture.room
        canvas.saveState()
        clip = canvas.beginPath()
        clip.rect(x0, y0, x1 - x0, y1 - y0)
        canvas.clipPath(clip, stroke=0, fill=0)
        self._strokes(picture, "earth")
        canvas.restoreState()
        self._axes(picture)
        canvas.saveState()
        clip = canvas.beginPath()
        clip.rect(x0, y0, x1 - x0, y1 - y0)
        canvas.clipPath(clip, stroke=0, fill=0)
        by_hand = self._by_hand(picture)
        self._strokes(picture, "")
        paint_strips(canvas, by_hand)
        self._strokes(picture, "pipe")
        for shape in shapes(self._marks, picture):
            _paint(canvas, shape)
        for stroke in self._marks.lines:
            paint_line(canvas, [picture.at(p) for p in stroke.points], STYLES[stroke.style])
        for shape in spots_seen(self._marks, picture):
            _paint(canvas, shape)
        letters = lettered(by_hand, self._words.word("sheets.profile.hand_letter"), y0)
        placed = letter(self._marks, picture, sign_width, measure_label, letters.boxes)
        paint_letters(canvas, letters)
        for label in placed.labels:
            paint_label(canvas, label)
        for flag in placed.flags:
            paint_placed_sign(canvas, flag)
        canvas.restoreState()

    def _picture(self) -> Picture:
        left = LEVELS_PT + SIDE_PT
        along = Axis(0.0, self._path.length_ft, left, left + self._path.length_ft * self.along.pt_per_ft)
        up = Axis(self._low, self._high, FOOT_PT + 4.0, FOOT_PT + 4.0 + (self._high - self._low) * self.up.pt_per_ft)
        return Picture(along, up, (LEVELS_PT, FOOT_PT, along.to_px + SIDE_PT, self.height), DOT)

    def _by_hand(self, picture: Picture) -> list[Any]:
        """Return the strips dug by hand, on paper."""
        rings = (s.points for s in self._marks.ground if s.style == "hand-dig zone")
        return strips([picture.at(p) for p in ring] for ring in rings)

    def _strokes(self, picture: Picture, only: str) -> None:
        """Paint the earth alone, or the pipe, or all else that lies in the ground."""
        for stroke in self._marks.ground:
            hidden = stroke.style == "pipe inside" and picture.up.px_per_ft < WALLS_PT_PER_FT
            kind = "earth" if stroke.style == "earth" else "pipe" if stroke.style in PIPE else ""
            if kind == only and not hidden:
                spots = [
                    (x, max(y, picture.room[1])) for x, y in map(picture.at, stroke.points)
                ]  # the earth has no foot
                paint_line(self.canv, spots, STYLES[stroke.style], closed=stroke.closed)

    def _axes(self, picture: Picture) -> None:
        canvas, (x0, y0, x1, y1) = self.canv, picture.room
        unit_ft = FEET_PER_METER if self._words.units == "m" else 1.0
        canvas.setFont(NARROW, AXIS_PT)
        for y, text in ticks(picture.up, AXIS_PT + 4, unit_ft):
            paint_line(canvas, [(x0, y), (x1, y)], STYLES["hair"])
            canvas.setFillColor(HexColor(QUIET))
            canvas.drawRightString(x0 - 4, y - 0.36 * AXIS_PT, text)
        for x, text in ticks(picture.along, 54.0, unit_ft):
            paint_line(canvas, [(x, y0), (x, y0 - 3)], STYLES["frame"])
            canvas.setFillColor(HexColor(QUIET))
            canvas.drawCentredString(x, y0 - 4 - AXIS_PT, text)
        unit = self._words.word(f"sheets.measure.{'m' if unit_ft != 1.0 else 'ft'}")
        canvas.drawString(x0 - 4 - width_of(unit, NARROW, AXIS_PT), y0 - 4 - AXIS_PT, unit)
        paint_line(canvas, [(x1, y0), (x0, y0), (x0, y1)], STYLES["frame"])


def _up_scale(span_ft: float, along: Scale, words: Words) -> Scale:
    """Return the scale of levels: the largest at which they fit, slopes no steeper than so many times what they are."""
    fitting = [
        s
        for s in scales(words.units)
        if span_ft * s.pt_per_ft <= MOST_HIGH_PT and s.pt_per_ft <= STEEPEST * along.pt_per_ft
    ]
    return fitting[0] if fitting else along


def _paint(canvas: Any, shape: Drawn | Oval) -> None:
    if isinstance(shape, Drawn):
        paint_line(canvas, list(shape.points), shape.style, closed=shape.closed)
        return
    (x, y), turns = shape.center, [2 * pi * i / OVAL_CORNERS for i in range(OVAL_CORNERS)]
    corners = [(x + shape.half_width * cos(t), y + shape.half_height * sin(t)) for t in turns]
    paint_line(canvas, corners, shape.style, closed=True)
