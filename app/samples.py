"""The aircraft that come with Bayfold, as they are offered to be opened."""

from __future__ import annotations

from app.widgets.start_page import SampleRow

SOUND, FLAWED = "An aircraft whose gear works", "The same with faults built in, to be found"
SAMPLE_ROWS = (
    SampleRow(id="merrow-t2", words="Merrow T.2", tip=SOUND),
    SampleRow(id="skarn-p9", words="Skarn P.9", tip=SOUND),
    SampleRow(id="pellow-3", words="Pellow 3", tip=SOUND),
    SampleRow(id="merrow-t2-flawed", words="Merrow, flawed", tip=FLAWED),
    SampleRow(id="skarn-p9-flawed", words="Skarn, flawed", tip=FLAWED),
    SampleRow(id="pellow-3-flawed", words="Pellow, flawed", tip=FLAWED),
)
