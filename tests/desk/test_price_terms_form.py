"""The form of the terms: of this job alone or for all jobs, each with where it comes from, all of it taken or nothing."""

from decimal import Decimal

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QComboBox, QDialogButtonBox, QLineEdit

from drainsketch.desk.panes.terms_form import LABELS, TermsForm
from drainsketch.desk.price_desk import PriceDesk
from drainsketch.desk.session import Session
from drainsketch.files.keeping_prices import keep_some_terms
from drainsketch.files.price_terms import own_terms
from drainsketch.job.price_terms import CHOICES, COUNTS, NUMBERS
from drainsketch.job.pricing import Pricing, TermChanges
from tests.desk.at_desk import Answers
from tests.test_review import sample


@pytest.fixture
def desk():
    return PriceDesk(Session(sample("corner-lot")))


def form_of(qtbot, desk: PriceDesk, first: str = "") -> TermsForm:
    form = TermsForm(desk, Answers(), first)
    qtbot.addWidget(form)
    form.show()
    form.activateWindow()
    qtbot.waitUntil(form.isActiveWindow)
    return form


def put(form: TermsForm, name: str, text: str) -> None:
    """Type a term, or choose it with the arrow keys."""
    field = form.fields[name]
    field.setFocus()
    if isinstance(field, QLineEdit):
        field.selectAll()
        QTest.keyClick(field, Qt.Key.Key_Delete)
        QTest.keyClicks(field, text)
        return
    assert isinstance(field, QComboBox)
    wanted = field.findData(text)
    while field.currentIndex() != wanted:
        QTest.keyClick(field, Qt.Key.Key_Down if field.currentIndex() < wanted else Qt.Key.Key_Up)


def ok(form: TermsForm) -> bool:
    """Press OK; return whether it closed."""
    box = form.findChild(QDialogButtonBox)
    assert box is not None
    QTest.mouseClick(box.button(QDialogButtonBox.StandardButton.Ok), Qt.MouseButton.LeftButton)
    return not form.isVisible()


def test_every_term_has_its_field_with_a_name():
    assert set(LABELS) == {*CHOICES, *COUNTS, *NUMBERS}


def test_a_term_of_this_job_is_one_step_that_is_undone(qtbot, desk):
    form = form_of(qtbot, desk, "tax_pct")
    assert form.fields["tax_pct"].hasFocus()
    put(form, "tax_pct", "8.25")
    put(form, "soil", "clay")
    assert form._from["tax_pct"].text() == "this job"
    assert ok(form)
    assert desk.session.job.pricing.terms == TermChanges(tax_pct=8.25, soil="clay")
    assert desk.here.terms.tax_pct == Decimal("8.25")
    assert own_terms() == {}
    desk.session.undo()
    assert desk.session.job.pricing == Pricing()


def test_a_term_for_all_jobs_is_written_and_leaves_the_job(qtbot, desk):
    form = form_of(qtbot, desk)
    QTest.mouseClick(form.scopes["own"], Qt.MouseButton.LeftButton)
    put(form, "overhead_pct", "15%")
    put(form, "crew", "3")
    assert form._from["crew"].text() == "yours"
    assert ok(form)
    assert own_terms() == {"overhead_pct": Decimal(15), "crew": 3}
    assert desk.session.job.pricing == Pricing()
    assert (desk.prices.terms.crew, "crew" in desk.prices.example_terms) == (3, False)


def test_an_empty_field_leaves_the_term_to_what_stands_otherwise(qtbot, desk):
    keep_some_terms({"tax_pct": Decimal("7.5")})
    form = form_of(qtbot, desk)
    assert form.fields["tax_pct"].placeholderText() == "7.5"
    assert form._from["tax_pct"].text() == "yours"
    put(form, "tax_pct", "0")
    assert ok(form)
    assert desk.here.terms.tax_pct == 0
    form = form_of(qtbot, desk)
    put(form, "tax_pct", "")
    assert ok(form)
    assert desk.session.job.pricing == Pricing()
    assert desk.here.terms.tax_pct == Decimal("7.5")


def test_both_scopes_are_taken_together(qtbot, desk):
    form = form_of(qtbot, desk)
    put(form, "valid_days", "14")
    QTest.mouseClick(form.scopes["own"], Qt.MouseButton.LeftButton)
    assert form.fields["valid_days"].text() == ""
    put(form, "valid_days", "60")
    QTest.mouseClick(form.scopes["job"], Qt.MouseButton.LeftButton)
    assert form.fields["valid_days"].text() == "14"
    assert ok(form)
    assert (own_terms(), desk.session.job.pricing.terms.valid_days) == ({"valid_days": 60}, 14)


def test_profit_is_said_both_ways_while_it_is_typed(qtbot, desk):
    form = form_of(qtbot, desk)
    assert form.both.text() == "20% margin on the price = 25% mark-up on cost"
    put(form, "profit_as", "mark-up")
    put(form, "profit_pct", "50")
    assert form.both.text() == "33.333% margin on the price = 50% mark-up on cost"  # 50 / 150
    assert ok(form)
    assert desk.session.job.pricing.terms == TermChanges(profit_as="mark-up", profit_pct=50.0)


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ({"tax_pct": "31"}, "Tax, %: 31 is not from 0 to 30"),
        ({"tax_pct": "six"}, 'Tax, %: "six" is no number'),
        ({"tax_pct": "nan"}, 'Tax, %: "nan" is no number'),
        ({"crew": "2.5"}, "Workers in the crew: 2.5 is not a whole number"),
        ({"crew": "0"}, "Workers in the crew: 0 is not a whole number"),
        ({"profit_pct": "30"}, "Profit as: say the profit as mark-up or as margin"),
        ({"profit_as": "margin"}, "Profit, %: say the profit as mark-up or as margin"),
        ({"profit_as": "margin", "profit_pct": "99"}, "Profit, %: 99 is no margin on the price"),
        ({"round_to": "0.005"}, "Round to whole, $: 0.005 is not from 0.01"),
    ],
)
@pytest.mark.parametrize("scope", ["job", "own"])
def test_what_cannot_be_is_told_and_nothing_is_written(qtbot, desk, scope, typed, said):
    form = form_of(qtbot, desk)
    form.scopes[scope].setChecked(True)
    put(form, "deposit_pct", "10")
    for name, text in typed.items():
        put(form, name, text)
    assert not ok(form)
    assert form.fault.text().startswith(said)
    assert desk.session.job.pricing == Pricing()
    assert own_terms() == {}


def test_cancel_changes_nothing(qtbot, desk):
    form = form_of(qtbot, desk)
    put(form, "tax_pct", "8")
    QTest.keyClick(form, Qt.Key.Key_Escape)
    assert not form.isVisible()
    assert desk.session.job.pricing == Pricing()


def test_escape_asks_before_typed_terms_are_dropped(qtbot, desk):
    form = form_of(qtbot, desk, "tax_pct")
    answers = form._dialogs
    put(form, "tax_pct", "8.25")
    answers.yes = False
    QTest.keyClick(form.fields["tax_pct"], Qt.Key.Key_Escape)
    assert form.isVisible()
    assert form.fields["tax_pct"].text() == "8.25"
    answers.yes = True
    QTest.keyClick(form.fields["tax_pct"], Qt.Key.Key_Escape)
    assert not form.isVisible()
    assert len(answers.asked) == 2


def test_escape_closes_unchanged_terms_at_once(qtbot, desk):
    form = form_of(qtbot, desk, "tax_pct")
    QTest.keyClick(form.fields["tax_pct"], Qt.Key.Key_Escape)
    assert not form.isVisible()
    assert form._dialogs.asked == []
