"""A row of the findings is told of where it says something else, and then looks as if it had always said that."""

from __future__ import annotations

import pytest
from PySide6.QtGui import QImage
from PySide6.QtWidgets import QListView

from app.painting.theme import DARK, LIGHT, Theme
from app.panels.finding_groups import Group
from app.panels.finding_model import FindingModel
from app.panels.finding_rows import FindingDelegate
from core.document.project import Acceptance
from core.findings.finding import Finding, Kind
from tests.app.window import settle

Rows = tuple[tuple[Group, ...], tuple[str, ...], tuple[str, ...]]
LIVED_WITH = Acceptance(sequence="retract", kind="clash", bodies=("leg", "bay"), amount=1.0, why="It is filed off")


def group(sentence: str, amount: float = 1.0, accepted: Acceptance | None = None) -> Group:
    one = Finding(kind=Kind.CLASH, sequence="retract", sentence=sentence, amount=amount, accepted=accepted)
    return Group((one,))


def rows(*groups: Group) -> Rows:
    return (groups, tuple("at 1, 2 mm" for _ in groups), tuple(f"{one.findings[0].amount} mm" for one in groups))


def told_of(model: FindingModel, said: Rows) -> list[int] | None:
    """The rows that are told of as others, or None where all of them are."""
    found: list[int] = []
    whole: list[bool] = []
    model.dataChanged.connect(lambda first, _last: found.append(first.row()))
    model.modelReset.connect(lambda: whole.append(True))
    model.show(*said)
    model.dataChanged.disconnect()
    model.modelReset.disconnect()
    return None if whole else found


def test_rows_that_say_the_same_are_not_told_of(qapp):
    model = FindingModel()
    low, high, known = group("Low."), group("High."), group("Known.", accepted=LIVED_WITH)
    assert told_of(model, rows(low, high, known)) is None
    assert told_of(model, rows(low, high, known)) == []
    assert told_of(model, rows(group("Low."), group("Higher."), known)) == [1]
    assert told_of(model, rows(low, group("Higher.", amount=2.0), group("Known well.", accepted=LIVED_WITH))) == [1]
    model.fold(False)
    assert told_of(model, rows(low, group("Higher.", amount=2.0), known)) == [3]
    assert told_of(model, rows(low, known)) is None
    assert told_of(model, rows(low, high)) is None, "as many, but none of them is accepted any more"


@pytest.mark.parametrize("theme", [LIGHT, DARK], ids=lambda theme: theme.name)
def test_a_list_that_said_something_else_looks_as_one_that_never_did(qtbot, theme: Theme):
    def listed(*said: Rows) -> QImage:
        model, view = FindingModel(), QListView()
        qtbot.addWidget(view)
        view.setItemDelegate(FindingDelegate(theme, view))
        view.setVerticalScrollMode(QListView.ScrollMode.ScrollPerPixel)
        view.setModel(model)
        view.resize(300, 500)
        view.show()
        for each in said:
            model.show(*each)
            view.grab()
        settle()
        return view.grab().toImage()

    before = rows(group("The leg clips the door."), group("The tyre clips the bay."), group("Third."))
    after = rows(group(f"The leg clips {'the door and ' * 12} the bay.", amount=2.0), *before[0][1:])
    assert listed(before, after) == listed(after)
    assert listed(after, before) == listed(before)
    assert listed(before) != listed(after)


def test_a_finding_is_found_in_its_row_though_it_was_listed_as_less_bad(qapp):
    model = FindingModel()
    known = group("Known.", accepted=LIVED_WITH)
    worse, other = (Finding(kind=Kind.CLASH, sequence=one, sentence="", amount=9.0) for one in ("retract", "steer"))
    model.show(*rows(group("Low.")))
    assert [model.row_of(one) for one in (worse, other, None)] == [0, None, None]
    model.show(*rows(known))
    assert model.row_of(worse) is None, "it is folded away"
    model.fold(False)
    assert model.row_of(worse) == 1
