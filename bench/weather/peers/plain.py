# The weather job in Python's own library: parse, degree days, wet days after wet and after dry ones by month.
import csv, sys

degree_days = 0.0
counts = {}
with open(sys.argv[1], newline='') as f:
    rows = csv.reader(f)
    next(rows)
    station = None
    before = None
    for name, date, high, low, rain in rows:
        mean = (float(high) + float(low)) / 2
        if mean > 0:
            degree_days += mean
        if name != station:
            station, before = name, None
        wet = float(rain) >= 1
        if before is not None:
            key = (name, date[5:7], before, wet)
            counts[key] = counts.get(key, 0) + 1
        before = wet
total = lambda b: sum(n for (_, _, was, now), n in counts.items() if was == b and now)
print('degree days %.3f, wet after wet %d, wet after dry %d' % (degree_days, total(True), total(False)))
