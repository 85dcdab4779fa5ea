"""Reads the pack's other formats back with independent readers, for every sample.

Usage: python3 tests/oracles/pack.py HULLWIRE SAMPLE...
Needs ezdxf, openpyxl, pillow, lxml, svgelements and websocket-client from PyPI, poppler, and an installed chromium.

- DXF: ezdxf reads it and its audit finds no error; the layers are there.
- XLSX: openpyxl reads it; current and drop of every cable equal those of `solve --format json`.
- PNG: Pillow decodes it; it is neither empty nor all one colour.
- SVG: lxml parses it, svgelements reads its shapes: all on the sheet, every part and cable named.
- HTML: driven in Chromium as on a phone: a tap on a part shows its data (those of `solve`) and findings (those of
  `survey`) and lights its path to the source; pinch, buttons and keys; light, dark and print; nothing is loaded.
- CSV: every table has rows of equal length.
- Every format: two runs give the same bytes.
"""

import csv
import json
import pathlib
import shutil
import subprocess
import sys
import tempfile

import ezdxf
import openpyxl
import svgelements
from chromium import Browser
from lxml import etree
from PIL import Image

SVG = "{http://www.w3.org/2000/svg}"

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
        if row[at["State"]] != "fed":
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


def svg(path, program, sample):
    """lxml parses it strictly, svgelements reads the shapes: all on the sheet, a group with a title for each part and cable."""
    root = etree.parse(str(path), etree.XMLParser(no_network=True, recover=False)).getroot()
    assert root.tag == SVG + "svg", root.tag
    groups = {}
    for group in root.iter(SVG + "g"):
        title = group.find(SVG + "title")
        groups.setdefault(group.get("data-of"), title.text if title is not None else None)
    rows = listed(program, sample)
    names = " ".join(filter(None, groups.values())).split()
    assert all(tag in names for tag in rows), "a title for every part"
    x, y, w, h = (float(v) for v in root.get("viewBox").split())
    drawing = svgelements.SVG.parse(str(path), ppi=25.4, reify=True)
    # The reader gives pixels of a 25.4th of an inch from the corner of the picture: millimetres.
    shapes = [e for e in drawing.elements() if isinstance(e, svgelements.Shape)]
    for shape in shapes:
        box = shape.bbox()
        if box:
            assert box[0] >= -0.01 and box[1] >= -0.01 and box[2] <= w + 0.01 and box[3] <= h + 0.01, (shape, box, (w, h))
    said = " ".join(e.text for e in drawing.elements() if isinstance(e, svgelements.Text) and e.text)
    assert all(tag in said for tag in rows), "every tag is written"
    assert "Not for construction" in said
    assert len(shapes) > 2 * len(rows), len(shapes)
    return len(shapes)


def listed(program, sample):
    """The circuit list: tag to what feeds it."""
    with tempfile.TemporaryDirectory() as folder:
        out = pathlib.Path(folder, "list.csv")
        run(program, "export", sample, "-o", out)
        lines = [line for line in out.read_text().splitlines() if not line.startswith("#")]
    return {row["tag"]: [t for t in row["fed_from"].split("|") if t] for row in csv.DictReader(lines)}


def upstream(tag, feeds, solved):
    """Tags from a part up to its source, by the list alone: of several feeds the one that is energised."""
    out = [tag]
    while True:
        live = [t for t in feeds[out[-1]] if solved["parts"][t]["energised"]]
        if not live or out[-1] in solved["sources"]:
            return out
        out.append(live[0])


CENTRE = """(() => {
  const of = [...document.querySelectorAll('g[data-of]')].filter((g) => g.getAttribute('data-of') === %s);
  const shapes = of.flatMap((g) => [...g.querySelectorAll('path, rect, circle, text')]);
  for (const shape of shapes) {
    const r = shape.getBoundingClientRect();
    const x = r.x + r.width / 2, y = r.y + r.height / 2;
    const hit = document.elementFromPoint(x, y);
    const g = hit && hit.closest('g[data-of]');
    if (g && g.dataset.of === %s) return [x, y];
  }
  return null;
})()"""


