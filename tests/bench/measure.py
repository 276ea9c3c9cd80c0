"""Runs a command and prints {"seconds", "mib", "status"} of it.

A process of its own, since a child's peak memory counts what its parent held when it was started:
nothing is imported here that is not needed, so the floor is that of a bare Python.
"""

import os
import sys
import time

limit = float(sys.argv[1])
begin = time.perf_counter()
null = os.open(os.devnull, os.O_RDWR)
child = os.posix_spawn(sys.argv[2], sys.argv[2:], os.environ, file_actions=[(os.POSIX_SPAWN_DUP2, null, n) for n in (0, 1, 2)])
if limit > 0:
    import signal

    signal.signal(signal.SIGALRM, lambda *_: os.kill(child, signal.SIGKILL))
    signal.setitimer(signal.ITIMER_REAL, limit)
_, status, usage = os.wait4(child, 0)
took = time.perf_counter() - begin
print(f'{{"seconds": {took}, "mib": {usage.ru_maxrss / 1024}, "status": {os.waitstatus_to_exitcode(status)}}}')
