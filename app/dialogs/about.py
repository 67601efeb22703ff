"""What Bayfold is, and the cautions that go with what it is used for."""

from __future__ import annotations

from PySide6.QtWidgets import QWidget

from app.dialogs.frame import Dialog

CAUTIONS = (
    (
        "It checks a drawing, not an aeroplane",
        "Bayfold approves nothing for full-size flight. There, licensed practice and the aviation authority decide.",
    ),
    (
        "Powered undercarriage pinches",
        "Keep fingers out of the bay. Run the first cycles slowly, and with the model held.",
    ),
    (
        "Stored air bursts",
        "Use a rated tank and rated fittings, fit a relief valve, and empty the tank before work.",
    ),
    ("Lithium packs burn", "Charge them attended, and on what does not catch fire."),
    ("Flying models have rules", "They follow the national authority's rules and the code of the club."),
)


class About(Dialog):
    def __init__(self, version: str, parent: QWidget) -> None:
        super().__init__("About Bayfold", parent)
        self.add_text(f"Bayfold {version}", "big")
        self.add_text(
            "A sketchpad for people who build scale aircraft whose undercarriage really works: it moves what is drawn, "
            "and says what touches, jams, hangs loose or falls short, and when.",
        )
        for title, text in CAUTIONS:
            self.add_text(f"<b>{title}.</b> {text}")
        self.add_text("Under the MIT licence. Typeface: B612, under the SIL Open Font Licence.", "soft")
        self.add_button("Close", default=True).clicked.connect(self.accept)
        self.setMinimumWidth(520)
