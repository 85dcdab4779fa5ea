"""Compares the figures on paper with those that the program prints as JSON.

Usage: python3 tests/oracles/pack_paper.py SOLVE.json LOADS.json PACK.pdf
Needs poppler. Every row of the cable schedule, of the panel schedules and of the load sheets is read from the text of the
PDF by its place on the line, and each label of a cable on the diagram is looked for.
"""

import json
import re
import subprocess
import sys

NUMBER = r"[−-]?[\d,]+(?:\.\d+)?|not known|–|above [\d,]+ W"
STATUS = r"existing|new|to be removed"


# Margins left and right of the body, in points: 20 mm and 10 mm.
LEFT, RIGHT = 20 * 72 / 25.4, 10 * 72 / 25.4


def pdftotext(pdf, *options):
    return subprocess.run(["pdftotext", *options, pdf, "-"], capture_output=True, text=True, check=True).stdout


def clean(out):
    # Letters of the grid references stand at both ends of a line.
    return [re.sub(r"^[A-H] {2,}|\s{2,}[A-H]$", "", line.rstrip()).strip() for line in out.splitlines()]


def by_column(pdf):
    """The lines of all pages; those of a page on which tables stand side by side column by column."""
    pages = re.findall(r'<page width="([\d.]+)" height="([\d.]+)">(.*?)</page>', pdftotext(pdf, "-bbox"), re.S)
    lines = []
    for number, (width, height, words) in enumerate(pages, 1):
        middle = (LEFT + float(width) - RIGHT) / 2
        titles = re.findall(r'xMin="([\d.]+)"[^>]*>Load</word>\s*<word[^>]*>analysis:</word>', words)
        cuts = [(0, middle), (middle, float(width))] if any(float(x) > middle for x in titles) else [(0, float(width))]
        for left, right in cuts:
            crop = ["-x", f"{left:.0f}", "-y", "0", "-W", f"{right - left:.0f}", "-H", f"{float(height):.0f}"]
            lines += clean(pdftotext(pdf, "-layout", "-r", "72", "-f", str(number), "-l", str(number), *crop))
    return lines


def same(shown, figure, step):
    """A figure as it is printed, at most half a step away; not known and – where there is none."""
    if figure is None:
        return shown in ("not known", "–")
    if shown in ("not known", "–") or shown.startswith("above"):
        return False
    return abs(float(shown.replace(",", "").replace("−", "-")) - figure) <= 0.5 * step + 1e-9


def amps(shown, figure):
    return same(shown, figure, 1.0 if figure is not None and abs(figure) >= 99.95 else 0.1)


def cables(lines, solved, wrong):
    row = re.compile(rf"^(\(W\d+\)|\S+) .*?({NUMBER}) +\d[\d.]* A: .*?({NUMBER}) +({NUMBER}) +({NUMBER}) +fed +(?:{STATUS})$")
    seen = set()
    for line in lines:
        found = row.match(line)
        if not found:
            continue
        tags = [word for word in line.split() if word in solved["parts"]]
        to = tags[1] if "shore (cord)" not in line else tags[0]
        cable, seen = solved["cables"][to], seen | {to}
        for what, good in (
            ("ampacity", amps(found[2], cable["ampacity_a"])),
            ("amps", amps(found[3], cable["amps"])),
            ("drop", same(found[4], cable["drop_volts"], 0.01)),
            ("drop to here", same(found[5], solved["parts"][to]["drop_percent"], 0.1)),
        ):
            if not good:
                wrong.append(f"cable to {to}: {what}: {line}")
    fitted = {tag for tag, c in solved["cables"].items() if c["ohms"] and c["amps"] is not None}
    wrong += [f"the cable to {tag} is not in the schedule" for tag in fitted - seen]
    return 4 * len(seen)


def panels(lines, solved, loads, wrong):
    end = re.compile(rf"^(?:\d+|its own output|\S+) +(\S+) .*?({NUMBER}) +({NUMBER}) +({NUMBER}) +fed(?:, \w+)? +(?:{STATUS})$")
    seen = set()
    for line in lines:
        found = end.match(line)
        # A row of the cable schedule says how its ampacity comes about.
        if not found or " A: " in line or found[1] not in solved["parts"]:
            continue
        tag, seen = found[1], seen | {found[1]}
        if tag in loads["breakers"]:
            bus = loads["breakers"][tag]
            if not amps(found[4], solved["parts"][tag]["amps"]):
                wrong.append(f"{tag}: amps of the panel schedule: {line}")
            if not bus["not_known"] and not same(found[3], bus["running_watts"], 1.0):
                wrong.append(f"{tag}: running watts of the panel schedule: {line}")
            if not bus["not_known"] and not same(found[2], bus["connected_watts"], 1.0):
                wrong.append(f"{tag}: connected watts of the panel schedule: {line}")
    wrong += [f"{tag} is in no panel schedule" for tag in set(loads["breakers"]) - seen]
    return 3 * len(seen & set(loads["breakers"]))


