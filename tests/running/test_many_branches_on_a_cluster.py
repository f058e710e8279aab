"""Branches shared out between the workers of a real cluster on the loopback interface."""

import os
import signal
import sys
import threading
import time
from contextlib import suppress
from pathlib import Path

import psutil
import pytest
from builders import NOW
from work_of_workers import answered, at_fault, deadly, plan_at_second_try

sys.path.insert(0, str(Path(__file__).parents[1] / "benchmarks"))

from invented_weeks import week

from crewplan.publishing.plan_json import plan_json
from crewplan.running import cluster as cluster_module
from crewplan.running.branch_task import Asked, plan_branch
from crewplan.running.clock import Clock
from crewplan.running.cluster import LOCAL, OnCluster, cluster, versions
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


def both_are_there(workers):
    until = time.monotonic() + 60
    while len(workers._client.nthreads()) < 2:
        assert time.monotonic() < until
        time.sleep(0.01)


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


def test_an_answer_that_died_with_its_worker_before_it_was_fetched_is_worked_out_anew(on_cluster):
    client = on_cluster._client
    coming = on_cluster.run([Call(str(number), answered, (number,)) for number in range(4)])
    found = [next(coming)]

    def states():
        return {future.status for future in client.futures.values()}

    while states() != {"finished"}:
        time.sleep(0.01)
    for worker in client.run(os.getpid).values():
        os.kill(worker, signal.SIGKILL)
    until = time.monotonic() + 60
    while "lost" not in states():
        assert time.monotonic() < until, states()
        time.sleep(0.01)
    found += coming
    assert {done.key: done.value for done in found} == {str(number): number for number in range(4)}


def test_workers_that_die_twice_within_the_time_that_dask_waits_for_them_come_back(on_cluster):
    """dask gives up a worker that is not there fifteen seconds after it was lost."""

    def kill_all():
        for worker in on_cluster._client.run(os.getpid).values():
            os.kill(worker, signal.SIGKILL)

    begun = time.monotonic()
    kill_all()
    both_are_there(on_cluster)
    time.sleep(max(0.0, begun + 14.7 - time.monotonic()))
    kill_all()
    time.sleep(1.0)
    both_are_there(on_cluster)
    (done,) = on_cluster.run([Call("after all", answered, (7,))])
    assert done.value == 7


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


@pytest.fixture
def elsewhere():
    """A cluster that is there already, without keys, as on a trusted network."""
    from distributed import LocalCluster

    with LocalCluster(
        n_workers=1, threads_per_worker=1, host="127.0.0.1", dashboard_address="127.0.0.1:0"
    ) as there:
        yield there


def test_a_cluster_at_an_address_makes_the_plans_too(elsewhere, on_one_machine):
    calls = (Call(key, plan_branch, (branch, *GIVEN)) for key, branch in BRANCHES.items())
    with cluster(elsewhere.scheduler_address) as workers:
        assert plans(workers, calls) == on_one_machine


def test_workers_of_another_version_are_refused(elsewhere):
    from distributed import Client

    with Client(elsewhere.scheduler_address) as client:
        cluster_module._same_everywhere(client, versions())
        other = (*versions()[:-1], "0.0")
        with pytest.raises(ClusterFault, match=r"has ortools .*, this machine 0\.0; the plans"):
            cluster_module._same_everywhere(client, other)


def test_a_cluster_without_a_worker_is_told(elsewhere, monkeypatch):
    monkeypatch.setattr(cluster_module, "_MEET_S", 0.5)
    elsewhere.scale(0)
    while elsewhere.scheduler.workers:
        time.sleep(0.01)
    with (
        pytest.raises(ClusterFault, match="has no worker"),
        cluster(elsewhere.scheduler_address),
    ):
        pass


def test_a_cluster_that_goes_away_while_it_works_is_told(elsewhere):
    with cluster(elsewhere.scheduler_address) as workers:
        done = workers.run([Call("soon", answered, (1,)), Call("late", time.sleep, (600,))])
        assert next(done).value == 1
        elsewhere.close()
        with pytest.raises(ClusterFault, match="lost while it worked"):
            next(done)


def test_a_local_cluster_listens_on_the_loopback_interface_alone(on_cluster):
    both_are_there(on_cluster)  # tests before this one end some
    listening = set()
    for process in (psutil.Process(), *psutil.Process().children(recursive=True)):
        with suppress(psutil.NoSuchProcess):
            found = process.net_connections("inet")
            listening |= {one.laddr for one in found if one.status == psutil.CONN_LISTEN}
    assert len(listening) >= 3  # the scheduler's and each worker's
    assert {address.ip for address in listening} == {"127.0.0.1"}


def test_an_address_where_nobody_answers_is_told_in_one_sentence(monkeypatch):
    monkeypatch.setattr(cluster_module, "_MEET_S", 0.5)
    with (
        pytest.raises(ClusterFault, match=r"no cluster answers at tcp://127\.0\.0\.1:9 "),
        cluster("tcp://127.0.0.1:9"),
    ):
        pass
