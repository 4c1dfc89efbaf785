"""What stands in the corner of the plan while a storm is shown: which yard, what time it is, and what the signs mean."""

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen

from drainsketch import look
from drainsketch.desk.fonts import plan_font, plan_metrics
from drainsketch.desk.painter import paint_sign
from drainsketch.desk.storm_paint import OVER, Moment, paint_gauge
from drainsketch.desk.storm_scene import RUNS_CFS
from drainsketch.sheets.marks import Sign

EDGE_PX, PAD_PX, GAP_PX, SIGN_PX = 12.0, 8.0, 14.0, 18.0
TITLE_PT, KEY_PT = 10.0, 8.0
KEYS = (
    ("stands", "stands on the ground"),
    ("over", "runs over it"),
    ("part", "pipe, how full"),
    ("full", "pipe full"),
    ("out", "comes out of a grate"),
)


def paint_clock(p: QPainter, moment: Moment) -> None:
    """Paint the clock and the legend of the storm in the upper left corner of the plan."""
    title, keys = plan_metrics(TITLE_PT, bold=True), plan_metrics(KEY_PT, condensed=True)
    shown = [key for key in KEYS if key[0] in _signs(moment)]
    wide = [SIGN_PX + 5 + keys.horizontalAdvance(text) for _, text in shown]
    width = max(title.horizontalAdvance(moment.title), sum(wide) + GAP_PX * (len(wide) - 1)) + 2 * PAD_PX
    height = title.height() + keys.height() + 2 * PAD_PX
    paper = QColor(look.PAPER)
    paper.setAlpha(230)
    p.setPen(QPen(QColor(look.GRID).darker(112), 1.0))
    p.setBrush(paper)
    p.drawRoundedRect(QRectF(EDGE_PX, EDGE_PX, width, height), 4, 4)
    left, base = EDGE_PX + PAD_PX, EDGE_PX + PAD_PX + title.ascent() - 2
    p.setFont(plan_font(TITLE_PT, bold=True))
    p.setPen(QColor(look.INK))
    p.drawText(QPointF(left, base), moment.title)
    middle = EDGE_PX + PAD_PX + title.height() + keys.height() / 2 + 1
    for (sign, text), room in zip(shown, wide, strict=True):
        _paint_key(p, sign, QPointF(left + SIGN_PX / 2, middle))
        p.setFont(plan_font(KEY_PT, condensed=True))
        p.setPen(QColor(look.QUIET))
        p.drawText(QPointF(left + SIGN_PX + 5, middle + keys.ascent() / 2 - 1), text)
        left += room + GAP_PX


def _signs(moment: Moment) -> tuple[str, ...]:
    """Return which signs are told of: water that comes out of a grate only while some does."""
    if not moment.drained:
        return "stands", "over"
    takes = moment.scene.after.played.takes_cfs[moment.row]
    return "stands", "over", "part", "full", *(("out",) if float(takes.min(initial=0.0)) < -RUNS_CFS else ())


def _paint_key(p: QPainter, sign: str, at: QPointF) -> None:
    if sign in ("part", "full"):
        paint_gauge(p, at, 1.0 if sign == "full" else 0.45, 6.0)
        return
    half = SIGN_PX / 2
    if sign == "out":
        paint_sign(p, Sign(at=(0.0, 0.0), symbol="comes out", owner=""), at.x(), at.y(), 0.6)
        return
    if sign == "stands":
        for n, (_, shade) in enumerate(look.WATER_SHADES[1:]):
            p.fillRect(QRectF(at.x() - half + n * SIGN_PX / 3, at.y() - 5, SIGN_PX / 3, 10), QColor(shade))
        return
    pen = QPen(QColor(OVER.stroke or look.INK), OVER.width_pt)
    pen.setCapStyle(Qt.PenCapStyle.FlatCap)
    pen.setDashPattern([length / OVER.width_pt for length in (5, 3)])
    p.setPen(pen)
    p.drawLine(QPointF(at.x() - half, at.y()), QPointF(at.x() + half, at.y()))