def load_sheets(lines, loads, wrong):
    """The load sheets one after the other, each from its title to the next."""
    count, at = 0, None
    rows = {c["condition"]: {} for c in loads["conditions"]}
    tail = re.compile(rf"((?:(?:{NUMBER})(?: A| W)? *)+)$")
    for line in lines:
        title = re.match(r"Load analysis: (.*?)(?:, continued)?$", line)
        if title and title[1] in rows:
            at = title[1]
        elif re.match(r"(Survey|Standing cautions)\b", line):
            at = None
        found = tail.search(line)
        if at and found:
            figures = re.findall(rf"({NUMBER})(?: A| W)?(?: +|$)", found[1])
            rows[at].setdefault(line.split()[0], figures)
    for condition in loads["conditions"]:
        for kind in ("sources", "equipment", "panels", "breakers"):
            for tag, bus in condition[kind].items():
                if bus["not_known"]:
                    continue
                unit = "watts" if "rating_watts" in bus else "amps"
                current = [(bus[k], 0.1) for k in ("amps", "amps_l1", "amps_l2", "unbalance_percent") if k in bus]
                wanted = [(bus[f"{k}_watts"] if k != "va" else bus["running_va"], 1.0) for k in ("connected", "running", "va", "mean")]
                wanted += current + [(bus[f"rating_{unit}"], 1.0 if unit == "watts" else 0.1), (bus[f"reserve_{unit}"], 1.0 if unit == "watts" else 0.1), (bus["load_percent"], 0.1)]
                shown = rows[condition["condition"]].get(tag, [])[-len(wanted):]
                good = len(shown) == len(wanted) and all(
                    same(s, f, 1.0 if f is not None and step == 0.1 and abs(f) >= 99.95 else step) for s, (f, step) in zip(shown, wanted))
                if not good:
                    wrong.append(f"{condition['condition']}: {tag}: {shown} for {wanted}")
                count += len(wanted)
    return count


def diagram(raw, solved, wrong):
    said, count = " ".join(" ".join(raw).split()), 0
    nominal = 230.0 if solved["system"].startswith("230") else 120.0
    for tag, cable in solved["cables"].items():
        current, drop = cable["amps"], cable["drop_volts"]
        if not cable["ohms"] or current is None or current < 0.05 or drop is None or tag in solved["sources"]:
            continue
        shown = f"{current:.0f}" if current >= 99.95 else f"{current:.1f}"
        if not any(f"{shown} A · {100 * drop / (lines * nominal):.1f} %" in said for lines in (1, 2)):
            wrong.append(f"the diagram does not say {shown} A at the cable to {tag}")
        count += 1
    return count


def main():
    solved, loads = (json.load(open(path)) for path in sys.argv[1:3])
    here = next(c for c in loads["conditions"] if c["condition"] == solved["condition"])
    lines, wrong = clean(pdftotext(sys.argv[3], "-layout")), []
    counts = {
        "of the cable schedule": cables(lines, solved, wrong),
        "of panel schedules": panels(lines, solved, here, wrong),
        "of load sheets": load_sheets(by_column(sys.argv[3]), loads, wrong),
        "labels of the diagram": diagram(clean(pdftotext(sys.argv[3], "-raw")), solved, wrong),
    }
    for what, least in (("of the cable schedule", 20), ("of panel schedules", 15), ("of load sheets", 60), ("labels of the diagram", 5)):
        if counts[what] < least:
            wrong.append(f"only {counts[what]} figures {what} were found")
    if wrong:
        sys.exit(f"pack: {sys.argv[3]}:\n" + "\n".join(wrong[:20]))
    print(f"{sys.argv[3].split('/')[-1]}: on paper as computed: " + ", ".join(f"{n} {what}" for what, n in counts.items()))


if __name__ == "__main__":
    main()
