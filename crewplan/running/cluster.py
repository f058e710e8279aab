"""Workers of a cluster, by dask.distributed: on this machine, or wherever an address leads.

What goes to and fro is pickled, so that whoever reaches a cluster's address can run anything as its
user: DEVELOPERS.md, 'Many branches', says what follows from that.
"""

import logging
import os
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from importlib.metadata import PackageNotFoundError, version
from typing import Any

from crewplan.running.workers import Call, ClusterFault, Done

LOCAL = "local"
"""In place of an address: a cluster on this machine, for this one run."""
_MEET_S = 15.0
"""How long a cluster may take to answer, and then to have a worker (assumed)."""
_AHEAD = 2
"""Calls that are out for each thread of a worker: one is worked on, the next is there already."""
_SETTINGS = {
    "distributed.admin.large-graph-warning-threshold": "1 GiB",
    # else a worker of a local cluster that is not back so soon after its death, or dies anew just
    # then, is given up: on a busy machine one after the other, until nobody is left to wait for
    "distributed.deploy.lost-worker-timeout": "1 day",
}
"""Of dask. A call, a branch with its forecast, is a megabyte or two: it warns of larger ones."""
_SAME = ("crewplan", "highspy", "ortools")
"""With other versions of these, a worker would make other plans."""


def versions() -> tuple[str, ...]:
    """Of what plans rest on; empty where a package is not installed but only on the path."""
    found = []
    for name in _SAME:
        try:
            found.append(version(name))
        except PackageNotFoundError:
            found.append("")
    return tuple(found)


def _same_everywhere(client: Any, here: tuple[str, ...]) -> None:
    try:
        told = client.run(versions)
    except Exception as error:
        raise ClusterFault(
            "a worker of the cluster cannot run crewplan "
            f"({type(error).__name__}); install the same version there"
        ) from None
    for there in told.values():
        for name, ours, theirs in zip(_SAME, here, there, strict=True):
            if ours != theirs:
                raise ClusterFault(
                    f"a worker of the cluster has {name} {theirs or 'not installed'}, this machine "
                    f"{ours or 'not installed'}; the plans would differ"
                )


class OnCluster:
    """Calls as tasks of a cluster, each done again where its worker is lost."""

    def __init__(self, client: Any) -> None:
        """`client`: connected."""
        self._client = client

    def run(self, calls: Iterable[Call]) -> Iterator[Done]:
        """As they come.

        Raises:
            ClusterFault: where the cluster is lost.
        """
        from distributed import as_completed

        rest, out = iter(calls), dict[str, str]()
        coming = as_completed()

        def send() -> None:
            threads = sum(self._client.nthreads().values())
            while len(out) < _AHEAD * max(1, threads):
                call = next(rest, None)
                if call is None:
                    return
                # a name of our own: work that is asked for twice is done twice, never looked up
                future = self._client.submit(call.work, *call.given, pure=False)
                out[future.key] = call.key
                coming.add(future)

        send()
        for future in coming:
            if future.status == "lost":
                # its worker died with the answer before it was fetched; it is worked out anew
                coming.add(future)
                continue
            done = self._done(out.pop(future.key), future)
            future.release()
            send()
            yield done

    def _done(self, key: str, future: Any) -> Done:
        from distributed import KilledWorker

        if future.status not in ("finished", "error"):
            raise ClusterFault("the cluster was lost while it worked")
        error = future.exception()
        if isinstance(error, KilledWorker):
            error = ClusterFault("each worker that was given it died")
        if error is not None:
            return Done(key, error=error)
        return Done(key, future.result())


def _quiet() -> None:
    """dask tells what it tries on stderr, with tracebacks; what comes of it is told here."""
    for name in ("distributed", *logging.root.manager.loggerDict):
        if name.partition(".")[0] == "distributed":
            logging.getLogger(name).setLevel(logging.CRITICAL)


def _no_dask() -> ClusterFault:
    return ClusterFault('--cluster needs dask.distributed; pip install "crewplan[cluster]"')


def _here(workers: int) -> Any:
    """A cluster of this machine that nobody else on it can use: its key is made for this run."""
    from distributed import LocalCluster
    from distributed.security import Security

    return LocalCluster(
        n_workers=workers,
        threads_per_worker=1,
        host="127.0.0.1",
        dashboard_address="127.0.0.1:0",  # None opens it to all, at a port of its own choice
        worker_dashboard_address="127.0.0.1:0",
        memory_limit=0,
        protocol="tls://",
        security=Security.temporary(),
        silence_logs=logging.CRITICAL,
    )


def own_processors() -> int:
    """As many as this process may use."""
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1


@contextmanager
def cluster(address: str, workers: int | None = None) -> Iterator[OnCluster]:
    """Workers at an address, or on this machine.

    Args:
        address: of a scheduler, as `tcp://10.0.0.5:8786` or `tls://...`; or `local`.
        workers: of a local cluster; None: one for each processor.

    Raises:
        ClusterFault: where there are none, or not with the versions that are here.
    """
    try:
        import dask
        from distributed import Client
    except ImportError:
        raise _no_dask() from None
    _quiet()
    with dask.config.set(_SETTINGS):
        if address == LOCAL:
            try:
                with _here(workers or own_processors()) as ours, Client(ours) as client:
                    yield OnCluster(client)
            except ImportError:  # of what makes the key
                raise _no_dask() from None
            return
        try:
            client = Client(address, timeout=_MEET_S)
        except (OSError, ValueError, TypeError, ImportError) as error:
            said = " ".join(str(error).split()) or type(error).__name__
            raise ClusterFault(f"no cluster answers at {address} ({said})") from None
        with client:
            try:
                client.wait_for_workers(1, timeout=_MEET_S)
            except TimeoutError:
                raise ClusterFault(f"the cluster at {address} has no worker") from None
            _same_everywhere(client, versions())
            yield OnCluster(client)
