"""Races the rivals against ours, interleaved, in short chunks, and prints medians and ratios.

    cargo build --release -p steadypull-engine --example seconds
    python3 validation/independent/speed/race.py target/release/examples/seconds [ROUNDS] [cpu]

Every round each rival runs for a chunk of a twentieth of a second (at least once), ours beside it; a stall of a
shared machine then meets one round of one rival, and the median does not see it. With `cpu` the seconds are those
of the processor, not of the wall: for a machine on which others work. Needs the packages of requirements.txt.
"""

from pathlib import Path
import os
import resource
import statistics
import subprocess
import sys
import time

CHUNK_S = 0.05


def ours(binary, job, cpu=False):
    """Mean seconds of a run, and what it found."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN).ru_utime
    # On a busy machine a chunk of the wall holds little of the processor.
    out = subprocess.run([binary, job, str(6.0 * CHUNK_S if cpu else CHUNK_S)], capture_output=True, text=True, check=True).stdout
    _least, mean, runs, *found = [float(word) for word in out.split()]
    spent = resource.getrusage(resource.RUSAGE_CHILDREN).ru_utime - before
    return (spent / (runs + 1.0) if cpu else mean), found  # one more run than counted: to warm up


def rival_chunk(rival):
    """Mean seconds of a run over a chunk."""
    spent, runs = 0.0, 0
    while runs == 0 or spent < CHUNK_S:
        spent += rival.run()
        runs += 1
    return spent / runs


def quiet(call):
    """Calls with nothing printed: one of the libraries talks on standard output."""
    sys.stdout.flush()
    kept, nowhere = os.dup(1), os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, 1)
    try:
        return call()
    finally:
        os.dup2(kept, 1)
        os.close(kept)
        os.close(nowhere)


def main():
    binary, rounds = str(Path(sys.argv[1]).resolve()), int(sys.argv[2]) if len(sys.argv) > 2 else 9
    cpu = "cpu" in sys.argv[3:]
    import numba_chain
    import rivals

    rivals.CLOCK = time.process_time if cpu else time.perf_counter

    jobs = subprocess.run([binary], capture_output=True, text=True, check=True).stdout.split()
    exact = quiet(rivals.kinetic_exact)
    pulls = {}
    for job in ("kinetic", "kinetic-many"):
        worst = max(abs(a / b - 1.0) for a, b in zip(ours(binary, job)[1], exact))
        pulls[job] = rival = quiet(lambda: rivals.kinetic_at(worst, exact))
        print(f"off DOP853 at worst in peak and movement: {worst:.1e} {job}, {rival.worst(exact):.1e} {rival.name}")
    recoil = [rivals.MooringLine(), rivals.Multibody(), rivals.Scipy()]
    recoil += [rivals.Numba(name) for name in numba_chain.WAYS]
    print("found (m/s; N):")
    for rival in [*recoil, *pulls.values()]:
        print(f"  {quiet(rival.found):12.4f}  {rival.name}")
    for job in jobs:
        print(f"  {ours(binary, job)[1][0]:12.4f}  ours, {job}")

    times = {rival.name: [] for rival in [*recoil, *pulls.values()]} | {job: [] for job in jobs}
    for _ in range(rounds):
        for rival in [*recoil, *pulls.values()]:
            times[rival.name].append(quiet(lambda: rival_chunk(rival)))
            for job in jobs:  # ours beside every rival, so that both meet the same weather
                times[job].append(ours(binary, job, cpu)[0])
    print(f"\n{'processor' if cpu else 'wall'} milliseconds a run over {rounds} rounds: least, median")
    for name, list_s in times.items():
        print(f"  {1e3 * min(list_s):10.3f} {1e3 * statistics.median(list_s):10.3f}  {name}")
    print("\nratios of medians (of least)")
    for rival in recoil:
        ratio(times, rival.name, "recoil-fixed")
    for job, rival in pulls.items():
        ratio(times, rival.name, job)


def ratio(times, rival, job):
    medians = statistics.median(times[rival]) / statistics.median(times[job])
    least = min(times[rival]) / min(times[job])
    print(f"  {medians:8.2f} ({least:8.2f})  {rival} over {job}")


if __name__ == "__main__":
    main()
