#!/usr/bin/env bash
# Reads packs back with poppler and qpdf: structure, fonts, metadata, attachment, and the figures on paper against those of
# `solve --format json`. Usage: pack.sh HULLWIRE
set -euo pipefail
program=$(realpath "$1")
root=$(cd "$(dirname "$0")/../.." && pwd)
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
fail() { echo "pack: $*" >&2; exit 1; }

for sample in trawler trawler-before motor-yacht sailing-boat; do
  for size in a3 a4 letter tabloid; do
    boat="$root/samples/$sample.hullwire"
    pdf="$work/$sample-$size.pdf"
    "$program" sheets "$boat" -o "$pdf" --size "$size" >/dev/null
    qpdf --check "$pdf" >"$work/qpdf.txt" 2>&1 || fail "$sample $size: $(cat "$work/qpdf.txt")"
    pdfinfo "$pdf" >"$work/info.txt" 2>/dev/null
    grep -Eq '^Tagged: +yes' "$work/info.txt" || fail "$sample $size: not tagged"
    grep -Eq '^Creator: +Hullwire' "$work/info.txt" || fail "$sample $size: no creator"
    grep -Eq '^Title: +.' "$work/info.txt" || fail "$sample $size: no title"
    pages=$(awk '/^Pages:/ {print $2}' "$work/info.txt")
    pdftotext -layout "$pdf" "$work/text.txt" 2>/dev/null
    [ "$(grep -c 'Not for construction' "$work/text.txt")" -ge "$pages" ] || fail "$sample $size: a sheet without its cautions"
    # Every font is embedded, a subset, and has its letters as Unicode.
    pdffonts "$pdf" 2>/dev/null | tail -n +3 >"$work/fonts.txt"
    [ -s "$work/fonts.txt" ] || fail "$sample $size: no fonts"
    while read -r line; do
      echo "$line" | grep -Eq 'B612.* yes +yes +yes ' || fail "$sample $size: font $line"
    done <"$work/fonts.txt"
    # The drawing comes back as it went in.
    qpdf --show-attachment=drawing.hullwire "$pdf" >"$work/back.hullwire" || fail "$sample $size: no attachment"
    "$program" compare "$boat" "$work/back.hullwire" --format json >"$work/compare.json"
    "$program" solve "$boat" --format json >"$work/a.json" || true
    "$program" solve "$pdf" --format json >"$work/b.json" || true
    cmp -s "$work/a.json" "$work/b.json" || fail "$sample $size: other figures from the pack than from the drawing"
    # Two runs, equal bytes.
    "$program" sheets "$boat" -o "$work/again.pdf" --size "$size" >/dev/null
    cmp -s "$pdf" "$work/again.pdf" || fail "$sample $size: two runs differ"
  done
  pdftotext -layout "$work/$sample-a3.pdf" "$work/text.txt" 2>/dev/null
  python3 - "$work/a.json" "$work/text.txt" "$sample" <<'PY'
import json, sys
solved, text, sample = json.load(open(sys.argv[1])), open(sys.argv[2]).read(), sys.argv[3]
def amps(v):
    return "0" if abs(v) < 0.05 else (f"{v:.0f}" if abs(v) >= 99.95 else f"{v:.1f}")
missing, looked = [], 0
for tag, part in solved["parts"].items():
    if part.get("amps") is None or not part["energised"]:
        continue
    looked += 1
    rows = [l for l in text.splitlines() if tag in l.split()]
    if not rows and tag not in text:
        missing.append(f"{tag} is not in the pack")
for tag, cable in solved["cables"].items():
    if cable.get("amps") is None or cable["amps"] < 0.05:
        continue
    looked += 1
    shown = f"{amps(cable['amps'])} A"
    if shown not in text and not any(amps(cable["amps"]) in l.split() for l in text.splitlines()):
        missing.append(f"cable of {tag}: {shown}")
for tag, source in solved["sources"].items():
    looked += 1
    if source.get("watts") is not None and f"{source['watts']:,.0f}" not in text:
        missing.append(f"source {tag}: {source['watts']:,.0f} W")
if missing or looked < 10:
    sys.exit(f"pack: {sample}: {looked} figures looked for, not on paper: {missing}")
print(f"{sample}: {looked} figures of the solve are on paper")
PY
done
