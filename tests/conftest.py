"""For every test: the same examples each time, no limit on theirs, and small sums on one core.

The workers share the machine's cores already; threads of the linear algebra beside them would only
wait for one another. Examples are drawn anew where ``SOLARSIM_FUZZ`` asks for many: a run of the
suite judges a change and not its luck.
"""

import os
import subprocess
import sys
import tempfile
from pathlib import Path

import pytest
from hypothesis import settings

assert "numpy" not in sys.modules, "threads are counted when numpy is first imported"
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
# No years of weather that whoever runs the tests has fetched: answers tell of them.
os.environ["XDG_CACHE_HOME"] = str(Path(tempfile.gettempdir()) / "solarsim-tests-cache")

# Half of the usual examples, for a newcomer waits for them; the fuzz run draws at least all.
FUZZ = "SOLARSIM_FUZZ" in os.environ
settings.register_profile(
    "solarsim", deadline=None, derandomize=not FUZZ, max_examples=100 if FUZZ else 50
)
settings.load_profile("solarsim")

# Tests with a cache of their own name it as the system does.
os.environ.pop("SOLARSIM_CACHE", None)

# Compiles the kernel on a fresh clone, once for all workers and while they collect their tests.
_COMPILE = (
    "from solarsim.answers.question import ask; from solarsim.answers.stay import stay; "
    "stay(ask(runs=1))"
)
_compiler = pytest.StashKey[subprocess.Popen[bytes]]()
COLLECTED = pytest.StashKey[list[tuple[str, bool]]]()


@pytest.fixture(scope="session", autouse=True)
def _loaded_loops():
    """Load what is compiled before a test names a cache of its own, in which nothing is."""
    from tests.test_layout import COMPILED

    for module in COMPILED:
        module.CODE.load()


def pytest_sessionstart(session):
    if not hasattr(session.config, "workerinput") and session.config.getoption("tx", None):
        command = [sys.executable, "-c", _COMPILE]
        session.config.stash[_compiler] = subprocess.Popen(command, stderr=subprocess.DEVNULL)


@pytest.hookimpl(optionalhook=True)
def pytest_xdist_node_collection_finished(node):
    node.config.stash[_compiler].wait()


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(session, items):
    """Note what there is before markers leave tests out."""
    seen = set()
    for item in items:
        function = item.nodeid.partition("[")[0]
        if item.get_closest_marker("one_plain") is not None and function in seen:
            item.add_marker(pytest.mark.slow)
        seen.add(function)
    session.config.stash[COLLECTED] = [
        (item.nodeid, item.get_closest_marker("slow") is None and "browser" not in item.path.parts)
        for item in items
    ]


def pytest_sessionfinish(session):
    """Fail where a test was skipped and ``SOLARSIM_NO_SKIPS=1`` says that none may be."""
    reporter = session.config.pluginmanager.get_plugin("terminalreporter")
    if reporter is None or os.environ.get("SOLARSIM_NO_SKIPS") != "1":
        return
    skipped = len(reporter.stats.get("skipped", []))
    reporter.write_line(f"{skipped} skipped; none may be")
    if skipped:
        session.exitstatus = pytest.ExitCode.TESTS_FAILED