def html(path, solved, feeds, survey, chromium, folder):
    """A phone in Chromium: taps, pinches and keys; what the page then shows against solve and survey."""
    with Browser(chromium) as page:
        page.open(path)
        assert all(url.startswith(("file:", "data:")) for url in page.requests), [u[:60] for u in page.requests]
        assert page.run("document.documentElement.scrollWidth") <= 390, "the page is no wider than the phone"
        page.run("document.querySelector('.drawing').scrollIntoView()")
        names = page.run("Object.entries(JSON.parse(document.getElementById('data').textContent)).map(([k, v]) => [k, v.name])")
        parts = {name.split(" ")[0]: key for key, name in names if key.startswith("part-")}
        assert set(parts) == set(solved["parts"]), set(parts) ^ set(solved["parts"])
        width = "document.querySelector('.drawing svg').viewBox.baseVal.width"
        whole = page.run(width)
        page.pinch(195, 300, 60, 240)
        near = page.run(width)
        assert near < 0.5 * whole, "two fingers apart: closer"
        page.pinch(195, 300, 240, 60)
        assert page.run(width) > 1.5 * near, "two fingers together: farther"
        for button, closer in (("closer", True), ("farther", False)):
            before = page.run(width)
            page.tap(*page.run(f"(() => {{ const r = document.getElementById('{button}').getBoundingClientRect(); return [r.x + 9, r.y + 9]; }})()"))
            assert (page.run(width) < before) == closer, button
        page.run("document.getElementById('all').click()")
        assert abs(page.run(width) - whole) < 1e-6
        tapped = 0
        for tag, key in parts.items():
            centre = CENTRE % (json.dumps(key), json.dumps(key))
            page.run("document.getElementById('all').click()")
            point = page.run(centre)
            if point is None:
                continue
            # The whole drawing on a phone has symbols smaller than a finger: closer first, as a person would.
            page.pinch(*point, 40, 160, upright=True)
            point = page.run(centre)
            assert point is not None, f"{tag} is out of sight after zooming in on it"
            page.tap(*point)
            tapped += 1
            shown = page.run("document.getElementById('particulars').innerText")
            assert shown.startswith(tag), (tag, shown[:80])
            facts = page.run("[...document.querySelectorAll('#particulars dt')].map((d) => [d.textContent, d.nextSibling.textContent])")
            facts = dict(facts)
            figures = solved["parts"][tag]
            if figures["energised"] and figures["volts"] is not None:
                assert abs(float(facts["volts"].split()[0].replace(",", "")) - figures["volts"]) <= 0.5, (tag, facts, figures)
                amps = float(facts["current"].split()[0].replace(",", ""))
                assert abs(amps - figures["amps"]) <= 0.5 if figures["amps"] >= 99.95 else abs(amps - figures["amps"]) <= 0.0501, (tag, facts)
                assert "Fed: " in shown or "Feeds in this condition" in shown
            elif not figures["energised"]:
                assert "volts" not in facts and "Fed: " not in shown, (tag, shown)
            for finding in survey["findings"]:
                if tag in finding["parts"]:
                    assert finding["message"] in shown, (tag, finding["message"])
            lit = set(page.run("[...document.querySelectorAll('g.on')].map((g) => g.dataset.of)"))
            if figures["energised"]:
                path_of = upstream(tag, feeds, solved)
                wanted = {parts[t] for t in path_of}
                assert {k for k in lit if k.startswith("part-")} == wanted, (tag, path_of)
                assert sum(k.startswith("cable-") for k in lit) == len(path_of) - 1, (tag, lit)
            dim = page.run("getComputedStyle([...document.querySelectorAll('g[data-of]:not(.on)')][0]).opacity")
            assert float(dim) < 0.5, "what is not on the path is dim"
        assert tapped > 0.9 * len(parts), (tapped, len(parts))
        page.key("Escape")
        assert page.run("document.querySelectorAll('g.on').length") == 0
        first = next(iter(parts))
        page.run(f"document.querySelector('g[tabindex]').focus()")
        page.key("Enter")
        assert page.run("document.querySelectorAll('g.on').length") > 0, "a key picks as a tap does"
        ground = {}
        for scheme in ("light", "dark"):
            page.scheme(scheme)
            ground[scheme] = page.run(CONTRAST)
            assert ground[scheme]["worst"] >= 4.5, (scheme, ground[scheme])
            page.picture(folder / f"{scheme}.png")
        assert ground["light"]["ground"] != ground["dark"]["ground"]
        page.print(folder / "printed.pdf")
        printed = subprocess.run(["pdftotext", "-layout", folder / "printed.pdf", "-"], capture_output=True, text=True, check=True).stdout
        assert "Not for construction" in printed and "Cable schedule" in printed
        titles = set(page.run("[...document.querySelectorAll('h2')].map((h) => h.textContent)"))
        for sheet in printed.split("\f"):
            lines = [line.strip() for line in sheet.splitlines() if line.strip()]
            assert not lines or lines[-1] not in titles, f"“{lines[-1]}” stands alone at the end of a printed page"
        words = set(printed.split())
        assert all(tag in words for tag in parts), [t for t in parts if t not in words]
        assert all(url.startswith(("file:", "data:")) for url in page.requests), [u[:60] for u in page.requests]
        assert not page.errors, page.errors
        return tapped


