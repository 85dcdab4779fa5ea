#!/usr/bin/env bash
# Time from the start of the program to its first window on the screen, on a virtual display with a software GPU. The
# toolkit shows a window with its first frame, not before it. Needs Xvfb and xdotool.
#
#     cargo build --release
#     benches/first_frame.sh target/release/hullwire [TIMES]
set -euo pipefail
program=$(realpath "${1:?usage: first_frame.sh HULLWIRE [TIMES]}")
home=$(mktemp -d)
number=$home/display
Xvfb -displayfd 3 -screen 0 1280x800x24 -nolisten tcp 3>"$number" 2>/dev/null & server=$!
app=
trap 'kill ${app:-} "$server" 2>/dev/null || true; rm -rf "$home"' EXIT
for _ in $(seq 100); do [ -s "$number" ] && break; sleep 0.1; done
export DISPLAY=:$(cat "$number") HOME=$home LIBGL_ALWAYS_SOFTWARE=1
unset WAYLAND_DISPLAY
for _ in $(seq "${2:-6}"); do
  begin=$(date +%s%N)
  "$program" >/dev/null 2>&1 & app=$!
  shown=
  for _ in $(seq 2000); do
    if xdotool search --onlyvisible --name Hullwire >/dev/null 2>&1; then shown=yes; break; fi
    kill -0 "$app" 2>/dev/null || break
    sleep 0.003
  done
  [ "$shown" ] || { echo "first_frame: no window came" >&2; exit 1; }
  echo "$(( ($(date +%s%N) - begin) / 1000000 )) ms"
  kill "$app"; wait "$app" 2>/dev/null || true
done
