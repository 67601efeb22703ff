"""Strips as files: sizes in millimetres, true scale, the caution, the same file twice, and failures in one line."""

from __future__ import annotations

import os
import re
import stat
import time
import zlib
from pathlib import Path

import numpy as np
import pytest
from PySide6.QtGui import QImage

from app.painting.strip_file import PNG_DPI, write_strip
from core.drawing.strip_words import CAUTION
from core.errors import SenselessRequest
from tests.golden.nose_gear import nose_gear, study_of

pytestmark = pytest.mark.usefixtures("qapp")

PROJECT = nose_gear()
STUDY = study_of(PROJECT)


def write(file: Path, **options: object):
    options.setdefault("frames", 4)
    return write_strip(STUDY, STUDY.sequences[0], file=file, **options)  # type: ignore[arg-type]


def pdf_streams(file: Path) -> str:
    """Every stream that is packed as the PDF standard has it (FlateDecode, ISO 32000-1, 7.4.4), unpacked."""
    found = []
    for packed in re.findall(rb"stream\r?\n(.*?)endstream", file.read_bytes(), re.DOTALL):
        try:
            found.append(zlib.decompress(packed))
        except zlib.error:
            found.append(packed)
    return b"\n".join(found).decode("latin-1")


def test_a_png_has_the_sheets_size_and_says_its_resolution(tmp_path):
    strip = write(tmp_path / "strip.png")
    image = QImage(str(tmp_path / "strip.png"))
    assert image.width() == round(strip.paper.width / 25.4 * PNG_DPI)
    assert image.width() / image.dotsPerMeterX() * 1000 == pytest.approx(strip.paper.width, abs=0.1)


def test_a_png_shows_the_clash_and_only_where_there_is_one(tmp_path):
    def reds(time: float) -> int:
        write(tmp_path / "one.png", times=[time], frames=None)
        image = QImage(str(tmp_path / "one.png")).convertToFormat(QImage.Format.Format_RGB32)
        found = 0
        for row in range(0, image.height(), 3):
            for column in range(0, image.width(), 3):
                colour = image.pixelColor(column, row)
                found += colour.red() > colour.green() + 70 and colour.red() > colour.blue() + 70
        return found

    assert reds(4.0) > reds(0.0) + 100  # the loose door's sign is red in both


def test_an_svg_counts_in_millimetres(tmp_path):
    strip = write(tmp_path / "strip.svg")
    text = (tmp_path / "strip.svg").read_text(encoding="utf-8")
    width, height = strip.paper.width, strip.paper.height
    assert f'width="{width:g}mm" height="{height:g}mm"' in text
    assert f'viewBox="0 0 {width:g} {height:g}"' in text


def test_an_svg_draws_at_the_scale_it_says(tmp_path):
    """Bodies are painted through matrices that take a millimetre of the model to the strip's scale."""
    strip = write(tmp_path / "strip.svg", frames=1)
    text = (tmp_path / "strip.svg").read_text(encoding="utf-8")
    scales = {
        round((float(a) ** 2 + float(b) ** 2) ** 0.5, 4)
        for a, b in re.findall(r'transform="matrix\(([-\d.e]+),([-\d.e]+),', text)
    }
    assert round(strip.scale.ratio, 4) in scales


def test_an_svg_can_be_read_without_being_seen(tmp_path):
    write(tmp_path / "strip.svg", times=[0.0, 4.0], frames=None)
    text = (tmp_path / "strip.svg").read_text(encoding="utf-8")
    assert "<title>Merrow T.2: Retract</title>" in text
    assert "Frame 2 at 4.00 s; Leg up; Leg angle 90°; Clash: Nose leg and Uplock hook, 4 mm." in text


def test_a_pdf_has_the_sheets_true_size(tmp_path):
    """A point is 1/72 of an inch: ISO 32000-1, 8.3.2.3."""
    strip = write(tmp_path / "strip.pdf")
    box = re.search(rb"/MediaBox \[([-\d. ]+)\]", (tmp_path / "strip.pdf").read_bytes())
    assert box is not None
    x0, y0, x1, y1 = (float(part) for part in box[1].split())
    assert (x1 - x0) / 72 * 25.4 == pytest.approx(strip.paper.width, abs=0.2)
    assert (y1 - y0) / 72 * 25.4 == pytest.approx(strip.paper.height, abs=0.2)


def pdf_points(streams: str) -> list[tuple[float, float]]:
    """Every point of every path, in points of the page, by the operators q, Q, cm, m and l (ISO 32000-1, 8)."""
    matrix, kept, numbers, found = np.eye(3), [], [], []
    for token in streams.split():
        if re.fullmatch(r"-?\d+\.?\d*", token):
            numbers.append(float(token))
            continue
        if token == "q":
            kept.append(matrix)
        elif token == "Q" and kept:
            matrix = kept.pop()
        elif token == "cm":
            a, b, c, d, e, f = numbers[-6:]
            matrix = np.array([[a, b, 0.0], [c, d, 0.0], [e, f, 1.0]]) @ matrix
        elif token in ("m", "l"):
            x, y, _ = np.array([*numbers[-2:], 1.0]) @ matrix
            found.append((x, y))
        numbers = []
    return found