# The least contrast of text on its ground, by WCAG 2.
CONTRAST = """(() => {
  const lum = (c) => { const [r, g, b] = c.match(/[\\d.]+/g).map(Number).map((v) => { v /= 255; return v <= 0.03928 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4; }); return 0.2126 * r + 0.7152 * g + 0.0722 * b; };
  const ground = (e) => { for (; e; e = e.parentElement) { const c = getComputedStyle(e).backgroundColor; if (!c.startsWith('rgba(0, 0, 0, 0')) return c; } return 'rgb(255, 255, 255)'; };
  let worst = 99, where = '';
  for (const e of document.querySelectorAll('h1, h2, p, th, td, dt, dd, summary, button, li')) {
    if (!e.innerText || !e.innerText.trim()) continue;
    const a = lum(getComputedStyle(e).color), b = lum(ground(e));
    const c = (Math.max(a, b) + 0.05) / (Math.min(a, b) + 0.05);
    if (c < worst) { worst = c; where = e.tagName + ' ' + e.innerText.slice(0, 40); }
  }
  return { worst, where, ground: ground(document.body) };
})()"""


def folder_of_csv(program, sample, here):
    """Two folders of CSV files, byte for byte the same, each a table of equal rows."""
    folders = []
    for name in ("tables", "tables-again"):
        folder = here / name
        folder.mkdir()
        run(program, "sheets", sample, "-o", folder)
        folders.append({p.name: p.read_bytes() for p in sorted(folder.iterdir())})
    assert folders[0] == folders[1], f"{sample}: CSV differs between two runs"
    for name, data in folders[0].items():
        rows = list(csv.reader(data.decode("utf-8").splitlines()))
        assert len({len(row) for row in rows}) == 1, name
    assert {"cables.csv", "sources.csv", "basis.csv"} <= set(folders[0]), list(folders[0])
    return len(folders[0])


def main():
    program, samples = sys.argv[1], sys.argv[2:]
    assert samples, __doc__
    chromium = shutil.which("chromium")
    assert chromium, "chromium is not installed"
    for sample in samples:
        solved = json.loads(run(program, "solve", sample, "--format", "json"))
        with tempfile.TemporaryDirectory() as folder:
            here = pathlib.Path(folder)
            made = {}
            for ending in ("pdf", "svg", "png", "dxf", "xlsx", "html"):
                made[ending] = here / f"a.{ending}"
                again = here / f"b.{ending}"
                run(program, "sheets", sample, "-o", made[ending])
                run(program, "sheets", sample, "-o", again)
                assert made[ending].read_bytes() == again.read_bytes(), f"{sample}: {ending} differs between two runs"
            tables = folder_of_csv(program, sample, here)
            shapes = svg(made["svg"], program, sample)
            entities = dxf(made["dxf"])
            figures = xlsx(made["xlsx"], solved)
            size = png(made["png"])
            survey = json.loads(run(program, "survey", sample, "--format", "json"))
            taps = html(made["html"], solved, listed(program, sample), survey, chromium, here)
            print(f"{sample}: {entities} DXF entities, {shapes} SVG shapes, {figures} figures, {size} pixels, {tables} tables, {taps} taps")


if __name__ == "__main__":
    main()
