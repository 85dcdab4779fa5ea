#!/usr/bin/env bash
# A real window under a virtual display: starts with the built-in sample, is not blank, makes a new drawing of parts from
# the locker by pointer and keyboard, saves it, idles without work, closes cleanly; what was saved is then solved. usage: real.sh HULLWIRE [PICTURE.png]
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
# A new drawing: a generator dragged out of the locker, then a panel, a breaker and a kettle, each wired to the one before.
point() { xdotool mousemove "$1" "$2"; sleep 0.2; }
find_part() { point 80 90; xdotool click 1; sleep 0.3; xdotool key --clearmodifiers ctrl+a; xdotool type --delay 30 "$1"; sleep 0.8; }
point 250 640; xdotool click 1; sleep 0.8
xdotool key --clearmodifiers ctrl+n; sleep 1
find_part generator
point 75 145; xdotool mousedown 1
for x in 120 200 280 340; do point "$x" 400; done
xdotool mouseup 1; sleep 0.8
for part in panel breaker kettle; do find_part "$part"; point 75 145; xdotool click 1; sleep 0.8; done
point 600 650; xdotool click 1; sleep 0.3
saved=$work/first.hullwire
xdotool key --clearmodifiers ctrl+s; sleep 2
# Without a desktop there is no file dialog: the path is typed.
xdotool key --clearmodifiers ctrl+a; xdotool type --delay 15 "$saved"; sleep 0.3; xdotool key Return; sleep 2
import -window root "$work/saved.png"
[ -f "$saved" ] || { echo "the new drawing was not saved"; [ -z "${KEEP:-}" ] || cp "$work/saved.png" "$KEEP"; exit 1; }
parts=$(grep -c '"kind": "\(generator\|panel\|breaker\|appliance\)"' "$saved")
cables=$(grep -c '"from":' "$saved")
[ "$parts" = 4 ] && [ "$cables" = 3 ] || { echo "saved with $parts parts and $cables cables, not 4 and 3"; exit 1; }
"$program" solve "$saved" --format json > "$work/solved.json" || true
grep -q '"converged": true' "$work/solved.json" || { echo "what was saved cannot be solved"; exit 1; }
echo "a drawing of $parts parts made from the locker, saved and solved"
# At rest it draws nothing: hardly any processor time in three seconds.
point 640 790; sleep 2
ticks() { cut -d' ' -f14,15 "/proc/$app/stat" | { read -r user system; echo $((user + system)); }; }
before=$(ticks); sleep 3; after=$(ticks)
idle=$((after - before))
[ "$idle" -le 15 ] || { echo "an idle window used $idle hundredths of a second of processor time in three seconds"; exit 1; }
echo "idle: $idle hundredths of a second of processor time in three seconds"
xdotool key --clearmodifiers ctrl+q
for _ in $(seq 50); do kill -0 "$app" 2>/dev/null || break; sleep 0.2; done
if kill -0 "$app" 2>/dev/null; then echo "the window did not close"; exit 1; fi
wait "$app" && status=0 || status=$?
app=""
[ "$status" = 0 ] || { echo "closed with status $status"; exit 1; }
echo "closed cleanly"
