"""Qt is needed only by the window and the picture; the heavy libraries come late."""

import subprocess
import sys
from pathlib import Path

import pytest

from drainsketch.resources import sample_jobs

YARD = str(sample_jobs().joinpath("corner-lot.drainjob"))
BLOCK = "import sys; sys.modules['PySide6'] = None\n"
ENGINE = sorted(
    ".".join(p.with_suffix("").parts)
    for p in Path("drainsketch").rglob("*.py")
    if "desk" not in p.parts and p.stem not in ("__init__", "__main__")
)


def python(code: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False, timeout=60)


def test_every_engine_module_imports_without_qt() -> None:
    done = python(BLOCK + "import importlib\nfor name in " + repr(ENGINE) + ": importlib.import_module(name)")
    assert done.returncode == 0, done.stderr


@pytest.mark.parametrize(
    "arguments",
    [
        ["check", YARD, "--json"],
        ["takeoff", YARD],
        ["sheets", YARD, "-o", "OUT.pdf"],
        ["export", YARD, "-o", "OUT.geojson"],
        ["schema"],
    ],
    ids=lambda a: a[0],
)
def test_headless_commands_run_without_qt(arguments: list[str], tmp_path: Path) -> None:
    arguments = [str(tmp_path / a) if a.startswith("OUT") else a for a in arguments]
    done = python(BLOCK + f"from drainsketch.cli import main; sys.exit(main({arguments!r}))")
    assert done.returncode == 0, done.stderr


def test_drawing_tools_know_no_qt() -> None:
    tools = sorted(
        ".".join(p.with_suffix("").parts) for p in Path("drainsketch/desk/tools").glob("*.py") if p.stem != "__init__"
    )
    done = python(BLOCK + "import importlib\nfor name in " + repr(tools) + ": importlib.import_module(name)")
    assert done.returncode == 0, done.stderr


def test_the_window_module_leaves_the_heavy_libraries_for_later() -> None:
    done = python(
        "import os; os.environ['QT_QPA_PLATFORM'] = 'offscreen'\n"
        "import sys, drainsketch.desk.window\n"
        "print([m for m in ('scipy.spatial', 'scipy.optimize', 'reportlab', 'ezdxf', 'xlsxwriter') if m in sys.modules])"
    )
    assert done.stdout.strip() == "[]", done.stdout + done.stderr
