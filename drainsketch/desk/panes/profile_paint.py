"""Painting of a profile: frame and axes, ground, trench, pipe, structures, crossings."""

from collections.abc import Iterator

from msgspec import Struct
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QPainter, QPainterPath, QPen, QPolygonF

from drainsketch.desk.panes.pathway import Leg, Pathway, Post
from drainsketch.desk.panes.scales import Axis, ticks
from drainsketch.desk.panes.signs import paint_sign
from drainsketch.look import INK, PAPER, QUIET, SERVICE_COLORS, SERVICE_LETTERS, STYLES, SYMBOLS, Style
from drainsketch.network.results import Crossing

POST_PX = 7
PINNED = "pinned"
NAMES_PX = 12  # room for the ids over the highest rim
LEAST_HEIGHT_FT = 2.0  # a flat yard is not blown up to fill the strip


class ProfileFrame(Struct, frozen=True):
    """Where on the strip what is painted."""

    room: QRectF
    along: Axis
    up: Axis
    unit_ft: float  # 1 for feet, 3.28 for meters

    @classmethod
    def of(cls, path: Pathway, room: QRectF, unit_ft: float) -> "ProfileFrame":
        """Return the frame that holds all levels of a path with a little air."""
        levels = list(_levels(path))
        low, high = min(levels), max(levels)
        air = max(0.08 * (high - low), (LEAST_HEIGHT_FT - (high - low)) / 2)
        along = Axis(0.0, path.length_ft, room.left() + 14, room.right() - 14)
        return cls(room, along, Axis(low - air, high + air, room.bottom(), room.top() + NAMES_PX), unit_ft)

    @property
    def exaggeration(self) -> float:
        """How much steeper the strip shows slopes than they are."""
        return self.up.px_per_ft / self.along.px_per_ft

    def at(self, station_ft: float, level_ft: float) -> QPointF:
        """Return the place of a station and level."""
        return QPointF(self.along.px(station_ft), self.up.px(level_ft))


def paint_profile(painter: QPainter, path: Pathway, frame: ProfileFrame) -> None:
    """Paint a profile into its frame."""
    _axes(painter, frame)
    painter.save()
    painter.setClipRect(frame.room)
    for leg in path.legs:
        _pipe(painter, leg, frame)
    for leg in path.legs:
        _ground(painter, leg, frame)
    for station_ft, crossing, symbol in path.crossings:
        _crossing(painter, station_ft, crossing, symbol, frame)
    for post in path.posts:
        _post(painter, post, frame)
    painter.restore()
    _names(painter, path, frame)


def _levels(path: Pathway) -> Iterator[float]:
    """Yield every level that has to fit in."""
    for leg in path.legs:
        if len(leg.profile.ground_ft):
            yield float(leg.profile.ground_ft.min())
            yield float(leg.profile.ground_ft.max())
        if leg.grade is not None:
            for invert_ft in (leg.grade.invert_down_ft, leg.grade.invert_up_ft):
                yield invert_ft - leg.grade.bottom_below_invert_ft
                yield invert_ft + leg.grade.top_above_invert_ft
    for post in path.posts:
        if post.levels is not None:
            yield post.levels.rim_ft
    for _, crossing, _ in path.crossings:
        if crossing.service_bottom_ft is not None:
            yield crossing.service_bottom_ft


def _pen(style: Style) -> QPen:
    pen = QPen(QColor(style.stroke or INK), style.width_pt)
    if style.dash_pt:
        pen.setDashPattern([length / style.width_pt for length in style.dash_pt])
    return pen


