"""What the window remembers comes back with its type, and what is gone is left out."""

from pathlib import Path

from PySide6.QtCore import QByteArray, QSettings

from app.settings import RECENT_KEPT, Look, Settings


def settings_at(folder: Path) -> Settings:
    """Read from disk anew, as after a restart: Qt then gives text back for everything."""
    return Settings(QSettings(str(folder / "kept.ini"), QSettings.Format.IniFormat))


def aircraft(folder: Path, name: str) -> Path:
    (folder / name).mkdir()
    (folder / name / "project.json").write_text("{}")
    return folder / name


def test_values_come_back_with_their_types_after_a_restart(tmp_path: Path):
    first = settings_at(tmp_path)
    first.look = Look.DARK
    first.keep_flag("ghosts", False)
    first.keep_layout("across", QByteArray(b"\x00\x01\xff"))
    first._store.sync()
    again = settings_at(tmp_path)
    assert again.look is Look.DARK
    assert again.flag("ghosts", True) is False, "and not the text 'false', which is true"
    assert again.layout("across") == QByteArray(b"\x00\x01\xff")


def test_what_was_never_kept_is_as_it_is_by_default(tmp_path: Path):
    settings = settings_at(tmp_path)
    assert settings.look is Look.SYSTEM
    assert settings.flag("names", False) is False
    assert settings.layout("window").isEmpty()
    assert settings.recent == ()


def test_a_look_that_is_not_known_is_the_desktops(tmp_path: Path):
    (tmp_path / "kept.ini").write_text("[window]\nlook=sepia\n")
    assert settings_at(tmp_path).look is Look.SYSTEM


def test_recent_aircraft_the_newest_first_and_each_once(tmp_path: Path):
    settings = settings_at(tmp_path)
    names = [f"a{number}" for number in range(RECENT_KEPT + 2)]
    for name in names:
        settings.remember(aircraft(tmp_path, name))
    settings.remember(tmp_path / "a3")
    settings._store.sync()
    kept = [folder.name for folder in settings_at(tmp_path).recent]
    assert len(kept) == RECENT_KEPT
    assert kept[:2] == ["a3", names[-1]]
    assert len(set(kept)) == len(kept)


def test_one_recent_aircraft_is_still_a_list_after_a_restart(tmp_path: Path):
    settings = settings_at(tmp_path)
    settings.remember(aircraft(tmp_path, "only"))
    settings._store.sync()
    assert [folder.name for folder in settings_at(tmp_path).recent] == ["only"]


def test_aircraft_that_have_gone_from_the_disk_are_left_out(tmp_path: Path):
    settings = settings_at(tmp_path)
    folder = aircraft(tmp_path, "gone")
    settings.remember(folder)
    (folder / "project.json").unlink()
    assert settings.recent == ()
