"""What a price costs, and what it costs the Price pane to show it after an edit; prints figures, asserts nothing."""

import os
import tempfile
from collections.abc import Callable
from decimal import Decimal
from functools import partial
from itertools import count
from pathlib import Path
from statistics import median
from time import process_time

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

import platformdirs

from drainsketch.desk.app import application
from drainsketch.desk.panes.price import PricePane
from drainsketch.desk.price_desk import PriceDesk
from drainsketch.desk.session import Session
from drainsketch.files.prices import prices_in_use
from drainsketch.pricing import price_of
from drainsketch.review import analyse
from tests.desk.at_desk import Answers
from tests.test_review import SAMPLES, sample

ROUNDS = 15
TIP = ("tip_ton", "", "", "")


def main() -> None:
    """Print lines, milliseconds of the processor for the price alone, and for the pane from an edit of a price to the table filled."""
    home = Path(tempfile.mkdtemp())
    platformdirs.user_data_path = lambda *_, **__: home
    app = application()
    prices = prices_in_use()
    print(f"{'sample':16} {'lines':>5} {'price ms':>9} {'edit to table ms':>17} {'of it review ms':>16}")
    for name in sorted(SAMPLES):
        review = analyse(sample(name))
        made = price_of(review, prices)
        alone = _median(partial(price_of, review, prices))
        session = Session(review.job)
        pane = PricePane(session, PriceDesk(session), Answers())
        pane.resize(360, 400)
        pane.show()
        app.processEvents()
        figures = (Decimal(n) for n in count(1))
        edit = _median(lambda: pane.desk.set_figure(TIP, "price", next(figures), "dump fee"))  # noqa: B023
        again = _median(partial(analyse, session.job, session.plain_review))
        print(f"{name:16} {len(made.lines):5} {alone * 1e3:9.1f} {edit * 1e3:17.1f} {again * 1e3:16.1f}")
        pane.hide()


def _median(do: Callable[[], object]) -> float:
    took = []
    for _ in range(ROUNDS):
        start = process_time()
        do()
        took.append(process_time() - start)
    return median(took)


if __name__ == "__main__":
    main()
