"""The shell of the app: where its pages are, how it starts, which look it has."""

import sys
import tomllib
import xml.etree.ElementTree as ET
from pathlib import Path
from typing import Any

import pytest

import estimator
from estimator.pictures.base.look import DARK, LIGHT, Colours
from estimator.ui.shell import launch as shell
from estimator.ui.shell.launch import build_command
from estimator.ui.shell.navigation import ICON, IMPRINT, PAGES, find_pages_folder

UI = Path(estimator.__file__).parent / "ui" / "shell"
STATIC = UI / "static"


def _read_config() -> dict[str, Any]:
    with (UI / ".streamlit" / "config.toml").open("rb") as file:
        return tomllib.load(file)


class TestCommand:
    def test_it_runs_streamlit_of_this_python_on_the_entry_script(self) -> None:
        command = build_command(None)
        assert command[:5] == (sys.executable, "-P", "-m", "streamlit", "run")
        assert Path(command[5]) == UI / "entry.py"

    def test_the_script_is_an_absolute_path(self) -> None:
        assert Path(build_command(None)[5]).is_absolute()

    def test_the_port_is_passed_on(self) -> None:
        assert "--server.port=8777" in build_command(8777)

    def test_without_a_port_streamlit_chooses(self) -> None:
        assert not [part for part in build_command(None) if "server.port" in part]

    def test_extra_options_are_passed_on(self) -> None:
        assert "--server.headless=true" in build_command(None, ("--server.headless=true",))

    @pytest.mark.parametrize("extra", ["--server.address=0.0.0.0", "--browser.gatherUsageStats=true"])
    def test_extra_options_cannot_open_the_app_to_others(self, extra: str) -> None:
        name = extra.partition("=")[0]
        last = [part for part in build_command(None, (extra,)) if part.startswith(name)][-1]
        assert last in {"--server.address=127.0.0.1", "--browser.gatherUsageStats=false"}

    def test_the_exit_code_of_the_app_is_handed_on(self, monkeypatch: pytest.MonkeyPatch) -> None:
        monkeypatch.setattr(shell, "build_command", lambda *_: (sys.executable, "-c", "raise SystemExit(3)"))
        assert shell.launch(None) == 3

    def test_arguments_of_the_script_stay_last(self) -> None:
        assert build_command(None, ("--server.headless=true", "--", "case.toml"))[-2:] == ("--", "case.toml")


class TestPages:
    def test_a_wheel_has_them_inside_the_package(self, tmp_path: Path) -> None:
        (tmp_path / "estimator" / "_pages").mkdir(parents=True)
        assert find_pages_folder(tmp_path / "estimator") == tmp_path / "estimator" / "_pages"

    def test_a_checkout_has_them_beside_the_package(self, tmp_path: Path) -> None:
        (tmp_path / "pages").mkdir()
        assert find_pages_folder(tmp_path / "estimator") == tmp_path / "pages"

    def test_missing_pages_are_reported_with_both_places(self, tmp_path: Path) -> None:
        with pytest.raises(FileNotFoundError, match="_pages"):
            find_pages_folder(tmp_path / "estimator")

    @pytest.mark.parametrize("key", [entry.key for entry in PAGES])
    def test_every_page_of_the_registry_has_a_script(self, key: str) -> None:
        assert (find_pages_folder() / f"{key}.py").is_file()

    def test_no_pages_folder_stands_beside_the_entry_script(self) -> None:
        assert not (UI / "pages").exists()


class TestConfig:
    @pytest.mark.parametrize(
        ("section", "name", "value"),
        [
            ("server", "address", "127.0.0.1"),
            ("browser", "gatherUsageStats", False),
            ("client", "showErrorDetails", "none"),
            ("client", "showErrorLinks", False),
            ("server", "enableStaticServing", True),
        ],
    )
    def test_nothing_leaves_this_computer(self, section: str, name: str, value: object) -> None:
        assert _read_config()[section][name] == value

    @pytest.mark.parametrize(("theme", "colours"), [("light", LIGHT), ("dark", DARK)], ids=["light", "dark"])
    def test_pages_and_pictures_have_one_look(self, theme: str, colours: Colours) -> None:
        section = _read_config()["theme"][theme]
        same = ("backgroundColor", "secondaryBackgroundColor", "textColor", "borderColor")
        assert [section[name] for name in same] == [colours[role] for role in ("paper", "stone", "ink", "line")]

    @pytest.mark.parametrize("theme", ["light", "dark"])
    @pytest.mark.parametrize("kind", ["Color", "BackgroundColor", "TextColor"])
    def test_there_are_three_hues_and_no_traffic_light(self, theme: str, kind: str) -> None:
        section = _read_config()["theme"][theme]
        hues = [section[f"{name}{kind}"] for name in ("green", "blue", "violet", "yellow", "orange", "red")]
        assert hues[0] == hues[1] == hues[2]
        assert hues[3] == hues[4]
        assert len(set(hues)) == 3

    def test_every_font_file_is_shipped_with_its_licence(self) -> None:
        faces = _read_config()["theme"]["fontFaces"]
        assert {(STATIC / Path(face["url"]).name).is_file() for face in faces} == {True}
        licence = (STATIC / "LICENSE-NotoSans.txt").read_text(encoding="utf-8")
        assert all(Path(face["url"]).name in licence for face in faces)


@pytest.mark.parametrize("path", [IMPRINT, ICON], ids=["imprint", "icon"])
def test_a_drawing_needs_no_font_and_nothing_from_elsewhere(path: Path) -> None:
    root = ET.parse(path).getroot()  # noqa: S314 (our own file)
    assert {element.tag.rpartition("}")[2] for element in root.iter()} <= {"svg", "title", "rect", "path"}
