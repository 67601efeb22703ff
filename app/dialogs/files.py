"""Where an aircraft is, where it goes, and where a strip goes: file dialogs that answer by a call."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path

from PySide6.QtCore import QDir, Qt
from PySide6.QtWidgets import QFileDialog, QWidget

Answer = Callable[[Path], object]
DRAWINGS = ("PDF (*.pdf)", "SVG (*.svg)", "PNG (*.png)")


def where_to_write(folder: Path | None) -> Path:
    """An aircraft's folder for what is written, where there is one yet."""
    if folder is None:
        return Path.home()
    exports = folder / "exports"
    return exports if exports.is_dir() else folder


def ask_to_open(parent: QWidget, start: Path, answer: Answer) -> QFileDialog:
    dialog = _dialog(parent, "Open an aircraft", start)
    dialog.setFileMode(QFileDialog.FileMode.ExistingFile)
    dialog.setNameFilters(["Aircraft (project.json *.bayfold)", "All files (*)"])
    dialog.setLabelText(QFileDialog.DialogLabel.Accept, "Open")
    return _opened(dialog, answer)


def ask_for_folder(parent: QWidget, suggested: Path, answer: Answer) -> QFileDialog:
    """Answers with a folder that need not be there yet: its name is typed, beside the folders that are shown."""
    dialog = _dialog(parent, "Keep the aircraft in a folder of its own", suggested.parent)
    dialog.setAcceptMode(QFileDialog.AcceptMode.AcceptSave)
    # Not FileMode.Directory, which refuses the name of a folder that is still to be made.
    dialog.setFileMode(QFileDialog.FileMode.AnyFile)
    dialog.setOption(QFileDialog.Option.DontConfirmOverwrite)
    dialog.setFilter(QDir.Filter.AllDirs | QDir.Filter.NoDotAndDotDot)
    dialog.setNameFilters(["Folders"])
    dialog.setLabelText(QFileDialog.DialogLabel.FileName, "Folder:")
    dialog.setLabelText(QFileDialog.DialogLabel.FileType, "Shown:")
    dialog.setLabelText(QFileDialog.DialogLabel.LookIn, "Inside:")
    dialog.selectFile(suggested.name)
    dialog.setLabelText(QFileDialog.DialogLabel.Accept, "Save here")
    return _opened(dialog, answer)


def ask_where_to_pack(parent: QWidget, suggested: Path, answer: Answer) -> QFileDialog:
    kinds = ("Packed aircraft (*.bayfold)",)
    dialog = _ask_for_drawing(parent, "Pack the aircraft to one file", kinds, suggested, answer, usual="bayfold")
    dialog.setLabelText(QFileDialog.DialogLabel.Accept, "Pack")
    return dialog


def ask_for_strip(parent: QWidget, suggested: Path, answer: Answer) -> QFileDialog:
    return _ask_for_drawing(parent, "Draw a frame strip", DRAWINGS, suggested, answer)


def ask_for_sweep(parent: QWidget, suggested: Path, answer: Answer) -> QFileDialog:
    return _ask_for_drawing(parent, "Write a sweep", (*DRAWINGS, "Corners (*.csv)"), suggested, answer)


def ask_for_drawing(parent: QWidget, start: Path, answer: Answer) -> QFileDialog:
    words = "Drawings (*.png *.jpg *.jpeg *.tif *.tiff *.webp *.svg *.pdf)"
    return _ask_for_file(parent, "Lay a drawing under the view", words, "Lay it there", start, answer)


def ask_for_outlines(parent: QWidget, start: Path, answer: Answer) -> QFileDialog:
    return _ask_for_file(parent, "Bring in outlines", "Outlines (*.dxf *.svg)", "Bring in", start, answer)


def _ask_for_file(parent: QWidget, title: str, kinds: str, accept: str, start: Path, answer: Answer) -> QFileDialog:
    dialog = _dialog(parent, title, start)
    dialog.setFileMode(QFileDialog.FileMode.ExistingFile)
    dialog.setNameFilters([kinds, "All files (*)"])
    dialog.setLabelText(QFileDialog.DialogLabel.Accept, accept)
    return _opened(dialog, answer)


def ask_for_curves(parent: QWidget, suggested: Path, answer: Answer) -> QFileDialog:
    kinds = ("Table (*.csv)", "SVG (*.svg)", "PNG (*.png)")
    return _ask_for_drawing(parent, "Write the curves", kinds, suggested, answer, usual="csv")


def ask_for_paths(parent: QWidget, suggested: Path, answer: Answer) -> QFileDialog:
    dialog = _ask_for_drawing(parent, "Write the paths", ("Table (*.csv)",), suggested, answer, usual="csv")
    dialog.setLabelText(QFileDialog.DialogLabel.Accept, "Write")
    return dialog


def ask_for_figures(parent: QWidget, suggested: Path, answer: Answer) -> QFileDialog:
    dialog = _ask_for_drawing(parent, "Write the figures", ("Table (*.csv)",), suggested, answer, usual="csv")
    dialog.setLabelText(QFileDialog.DialogLabel.Accept, "Write")
    return dialog


def _ask_for_drawing(
    parent: QWidget, title: str, kinds: Sequence[str], suggested: Path, answer: Answer, *, usual: str = "pdf"
) -> QFileDialog:
    dialog = _dialog(parent, title, suggested.parent)
    dialog.setAcceptMode(QFileDialog.AcceptMode.AcceptSave)
    dialog.setFileMode(QFileDialog.FileMode.AnyFile)
    dialog.setNameFilters(list(kinds))
    dialog.setDefaultSuffix(usual)
    dialog.selectFile(suggested.name)
    dialog.filterSelected.connect(lambda words: dialog.setDefaultSuffix(words.split("*.")[-1].rstrip(")")))
    dialog.setLabelText(QFileDialog.DialogLabel.Accept, "Draw")
    return _opened(dialog, answer)


def _dialog(parent: QWidget, title: str, start: Path) -> QFileDialog:
    dialog = QFileDialog(parent, title, str(start))
    dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
    dialog.setOption(QFileDialog.Option.DontUseNativeDialog)
    return dialog


def _opened(dialog: QFileDialog, answer: Answer) -> QFileDialog:
    dialog.fileSelected.connect(lambda name: answer(Path(name)))
    dialog.open()
    return dialog
