"""Faults of the platform that this program steers clear of, watched for in case they come back."""

from __future__ import annotations

import sys

import pytest
from PySide6.QtGui import QFont, QFontInfo, QFontMetricsF, QRawFont
from PySide6.QtWidgets import QDialog, QWidget

from app.fonts import FAMILY


def test_calls_that_return_nothing_keep_their_reference_to_none(qtbot):
    # PySide6 6.12.0 on Python 3.11 drops one a call, and the process dies after some thousands of calls.
    widget = QWidget()
    qtbot.addWidget(widget)
    before = sys.getrefcount(None)
    for _ in range(200):
        widget.setEnabled(True)
    assert sys.getrefcount(None) > before - 100


def test_shipped_typeface_is_used_and_has_figures_of_one_width(qapp):
    assert QFontInfo(QFont(FAMILY)).family() == FAMILY
    metrics = QFontMetricsF(QFont(FAMILY, 10))
    assert len({metrics.horizontalAdvance(figure) for figure in "0123456789"}) == 1
    raw = QRawFont.fromFont(QFont(FAMILY, 10))
    assert [sign for sign in "°½¼¾⅛⅜←→↑↓↔±×−–²" if not raw.supportsCharacter(ord(sign))] == []


def test_modal_dialog_fails_a_test(qtbot):
    dialog = QDialog()
    qtbot.addWidget(dialog)
    with pytest.raises(pytest.fail.Exception, match="blocks the window"):
        dialog.exec()
