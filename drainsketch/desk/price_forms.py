"""The forms that the Price pane asks for, over its window."""

from drainsketch.desk.dialogs import Dialogs
from drainsketch.desk.price_desk import PriceDesk
from drainsketch.job.pricing import Extra


class PriceForms:
    """Answers the questions of the Price pane with a form each; files are asked for by the dialogs of the window."""

    def __init__(self, dialogs: Dialogs) -> None:
        self._dialogs = dialogs

    def ask_extra(self, before: Extra | None) -> Extra | None:
        """Ask for a line of the price that no takeoff counts."""
        from drainsketch.desk.panes.extra_form import ExtraForm

        form = ExtraForm(before, self._dialogs.parent)
        return form.read if form.exec() else None

    def edit_terms(self, desk: PriceDesk, first: str = "") -> None:
        """Let the terms of the price be edited; ``first`` is the one that has the keyboard."""
        from drainsketch.desk.panes.terms_form import TermsForm

        TermsForm(desk, self._dialogs, first, self._dialogs.parent).exec()

    def edit_price_book(self, desk: PriceDesk) -> None:
        """Let the whole price book be edited."""
        from drainsketch.desk.panes.price_book import PriceBookForm

        PriceBookForm(desk, self._dialogs, self._dialogs.parent).exec()