def _axes(painter: QPainter, frame: ProfileFrame) -> None:
    metrics = QFontMetricsF(painter.font())
    room = frame.room
    for y, text in ticks(frame.up, 17, frame.unit_ft):
        painter.setPen(_pen(STYLES["hair"]))
        painter.drawLine(QPointF(room.left(), y), QPointF(room.right(), y))
        painter.setPen(QColor(QUIET))
        painter.drawText(QPointF(room.left() - metrics.horizontalAdvance(text) - 6, y + metrics.ascent() / 2 - 1), text)
    for x, text in ticks(frame.along, 70, frame.unit_ft):
        painter.setPen(_pen(STYLES["hair"]))
        painter.drawLine(QPointF(x, room.bottom()), QPointF(x, room.bottom() + 4))
        painter.setPen(QColor(QUIET))
        painter.drawText(QPointF(x - metrics.horizontalAdvance(text) / 2, room.bottom() + metrics.ascent() + 4), text)
    painter.setPen(_pen(STYLES["frame"]))
    painter.drawLine(room.bottomLeft(), room.bottomRight())
    painter.setPen(QColor(QUIET))
    unit = "ft" if frame.unit_ft == 1.0 else "m"
    painter.drawText(
        QPointF(room.left() - metrics.horizontalAdvance(unit) - 6, room.bottom() + metrics.ascent() + 4), unit
    )


def _ground(painter: QPainter, leg: Leg, frame: ProfileFrame) -> None:
    """Paint the ground, broken where it is a guess."""
    profile = leg.profile
    points = [
        frame.at(leg.from_ft + float(s), float(g)) for s, g in zip(profile.station_ft, profile.ground_ft, strict=True)
    ]
    guess = [bool(a or b) for a, b in zip(profile.guess, profile.guess[1:], strict=False)]
    start = 0
    for at in range(1, len(guess) + 1):
        if at == len(guess) or guess[at] != guess[start]:
            painter.setPen(_pen(STYLES["ground guess" if guess[start] else "ground line"]))
            painter.drawPolyline(QPolygonF(points[start : at + 1]))
            start = at


def _pipe(painter: QPainter, leg: Leg, frame: ProfileFrame) -> None:
    grade = leg.grade
    if grade is None:
        return
    ends = ((leg.from_ft, grade.invert_down_ft), (leg.from_ft + grade.length_ft, grade.invert_up_ft))
    wall = STYLES["pipe wall"]
    top = [frame.at(s, z + grade.top_above_invert_ft) for s, z in ends]
    bottom = [frame.at(s, z) for s, z in reversed(ends)]
    painter.setPen(_pen(wall))
    painter.setBrush(QColor(wall.fill or PAPER))
    painter.drawPolygon(QPolygonF([*top, *bottom]))
    painter.setPen(_pen(STYLES["trench line"]))
    painter.drawLine(*(frame.at(s, z - grade.bottom_below_invert_ft) for s, z in ends))


def _post(painter: QPainter, post: Post, frame: ProfileFrame) -> None:
    """Paint a structure from its rim to its lowest invert; one without inverts as a tick on the rim."""
    if post.levels is None:
        return
    inverts = [z for _, z in post.levels.inverts_in]
    if post.levels.invert_out_ft is not None:
        inverts.append(post.levels.invert_out_ft)
    top = frame.at(post.at_ft, post.levels.rim_ft)
    bottom = frame.at(post.at_ft, min(inverts, default=post.levels.rim_ft))
    if post.pinned and inverts:
        _pin(painter, bottom, frame)
    painter.setPen(QPen(QColor(INK), 1.2))
    painter.setBrush(QColor(PAPER))
    if post.kind in ("outfall", "fitting"):
        painter.drawEllipse(bottom - QPointF(0, 2), 3.5, 3.5)
        return
    painter.drawRect(QRectF(top.x() - POST_PX / 2, top.y(), POST_PX, max(3.0, bottom.y() - top.y())))
    painter.setPen(QPen(QColor(INK), 2.6))
    painter.drawLine(top - QPointF(POST_PX, 0), top + QPointF(POST_PX, 0))


def _pin(painter: QPainter, invert: QPointF, frame: ProfileFrame) -> None:
    """Paint a pin stuck into an invert that was typed, with a word beside it, on the side where there is room."""
    metrics = QFontMetricsF(painter.font())
    width = metrics.horizontalAdvance(PINNED)
    side = 1 if invert.x() + 16 + width < frame.room.right() else -1
    head = invert + QPointF(side * 11, 7)
    painter.setPen(QPen(QColor(INK), 1.4))
    painter.drawLine(invert, head)
    painter.setBrush(QColor(INK))
    painter.drawEllipse(head, 2.8, 2.8)
    lettering = QPainterPath()
    left = head.x() + 6 if side > 0 else head.x() - 6 - width
    lettering.addText(left, min(head.y() + 4, frame.room.bottom() - 2), painter.font(), PINNED)
    painter.strokePath(lettering, QPen(QColor(PAPER), 3.0))
    painter.fillPath(lettering, QColor(INK))


