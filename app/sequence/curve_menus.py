"""Menus that offer what has a value over time: to add as a curve, or to draw the curves over."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import partial

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QMenu, QWidget

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
    offered, names = list(offered), Names(project)
    for sort, words in SORTS.items():
        mine = [one for one in offered if one.sort is sort]
        if mine:
            part = menu.addMenu(words)
            for one in mine:
                part.addAction(title_of(one, names).replace("&", "&&"), partial(chosen, one))


def title_of(quantity: Quantity, names: Names) -> str:
    match quantity.sort:
        case Sort.TRANSMISSION:
            return " on ".join(names(one) for one in quantity.of)
        case Sort.GAP:
            return " – ".join(names(one) for one in quantity.of)
        case _:
            return names.listed(quantity.of)
