"""A cluster of two worker processes on this machine, for tests: prints its address, ends with its standard input.

    python local_cluster.py [daemonic]

A cluster of its own process, as users have one: its threads and its logs stay out of the tests.
"""

import logging
import sys

import dask
from distributed import LocalCluster

if __name__ == "__main__":
    logging.disable(logging.CRITICAL)
    dask.config.set({"distributed.worker.daemon": "daemonic" in sys.argv[1:]})
    with LocalCluster(
        n_workers=2, threads_per_worker=1, processes=True, host="127.0.0.1", dashboard_address=None
    ) as cluster:
        pids = [nanny.pid for nanny in cluster.workers.values()]
        print(cluster.scheduler_address, *pids, flush=True)
        sys.stdin.read()
