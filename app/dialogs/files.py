"""Where an aircraft is, where it goes, and where a strip goes: file dialogs that answer by a call."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path

from PySide6.QtCore import QDir, Qt
from PySide6.QtWidgets import QFileDialog, QLineEdit, QWidget

Answer = Callable[[Path], object]


DRAWINGS = ("PDF (*.pdf)", "SVG (*.svg)", "PNG (*.png)")
TABLE = "Table (*.csv)"


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
    return _ask_where_to_write(parent, "Pack the aircraft to one file", "Pack", kinds, suggested, answer)


def ask_for_strip(parent: QWidget, suggested: Path, answer: Answer) -> QFileDialog:
    return _ask_where_to_write(parent, "Draw a frame strip", "Draw", DRAWINGS, suggested, answer)


def ask_for_sweep(parent: QWidget, suggested: Path, answer: Answer) -> QFileDialog:
    kinds = (*DRAWINGS, "Corners (*.csv)")
    return _ask_where_to_write(parent, "Write a sweep", "Write", kinds, suggested, answer)


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
    kinds = (TABLE, "SVG (*.svg)", "PNG (*.png)")
    return _ask_where_to_write(parent, "Write the curves", "Write", kinds, suggested, answer)


def ask_for_paths(parent: QWidget, suggested: Path, answer: Answer) -> QFileDialog:
    return _ask_where_to_write(parent, "Write the paths", "Write", (TABLE,), suggested, answer)


def ask_for_figures(parent: QWidget, suggested: Path, answer: Answer) -> QFileDialog:
    return _ask_where_to_write(parent, "Write the figures", "Write", (TABLE,), suggested, answer)


def _ask_where_to_write(
    parent: QWidget, title: str, accept: str, kinds: Sequence[str], suggested: Path, answer: Answer
) -> QFileDialog:
    dialog = _with_manners(_Writing(parent, title, str(suggested.parent), kinds))
    dialog.selectFile(suggested.name)
    dialog.setLabelText(QFileDialog.DialogLabel.Accept, accept)
    return _opened(dialog, answer)


def _dialog(parent: QWidget, title: str, start: Path) -> QFileDialog:
    return _with_manners(QFileDialog(parent, title, str(start)))


def _with_manners(dialog: QFileDialog) -> QFileDialog:
    dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
    dialog.setOption(QFileDialog.Option.DontUseNativeDialog)
    return dialog


def _opened(dialog: QFileDialog, answer: Answer) -> QFileDialog:
    dialog.fileSelected.connect(lambda name: answer(Path(name)))
    dialog.open()
    return dialog


class _Writing(QFileDialog):
    """Asks for a file of one of a few kinds. A name with another ending, as `rev 1.2`, gets that of the kind chosen."""

    def __init__(self, parent: QWidget, title: str, folder: str, kinds: Sequence[str]) -> None:
        super().__init__(parent, title, folder)
        self.setAcceptMode(QFileDialog.AcceptMode.AcceptSave)
        self.setFileMode(QFileDialog.FileMode.AnyFile)
        self.setNameFilters(list(kinds))
        self.setDefaultSuffix(_ending(kinds[0]))
        self.filterSelected.connect(lambda words: self.setDefaultSuffix(_ending(words)))

    def accept(self) -> None:
        """Before it is asked whether a file may be written over, which has to be about the file that is."""
        (name,) = self.selectedFiles()
        known = name.lower().endswith(tuple(f".{_ending(words)}" for words in self.nameFilters()))
        line = self.findChild(QLineEdit)
        if not known and not Path(name).is_dir() and isinstance(line, QLineEdit):  # selectFile() leaves what is typed
            line.setText(f"{name}.{self.defaultSuffix()}")
        super().accept()


def _ending(words: str) -> str:
    """Of a kind of file as it is offered, `SVG (*.svg)`, the ending without its point."""
    return words.split("*.")[-1].rstrip(")")
