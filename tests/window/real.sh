#!/usr/bin/env bash
# A real window under a virtual display: starts with the built-in sample, is not blank, answers the keyboard, closes
# cleanly. usage: real.sh HULLWIRE [PICTURE.png]
set -euo pipefail
program=$(realpath "${1:?usage: real.sh HULLWIRE [PICTURE.png]}")
work=$(mktemp -d)
picture=${2:-$work/window.png}
Xvfb -displayfd 3 -screen 0 1280x800x24 -nolisten tcp 3>"$work/display" 2>/dev/null & server=$!
trap 'kill "${app:-}" "$server" 2>/dev/null || true; rm -rf "$work"' EXIT
for _ in $(seq 100); do [ -s "$work/display" ] && break; sleep 0.1; done
export DISPLAY=:$(cat "$work/display") LIBGL_ALWAYS_SOFTWARE=1 HOME=$work XDG_DATA_HOME=$work/data XDG_CONFIG_HOME=$work/config
unset WAYLAND_DISPLAY
"$program" >"$work/log" 2>&1 & app=$!
window=""
for _ in $(seq 150); do
  kill -0 "$app" 2>/dev/null || { echo "the program ended by itself:"; cat "$work/log"; exit 1; }
  window=$(xdotool search --onlyvisible --name Hullwire 2>/dev/null | head -n 1 || true)
  [ -n "$window" ] && break
  sleep 0.2
done
[ -n "$window" ] || { echo "no window named Hullwire came up"; exit 1; }
sleep 3
import -window root "$picture"
colours=$(identify -format %k "$picture")
[ "$colours" -gt 60 ] || { echo "the window shows only $colours colours: blank?"; exit 1; }
echo "window shown, $colours colours"
xdotool windowfocus "$window" || true
sleep 0.3
xdotool key --clearmodifiers ctrl+q
for _ in $(seq 50); do kill -0 "$app" 2>/dev/null || break; sleep 0.2; done
if kill -0 "$app" 2>/dev/null; then echo "the window did not close"; exit 1; fi
wait "$app" && status=0 || status=$?
app=""
[ "$status" = 0 ] || { echo "closed with status $status"; exit 1; }
echo "closed cleanly"
