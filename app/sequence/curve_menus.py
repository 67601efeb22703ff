"""Menus that offer what has a value over time: to add as a curve, or to draw the curves over."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import partial

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QMenu, QWidget

from app.sequence.curve_choice import CurveChoice
from app.sequence.curve_pens import MOST
from app.widgets.plain import plain
from core.curves.points import point_name
from core.curves.quantities import Quantity, Sort
from core.document.project import Project
from core.findings.sentences import Names

SORTS = {
    Sort.DRIVE: "Drives",
    Sort.VALUE: "Connections",
    Sort.GAP: "Gaps of pairs",
    Sort.TRANSMISSION: "How links push",
    Sort.DEAD_CENTRE: "How near to standing in line",
    Sort.TURN: "How bodies turn",
    Sort.WAY: "Way gone by bodies",
    Sort.ACROSS: "Bodies' places across",
    Sort.UP: "Bodies' places upwards",
    Sort.SPEED: "Speeds of bodies",
}


def new_menu(parent: QWidget) -> QMenu:
    menu = QMenu(parent)
    menu.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
    return menu


def offer(menu: QMenu, project: Project, offered: Iterable[Quantity], chosen: Callable[[Quantity], object]) -> None:
    """A part of the menu for each sort that is offered."""
    offered = list(offered)
    for sort, words in SORTS.items():
        mine = [one for one in offered if one.sort is sort]
        if mine:
            part = menu.addMenu(words)
            for one in mine:
                part.addAction(plain(title_of(one, project)), partial(chosen, one))


def tell_left_out(menu: QMenu, left: Iterable[Quantity], choice: CurveChoice) -> None:
    """Rows that nobody can pick: whole sorts of what is not shown yet that are not offered, and why."""
    left = list(left)
    sorts = [
        words
        for sort, words in SORTS.items()
        if (mine := [one for one in left if one.sort is sort]) and not any(map(choice.fits, mine))
    ]
    rows = ["There are two axes, and none is left for:", *sorts] if sorts else []
    for words in [f"No more than {MOST} curves can be told apart"] if choice.is_full else rows:
        menu.addAction(words).setEnabled(False)


def title_of(quantity: Quantity, project: Project) -> str:
    names = Names(project)
    match quantity.sort:
        case Sort.TRANSMISSION:
            return " on ".join(names(one) for one in quantity.of)
        case Sort.GAP:
            return " – ".join(names(one) for one in quantity.of)
        case _ if quantity.at is not None:
            return point_name(project, quantity.of[0], quantity.at)
        case _:
            return names.listed(quantity.of)
