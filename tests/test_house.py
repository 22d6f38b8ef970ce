"""The house stands: rooms import one way, and each loads no more than it needs."""

import json
import subprocess
import sys

import pytest

ROOT_LOADS = "import json, sys; print(json.dumps(sorted(sys.modules)))"
SCREENS_AND_SERVERS = {
    "textual", "rich", "curses", "tkinter", "aiohttp", "flask", "http.server", "socketserver", "xmlrpc.server",
}
LOAD_WHOLE_ROOM = """
import importlib, pkgutil
room = importlib.import_module("drill.{room}")
for module in pkgutil.walk_packages(room.__path__, room.__name__ + "."):
    importlib.import_module(module.name)
"""


def loaded_after(code: str) -> set[str]:
    """Return the modules that a fresh Python has loaded after `code`."""
    done = subprocess.run([sys.executable, "-c", f"{code}\n{ROOT_LOADS}"], capture_output=True, text=True, check=True)
    return set(json.loads(done.stdout.splitlines()[-1]))


def test_rooms_import_one_way() -> None:
    done = subprocess.run(
        [sys.executable, "-c", "import sys; from importlinter.cli import lint_imports_command; lint_imports_command()",
         "--no-cache"],
        capture_output=True, text=True, check=False,
    )
    assert done.returncode == 0, done.stdout + done.stderr


@pytest.mark.parametrize("room", ["airplane", "language", "scenario", "flight", "grading"])
def test_a_room_loads_no_screen_and_no_server(room: str) -> None:
    loaded = loaded_after(LOAD_WHOLE_ROOM.replace("{room}", room))
    assert f"drill.{room}" in loaded
    assert not loaded & SCREENS_AND_SERVERS


def test_the_airplane_knows_nothing_of_yaml_records_or_words() -> None:
    loaded = loaded_after(LOAD_WHOLE_ROOM.replace("{room}", "airplane"))
    assert not loaded & {"yaml", "pydantic", "drill.language", "drill.scenario", "drill.flight"}


def test_the_list_of_scenarios_needs_no_flight_no_grades_and_no_terminal() -> None:
    loaded = loaded_after("import drill.cli\nassert drill.cli.main(['list']) == 0")
    assert "drill.scenario.load" in loaded
    assert not [each for each in loaded
                if each.startswith(("drill.flight", "drill.grading", "drill.plain.terminal", "drill.plain.flights"))]


def test_asking_for_the_version_loads_nothing_heavy() -> None:
    loaded = loaded_after("import drill.cli\ntry:\n    drill.cli.main(['--version'])\nexcept SystemExit:\n    pass")
    assert not loaded & {"numpy", "pydantic", "yaml", "rapidfuzz"}
