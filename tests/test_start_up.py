"""A command starts lightly: importing has no side effects, and an answer loads what it needs."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

import solarsim
from solarsim.inputs.files.cache import cache_folder
from tests.test_layout import COMPILED, HEAVY

PACKAGE = Path(solarsim.__file__).parent
ROOT = PACKAGE.parent


def run_python(code, cwd, more=None):
    return subprocess.run(
        [sys.executable, "-W", "error", "-B", "-c", code],
        cwd=cwd,
        capture_output=True,
        text=True,
        env={"PYTHONPATH": str(ROOT), "HOME": str(cwd), "PATH": "/usr/bin:/bin"} | (more or {}),
        timeout=60,
        check=False,
    )


@pytest.mark.parametrize("module", ["solarsim", "solarsim.cli.main"])
def test_import_is_light_quiet_and_writes_nothing(tmp_path, module):
    code = f"import sys, {module}; print(*sorted({{m.split('.')[0] for m in sys.modules}}))"
    done = run_python(code, tmp_path)
    assert (done.returncode, done.stderr) == (0, "")
    loaded = set(done.stdout.split())
    assert "solarsim" in loaded
    assert not loaded & (HEAVY | {"numba", "pandas", "numpy"})
    assert not list(tmp_path.rglob("*"))


def test_help_needs_no_numbers(tmp_path):
    code = (
        "import sys; sys.argv = ['solarsim', '--help']\n"
        "from solarsim.cli.main import main\n"
        "main()\n"
        "print('numpy' in sys.modules, 'pandas' in sys.modules)\n"
    )
    done = run_python(code, tmp_path)
    assert done.stdout.splitlines()[-1] == "False False"


@pytest.mark.slow
def test_a_default_answer_imports_no_compiler_no_drawing_no_scipy_and_no_whole_pvlib(tmp_path):
    for module in COMPILED:
        module.CODE.load()
    code = (
        "import sys; sys.argv = ['solarsim', 'stay', '--runs', '5', '--json', '-']\n"
        "from solarsim.cli.main import main\n"
        "try: main()\n"
        "except SystemExit: pass\n"
        "loaded = {name.split('.')[0] for name, module in sys.modules.items() if module}\n"
        "print(*sorted(loaded), file=sys.stderr)\n"
    )
    # The compiled kernel is found where the other tests' is.
    done = run_python(code, tmp_path, {"SOLARSIM_CACHE": str(cache_folder())})
    assert '"days_unplugged"' in done.stdout
    heavy = {
        "numba",
        "scipy",
        "plotly",
        "matplotlib",
        "streamlit",
        "pvlib",
        "requests",
        "pyarrow",
        "babel",
    }
    assert not set(done.stderr.split()) & heavy


def test_the_package_says_that_it_is_typed():
    assert (PACKAGE / "py.typed").exists()
