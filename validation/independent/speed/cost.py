"""How the cost of let-go runs grows with runs, segments and steps, and the memory of an ensemble.

    cargo build --release -p steadypull-engine --example seconds
    python3 validation/independent/speed/cost.py target/release/examples/seconds docs/cost.svg

Seconds of the processor, medians of 7 rounds over all sizes in turn. Writes the figure and cost.csv beside this file.
Standard library only.
"""

import math
from pathlib import Path
import resource
import statistics
import subprocess
import sys
import time

ROUNDS = 7
CHUNK_S = 0.05
SIZES = {
    "runs": (16, 32, 64, 128, 256, 512, 1024),
    "segments": (16, 32, 64, 128, 256),
    "steps": (250, 500, 1000, 2000, 4000, 8000),
}
WORDS = {
    "runs": "different runs of 16 segments",
    "segments": "segments, 2000 steps of 10 µs",
    "steps": "steps of 50 µs, 64 segments",
}
INK, GRID, ACCENT = "#1b1f24", "#d9dce0", "#b3470f"


def cpu_ms(binary, job):
    """Processor milliseconds of one run of the job, and the most memory it held, in kB."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN).ru_utime
    out = subprocess.run([binary, job, str(CHUNK_S)], capture_output=True, text=True, check=True).stdout
    runs = float(out.split()[2])
    return 1e3 * (resource.getrusage(resource.RUSAGE_CHILDREN).ru_utime - before) / (runs + 1.0)


def memory_kb(binary, job):
    """Most memory a process held that does the job twice, as the kernel tells while it runs (Linux)."""
    most = 0
    with subprocess.Popen([binary, job, "0"], stdout=subprocess.DEVNULL) as process:
        while process.poll() is None:
            status = Path(f"/proc/{process.pid}/status").read_text()
            held = [line.split()[1] for line in status.splitlines() if line.startswith("VmHWM")]
            # Before it is our program it is a copy of this one.
            if held and status.startswith("Name:\tseconds"):
                most = max(most, int(held[0]))
            time.sleep(0.002)
    return most


def growth(sizes, times):
    """Slope of the logarithms: 1 is in proportion."""
    x, y = [math.log(s) for s in sizes], [math.log(t) for t in times]
    mx, my = statistics.mean(x), statistics.mean(y)
    return sum((a - mx) * (b - my) for a, b in zip(x, y)) / sum((a - mx) ** 2 for a in x)


def text(x, y, words, anchor="middle", size=12):
    return f'<text x="{x:.1f}" y="{y:.1f}" font-size="{size}" text-anchor="{anchor}">{words}</text>'


def panel(left, what, medians):
    """One plot on logarithmic axes, three decades up, with the line of proportion through the last point."""
    top, width, height = 60.0, 250.0, 250.0
    sizes = SIZES[what]
    low, high = math.log(sizes[0]) - 0.2, math.log(sizes[-1]) + 0.2
    decade = math.floor(math.log10(min(medians)))

    def x(size):
        return left + width * (math.log(size) - low) / (high - low)

    def y(ms):
        return top + height * (1.0 - (math.log10(ms) - decade) / 3.0)

    out = []
    for size in sizes:
        out.append(f'<path d="M{x(size):.1f} {top}v{height}" stroke="{GRID}"/>')
        out.append(text(x(size), top + height + 17, str(size), size=11))
    for power in range(4):
        value = 10.0 ** (decade + power)
        out.append(f'<path d="M{left} {y(value):.1f}h{width}" stroke="{GRID}"/>')
        out.append(text(left - 6, y(value) + 4, f"{value:g}", "end", 11))
    first = medians[-1] * sizes[0] / sizes[-1]
    out.append(f'<path d="M{x(sizes[0]):.1f} {y(first):.1f}L{x(sizes[-1]):.1f} {y(medians[-1]):.1f}" stroke="{ACCENT}"/>')
    for size, ms in zip(sizes, medians):
        out.append(f'<circle cx="{x(size):.1f}" cy="{y(ms):.1f}" r="4" fill="{INK}"/>')
    out.append(f'<path d="M{left} {top}v{height}h{width}" fill="none" stroke="{INK}"/>')
    out.append(text(left + width / 2, top + height + 36, WORDS[what]))
    out.append(text(left + 8, top + 16, f"grows as size^{growth(sizes, medians):.2f}", "start"))
    return out


def main():
    binary, figure = str(Path(sys.argv[1]).resolve()), Path(sys.argv[2])
    times = {(what, size): [] for what, sizes in SIZES.items() for size in sizes}
    for _ in range(ROUNDS):
        for (what, size), taken in times.items():
            taken.append(cpu_ms(binary, f"{what}-{size}"))
    medians = {what: [statistics.median(times[what, size]) for size in sizes] for what, sizes in SIZES.items()}
    memory = {size: memory_kb(binary, f"runs-{size}") for size in (128, 1024, 8192)}
    lines = ["what,size,value,unit"]
    for what, sizes in SIZES.items():
        lines += [f"{what},{size},{ms:.5g},processor ms" for size, ms in zip(sizes, medians[what])]
    lines += [f"memory of runs,{size},{kb},kB" for size, kb in memory.items()]
    (Path(__file__).parent / "cost.csv").write_text("\n".join(lines) + "\n")
    print("\n".join(lines))
    svg = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 980 410" width="980" height="410" font-family="sans-serif" fill="{INK}" role="img" aria-labelledby="title">',
        '<title id="title">What let-go runs cost</title>', '<rect width="980" height="410" fill="#ffffff"/>',
        text(24, 32, "What let-go runs cost: processor milliseconds by runs, segments and steps", "start", 17),
    ]
    for k, what in enumerate(SIZES):
        svg += panel(70.0 + 320.0 * k, what, medians[what])
    held = "; ".join(f"{size} runs {kb / 1024:.1f} MB" for size, kb in memory.items())
    svg.append(text(24, 384, f"Line: in proportion to size, through the last point. Most memory held: {held}.", "start"))
    figure.write_text("\n".join(svg) + "\n</svg>\n")


if __name__ == "__main__":
    main()
