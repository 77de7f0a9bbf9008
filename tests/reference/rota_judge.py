"""A judge of bell-run rotas written from the published texts, sharing nothing with the program.

The texts, as they stand beside each function: UK HSE DVIS 7 (1998); Norway, Activities Regulations s. 94; France,
order of 14 May 2019, art. 25 to 27; Brazil, NORMAM-222 (January 2025) 10.7; Canada,
SOR/88-600 s. 62 and its hours of rest; Canada-NL, SOR/2021-247. What is known of a text from memory alone (the days
and intervals of the UK, the days of Brazil) is not judged.

Where a text does not name the moments at which a clock starts and stops, a run may be counted from the bell sealed
to the bell sealed again or from the start of the checks to everybody home. A verdict that hangs on that is `either`.
A saturation is at depth from reaching the depth until it is left: Norway's text counts the time at working depth, and
no hour of settling stands in it.

    python3 rota_judge.py            judges data/rota_tables.csv and data/rota_days.csv, and the tables by hand below,
                                     which it writes to data/rota_by_hand.csv and data/rota_by_hand_days.csv;
                                     writes data/rota_verdicts.csv
"""

import csv
import os
from collections import defaultdict

HERE = os.path.join(os.path.dirname(os.path.abspath(__file__)), "data")
MIN, H, D = 60, 3600, 86400


class Run:
    def __init__(self, number, leave, back, depth, crew, wet, lead, tail, dry):
        self.number, self.leave, self.back, self.depth = number, leave, back, depth
        self.crew, self.wet, self.lead, self.tail, self.dry = crew, wet, lead, tail, dry

    def span(self, wide):
        return (self.leave - self.lead, self.back + self.tail) if wide else (self.leave, self.back)


def inside(spans, end, window):
    return sum(max(0, min(b, end) - max(a, end - window)) for a, b in spans)


def most_in(spans, window):
    """Most in any window: it is found where a span ends."""
    return max((inside(spans, b, window) for _, b in spans), default=0)


# --- hours: each takes the runs of one diver in order, and whether they are counted widely; yields kinds broken ---


def uk(runs, wide, start_of_day):
    """Bell run 8 h from first lock-off to final lock-on, the clock not set back where the bell comes home and leaves
    again; up to 6 h in the water; one run in 24 h; 12 h of rest at the least."""
    joined = []
    for r in runs:
        a, b = r.span(wide)
        if joined:
            gap, whole = a - joined[-1]["to"], b - joined[-1]["from"]
            # Too short a rest between two runs, or one run too long with the clock running on: the lesser of the two.
            if gap < 12 * H and whole - 8 * H <= 12 * H - gap:
                joined[-1]["to"] = b
                joined[-1]["wet"] += sum(y - x for x, y in r.wet)
                continue
        joined.append({"from": a, "to": b, "wet": sum(y - x for x, y in r.wet)})
    for k, j in enumerate(joined):
        if j["to"] - j["from"] > 8 * H:
            yield "run"
        if j["wet"] > 6 * H:
            yield "water"
        if k and j["from"] - joined[k - 1]["to"] < 12 * H:
            yield "rest"
        if k and j["from"] - joined[k - 1]["from"] < 24 * H:
            yield "runs"


