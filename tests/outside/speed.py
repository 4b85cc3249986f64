"""How long the program takes for a family, against OpenCASCADE making the same files.

python speed.py PROGRAM PLAIN STAGES FAMILY RUNS [--at-least RATIO] [--together RATIO]

Like is held against like: PLAIN is the program's own reading, checking, building and writing of STL
and STEP files, as a process of its own (tests/src/bin/plain_build.rs). What the whole program does
beyond that (it weighs six ways to lie for every part, lays plates as 3MF, draws plans and writes the
report) is timed too and printed: milliseconds are the machine's as much as the program's, so nothing hangs on them.
How long manifold3d takes for the same parts of triangles (faceted.py) is printed too, and asks for nothing.
OpenCASCADE is timed inside a warm process: its imports (over a second) are not counted. It is
given the finished dimensions, uses all cores for booleans and meshing, meshes at the program's
chord tolerance with its own default angle, and writes the same STL and STEP files, upright.
"""

import argparse
import json
import os
import subprocess
import sys
import tempfile
from collections import defaultdict
from pathlib import Path
from statistics import median
from time import perf_counter

# The kernel starts a child's peak at its parent's size. So the parent is a bare interpreter,
# and what it says of a child that needs next to nothing is the floor of the method.
PEAK = """
import os, resource, sys
child = os.posix_spawn(sys.argv[1], sys.argv[1:], os.environ,
                       file_actions=[(os.POSIX_SPAWN_OPEN, 1, os.devnull, os.O_WRONLY, 0)])
if os.waitpid(child, 0)[1]:
    sys.exit(1)
print(resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss)
"""


def seconds(action):
    start = perf_counter()
    action()
    return perf_counter() - start


def call(*command):
    subprocess.run([str(word) for word in command], check=True, stdout=subprocess.DEVNULL)


def peak_megabytes(*command):
    words = [sys.executable, "-I", "-S", "-c", PEAK, *map(str, command)]
    return int(subprocess.run(words, check=True, capture_output=True, text=True).stdout) / 1024


def built_folder(out):
    found = list(out.glob("*/manifest.json"))
    if len(found) != 1:
        raise SystemExit(f"expected one manifest.json, found {len(found)}")
    return found[0].parent


def side_by_side(program, plain, family, manifest, runs, scratch):
    """Turn about, so that a busy machine slows both and not whichever happens to be on; PLAIN takes a
    fortieth of the time and has three goes in every turn. The whole
    program has its turns alone: its files would keep the disk busy for the next one.
    A fresh folder each time: overwriting is another amount of work than writing."""
    from reference import write_family  # here, so that loading OpenCASCADE is in no measurement

    whole, ours, theirs = [], [], []
    for run in range(runs + 1):
        other = scratch / f"reference-{run}"
        other.mkdir()
        for go in range(3):
            ours.append(seconds(lambda: call(plain, family, scratch / f"program-{run}-{go}")))
        theirs.append(seconds(lambda: write_family(manifest, other)))
    for run in range(runs + 1):
        out = scratch / f"whole-{run}"
        whole.append(seconds(lambda: call(program, "build", family, "--out", out)))
    return whole[1:], ours[3:], theirs[1:], other  # the first turn warms caches


def triangles(folder):
    return sum(int.from_bytes(path.read_bytes()[80:84], "little") for path in folder.glob("*.stl"))


def line(what, times):
    middle, least = median(times) * 1e3, min(times) * 1e3
    print(f"{what:<44} median {middle:9.2f} ms   least {least:9.2f} ms   of {len(times)}")


def measure(program, plain, stages, family, runs, scratch):
    """The ratio of the medians: neither a slow turn of one nor a quick turn of the other carries
    it. And by how many milliseconds the whole program's median exceeds the plain one's."""
    peak = peak_megabytes(program, "build", family, "--out", scratch / "peak")
    floor = peak_megabytes(program, "--version")
    start = [seconds(lambda: call(program, "--version")) for _ in range(runs)]
    folder = built_folder(scratch / "peak")
    manifest = json.loads((folder / "manifest.json").read_text(encoding="utf-8"))
    whole, ours, theirs, reference = side_by_side(program, plain, family, manifest, runs, scratch)

    tolerance = manifest["chord_tolerance_mm"]
    print(f"{manifest['family']}: {len(manifest['parts'])} parts, {tolerance} mm chord tolerance")
    line("program, whole process", whole)
    line("program, STL and STEP alone", ours)
    line("program, --version alone", start)
    line("OpenCASCADE, build + mesh + STL + STEP", theirs)
    print(f"triangles: program {triangles(folder)}, OpenCASCADE {triangles(reference)}")
    print(f"peak memory of the program: {peak:.1f} MB (the method sees nothing below {floor:.1f} MB)")
    together = stage_by_stage(stages, family, manifest, runs, reference)
    bytes_alone(folder, runs, scratch)
    middle, least = median(theirs) / median(ours), min(theirs) / min(ours)
    print(f"ratio of medians {middle:.1f}, of least times {least:.1f}")
    return middle, together, (median(whole) - median(ours)) * 1e3


