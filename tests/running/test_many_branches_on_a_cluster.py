"""Branches shared out between the workers of a real cluster on the loopback interface."""

import os
import signal
import sys
import threading
import time
from pathlib import Path

import pytest
from builders import NOW
from work_of_workers import answered, at_fault, deadly, plan_at_second_try

sys.path.insert(0, str(Path(__file__).parents[1] / "benchmarks"))

from invented_weeks import week

from crewplan.publishing.plan_json import plan_json
from crewplan.running import cluster as cluster_module
from crewplan.running.branch_task import Asked, plan_branch
from crewplan.running.clock import Clock
from crewplan.running.cluster import LOCAL, OnCluster, cluster
from crewplan.running.workers import Call, ClusterFault, OneAfterAnother

BRANCHES = {f"branch {seed}": week(3, 12, seed) for seed in range(6)}
GIVEN = (Clock(NOW, "set by hand"), Asked(steps=200))


@pytest.fixture(scope="module")
def on_cluster():
    with cluster(LOCAL, 2) as workers:
        yield workers


def plans(workers, calls):
    found = {}
    for done in workers.run(calls):
        assert done.error is None
        found[done.key] = plan_json(done.value.plan, "set by hand")
    return found


@pytest.fixture(scope="module")
def on_one_machine():
    calls = (Call(key, plan_branch, (branch, *GIVEN)) for key, branch in BRANCHES.items())
    return plans(OneAfterAnother(), calls)


def test_a_worker_killed_midway_loses_no_plan_and_changes_none(
    on_cluster: OnCluster, on_one_machine, tmp_path
):
    note = tmp_path / "worker"

    def kill_the_one_that_wrote():
        while not note.exists():
            time.sleep(0.01)
        os.kill(int(note.read_text(encoding="utf-8")), signal.SIGKILL)

    killer = threading.Thread(target=kill_the_one_that_wrote, daemon=True)
    killer.start()
    calls = (
        Call(key, plan_at_second_try, (str(note), branch, *GIVEN))
        if key == "branch 2"
        else Call(key, plan_branch, (branch, *GIVEN))
        for key, branch in BRANCHES.items()
    )
    assert plans(on_cluster, calls) == on_one_machine
    killer.join()  # it was killed: else it would hang there still


def test_one_branch_s_fault_does_not_keep_the_others_from_an_answer(on_cluster):
    calls = [Call("bad", at_fault, ("no working day",)), Call("good", answered, (7,))]
    done = {done.key: done for done in on_cluster.run(calls)}
    assert str(done["bad"].error) == "no working day"
    assert done["good"].value == 7


def test_work_that_kills_each_worker_is_given_up_with_a_sentence(on_cluster):
    (done,) = on_cluster.run([Call("deadly", deadly, ())])
    assert isinstance(done.error, ClusterFault)
    assert str(done.error) == "each worker that was given it died"


def test_nobody_without_the_run_s_own_key_reaches_a_local_cluster(on_cluster):
    from distributed import Client
    from distributed.security import Security

    address = on_cluster._client.scheduler.address
    assert address.startswith("tls://127.0.0.1:")
    with pytest.raises(OSError):
        Client(address.replace("tls://", "tcp://"), timeout=1, set_as_default=False)
    with pytest.raises(OSError):
        Client(address, security=Security.temporary(), timeout=1, set_as_default=False)


def test_an_address_where_nobody_answers_is_told_in_one_sentence(monkeypatch):
    monkeypatch.setattr(cluster_module, "_MEET_S", 0.5)
    with (
        pytest.raises(ClusterFault, match=r"no cluster answers at tcp://127\.0\.0\.1:9 "),
        cluster("tcp://127.0.0.1:9"),
    ):
        pass
