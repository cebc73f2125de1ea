"""What holds a worker process to its limits, and ends it with its parent: for all that works with many drawings."""

import multiprocessing
import os
import signal
import sys
import threading
from collections.abc import Callable

OUT_OF_MEMORY = 85
"""The exit status by which a worker says that its limit was reached; it begins anew, since its memory is in pieces."""


def become_worker(megabytes: int) -> None:
    """Holds this process to a limit, and sees to it that nothing keeps it alive but its parent."""
    signal.signal(signal.SIGTERM, signal.SIG_DFL)  # ended at once, whatever it is at
    hold_to(megabytes)
    parent = multiprocessing.parent_process()
    assert parent is not None
    threading.Thread(target=_end_with, args=(parent.join,), daemon=True).start()


def _end_with(wait: Callable[[], object]) -> None:
    """Ends this process with its parent, however that came to its end."""
    wait()
    os._exit(1)


def hold_to(megabytes: int) -> bool:
    """Holds this process to so much memory for data, and says whether the system does that (setrlimit: POSIX).

    Linux counts what is asked for and can be written (getrlimit(2), RLIMIT_DATA since 4.7); elsewhere RLIMIT_AS is
    the nearest thing, and macOS does not obey it. From memory.
    """
    if sys.platform == "win32":
        return False
    import resource

    kind = resource.RLIMIT_DATA if sys.platform.startswith("linux") else resource.RLIMIT_AS
    _, most = resource.getrlimit(kind)
    asked = megabytes * 1_000_000
    try:
        resource.setrlimit(kind, (asked if most == resource.RLIM_INFINITY else min(asked, most), most))
    except (ValueError, OSError):
        return False
    return sys.platform != "darwin"


def out_of_memory(error: Exception) -> bool:
    """Whether an error says that there is no more memory: a library in C++ has words of its own for it."""
    return isinstance(error, MemoryError) or any(word in str(error) for word in ("bad_alloc", "could not allocate"))


def ended(status: int | None) -> str:
    """How a process ended, in words: by itself with a status, or by a signal."""
    if status is not None and status < 0:
        try:
            name = signal.Signals(-status).name
        except ValueError:
            name = str(-status)
        return f"its process was ended by signal {name} in the middle"
    return f"its process ended in the middle, with status {status}"
