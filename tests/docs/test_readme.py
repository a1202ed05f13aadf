"""README: every command but the two set-up lines is run here; each has its Windows form."""

import re
import shlex
import subprocess
import sys
import time
import urllib.request
from pathlib import Path

import pytest

from tests.builders import CHECKOUT

README = (CHECKOUT / "README.md").read_text(encoding="utf-8")
SH = re.findall(r"```sh\n(.*?)\n```", README, flags=re.DOTALL)
BAT = re.findall(r"```bat\n(.*?)\n```", README, flags=re.DOTALL)
SET_UP, COMMANDS = SH[:2], SH[2:]


def run(command: str, folder: Path) -> subprocess.CompletedProcess[str]:
    program, *arguments = shlex.split(command)
    assert program == ".venv/bin/estimator"
    return subprocess.run(
        [sys.executable, "-m", "estimator", *arguments], cwd=folder, capture_output=True, text=True, encoding="utf-8",
        timeout=120, check=False,
    )  # fmt: skip


def test_the_first_paragraph_states_the_job() -> None:
    first = README.split("\n\n")[1]
    for word in ("no teeth left", "restorative space", "fee schedule", "upkeep", "option sheet", "decide"):
        assert word in " ".join(first.split())


def test_set_up_takes_two_lines_of_one_line_each() -> None:
    assert len(SET_UP) == 2
    assert all("\n" not in line and line.startswith("python3 -m venv .venv && ") for line in SET_UP)


@pytest.mark.parametrize(("plain", "windows"), list(zip(SH, BAT, strict=True)))
def test_each_command_has_its_windows_form(plain: str, windows: str) -> None:
    turned = plain.replace("python3 ", "py ").replace(".venv/bin/", ".venv\\Scripts\\")
    turned = re.sub(r"my_practice[/\w.]*", lambda m: m[0].replace("/", "\\"), turned)
    assert turned == windows


def test_the_commands_work_one_after_the_other(tmp_path: Path) -> None:
    for command in COMMANDS[:-1]:
        done = run(command, tmp_path)
        assert done.returncode == 0, done.stderr
    assert [p.name for p in (tmp_path / "sheets").iterdir()] == ["option_sheet_C-1042_mandible.pdf"]


def test_the_app_command_serves_the_app(tmp_path: Path) -> None:
    arguments = shlex.split(COMMANDS[-1])[1:]
    assert arguments == ["app", "--port", "8601"]
    command = [sys.executable, "-m", "estimator", *arguments, "--server.headless=true"]
    server = subprocess.Popen(command, cwd=tmp_path, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    try:
        for _ in range(120):
            try:
                with urllib.request.urlopen("http://127.0.0.1:8601/_stcore/health", timeout=1) as answer:
                    assert answer.read() == b"ok"
                    return
            except OSError:
                time.sleep(0.25)
        raise AssertionError("the app did not answer within 30 seconds")
    finally:
        server.terminate()
        server.wait(timeout=20)


def test_every_command_of_the_tool_is_described() -> None:
    for command in ("demo", "demo --write", "estimate", "check", "wording", "app"):
        assert f"estimator {command}" in README