def stage_by_stage(stages, family, manifest, runs, scratch):
    """What solids, tessellation and files take by themselves, both in processes that have warmed up, turn about.
    Ours takes a hundredth of the time, so a turn of ours is many times over: a core that is busy with something
    else for a moment would otherwise be all that a turn sees.
    Ours writes to memory and OpenCASCADE to files in memory, since it can't else; that is little beside the rest."""
    from reference import stages as reference_stages

    ours, theirs = defaultdict(list), defaultdict(list)
    for _ in range(runs):
        answer = subprocess.run([str(stages), str(family), "50"], check=True, capture_output=True, text=True)
        for name, milliseconds in json.loads(answer.stdout).items():
            ours[name].append(milliseconds)
        for name, stage in reference_stages(manifest, scratch).items():
            theirs[name].append(seconds(stage) * 1e3)
    ours = {name: median(times) for name, times in ours.items()}
    for name in ours:
        other = median(theirs[name])
        print(f"{name:<14} program {ours[name]:8.2f} ms   OpenCASCADE {other:8.2f} ms   ratio {other / ours[name]:6.1f}")
    three = ("solids", "tessellation", "STEP")
    ratio = sum(median(theirs[name]) for name in three) / sum(ours[name] for name in three)
    print(f"solids, tessellation and STEP together: ratio {ratio:.1f}")
    print_faceted(manifest, ours, runs, scratch)
    return ratio


def print_faceted(manifest, ours, runs, scratch):
    """The same beside a kernel of triangles, for which solids and tessellation are one. First that it made the same:
    a mesh that strays by no more than the chord tolerance encloses as much up to that times the part's area."""
    import faceted

    chord = manifest["chord_tolerance_mm"]
    for part in manifest["parts"]:
        off = faceted.build(part, chord).volume() - part["volume_mm3"]
        if abs(off) > chord * part["area_mm2"]:
            raise SystemExit(f"{part['id']}: manifold3d made another part, {off:+.1f} mm³")
    theirs = defaultdict(list)
    for _ in range(runs):
        for name, stage in faceted.stages(manifest, scratch).items():
            theirs[name].append(seconds(stage) * 1e3)
    both = ours["solids"] + ours["tessellation"]
    for name, mine, other in [("solids + mesh", both, theirs["solids"]), ("STL", ours["STL"], theirs["STL"])]:
        other = median(other)
        print(f"{name:<14} program {mine:8.2f} ms   manifold3d  {other:8.2f} ms   ratio {other / mine:6.1f}")


def bytes_alone(folder, runs, scratch):
    """How long it takes merely to write those bytes, each file waited for until the disk has it."""
    contents = [(path.name, path.read_bytes()) for path in sorted(folder.iterdir())]
    times = []
    for run in range(runs):
        out = scratch / f"bytes-{run}"
        start = perf_counter()
        out.mkdir()
        for name, content in contents:
            with open(out / name, "wb") as file:
                file.write(content)
                file.flush()
                os.fdatasync(file.fileno())
        times.append(perf_counter() - start)
    line(f"merely writing those {len(contents)} files", times)
    return median(times)


def in_memory():
    """A folder in memory, where there is one: the program waits until the disk has each file, which
    OpenCASCADE does not, and a busy disk would decide."""
    return "/dev/shm" if os.access("/dev/shm", os.W_OK) else None


def main():
    as_written = argparse.RawDescriptionHelpFormatter
    reader = argparse.ArgumentParser(description=__doc__, formatter_class=as_written)
    reader.add_argument("program", type=Path)
    reader.add_argument("plain", type=Path)
    reader.add_argument("stages", type=Path)
    reader.add_argument("family", type=Path)
    reader.add_argument("runs", type=int)
    reader.add_argument("--at-least", type=float, default=0.0, metavar="RATIO")
    reader.add_argument("--together", type=float, default=0.0, metavar="RATIO")
    asked = reader.parse_args()
    programs = asked.program.resolve(), asked.plain.resolve(), asked.stages.resolve()
    with tempfile.TemporaryDirectory(prefix="bobbinwright-speed-", dir=in_memory()) as scratch:
        ratio, together, beyond = measure(*programs, asked.family.resolve(), asked.runs, Path(scratch))
    verdict = "ok" if ratio >= asked.at_least else "FAILED"
    print(f"ratio of medians {ratio:.1f}, asked >= {asked.at_least:g}: {verdict}")
    three = "ok" if together >= asked.together else "FAILED"
    print(f"solids, tessellation and STEP together {together:.1f}, asked >= {asked.together:g}: {three}")
    print(f"plates, ways to lie and papers {beyond:.1f} ms more")
    return 0 if verdict == three == "ok" else 1


if __name__ == "__main__":
    sys.exit(main())
