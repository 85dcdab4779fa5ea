#!/usr/bin/env bash
# Reads packs back with poppler and qpdf: structure, fonts, metadata, attachment, and the figures on paper against those of
# `solve` and `loads` (pack_paper.py). Usage: pack.sh HULLWIRE
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
  # What stands on paper is what was computed.
  "$program" loads "$boat" --format json >"$work/loads.json"
  python3 "$root/tests/oracles/pack_paper.py" "$work/a.json" "$work/loads.json" "$work/$sample-a3.pdf"
done
