"""Reads the pack's other formats back with independent readers, for every sample.

Usage: python3 tests/oracles/pack.py HULLWIRE SAMPLE...
Needs ezdxf, openpyxl and pillow from PyPI; where chromium is installed the HTML page is opened in it without a display.

- DXF: ezdxf reads it and its audit finds no error; the layers are there.
- XLSX: openpyxl reads it; current and drop of every cable equal those of `solve --format json`.
- PNG: Pillow decodes it; it is neither empty nor all one colour.
- HTML: Chromium runs its script; every part is a button that can be reached, and the particulars are filled in.
- Every format: two runs give the same bytes.
"""

import json
import pathlib
import shutil
import subprocess
import sys
import tempfile

import ezdxf
import openpyxl
from PIL import Image

LAYERS = {"CABLES", "SYMBOLS", "TEXT", "SPACES", "MARKS", "BORDER"}


def run(*words):
    done = subprocess.run([str(w) for w in words], capture_output=True, text=True, check=False)
    assert done.returncode in (0, 1), (words, done.stderr)
    return done.stdout


def dxf(path):
    drawing = ezdxf.readfile(path)
    audit = drawing.audit()
    assert not audit.errors, [(e.code, e.message) for e in audit.errors[:5]]
    used = {entity.dxf.layer for entity in drawing.modelspace()}
    assert used <= LAYERS and {"CABLES", "SYMBOLS", "TEXT", "BORDER"} <= used, used
    return len(list(drawing.modelspace()))


def xlsx(path, solved):
    book = openpyxl.load_workbook(path)
    sheet = book["cables"]
    heads = [cell.value for cell in sheet[1]]
    at = {name: heads.index(name) for name in ("To", "Current (A)", "Drop (V)", "State")}
    compared = 0
    for row in sheet.iter_rows(min_row=2, values_only=True):
        if row[at["State"]] != "in use":
            continue
        # A name is tag and label; tags have no blanks in the samples.
        figures = solved["cables"][row[at["To"]].split(" ")[0]]
        for head, key in (("Current (A)", "amps"), ("Drop (V)", "drop_volts")):
            shown, computed = row[at[head]], figures[key]
            if computed is None:
                assert shown == "not known", (row, key)
            else:
                assert isinstance(shown, (int, float)), (row, key)
                assert abs(shown - computed) <= 1e-9 * max(1.0, abs(computed)), (row, key, computed)
                compared += 1
    assert compared > 10, compared
    assert all(page.freeze_panes == "A2" for page in book.worksheets[1:])
    return compared


def png(path):
    with Image.open(path) as picture:
        picture.load()
        low, high = picture.convert("L").getextrema()
        assert low < 64 and high == 255, (low, high)
        return picture.size


def html(path, solved, chromium):
    out = subprocess.run(
        [chromium, "--headless", "--no-sandbox", "--disable-gpu", "--virtual-time-budget=4000", "--dump-dom", path.as_uri()],
        capture_output=True, text=True, check=True, timeout=120,
    ).stdout
    assert "Tap a part or a cable" in out, "the script ran"
    for tag in solved["parts"]:
        assert f'aria-label="{tag}' in out, tag
    return out.count('role="button"')


def main():
    program, samples = sys.argv[1], sys.argv[2:]
    assert samples, __doc__
    chromium = shutil.which("chromium")
    for sample in samples:
        solved = json.loads(run(program, "solve", sample, "--format", "json"))
        with tempfile.TemporaryDirectory() as folder:
            here = pathlib.Path(folder)
            made = {}
            for ending in ("svg", "png", "dxf", "xlsx", "html"):
                made[ending] = here / f"a.{ending}"
                again = here / f"b.{ending}"
                run(program, "sheets", sample, "-o", made[ending])
                run(program, "sheets", sample, "-o", again)
                assert made[ending].read_bytes() == again.read_bytes(), f"{sample}: {ending} differs between two runs"
            entities = dxf(made["dxf"])
            figures = xlsx(made["xlsx"], solved)
            size = png(made["png"])
            buttons = html(made["html"], solved, chromium) if chromium else "no chromium"
            print(f"{sample}: {entities} entities, {figures} figures, {size} pixels, {buttons} buttons")


if __name__ == "__main__":
    main()
