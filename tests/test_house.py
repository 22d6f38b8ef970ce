"""The house stands: rooms import one way, and each loads no more than it needs."""

import importlib.util
import json
import subprocess
import sys
from types import ModuleType

import pytest

import drill.scenario

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


@pytest.mark.parametrize("room", ["airplane", "language", "scenario", "flight", "grading", "paper", "seat"])
def test_a_room_loads_no_screen_and_no_server(room: str) -> None:
    loaded = loaded_after(LOAD_WHOLE_ROOM.replace("{room}", room))
    assert f"drill.{room}" in loaded
    assert not loaded & SCREENS_AND_SERVERS


def test_an_evening_its_host_and_its_results_know_of_no_face() -> None:
    pure = ("host", "results", "views", "headless")
    loaded = loaded_after("import importlib\n" + "\n".join(
        f"importlib.import_module('drill.room.{each}')" for each in pure))
    assert "drill.room.host" in loaded
    assert not loaded & SCREENS_AND_SERVERS
    assert not [each for each in loaded if each.startswith(("drill.room.net", "drill.room.screen", "drill.cockpit",
                                                            "drill.plain"))]


def test_the_airplane_knows_nothing_of_yaml_records_or_words() -> None:
    loaded = loaded_after(LOAD_WHOLE_ROOM.replace("{room}", "airplane"))
    assert not loaded & {"yaml", "pydantic", "drill.language", "drill.scenario", "drill.flight"}


def test_the_list_of_scenarios_needs_no_flight_no_grades_and_no_terminal() -> None:
    loaded = loaded_after("import drill.cli\nassert drill.cli.main(['list']) == 0")
    assert "drill.scenario.loading" in loaded
    assert not [each for each in loaded
                if each.startswith(("drill.flight", "drill.grading", "drill.plain.terminal", "drill.plain.flights"))]


def test_what_a_first_screen_asks_of_scenarios_and_seat_is_light() -> None:
    loaded = loaded_after("import drill.scenario.cards, drill.seat.journal, drill.seat.keeping, drill.seat.pace\n"
                          "import drill.seat.exit_codes, drill.seat.seeds, drill.seat.wording\n"
                          "drill.scenario.cards.cards(); drill.seat.keeping.flights_folder()")
    assert not loaded & {"numpy", "pydantic", "rapidfuzz", "importlib.metadata"}
    assert not [each for each in loaded if each.startswith(
        ("drill.flight", "drill.language", "drill.grading", "drill.airplane", "drill.plain", "drill.scenario.loading"))]


def test_the_command_line_by_itself_is_light() -> None:
    loaded = loaded_after("import drill.cli")
    assert not loaded & {"numpy", "pydantic", "yaml", "rapidfuzz", "platformdirs", "importlib.metadata"}
    assert not [each for each in loaded if each.startswith(("drill.flight", "drill.scenario", "drill.plain.commands"))]


def test_what_a_room_gives_when_asked_is_never_hidden_by_a_module_of_that_name() -> None:
    for name in drill.scenario.__all__:
        assert not isinstance(getattr(drill.scenario, name), ModuleType)
        assert importlib.util.find_spec(f"drill.scenario.{name}") is None
    for module in (drill, drill.scenario):
        assert not hasattr(module, "nonsense")


def test_asking_for_the_version_loads_nothing_heavy() -> None:
    loaded = loaded_after("import drill.cli\ntry:\n    drill.cli.main(['--version'])\nexcept SystemExit:\n    pass")
    assert not loaded & {"numpy", "pydantic", "yaml", "rapidfuzz"}
