#!/usr/bin/env python3
"""Runs the weather job in Culm and in the programs beside it, in turn, on the same file.

    beside.py ROUNDS NAME=COMMAND ...

The first name is Culm's. Outputs are compared before times are: the numbers in the first line must be equal, or,
for programs that draw (ROUNDS written 5random), are shown.
Prints the median of CPU seconds (user and system) of each, its range, the ratio of the medians to Culm's, and
the peak of memory. Only Python's own library is needed.
"""
import os, re, statistics, subprocess, sys


def run(command):
    p = subprocess.Popen(command, shell=True, stdout=subprocess.PIPE, text=True)
    out = p.stdout.read()
    _, status, use = os.wait4(p.pid, 0)
    if status:
        sys.exit(f'{command} failed')
    return out.splitlines()[0], use.ru_utime + use.ru_stime, use.ru_maxrss / 1024


def numbers(line):
    # A count of stations is told by Culm alone.
    return re.findall(r'\d[\d.]*', re.sub(r'^\d+ stations, ', '', line))


def main():
    random = sys.argv[1].endswith('random')
    rounds = int(sys.argv[1].removesuffix('random'))
    jobs = [a.split('=', 1) for a in sys.argv[2:]]
    said, times, peaks = {}, {n: [] for n, _ in jobs}, {n: 0 for n, _ in jobs}
    for _ in range(rounds):
        for name, command in jobs:
            said[name], cpu, peak = run(command)
            times[name].append(cpu)
            peaks[name] = max(peaks[name], peak)
    first = jobs[0][0]
    for name, _ in jobs:
        agrees = 'agrees' if numbers(said[name]) == numbers(said[first]) else 'DIFFERS: ' + said[name]
        if random:
            agrees = 'says ' + said[name]
        m = statistics.median(times[name])
        base = statistics.median(times[first])
        print(f'{name:14} {m:7.3f} s CPU ({min(times[name]):.3f} to {max(times[name]):.3f}), Culm takes {base / m:.3f} of it, peak {peaks[name]:5.0f} MiB, {agrees}')


main()