def test_a_pdf_draws_its_frame_at_its_true_size(tmp_path):
    """The sheet's frame stands 20 mm from the left edge and 10 from the others (ISO 5457): 257 by 190 mm on A4."""
    strip = write(tmp_path / "strip.pdf")
    points = np.array(pdf_points(pdf_streams(tmp_path / "strip.pdf"))) / 72 * 25.4
    inside = points[(points > 5.0).all(axis=1) & (points[:, 0] < strip.paper.width - 5.0)]
    size = inside.max(axis=0) - inside.min(axis=0)
    assert size == pytest.approx((strip.paper.width - 30.0, strip.paper.height - 20.0), abs=0.002)
    assert inside[:, 0].min() == pytest.approx(20.0, abs=0.002)


@pytest.mark.skipif(not hasattr(time, "tzset"), reason="the time zone cannot be changed here")
@pytest.mark.parametrize("ending", [".png", ".svg", ".pdf"])
def test_the_same_strip_is_the_same_file(tmp_path, ending: str, monkeypatch: pytest.MonkeyPatch):
    write(tmp_path / f"one{ending}", frames=2)
    monkeypatch.setenv("TZ", "Asia/Tokyo")
    time.tzset()
    write(tmp_path / f"two{ending}", frames=2)
    monkeypatch.undo()
    time.tzset()
    assert (tmp_path / f"one{ending}").read_bytes() == (tmp_path / f"two{ending}").read_bytes()


def test_a_pdf_bears_no_date_of_its_own_and_its_table_of_objects_is_right(tmp_path):
    write(tmp_path / "strip.pdf", frames=1)
    data = (tmp_path / "strip.pdf").read_bytes()
    assert set(re.findall(rb"D:(\d{4})", data)) == {b"2000"}
    assert set(re.findall(rb"(\d{4})-\d\d-\d\dT", data)) == {b"2000"}
    table = int(re.search(rb"startxref\n(\d+)", data)[1])
    assert data[table : table + 4] == b"xref"
    for number, at in enumerate(re.findall(rb"(\d{10}) \d{5} n ", data[table:]), 1):
        assert data[int(at) :].startswith(b"%d 0 obj" % number)


def test_endings_may_be_written_in_capitals(tmp_path):
    write(tmp_path / "STRIP.SVG")
    assert (tmp_path / "STRIP.SVG").read_text(encoding="utf-8").startswith("<?xml")


@pytest.mark.parametrize("name", ["strip.gif", "strip", "strip.json"])
def test_other_endings_are_refused(tmp_path, name: str):
    with pytest.raises(SenselessRequest, match=r"\.png, \.svg or \.pdf"):
        write(tmp_path / name)
    assert not list(tmp_path.iterdir())


def test_no_folder_to_write_into_is_said_in_one_line(tmp_path):
    with pytest.raises(OSError, match="there is no folder") as said:
        write(tmp_path / "nowhere" / "strip.svg")
    assert "\n" not in str(said.value)


def test_a_folder_is_not_overwritten(tmp_path):
    (tmp_path / "strip.svg").mkdir()
    with pytest.raises(OSError, match="is a folder"):
        write(tmp_path / "strip.svg")


@pytest.mark.skipif(os.geteuid() == 0, reason="root may write anywhere")
def test_a_folder_that_may_not_be_written_into(tmp_path):
    tmp_path.chmod(stat.S_IRUSR | stat.S_IXUSR)
    with pytest.raises(OSError, match="cannot be written"):
        write(tmp_path / "strip.svg")


def test_what_stood_there_stays_when_writing_fails(tmp_path, monkeypatch: pytest.MonkeyPatch):
    file = tmp_path / "strip.png"
    file.write_bytes(b"the strip of yesterday")
    monkeypatch.setattr(QImage, "save", lambda *_: False)
    with pytest.raises(OSError, match="cannot be written"):
        write(file)
    assert file.read_bytes() == b"the strip of yesterday"
    assert list(tmp_path.iterdir()) == [file]


def test_nothing_is_written_for_senseless_moments(tmp_path):
    with pytest.raises(SenselessRequest):
        write(tmp_path / "strip.svg", times=[99.0], frames=None)
    assert not list(tmp_path.iterdir())


def test_the_caution_is_on_the_paper():
    from core.drawing.strip import lay_out_strip

    strip = lay_out_strip(STUDY, STUDY.sequences[0], frames=1)
    assert any(CAUTION in label.text for label in strip.sheet.labels)