def _crossing(painter: QPainter, station_ft: float, crossing: Crossing, symbol: str, frame: ProfileFrame) -> None:
    """Paint a service where it crosses; of unknown depth as a broken line from top to bottom."""
    color = QColor(SERVICE_COLORS.get(crossing.other_kind, INK))
    letter = SERVICE_LETTERS.get(crossing.other_kind, "R")
    x = frame.along.px(station_ft)
    metrics = QFontMetricsF(painter.font())
    if crossing.service_top_ft is None or crossing.service_bottom_ft is None:
        painter.setPen(QPen(color, 1.6, Qt.PenStyle.DashLine))
        painter.drawLine(QPointF(x, frame.room.top()), QPointF(x, frame.room.bottom()))
        painter.setPen(QColor(INK))
        words = f"{letter} depth unknown"
        width, away = metrics.horizontalAdvance(words), _flag_px(painter, crossing) / 2 + 3
        left = x + away if x + away + width <= frame.room.right() else x - away - width
        painter.drawText(QPointF(left, frame.room.bottom() - 9), words)
        _flag(painter, QPointF(x, frame.room.bottom() - 13), crossing, symbol)
        return
    top, bottom = frame.up.px(crossing.service_top_ft), frame.up.px(crossing.service_bottom_ft)
    half = max(3.5, (bottom - top) / 2)
    middle = QPointF(x, (top + bottom) / 2)
    painter.setPen(QPen(QColor(INK), 1))
    painter.setBrush(color)
    painter.drawEllipse(middle, max(4.0, min(half, 8.0)), half)
    painter.drawText(QPointF(x + 10, middle.y() + metrics.ascent() / 2 - 1), letter)
    away = 13 + metrics.horizontalAdvance(letter) + _flag_px(painter, crossing) / 2
    _flag(painter, QPointF(x + away if x + 2 * away < frame.room.right() else x - away, middle.y()), crossing, symbol)


def _flag_px(painter: QPainter, crossing: Crossing) -> float:
    return QFontMetricsF(painter.font()).horizontalAdvance(str(crossing.number)) + 17.0


def _flag(painter: QPainter, at: QPointF, crossing: Crossing, symbol: str) -> None:
    """Paint the crossing's flag as it stands on the plan: a diamond with its number."""
    side = _flag_px(painter, crossing)
    ink = SYMBOLS[symbol].ink
    paint_sign(painter, symbol, at, side, ink, PAPER)
    painter.setPen(QColor(ink))
    painter.drawText(
        QRectF(at.x() - side, at.y() - side, 2 * side, 2 * side), Qt.AlignmentFlag.AlignCenter, str(crossing.number)
    )


def _names(painter: QPainter, path: Pathway, frame: ProfileFrame) -> None:
    """Write the structures' ids above their rims, leaving out one that would run into its neighbor."""
    font = painter.font()
    font.setBold(True)
    painter.save()
    painter.setFont(font)
    painter.setPen(QColor(INK))
    metrics = QFontMetricsF(font)
    taken: list[QRectF] = []
    # ends first: they say where the water comes from and goes
    for post in sorted(path.posts, key=lambda p: p not in (path.posts[0], path.posts[-1])):
        if post.levels is None:
            continue
        at = frame.at(post.at_ft, post.levels.rim_ft)
        width = metrics.horizontalAdvance(post.id)
        left = min(max(at.x() - width / 2, frame.room.left()), frame.room.right() - width)
        box = QRectF(left, max(at.y() - metrics.height() - 2, frame.room.top() - 2), width, metrics.height())
        if not any(box.adjusted(-3, 0, 3, 0).intersects(other) for other in taken):
            taken.append(box)
            lettering = QPainterPath()
            lettering.addText(box.left(), box.top() + metrics.ascent(), font, post.id)
            painter.strokePath(lettering, QPen(QColor(PAPER), 3.5))
            painter.fillPath(lettering, QColor(INK))
    painter.restore()
