"""A region on a cluster: the same bytes, whatever goes wrong with it."""

from __future__ import annotations

import contextlib
import json
import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

import solarsim
from solarsim.answers.question import ask
from solarsim.answers.region import block as block_module
from solarsim.answers.region import cluster as cluster_module
from solarsim.answers.region.asked import ask_region
from solarsim.answers.region.block import block_bounds
from solarsim.answers.region.region import region
from solarsim.errors import InputError, WorkerError

ROOT = Path(solarsim.__file__).parents[1]
BOX = "36, -9, 41, -3"


@pytest.fixture
def asked(monkeypatch):
    """Some thirty cells in as many blocks."""
    monkeypatch.setattr(block_module, "_BLOCK_FIGURES", 1)
    return ask_region(ask(runs=30, days=3, follow_days=6), BOX, step_deg=1.0)


@contextlib.contextmanager
def local_cluster(workers):
    from distributed import LocalCluster

    with LocalCluster(
        n_workers=workers,
        threads_per_worker=1,
        processes=True,
        host="127.0.0.1",
        dashboard_address=None,
    ) as cluster:
        yield cluster


@pytest.mark.slow
def test_a_cluster_gives_the_same_bytes(asked):
    answer = region(asked, scheduler="local", workers=2)
    assert answer.figures == region(asked, workers=1).figures


@pytest.mark.slow
def test_a_worker_that_is_killed_in_the_middle_changes_nothing(asked):
    from distributed import Client

    killed = []
    with local_cluster(2) as cluster, Client(cluster) as client:
        pids = list(client.run(os.getpid).values())

        def kill_one(done, cells):
            if not killed and done >= 3:
                os.kill(pids[0], signal.SIGKILL)
                killed.append(done)

        answer = region(asked, scheduler=cluster.scheduler_address, progress=kill_one)
    assert killed
    assert killed[0] < len(asked.cells.cells)
    assert answer.figures == region(asked, workers=1).figures


@contextlib.contextmanager
def scheduler_process(folder):
    """A scheduler and a worker in processes of their own, as on other machines."""
    file = folder / "scheduler.json"
    common = ["--scheduler-file", str(file), "--host", "127.0.0.1", "--no-dashboard"]
    environment = {**os.environ, "PYTHONPATH": str(ROOT)}
    kwargs = {"env": environment, "stdout": subprocess.DEVNULL, "stderr": subprocess.DEVNULL}
    command = [sys.executable, "-m", "dask"]
    started = [subprocess.Popen([*command, "scheduler", *common, "--port", "0"], **kwargs)]
    try:
        deadline = time.monotonic() + 30.0
        while not file.exists() and time.monotonic() < deadline:
            time.sleep(0.1)
        worker = ["worker", *common, "--nthreads", "1", "--death-timeout", "20"]
        started.append(subprocess.Popen([*command, *worker], **kwargs))
        yield json.loads(file.read_text())["address"], started[0]
    finally:
        for process in reversed(started):
            process.terminate()
            process.wait(20)


@pytest.mark.slow
def test_a_scheduler_that_goes_away_leaves_what_is_done(asked, tmp_path):
    keep = tmp_path / "kept"
    with scheduler_process(tmp_path) as (address, scheduler):

        def stop(done, cells):
            if done >= 3:
                scheduler.kill()

        with pytest.raises(WorkerError, match="what is done is kept"):
            region(asked, scheduler=address, keep=keep, progress=stop)
    done = len(list(keep.iterdir()))
    assert 3 <= done < len(block_bounds(asked))
    told = []
    answer = region(asked, workers=1, keep=keep, progress=lambda *cells: told.append(cells))
    assert told[0][0] == done
    assert answer.figures == region(asked, workers=1).figures


@pytest.mark.slow
def test_workers_of_another_version_are_refused(asked, monkeypatch):
    # What goes to the workers is found there by its name, so that they answer with their own.
    monkeypatch.setattr(cluster_module, "_own_checksum", lambda: "another")
    with pytest.raises(WorkerError, match="2 of 2 workers have another version of solarsim"):
        region(asked, scheduler="local", workers=2)


@pytest.mark.slow
def test_an_address_where_nobody_answers_is_refused(asked, monkeypatch):
    monkeypatch.setattr(cluster_module, "_CONNECT_S", 0.5)
    with pytest.raises(InputError, match="--scheduler: no scheduler answers there"):
        region(asked, scheduler="tcp://127.0.0.1:9")


@pytest.mark.slow
def test_text_that_is_no_address_is_refused(asked):
    with pytest.raises(InputError, match="--scheduler: no scheduler answers there"):
        region(asked, scheduler="nonsense://x")


def test_what_is_not_installed_is_said(asked, monkeypatch):
    monkeypatch.setattr("importlib.util.find_spec", lambda name: None)
    with pytest.raises(InputError, match=r"pip install 'solarsim\[cluster\]'"):
        region(asked, scheduler="local")