def norway(runs, wide, start_of_day):
    """To 180 m 8 h of bell run and 4 h in any 12 h in the water; in a three-man bell 6 h in all if there is a break of
    30 min in the bell in the third to fourth hour, the break counted, and a dry day as bellman at least every third
    day. Deeper 6 h of bell run and 3 h in any 12 h."""
    all_wet = [w for r in runs for w in r.wet]
    wet_days = []
    for r in runs:
        a, b = r.span(wide)
        deep = r.depth > 180.0
        if b - a > (6 * H if deep else 8 * H):
            yield "run"
        if not r.wet:
            continue
        limit = 3 * H if deep else 4 * H
        found = max(inside(all_wet, e, 12 * H) for _, e in r.wet)
        out, back = r.wet[0][0], r.wet[-1][1]
        longer = back - out > limit
        if deep or len(r.crew) < 3:
            if found > limit:
                yield "water"
            continue
        wet_days.append(((start_of_day + r.leave) // D, longer))
        if longer or found > limit:
            wholes = [(q.wet[0][0], q.wet[-1][1]) for q in runs if q.wet]
            if inside(wholes, back, 12 * H) > 6 * H:
                yield "water"
            breaks = [min(y, out + 4 * H) - max(x, out + 2 * H) for (_, x), (y, _) in zip(r.wet, r.wet[1:])]
            if max(breaks, default=0) < 30 * MIN:
                yield "break"
    # Three wet days on end, with the longer time used on one of them, leave no dry third day.
    days = defaultdict(bool)
    for day, longer in wet_days:
        days[day] = days[day] or longer
    for day in days:
        three = [day, day - 1, day - 2]
        if all(d in days for d in three) and any(days[d] for d in three):
            yield "dry"


def france(runs, wide, start_of_day):
    """8 h from clamp off to clamp on. The 7 h in the water of the order of 1992 were abrogated in 2012, and the order of
    2019 has none."""
    for r in runs:
        a, b = r.span(wide)
        if b - a > 8 * H:
            yield "run"


def brazil(runs, wide, start_of_day):
    """One run of 8 h seal to seal in 24 h; in the water 6 h to 210 m, 5 h to 260 m, 4 h to 300 m; 12 h of rest."""
    spans = [r.span(wide) for r in runs]
    for k, r in enumerate(runs):
        a, b = spans[k]
        if b - a > 8 * H:
            yield "run"
        if inside(spans, b, 24 * H) > 8 * H:
            yield "window"
        limit = 6 * H if r.depth <= 210 else 5 * H if r.depth <= 260 else 4 * H
        if sum(y - x for x, y in r.wet) > limit:
            yield "water"
        if k and a - spans[k - 1][1] < 12 * H:
            yield "rest"
        if k and a - spans[k - 1][0] < 24 * H:
            yield "runs"


def canada(runs, wide, start_of_day):
    """8 h of rest on end, and no more than 12 h of work in 24 h."""
    spans = [r.span(wide) for r in runs]
    for k, (a, b) in enumerate(spans):
        if k and a - spans[k - 1][1] < 8 * H:
            yield "rest"
        if inside(spans, b, 24 * H) > 12 * H:
            yield "work"


def nothing(runs, wide, start_of_day):
    """Canada-NL prints no hours of bell runs."""
    return iter(())


HOURS = {"uk": uk, "norway": norway, "france": france, "brazil-2025": brazil, "canada": canada, "canada-nl": nothing}


# --- days: the saturations of one diver in order, each with the deepest of storage and work ---


def days(of, saturations, wide):
    before = None
    for s in saturations:
        under = s["surfaced"] - s["pressed"]
        at_depth = s["leaves"] - s["reached"]
        deep = s["deepest"] > 180.0
        if of == "norway" and at_depth > (10 * D if deep else 14 * D):
            yield "days"
        longest = {"france": 30 * D, "canada": 31 * D, "canada-nl": 28 * D}.get(of)
        if longest and under > longest:
            yield "days"
        if of == "france" and s["in_year"] + under > 100 * D:
            yield "year"
        if before is None and s["before"]:
            ago, length = s["before"]
            before = (-ago, length, deep)
        if before is not None:
            surfaced, length, was_deep = before
            interval = s["pressed"] - surfaced
            asked = {
                "norway": length * (2 if was_deep else 1),
                "france": length,
                "canada": 14 * D if length <= 14 * D else 28 * D,
            }.get(of)
            if asked is not None and interval < asked:
                yield "interval"
        before = (s["surfaced"], under, deep)
        for later in saturations[saturations.index(s) + 1 :]:
            later["in_year"] += under


def judge(of, runs, saturations, start_of_day):
    """What is broken, and what hangs on how it is counted, of one diver."""
    counted = []
    for wide in (False, True):
        kinds = set(HOURS[of](runs, wide, start_of_day))
        kinds |= set(days(of, [dict(s) for s in saturations], wide))
        counted.append(kinds)
    return counted[0] & counted[1], counted[0] ^ counted[1]


# --- tables by hand: each just passes or just fails ---


class Table:
    def __init__(self, name, of, depth):
        self.name, self.of, self.depth, self.runs, self.saturations = name, of, depth, [], []

    def run(self, leave, length, *wets, depth=None):
        """A run of as many as have a list of times in the water (minutes from its start); an empty one is bellman."""
        self.runs.append((leave, length, [[(a * MIN, b * MIN) for a, b in w] for w in wets], depth or self.depth))
        return self

    def days(self, pressed, reached, leaves, surfaced, deepest=None, before=None, in_year=0):
        self.saturations.append((pressed, reached, leaves, surfaced, before, in_year))
        return self


def by_hand():
    all_ = []

    def t(name, of, depth=150.0):
        all_.append(Table(name, of, depth))
        return all_[-1]

    w = lambda *pairs: list(pairs)
    short = w((10, 40))
    tends = []
    for late in (0, 1):
        word = "fails" if late else "passes"
        m = late * MIN
        t(f"uk run {word}", "uk").run(D, 8 * H + m, short, short, tends)
        t(f"uk clock runs on {word}", "uk").run(D, 3 * H + 30 * MIN, short, short, tends).run(
            D + 4 * H + 30 * MIN, 3 * H + 30 * MIN + m, short, short, tends)
        t(f"uk water {word}", "uk").run(D, 7 * H, w((10, 370 + late)), short, tends)
        t(f"uk rest {word}", "uk").run(D, 8 * H, short, short, tends).run(D + 20 * H - m, 8 * H, short, short, tends)
        t(f"uk runs a day {word}", "uk").run(D, 8 * H, short, short, tends).run(2 * D - m, 8 * H, short, short, tends)
        t(f"norway run {word}", "norway").run(D, 8 * H + m, short, short, tends)
        t(f"norway run deep {word}", "norway", 200.0).run(D, 6 * H + m, short, short, tends)
        t(f"norway two men water {word}", "norway").run(D, 7 * H, w((10, 250 + late)), tends)
        t(f"norway deep water {word}", "norway", 200.0).run(D, 5 * H, w((10, 190 + late)), short, tends)
        t(f"norway two runs in twelve hours {word}", "norway").run(D, 4 * H, w((10, 130)), tends).run(
            D + 8 * H, 4 * H, w((10, 130 + late)), tends)
        t(f"norway two runs deep {word}", "norway", 190.0).run(D, 4 * H, w((10, 100)), tends).run(
            D + 7 * H, 4 * H, w((10, 100 + late)), tends)
        t(f"norway three men six hours {word}", "norway").run(D, 7 * H + 30 * MIN, w((10, 160), (190, 370 + late)), short, tends)
        t(f"norway break long enough {word}", "norway").run(D, 7 * H, w((10, 160), (190 - late, 360)), short, tends)
        t(f"norway break not too soon {word}", "norway").run(D, 7 * H, w((10, 130 - late), (160 - late, 360)), short, tends)
        t(f"norway break not too late {word}", "norway").run(D, 7 * H, w((10, 220 + late), (250 + late, 360)), short, tends)
        long = w((10, 160), (190, 360))
        dry = t(f"norway dry day {word}", "norway")
        for day in range(3):
            dry.run((1 + day) * D, 7 * H, *([long, short, tends] if day < 2 or late else [tends, short, long]))
        t(f"norway at the edge of the depths {word}", "norway", 180.0 + late).run(D, 7 * H, short, short, tends)
        t(f"norway water at the edge {word}", "norway", 180.0 + late).run(D, 5 * H, w((10, 250)), tends)
        t(f"france run {word}", "france").run(D, 8 * H + m, short, short, tends)
        t(f"brazil run {word}", "brazil-2025").run(D, 8 * H + m, short, short, tends)
        t(f"brazil water 210 {word}", "brazil-2025", 210.0).run(D, 7 * H, w((10, 370 + late)), short, tends)
        t(f"brazil water 260 {word}", "brazil-2025", 260.0).run(D, 7 * H, w((10, 310 + late)), short, tends)
        t(f"brazil water 300 {word}", "brazil-2025", 300.0).run(D, 7 * H, w((10, 250 + late)), short, tends)
        t(f"brazil edge 210 {word}", "brazil-2025", 210.0 + late).run(D, 7 * H, w((10, 340)), short, tends)
        t(f"brazil edge 260 {word}", "brazil-2025", 260.0 + late).run(D, 7 * H, w((10, 280)), short, tends)
        t(f"brazil runs a day {word}", "brazil-2025").run(D, 7 * H, short, short, tends).run(2 * D - m, 7 * H, short, short, tends)
        t(f"canada rest {word}", "canada").run(D, 4 * H, short, short, tends).run(D + 12 * H - m, 4 * H, short, short, tends)
        t(f"canada work {word}", "canada").run(D, 6 * H, short, short, tends).run(D + 14 * H, 6 * H + m, short, short, tends)
        one = lambda x, depth: x.days(D, D + 6 * H, D + 6 * H + depth + m, D + 6 * H + depth + m + 5 * D)
        one(t(f"norway days {word}", "norway"), 14 * D)
        one(t(f"norway days deep {word}", "norway", 200.0), 10 * D)
        t(f"norway days at the edge {word}", "norway", 180.0 + late).days(D, D + 6 * H, 12 * D, 17 * D)
        under = lambda x, length, **k: x.days(D, D + 6 * H, D + length - 5 * D, D + length + m, **k)
        under(t(f"france days {word}", "france"), 30 * D)
        under(t(f"canada days {word}", "canada"), 31 * D)
        under(t(f"canada-nl days {word}", "canada-nl"), 28 * D)
        under(t(f"france year {word}", "france"), 20 * D, in_year=80 * D)
        gap = lambda x, length, gap, **k: x.days(D, D + 6 * H, D + length - 4 * D, D + length, **k).days(
            D + length + gap - m, D + length + gap + 6 * H, D + length + gap + 3 * D, D + length + gap + 6 * D)
        gap(t(f"norway interval {word}", "norway"), 15 * D, 15 * D)
        gap(t(f"norway interval deep {word}", "norway", 200.0), 12 * D, 24 * D)
        gap(t(f"france interval {word}", "france"), 20 * D, 20 * D)
        gap(t(f"canada interval {word}", "canada"), 14 * D, 14 * D)
        gap(t(f"canada interval long {word}", "canada"), 15 * D, 28 * D)
        t(f"france interval before the job {word}", "france").days(D, D + 6 * H, 6 * D, 10 * D, before=(19 * D - m, 20 * D))
        t(f"canada interval before the job {word}", "canada").days(D, D + 6 * H, 6 * D, 10 * D, before=(27 * D - m, 20 * D))
    return all_


def write_by_hand(tables):
    with open(os.path.join(HERE, "rota_by_hand.csv"), "w", newline="") as f:
        out = csv.writer(f, lineterminator="\n")
        f.write("# Tables by hand, each just passing or just failing (rota_judge.py); a bell that is at depth at once.\n")
        out.writerow("case,set,start_s,run,leave_s,return_s,depth_msw,lead_s,tail_s,diver,role,wet".split(","))
        for t in tables:
            for n, (leave, length, wets, depth) in enumerate(t.runs):
                for d, wet in enumerate(wets):
                    spans = " ".join(f"{leave + a}-{leave + b}" for a, b in wet)
                    out.writerow([t.name, t.of, 0, n, leave, leave + length, depth, 0, 0, d, "diver" if wet else "bellman", spans])
            if not t.runs:
                out.writerow([t.name, t.of, 0, "", "", "", t.depth, "", "", "", "", ""])
    with open(os.path.join(HERE, "rota_by_hand_days.csv"), "w", newline="") as f:
        out = csv.writer(f, lineterminator="\n")
        f.write("# The saturations of the first diver in the tables by hand (rota_judge.py).\n")
        out.writerow("case,diver,pressed_s,reached_s,settled_s,leaves_s,surfaced_s,storage_msw,before_ago_s,before_length_s,in_year_s".split(","))
        for t in tables:
            for pressed, reached, leaves, surfaced, before, in_year in t.saturations:
                ago, length = before or ("", "")
                out.writerow([t.name, 0, pressed, reached, reached, leaves, surfaced, t.depth, ago, length, in_year])


def read(name):
    with open(os.path.join(HERE, name)) as f:
        return list(csv.DictReader(line for line in f if not line.startswith("#")))


def cases(tables, days_):
    """Each case: its set, start of day, runs by diver, saturations by diver."""
    found = {}
    for row in read(tables):
        case = found.setdefault(row["case"], {"set": row["set"], "start": int(row["start_s"]), "runs": {}, "days": defaultdict(list)})
        if row["run"] == "":
            continue
        run = case["runs"].setdefault(int(row["run"]), {"row": row, "crew": [], "wet": {}, "dry": set()})
        d = int(row["diver"])
        run["crew"].append(d)
        run["wet"][d] = [tuple(int(x) for x in s.split("-")) for s in row["wet"].split()]
        if row["role"] == "bellman":
            run["dry"].add(d)
    for row in read(days_):
        if row["case"] not in found:
            continue
        before = (int(row["before_ago_s"]), int(row["before_length_s"])) if row["before_ago_s"] else None
        found[row["case"]]["days"][int(row["diver"])].append({
            "pressed": int(row["pressed_s"]), "reached": int(row["reached_s"]), "settled": int(row["settled_s"]),
            "leaves": int(row["leaves_s"]), "surfaced": int(row["surfaced_s"]), "deepest": float(row["storage_msw"]),
            "before": before, "in_year": int(row["in_year_s"])})
    return found


def verdicts(found):
    for name, case in found.items():
        by_diver = defaultdict(list)
        for n, run in sorted(case["runs"].items(), key=lambda r: int(r[1]["row"]["leave_s"])):
            row = run["row"]
            for d in run["crew"]:
                by_diver[d].append(Run(n, int(row["leave_s"]), int(row["return_s"]), float(row["depth_msw"]), run["crew"],
                                       run["wet"][d], int(row["lead_s"]), int(row["tail_s"]), d in run["dry"]))
        for d in sorted(set(by_diver) | set(case["days"])):
            saturations = case["days"].get(d, [])
            for s in saturations:
                here = [r.depth for r in by_diver[d] if r.leave < s["surfaced"] and s["pressed"] < r.back]
                s["deepest"] = max([s["deepest"]] + here)
            broken, either = judge(case["set"], by_diver[d], saturations, case["start"])
            for kind in sorted(broken):
                yield name, d, kind, "broken"
            for kind in sorted(either):
                yield name, d, kind, "either"


def main():
    write_by_hand(by_hand())
    with open(os.path.join(HERE, "rota_verdicts.csv"), "w", newline="") as f:
        f.write("# What is broken in the rotas and the tables by hand, by a judge written from the texts (rota_judge.py);\n")
        f.write("# either: it hangs on which moments are counted. What is not named is kept, or not in the text.\n")
        out = csv.writer(f, lineterminator="\n")
        out.writerow(["case", "diver", "kind", "verdict"])
        for tables, days_ in (("rota_by_hand.csv", "rota_by_hand_days.csv"), ("rota_tables.csv", "rota_days.csv")):
            if os.path.exists(os.path.join(HERE, tables)):
                out.writerows(verdicts(cases(tables, days_)))


main()
